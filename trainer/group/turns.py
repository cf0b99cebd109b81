"""Turns of an evening, and the lot that draws them."""

import random
from collections.abc import Sequence
from typing import NamedTuple

from trainer.coach.eye import RIGHT_SHARE, playable
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.score import Score
from trainer.drill.unrolling import score
from trainer.quiz.points import Point

QUESTION, PLAYED, LIVE = "question", "played", "live"
ROUNDS = (QUESTION, PLAYED, LIVE)


class Turn(NamedTuple):
    """One turn.

    Attributes:
        number: from 1.
        kind: one of `ROUNDS`.
        performer: who answers or performs; empty where the program plays it.
        measure: id of the movement.
        fault: id of the fault that is played; empty where it is played right, or not played.
        point: id of the point that is asked about; empty where none is.
    """

    number: int
    kind: str
    performer: str
    measure: str
    fault: str = ""
    point: str = ""


class Told(NamedTuple):
    """The answer of a performer: marks, how many choices there were, kind of question, ms taken, when.

    `said` is what he answered, `asked` the question and `correct` its right answer, all in words.
    """

    marks: tuple[tuple[str, bool], ...]
    choices: int
    kind: str
    ms: int
    at_ms: int
    offset: int
    said: str = ""
    asked: str = ""
    correct: str = ""


class Graded(NamedTuple):
    """A turn that was graded.

    Attributes:
        turn: the turn.
        gave: who gave GO and who NO-GO.
        right: whether it was right in truth; None where nobody knows (on the floor).
        faults: ids of the faults that the group settled on afterwards.
        told: the performer's answer; None where nothing was asked.
    """

    turn: Turn
    gave: dict[str, bool]
    right: bool | None
    faults: tuple[str, ...] = ()
    told: Told | None = None

    @property
    def agreed(self) -> bool:
        """Whether everybody gave the same."""
        return len(set(self.gave.values())) < 2


class Lot:
    """Draws turns: everybody performs equally often, every measure comes equally often, the rest is chance."""

    def __init__(self, deck: Deck, all_points: Sequence[Point]) -> None:
        self._deck = deck
        self._essential: dict[str, list[str]] = {}
        for point in all_points:
            if point.essential:
                self._essential.setdefault(point.movement, []).append(point.id)
        named = deck.grade_sheet.minors if deck.grade_sheet else tuple(movement.id for movement in deck.movements)
        self.measures = tuple(measure for measure in named if measure in self._essential)
        self._playable = tuple(measure for measure in self.measures if playable(deck.movement(measure)))

    @property
    def rounds(self) -> tuple[str, ...]:
        """The rounds that the deck has matter for."""
        if not self.measures:
            return ()
        return ROUNDS if self._playable else (QUESTION, LIVE)

    def draw(
        self, number: int, kinds: Sequence[str], present: Sequence[str], graded: Sequence[Graded], seed: int
    ) -> Turn:
        """Draw a turn.

        Args:
            number: its number from 1; kinds of round follow one another by it.
            kinds: the rounds that are held.
            present: who may perform.
            graded: the turns so far.
            seed: of the evening.
        """
        rng = chance_of(seed, number, "turn")
        kind = kinds[(number - 1) % len(kinds)]
        measures = self._playable if kind == PLAYED else self.measures
        measure = _least_often(measures, [one.turn.measure for one in graded if one.turn.kind == kind], rng)
        performer = fault = point = ""
        if kind == PLAYED:
            fault = "" if rng.random() < RIGHT_SHARE else rng.choice(playable(self._deck.movement(measure))).id
        else:
            before = [one.turn.performer for one in graded if one.turn.performer]
            # Who came late has turns to make up for, but not one after the other.
            others = [name for name in present if name not in before[-1:]]
            performer = _least_often(others, before, rng)
        if kind == QUESTION:
            point = rng.choice(self._essential[measure])
        return Turn(number, kind, performer, measure, fault, point)


def chance_of(seed: int, number: int, what: str) -> random.Random:
    """Return the chance that decides one thing of one turn; the same however often it is asked for."""
    return random.Random(f"{seed}/{number}/{what}")


def played(deck: Deck, turn: Turn) -> Score:
    """Return the performance that a turn plays, right or with its fault."""
    movement = deck.movement(turn.measure)
    fault = movement.fault(turn.fault)
    return compare(deck, movement, fault).flawed if fault else score(deck, movement)


def _least_often(those: Sequence[str], before: Sequence[str], rng: random.Random) -> str:
    fewest = min(before.count(one) for one in those)
    return rng.choice([one for one in those if before.count(one) == fewest])
