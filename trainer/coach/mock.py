"""A mock test at the screen: the deck's own grade sheet under test rules, knowledge side.

A trial of a measure is a paper of questions that touches all its essential points, and one of its faults where it
has any; it is GO when every essential point is right. Nothing is told between the questions, no question comes back,
and a measure stops once its trials have decided it. Majors are for eyes on the ground: here they are not seen.
"""

import os
import random
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.session import answer_drafts
from trainer.coach.standing import Standing
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GradeSheet, Verdict, measure_go, verdict
from trainer.memory.readiness import Chance, at_least
from trainer.quiz.asking import Asker
from trainer.quiz.marking import Answer, Marked, mark
from trainer.quiz.points import FAULTS, Point
from trainer.quiz.questions import REVERSE, Question
from trainer.records.clock import Moment
from trainer.records.drafts import trial as trial_event
from trainer.records.drafts import verdict as verdict_event

MOCK = "mock"


class MockMeasure(NamedTuple):
    """How one minor measure went: its trials, GO or NO-GO (None while open), and the points missed in it."""

    id: str
    name: str
    trials: tuple[bool, ...]
    go: bool | None
    missed: tuple[Point, ...]


class MockResult(NamedTuple):
    """What a mock test came to, over the minors alone.

    Attributes:
        go: whether enough minors were GO; None for a test that was left with minors open.
        minors_go: minors that were GO.
        to_pass: minors that must be.
        measures: every minor, in the order of the sheet.
        not_seen: the majors, which nobody sees at a screen.
        said: the forecast for the same day, made before the first question.
        expected: minors that the forecast expected to be GO by knowledge alone.
        questions: questions answered; `all_right` of them right in every point.
        wrong: every question that was not all right, with its marks, in the order asked.
    """

    go: bool | None
    minors_go: int
    to_pass: int
    measures: tuple[MockMeasure, ...]
    not_seen: tuple[str, ...]
    said: Chance | None
    expected: float
    questions: int
    all_right: int
    wrong: tuple[tuple[Question, Marked], ...]

    @property
    def weakest(self) -> tuple[MockMeasure, ...]:
        """Measures that were NO-GO, those with the most points missed first."""
        lost = [measure for measure in self.measures if measure.go is False]
        return tuple(sorted(lost, key=lambda measure: -len(measure.missed)))


class MockTest:
    """One mock test; `next_question` and `answer` take turns, and every answer and trial is on the disk at once."""

    def __init__(
        self, candidate: Candidate, standing: Standing, moment: Moment, rng: random.Random | None = None
    ) -> None:
        """Begin a mock test.

        Args:
            candidate: whose record it enters.
            standing: his standing on the deck.
            moment: the present.
            rng: draws questions and the order of measures; unpredictable if None.

        Raises:
            ValueError: one sentence, where the deck has no grade sheet.
        """
        self.candidate, self.standing = candidate, standing
        self.sheet = sheet_of(standing.deck)
        self.id = os.urandom(8).hex()
        self.question: Question | None = None
        self.trials: dict[str, list[bool]] = {minor: [] for minor in self.sheet.minors}
        self.answered: list[tuple[Question, Marked]] = []
        now = standing.now(moment)
        before = standing.forecaster.outlook(standing.reader, standing.learner, now, now)
        known = [one.knowledge for one in before.measures if one.knowledge is not None]
        self.said, self.expected = before.chance, sum(known)
        self.known_enough = at_least(self.sheet.rule.minors_to_pass, known)
        self.measure = ""
        standing.mind.prepare(now)
        self._rng = rng or random.Random(os.urandom(8))
        self._papers = Papers(standing.deck, standing.points)
        self._points = {point.id: point for point in standing.points}
        self._paper: list[Question] = []
        self._wrong_here: set[str] = set()
        self._missed: dict[str, dict[str, None]] = {minor: {} for minor in self.sheet.minors}
        self._turns = self._rounds()

    def _rounds(self) -> Iterator[str]:
        """Measures in the order of their trials: every open measure once a round, each round in an order by lot."""
        for _ in range(self.sheet.rule.trials):
            order = list(self.sheet.minors)
            self._rng.shuffle(order)
            yield from (minor for minor in order if measure_go(self.sheet.rule, self.trials[minor]) is None)

    @property
    def standing_verdict(self) -> Verdict:
        """The verdict as the trials so far decide it."""
        return verdict(self.sheet.rule, self.trials, ())

    @property
    def trials_left(self) -> int:
        """The most trials that may still come, the one under way among them."""
        rule = self.sheet.rule
        still_open = (seen for seen in self.trials.values() if measure_go(rule, seen) is None)
        return sum(rule.trials - len(seen) for seen in still_open)

    def next_question(self) -> Question | None:
        """Return the question to ask now, the same until it is answered; None at the end."""
        if self.question is None:
            if not self._paper:
                self.measure = next(self._turns, "")
                self._wrong_here = set()
                self._paper = self._papers.draw(self.measure, self._rng) if self.measure else []
            self.question = self._paper[0] if self._paper else None
        return self.question

    def answer(self, given: Answer, ms: int, moment: Moment) -> None:
        """Mark and record an answer without a word about it; the last of a paper decides its trial.

        Args:
            given: the answer, in the form the question expects; anything else is marked wrong.
            ms: time taken to answer.
            moment: the present.

        Raises:
            LogError: one sentence, if it could not be recorded; the question then still waits.
            RuntimeError: if no question is waiting.
        """
        if self.question is None:
            raise RuntimeError("no question is waiting for an answer")
        marked = mark(self.question, given)
        wrong = {point for point, right in marked.marks if not right}
        last = len(self._paper) == 1
        drafts = answer_drafts(marked, self._points, ms, self.id)
        go = not any(self._points[point].essential for point in self._wrong_here | wrong)
        trials = self.trials[self.measure]
        if last:
            deck = self.standing.deck.id
            number = len(trials) + 1
            drafts.append(trial_event(run=self.id, measure=self.measure, number=number, go=go, deck=deck, held=MOCK))
        decided = self._decided_by(go) if last else None
        if decided is not None:
            # What is asked here is knowledge alone, so that is the forecast that the verdict is set beside.
            said = round(1000 * self.known_enough)
            drafts.append(verdict_event(run=self.id, go=decided, deck=self.standing.deck.id, held=MOCK, said=said))
        self.candidate.log.append_many(drafts, moment)
        self.standing.take(marked.marks, marked.choices, moment, marked.kind, ms)
        self.answered.append((self.question, marked))
        self._wrong_here |= wrong
        self._missed[self.measure].update(dict.fromkeys(sorted(wrong)))
        self._paper.pop(0)
        self.question = None
        if last:
            trials.append(go)

    def _decided_by(self, go: bool) -> bool | None:
        """Return the verdict if the trial that ends now is the last of all, None if others follow."""
        after = {minor: [*seen, go] if minor == self.measure else seen for minor, seen in self.trials.items()}
        result = verdict(self.sheet.rule, after, ())
        return None if result.minors_open else result.minors_go >= self.sheet.rule.minors_to_pass

    def result(self) -> MockResult:
        """Return what the test came to so far."""
        rule, names = self.sheet.rule, {movement.id: movement.name for movement in self.standing.deck.movements}
        now = self.standing_verdict
        enough = now.minors_go >= rule.minors_to_pass
        return MockResult(
            None if now.minors_open else enough,
            now.minors_go,
            rule.minors_to_pass,
            tuple(
                MockMeasure(
                    minor,
                    names[minor],
                    tuple(seen),
                    measure_go(rule, seen),
                    tuple(self._points[point] for point in self._missed[minor]),
                )
                for minor, seen in self.trials.items()
            ),
            tuple(major.text for major in self.sheet.majors),
            self.said,
            self.expected,
            len(self.answered),
            sum(marked.right for _, marked in self.answered),
            tuple((question, marked) for question, marked in self.answered if not marked.right),
        )


def sheet_of(deck: Deck) -> GradeSheet:
    """Return a deck's grade sheet.

    Raises:
        ValueError: one sentence, where it has none.
    """
    if deck.grade_sheet is None:
        raise ValueError("This deck has no grade sheet, so there is nothing to hold a mock test by.")
    return deck.grade_sheet


class Papers:
    """Draws the questions of a trial."""

    def __init__(self, deck: Deck, points: Sequence[Point]) -> None:
        self._asker = Asker(deck)
        self._of: dict[str, list[Point]] = {}
        for point in points:
            self._of.setdefault(point.movement, []).append(point)

    def draw(self, measure: str, rng: random.Random) -> list[Question]:
        """Return the questions of one trial: few that touch every essential point, then one about a fault.

        Each is asked straight, so that none gives another of the paper away, where a point can be asked so.
        """
        points = self._of.get(measure, [])
        missing = {point.id: None for point in points if point.essential}
        paper: list[Question] = []
        while missing:
            asked = max(self._ways(next(iter(missing)), rng), key=lambda one: len(missing.keys() & set(one.points)))
            paper.append(asked)
            for point in asked.points:
                missing.pop(point, None)
        faults = [point.id for point in points if point.family == FAULTS]
        if faults:
            paper.append(self._ways(rng.choice(faults), rng)[0])
        return paper

    def _ways(self, point: str, rng: random.Random) -> list[Question]:
        kinds = self._asker.kinds(point)
        straight = [kind for kind in kinds if kind not in REVERSE] or list(kinds)
        rng.shuffle(straight)
        return [self._asker.ask(point, rng, kind) for kind in straight]
