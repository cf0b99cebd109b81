"""One sitting as one state machine, for the screens and for plain lines alike."""

import os
import random
from collections.abc import Collection, Mapping, Sequence
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.forecast import Outlook
from trainer.coach.history import local_day
from trainer.coach.pace import questions_for
from trainer.coach.standing import Standing
from trainer.drill.similar import rivals
from trainer.memory import planner
from trainer.quiz.asking import Asker
from trainer.quiz.marking import Answer, Marked, mark
from trainer.quiz.points import Point
from trainer.quiz.questions import REVERSE, Question
from trainer.records.clock import Moment
from trainer.records.drafts import answer as answer_event
from trainer.records.events import Draft

LONGEST_ANSWER_MS = 3_600_000
"""Somebody who answers after more than an hour was away; an hour is kept."""
KINDS_REMEMBERED = 2


class Moved(NamedTuple):
    """A point that was asked: recall on the test date before the sitting and now, and its marks."""

    point: Point
    before: float
    now: float
    right: int
    wrong: int


class Summary(NamedTuple):
    """What a sitting did: questions answered, those all right, points moved, the forecast before and now."""

    questions: int
    all_right: int
    moved: tuple[Moved, ...]
    before: Outlook
    now: Outlook


class Session:
    """One sitting of questions.

    `next_question` and `answer` take turns; an answer is in the record, on the disk, before `answer` returns.
    """

    def __init__(
        self,
        candidate: Candidate,
        standing: Standing,
        moment: Moment,
        questions: int | None = None,
        rng: random.Random | None = None,
        wished: Collection[str] = (),
    ) -> None:
        """Begin a sitting.

        Args:
            candidate: whose record the answers go to.
            standing: his standing on the deck.
            moment: the present.
            questions: how many to ask; as many as fit his minutes if None.
            rng: chooses among kinds of question and orders of choices; unpredictable if None.
            wished: ids of the points that taskings and the faults of the last run name.
        """
        self.candidate, self.standing, self.wished = candidate, standing, frozenset(wished)
        self.size = questions or questions_for(candidate.profile.minutes, standing.history.question_ms)
        self.id = os.urandom(8).hex()
        self.question: Question | None = None
        self.asked: list[tuple[Question, Marked]] = []
        standing.prepare(moment)
        self.before = standing.outlook(candidate, moment)
        self._rng = rng or random.Random(os.urandom(8))
        self._asker = Asker(standing.deck)
        self._points = {point.id: point for point in standing.points}
        self._items = items(standing.points, rivals(standing.deck))
        test_at, now = standing.test_at(candidate, moment), standing.now(moment)
        self.carried = self._carried(moment)
        recalls = standing.reader.recall(list(self._points), test_at, now)
        self._recall_before = dict(zip(self._points, recalls, strict=True))

    @property
    def answered(self) -> int:
        """Questions answered so far."""
        return len(self.asked)

    def next_question(self, moment: Moment) -> Question | None:
        """Return the question to ask now: the same one until it is answered, None at the end of the sitting."""
        if self.question is None and self.answered < self.size:
            chosen = self.plan(moment).next
            if chosen is not None:
                self.question = self._asker.ask(chosen, self._rng, avoid=self._unwanted(chosen))
        return self.question

    def _unwanted(self, chosen: str) -> frozenset[str]:
        """Return the kinds asked last and, after questions on the same movement, those that ask for the movement.

        Where nothing else is left, a kind asked last is better than one that the explanation gave away.
        """
        last = [question for question, _ in self.asked[-KINDS_REMEMBERED:]]
        recent = frozenset(question.kind for question in last)
        if all(question.movement != self._points[chosen].movement for question in last):
            return recent
        straight = set(self._asker.kinds(chosen)) - REVERSE
        return REVERSE | recent if straight - recent or not straight else REVERSE

    def plan(self, moment: Moment) -> planner.Plan:
        """Return what the planner says now."""
        days_left = self.standing.days_to_test(self.candidate, moment)
        return planner.plan(self._candidates(moment), self._asked(), days_left, self.carried, self.wished)

    def _carried(self, moment: Moment) -> frozenset[str] | None:
        """Return the points that the plan to the test carries; None, all essential ones, where there is no plan."""
        made = self.standing.plan(self.candidate, moment, self.wished)
        return made.carried if made is not None else None

    def answer(self, given: Answer, ms: int, moment: Moment) -> Marked:
        """Mark an answer, record it, and fold it.

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
        self.candidate.log.append_many(answer_drafts(marked, self._points, ms, self.id), moment)
        self.standing.take(marked.marks, marked.choices, moment, marked.kind, ms)
        self.asked.append((self.question, marked))
        self.question = None
        return marked

    def summary(self, moment: Moment) -> Summary:
        """Return what this sitting did so far."""
        marks: dict[str, list[bool]] = {}
        for _, marked in self.asked:
            for point, right in marked.marks:
                marks.setdefault(point, []).append(right)
        test_at = self.standing.test_at(self.candidate, moment)
        now = self.standing.reader.recall(list(marks), test_at, self.standing.now(moment))
        moved = tuple(
            Moved(self._points[point], self._recall_before[point], after, sum(rights), len(rights) - sum(rights))
            for (point, rights), after in zip(marks.items(), now, strict=True)
        )
        all_right = sum(all(right for _, right in marked.marks) for _, marked in self.asked)
        return Summary(self.answered, all_right, moved, self.before, self.standing.outlook(self.candidate, moment))

    def _candidates(self, moment: Moment) -> list[planner.Candidate]:
        now, test_at = self.standing.now(moment), self.standing.test_at(self.candidate, moment)
        # A sitting may run past midnight, so the day is read anew and not taken from the record.
        today = local_day(moment.at_ms, moment.offset)
        recalls = self.standing.learner.recall(list(self._points), test_at, now)
        found = []
        for rank, (point, recall) in enumerate(zip(self.standing.points, recalls, strict=True)):
            practice = self.standing.practice.get(point.id)
            found.append(
                planner.Candidate(
                    self._items[point.id],
                    recall,
                    point.essential,
                    rank,
                    practice is not None,
                    practice.right_on_last_day if practice and practice.last_day == today else 0,
                    practice is not None and practice.first_day == today,
                )
            )
        return found

    def _asked(self) -> list[planner.Asked]:
        return [planner.Asked(marked.marks) for _, marked in self.asked]


def answer_drafts(marked: Marked, known: Mapping[str, Point], ms: int, session: str) -> list[Draft]:
    """Return the events of one question's answer, one a point.

    Args:
        marked: what the answer was worth.
        known: the deck's points by id.
        ms: time taken to answer.
        session: id of the sitting.
    """
    return [
        answer_event(
            point=point,
            fact=known[point].fact,
            right=right,
            choices=marked.choices,
            question=marked.kind,
            ms=min(max(0, ms), LONGEST_ANSWER_MS),
            session=session,
        )
        for point, right in marked.marks
    ]


def items(all_points: Sequence[Point], alike: Mapping[str, Sequence[str]]) -> dict[str, planner.Item]:
    """Return the planner's view of the points: same place in a movement easily taken for it is confusable."""
    known = {point.id for point in all_points}
    found = {}
    for point in all_points:
        partners = []
        for movement in alike.get(point.movement, ())[:1]:
            twin = point.id.replace(f"/{point.movement}/", f"/{movement}/", 1)
            if twin in known:
                partners.append(twin)
        found[point.id] = planner.Item(point.id, (point.movement, point.family), tuple(partners))
    return found
