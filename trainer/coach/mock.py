"""A mock test at the screen: the deck's own grade sheet under test rules, knowledge side.

A trial of a measure is a paper of questions that touches all its essential points, and one of its faults where it
has any; it is GO when every essential point is right. Where the feet of the words are called on the beat, a call takes
the place of their questions: what a call tells of the points is the same here as in practice. Nothing is told between
the questions, no question comes back, and a measure stops once its trials have decided it. Majors are for eyes on the
ground: here they are not seen.
"""

import os
import random
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from trainer.coach.beat import call_drafts, fold_call
from trainer.coach.candidate import Candidate
from trainer.coach.mock_paper import Papers, Task, called_feet
from trainer.coach.session import answer_drafts
from trainer.coach.standing import Standing
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GradeSheet, Verdict, measure_go, verdict
from trainer.memory.readiness import Chance
from trainer.memory.tails import at_least
from trainer.quiz.marking import Answer, Marked, mark
from trainer.quiz.points import Point
from trainer.quiz.questions import Question
from trainer.records.clock import Moment
from trainer.records.drafts import trial as trial_event
from trainer.records.drafts import verdict as verdict_event
from trainer.records.events import Draft
from trainer.rhythm.calls import Called
from trainer.rhythm.exercise import Exercise

MOCK = "mock"
CHOSEN = "You chose so."
"""Why feet are asked where they could be called."""


class MockCall(NamedTuple):
    """One call of a trial: its measure, the number of its trial from 1, what was to be called and what was."""

    measure: str
    trial: int
    done: Exercise
    called: Called


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
        calls: every call struck on the beat, in order.
        asked_why: why the feet were asked though they could have been called, a sentence; empty where they were not.
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
    calls: tuple[MockCall, ...] = ()
    asked_why: str = ""

    @property
    def weakest(self) -> tuple[MockMeasure, ...]:
        """Measures that were NO-GO, those with the most points missed first."""
        lost = [measure for measure in self.measures if measure.go is False]
        return tuple(sorted(lost, key=lambda measure: -len(measure.missed)))


class MockTest:
    """One mock test: `next_task` and its `answer` or `call` take turns, and each is on the disk at once."""

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
        self.task: Task | None = None
        self.asked_why: str | None = ""
        """Why feet are asked, a sentence; empty where nothing can be called, None where they are called on the beat."""
        self.trials: dict[str, list[bool]] = {minor: [] for minor in self.sheet.minors}
        self.answered: list[tuple[Question, Marked]] = []
        self.calls: list[MockCall] = []
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
        self.quickest = self._papers.quickest(self.sheet.minors)
        """The quickest cadence at which anything is called, in beats a minute; None where nothing can be."""
        self._paper: list[Task] = []
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

    @property
    def begun(self) -> bool:
        """Whether anything was answered or called."""
        return bool(self.answered or self.calls)

    def next_task(self) -> Task | None:
        """Return what is to be answered or called now, the same until it is; None at the end."""
        if self.task is None:
            if not self._paper:
                self.measure = next(self._turns, "")
                self._wrong_here = set()
                self._paper = self._draw() if self.measure else []
            self.task = self._paper[0] if self._paper else None
        return self.task

    def _draw(self) -> list[Task]:
        called = self.asked_why is None and self.quickest is not None
        return self._papers.draw(self.measure, self._rng, called)

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
        question = self.task
        if not isinstance(question, Question):
            raise RuntimeError("no question is waiting for an answer")
        marked = mark(question, given)
        wrong = {point for point, right in marked.marks if not right}
        self._enter(answer_drafts(marked, self._points, ms, self.id), wrong, moment)
        self.standing.take(marked.marks, marked.choices, moment, marked.kind, ms)
        self.answered.append((question, marked))

    def call(self, called: Called, ms: int, moment: Moment) -> None:
        """Record a call without a word about it; only feet and words decide, never early or late.

        A foot that the call was to tell and did not, for the word was not called, is not right in this trial; the
        record says nothing of it. Nor does it say anything of the words where none was called: they were asked before.

        Args:
            called: what was called of the exercise that waits.
            ms: time from the first beat to the last strike.
            moment: the present.

        Raises:
            LogError: one sentence, if it could not be recorded; the call then still waits.
            RuntimeError: if no call is waiting.
        """
        done = self.task
        if not isinstance(done, Exercise):
            raise RuntimeError("no call is waiting")
        told = called if len(called.missed) < len(done.dues) else called._replace(marks=())
        marks, drafts = call_drafts(self.standing, done, told, ms, self.id)
        right = {point.id for point, was_right in marks if was_right}
        due = [*called_feet(self.standing.points, done), *(point for point, _ in marks)]
        number = len(self.trials[self.measure]) + 1
        self._enter(drafts, {point.id for point in due} - right, moment)
        fold_call(self.standing, marks, ms, moment)
        self.calls.append(MockCall(done.movement.id, number, done, called))

    def _enter(self, drafts: Sequence[Draft], wrong: Iterable[str], moment: Moment) -> None:
        """Record what was done, with the trial and the verdict that it ends; nothing has changed if that fails."""
        lost, last = set(wrong), len(self._paper) == 1
        go = not any(self._points[point].essential for point in self._wrong_here | lost)
        trials, deck, more = self.trials[self.measure], self.standing.deck.id, list(drafts)
        if last:
            number = len(trials) + 1
            more.append(trial_event(run=self.id, measure=self.measure, number=number, go=go, deck=deck, held=MOCK))
        decided = self._decided_by(go) if last else None
        if decided is not None:
            # What is asked here is knowledge alone, so that is the forecast that the verdict is set beside.
            said = round(1000 * self.known_enough)
            more.append(verdict_event(run=self.id, go=decided, deck=deck, held=MOCK, said=said))
        self.candidate.log.append_many(more, moment)
        self._wrong_here |= lost
        self._missed[self.measure].update(dict.fromkeys(sorted(lost)))
        self._paper.pop(0)
        self.task = None
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
            tuple(self.calls),
            self.asked_why or "",
        )


def sheet_of(deck: Deck) -> GradeSheet:
    """Return a deck's grade sheet.

    Raises:
        ValueError: one sentence, where it has none.
    """
    if deck.grade_sheet is None:
        raise ValueError("This deck has no grade sheet, so there is nothing to hold a mock test by.")
    return deck.grade_sheet
