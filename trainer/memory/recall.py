"""What a candidate remembers, learnt from his answers: a filter over unknown learners and unknown points.

The model is that of `traces`. What is unknown is carried and never fixed:

- the learner, by a grid of 90 nodes (5 fading exponents x 3 increments x 2 widths x 3 thresholds);
- each point's own difficulty, by 9 offsets;
- whether the point was known before the first question. If so, it has one old trace.

An answer multiplies the weight of each of a point's 18 states, under each of the 90 learner nodes, by its
likelihood, and then leaves a trace, for the right answer is shown at once. A learner node's weight is
its prior times the product over points of their summed state weights. This is exact Bayes on the grid
and does not depend on the order of points. State weights are kept unnormalised a point, so a late
answer refolds one point only.

No person has been measured for these figures: priors and rules were tried on synthetic learners only.

Times are days on any common clock. Recall is the bare logistic; guessing and inattention belong to
answering questions and enter only there.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, fsum, isfinite
from operator import mul
from typing import NamedTuple

from trainer.memory.grid import INATTENTION, LOG_PRIOR, OLD_TRACE_DAYS
from trainer.memory.states import EVERY_HALF, Mark, Memory

NEGLIGIBLE = 1e-10
"""Weight of learners that a reading may leave out, all of them together."""


class Evidence(NamedTuple):
    """One answer to one point.

    Attributes:
        item: Id of the point, opaque here.
        at: When, in days.
        right: Whether the answer was right.
        choices: How many answers were offered; 0 for typed, ordered or struck answers.
    """

    item: str
    at: float
    right: bool
    choices: int


class Standing(NamedTuple):
    """Where a point stands: recall predicted for a date, the learners averaged, and how often it was answered."""

    item: str
    recall: float
    answers: int


class Learner:
    """One candidate's memory: folds evidence, answers with recall.

    The outcome is a function of the set of evidence alone: neither the order in which it is folded nor
    the portions it comes in change a digit.

    Args:
        evidence: Answers to begin with.
        inattention: Chance of a wrong answer with knowledge.
    """

    def __init__(self, evidence: Iterable[Evidence] = (), inattention: float = INATTENTION) -> None:
        self.inattention = inattention
        self._points: dict[str, Memory] = {}
        self._first_at: float | None = None
        self._fresh = Memory()
        self._weights: tuple[float, ...] | None = None
        self._halves = EVERY_HALF
        self.fold(evidence)

    @property
    def first_at(self) -> float | None:
        """Time of the earliest answer to any point, days; none before the first answer."""
        return self._first_at

    def fold(self, evidence: Iterable[Evidence]) -> None:
        """Take in answers, in any order, each once.

        An answer earlier than others to its point refolds that point; one earlier than all others
        refolds everything, because the old trace is counted back from the first answer.

        Raises:
            ValueError: A time that is not finite, or choices that are negative or 1. Nothing is folded then.
        """
        fresh: dict[str, list[Mark]] = {}
        for item, at, right, choices in evidence:
            if not isfinite(at):
                raise ValueError(f"the answer to {item!r} has the time {at!r}; give days as a finite number")
            if choices < 0 or choices == 1:
                raise ValueError(
                    f"the answer to {item!r} has {choices} choices; give 2 or more, or 0 for a typed answer"
                )
            fresh.setdefault(item, []).append(Mark(at, 2 * choices + bool(right)))
        if not fresh:
            return
        first = min(mark.at for marks in fresh.values() for mark in marks)
        if self._first_at is None or first < self._first_at:
            self._first_at = first
            for item, memory in self._points.items():
                fresh.setdefault(item, []).extend(memory.marks)
            self._points.clear()
        for item, marks in fresh.items():
            self._fold_point(item, sorted(marks), self._first_at - OLD_TRACE_DAYS)
        self._weights = None

    def _fold_point(self, item: str, marks: list[Mark], old_at: float) -> None:
        memory = self._points.setdefault(item, Memory())
        if memory.times and marks[0] < (memory.times[-1], memory.codes[-1]):
            marks = sorted(memory.marks + marks)
            memory = self._points[item] = Memory()
        memory.absorb(marks, old_at, self.inattention)

    def weights(self) -> tuple[float, ...]:
        """Weight of each of the 90 learner nodes, summing to 1."""
        if self._weights is None:
            logs = [memory.node_logs() for memory in self._points.values()]
            # fsum is exact, so the order of points cannot matter.
            totals = [fsum(column) for column in zip(LOG_PRIOR, *logs, strict=True)]
            peak = max(totals)
            raw = [exp(total - peak) for total in totals]
            whole = fsum(raw)
            self._weights = tuple(weight / whole for weight in raw)
            self._halves = worth_reading(self._weights)
        return self._weights

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item at the date `at`, in each of the 90 learner nodes.

        Bare logistic, no guessing, no inattention. Points never asked share one computation. `now`
        matters only before the first answer of all: an old trace is then counted back from it.
        Traces later than `at` count as if laid down at `at`. Nodes that weigh next to nothing (together
        `NEGLIGIBLE`) may be left at 0. What is returned is shared: do not change it.
        """
        self.weights()
        old_at = (now if self._first_at is None else self._first_at) - OLD_TRACE_DAYS
        return [self._points.get(item, self._fresh).recall(at, old_at, self._halves) for item in items]

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item at the date `at`, averaged over learner nodes."""
        weights = self.weights()
        return [sum(map(mul, weights, nodes)) for nodes in self.recall_by_node(items, at, now)]

    def chance_right(self, item: str, at: float, choices: int, now: float) -> float:
        """Chance that an answer to `item` at `at` is right, guessing and inattention included."""
        guess = 1.0 / choices if choices else 0.0
        return guess + (1.0 - guess - self.inattention) * self.recall((item,), at, now)[0]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands, by its recall predicted for the date `at`."""
        read = zip(items, self.recall(items, at, now), self.answered(items), strict=True)
        return [Standing(item, recall, answers) for item, recall, answers in read]

    def answered(self, items: Iterable[str]) -> list[int]:
        """How often each item was answered."""
        return [len(self._points.get(item, self._fresh).times) for item in items]

    def points(self) -> dict[str, Memory]:
        """The states of every point asked, by id: what a snapshot keeps."""
        return self._points

    @classmethod
    def of_points(cls, points: dict[str, Memory], inattention: float = INATTENTION) -> Learner:
        """A learner from the states of points that were folded together under one chance of inattention."""
        learner = cls(inattention=inattention)
        learner._points = points
        learner._first_at = min((memory.times[0] for memory in points.values()), default=None)
        return learner

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Learner):
            return NotImplemented
        mine, theirs = self._points, other._points
        return (
            self.inattention == other.inattention
            and mine.keys() == theirs.keys()
            and all(
                (ours.marks, ours.weights, ours.traces)
                == (theirs[item].marks, theirs[item].weights, theirs[item].traces)
                for item, ours in mine.items()
            )
        )

    __hash__ = None  # type: ignore[assignment]  # it changes with every answer


def worth_reading(weights: Sequence[float], negligible: float = NEGLIGIBLE) -> frozenset[int]:
    """The half blocks to read: all but the lightest, which together weigh no more than `negligible`."""
    shares = sorted((sum(weights[3 * half : 3 * half + 3]), half) for half in EVERY_HALF)
    dropped = 0.0
    for n, (share, _) in enumerate(shares):
        dropped += share
        if dropped > negligible:
            return frozenset(half for _, half in shares[n:])
    return EVERY_HALF
