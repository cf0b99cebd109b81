"""What is asked in one trial of a mock test: questions, and in the place of the feet a call struck on the beat."""

import random
from collections.abc import Iterable, Sequence

from trainer.coach.beat import marked_points
from trainer.drill.deck import Deck
from trainer.drill.movement import Movement, Stance
from trainer.quiz.asking import Asker
from trainer.quiz.points import FAULTS, WORDS, Point
from trainer.quiz.questions import REVERSE, Question
from trainer.rhythm.calls import FOOT, Mark, tells_foot
from trainer.rhythm.exercise import LEVELS, Exercise, exercise, usual_cadence

Task = Question | Exercise
"""One thing that a trial asks for: an answer, or a call."""
UNAIDED = LEVELS[2]
"""The level of a test: at cadence, the beat alone, neither words nor feet shown; the beat stays, as one's own steps."""


class Papers:
    """Draws what is asked in a trial."""

    def __init__(self, deck: Deck, points: Sequence[Point]) -> None:
        self._deck = deck
        self._asker = Asker(deck)
        self._of: dict[str, list[Point]] = {}
        for point in points:
            self._of.setdefault(point.movement, []).append(point)

    def draw(self, measure: str, rng: random.Random, called: bool = False) -> list[Task]:
        """Return what one trial asks: few questions that touch every essential point, then one about a fault.

        Each is asked straight, so that none gives another of the paper away, where a point can be asked so. With
        `called`, feet that a call tells are not asked: the command is called on the beat once its words were asked.
        """
        points = self._of.get(measure, [])
        known = {point.id: point for point in points}
        missing = {point.id: None for point in points if point.essential}
        call = self.call(measure, rng) if called else None
        paper: list[Task] = []

        def put_call() -> None:
            if call is not None and call not in paper:
                paper.append(call)
                for point in called_feet(points, call):
                    missing.pop(point.id, None)

        while missing:
            if known[next(iter(missing))].family != WORDS:
                put_call()
            if not missing:
                break
            asked = max(self._ways(next(iter(missing)), rng), key=lambda one: len(missing.keys() & set(one.points)))
            paper.append(asked)
            for point_id in asked.points:
                missing.pop(point_id, None)
        put_call()
        faults = [point.id for point in points if point.family == FAULTS]
        if faults:
            paper.append(self._ways(rng.choice(faults), rng)[0])
        return paper

    def call(self, measure: str, rng: random.Random) -> Exercise | None:
        """Return the call of a measure from one of its stances; None where a call tells the foot of no word."""
        movement = self._deck.movement(measure)
        stances = [stance.name for stance in self._stances(movement)]
        made = [exercise(self._deck, movement, stance, UNAIDED, rng) for stance in stances]
        telling = [one for one in made if called_feet(self._of.get(measure, []), one)]
        return rng.choice(telling) if telling else None

    def quickest(self, measures: Iterable[str]) -> float | None:
        """Return the quickest cadence, in beats a minute, of the measures that can be called; None without any."""
        found = []
        for measure in measures:
            movement = self._deck.movement(measure)
            if self.call(measure, random.Random(0)) is not None:
                found += [usual_cadence(self._deck, movement, stance) for stance in self._stances(movement)]
        return max(found, default=None)

    def _stances(self, movement: Movement) -> list[Stance]:
        return [stance for name in movement.from_stances if (stance := self._deck.stance(name)).moves]

    def _ways(self, point: str, rng: random.Random) -> list[Question]:
        kinds = self._asker.kinds(point)
        straight = [kind for kind in kinds if kind not in REVERSE] or list(kinds)
        rng.shuffle(straight)
        return [self._asker.ask(point, rng, kind) for kind in straight]


def called_feet(points: Iterable[Point], call: Exercise) -> list[Point]:
    """Return the points that a whole call tells of: those of its words that have a foot of their own."""
    if call.by_steps:
        return []
    marks = [Mark(FOOT, due.number, True) for due in call.dues if tells_foot(due)]
    return [point for point, _ in marked_points(points, call.movement.id, marks)]
