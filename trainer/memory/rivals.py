"""Rivals of the trace model: the interface, Bayes on a small grid, and plain counting.

A rival predicts an answer before it is seen and then takes it, so answers come in the order of time. What it knows
of the candidate is a weight for each of its nodes; a point has an offset of its own, and may have been known before
the first question, as in `recall`. Each rival goes on under every chance of inattention of `grid.INATTENTIONS` at
once: they share its law, which is dear, and differ in the weights. The rivals with a law of memory are in
`challengers`.

No person has been measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, fsum, log
from operator import add, mul
from typing import Any, Protocol

from trainer.memory.grid import INATTENTION, INATTENTIONS, KNOWN_BEFORE
from trainer.memory.recall import Evidence

OFFSETS = (-(3.0**0.5), 0.0, 3.0**0.5)
OFFSET_WEIGHTS = (1.0 / 6.0, 2.0 / 3.0, 1.0 / 6.0)
"""Offsets of points in units of a rival's own spread of points: three nodes of Gauss and Hermite."""
OLD_DAYS = (36.0, 34.0, 32.0, 30.0)
"""Days before the first answer on which a point known before was practised."""

State = tuple[Any, ...]
Shares = list[list[float]]
"""A number for each state of each node: not known before by offset, then known before by offset."""


class Rival(Protocol):
    """A memory model that is asked before every answer and told after it.

    `level` is the place of a chance of inattention in `INATTENTIONS`.
    """

    @property
    def name(self) -> str:
        """What it is called in a sentence."""

    def recall(self, item: str, at: float) -> Sequence[float]:
        """Recall of an item at the date `at` by level, nodes averaged; what is predicted is its `answer_chance`."""

    def take(self, evidence: Evidence) -> None:
        """Take in an answer, none earlier than those taken before."""

    def weights(self, level: int) -> Sequence[float]:
        """Weight of each of the rival's nodes, summing to 1."""

    def recall_by_node(self, items: Iterable[str], at: float, level: int) -> list[Sequence[float]]:
        """Recall of each item at the date `at` in each of the rival's nodes."""

    def state(self) -> State:
        """All that was learnt, as plain values that `marshal` can keep; shared with the rival."""

    def restore(self, state: State) -> None:
        """Go on from a state of the same rival."""


def answer_chance(recall: float, choices: int, inattention: float = INATTENTION) -> float:
    """Chance of a right answer at a recall: guess + (1 - guess - inattention) x recall."""
    guess = 1.0 / choices if choices else 0.0
    return guess + (1.0 - guess - inattention) * recall


class Practised:
    """What a rival keeps of a point.

    `times` are those of its answers in days, `weights` its states' in each node by level, summing to 1; what `kept`
    means is the rival's own affair.
    """

    __slots__ = ("kept", "times", "weights")

    def __init__(self, weights: list[Shares], kept: list[list[float]]) -> None:
        self.times: list[float] = []
        self.weights = weights
        self.kept = kept


class Gridded:
    """Bayes on nodes for the candidate and on 10 states for each point in each node; a law of memory is added to it.

    A node's weight is the product of the chances that it gave the answers.
    """

    name = ""

    def __init__(self, nodes: int) -> None:
        resting = [share * part for share in (1.0 - KNOWN_BEFORE, KNOWN_BEFORE) for part in OFFSET_WEIGHTS]
        self._resting: list[Shares] = [[resting] * nodes] * len(INATTENTIONS)
        self._points: dict[str, Practised] = {}
        self._logs = [[0.0] * nodes for _ in INATTENTIONS]
        self._weights = [[1.0 / nodes] * nodes for _ in INATTENTIONS]
        self._first_at: float | None = None
        self._read_at = 0.0
        self._read: dict[str, Shares] = {}

    def fresh(self) -> Practised:
        """A point that was never asked."""
        return Practised(self._resting, [])

    def recalls(self, point: Practised, at: float) -> Shares:
        """Recall of a point at `at` in each state of each node."""
        raise NotImplementedError

    def practise(self, point: Practised, at: float, recalls: Shares) -> None:
        """Remember what the law needs of a practice at `at` that found the point at `recalls`."""
        raise NotImplementedError

    def old_ages(self, at: float) -> list[float]:
        """Ages in days, at `at`, of the old practice of a point known before."""
        since = 0.0 if self._first_at is None else at - self._first_at
        return [since + old for old in OLD_DAYS]

    def recall(self, item: str, at: float) -> list[float]:
        """Recall of an item by level, nodes averaged; what is computed is kept for the answer."""
        point = self._points.get(item) or self.fresh()
        recalls = self._reading(item, point, at)
        return [
            sum(map(mul, nodes, _by_node(states, recalls)))
            for nodes, states in zip(self._weights, point.weights, strict=True)
        ]

    def take(self, evidence: Evidence) -> None:
        """Weigh the nodes and the point's states by an answer, then practise the point."""
        item, at, right, choices = evidence
        if self._first_at is None:
            self._first_at = at
        point = self._points.setdefault(item, self.fresh())
        recalls = self._reading(item, point, at)
        weighed = []
        for level, inattention in enumerate(INATTENTIONS):
            base = answer_chance(0.0, choices, inattention)
            slope = answer_chance(1.0, choices, inattention) - base
            if not right:
                base, slope = 1.0 - base, -slope
            weights, logs = _weighed(point.weights[level], recalls, base, slope)
            weighed.append(weights)
            self._logs[level] = list(map(add, self._logs[level], logs))
            self._weights[level] = _normalised(self._logs[level])
        point.weights = weighed
        self.practise(point, at, recalls)
        point.times.append(at)
        del self._read[item]

    def weights(self, level: int) -> list[float]:
        """Weight of each node."""
        return self._weights[level]

    def recall_by_node(self, items: Iterable[str], at: float, level: int) -> list[Sequence[float]]:
        """Recall of each item in each node; points never asked share one computation."""
        unseen: list[float] | None = None
        found: list[Sequence[float]] = []
        for item in items:
            point = self._points.get(item)
            if point is not None:
                found.append(_by_node(point.weights[level], self._reading(item, point, at)))
            else:
                unseen = unseen or _by_node(self._resting[level], self.recalls(self.fresh(), at))
                found.append(unseen)
        return found

    def state(self) -> State:
        """First answer, node logarithms and weights, points."""
        points = {item: (point.times, point.weights, point.kept) for item, point in self._points.items()}
        return self._first_at, self._logs, self._weights, points

    def restore(self, state: State) -> None:
        """Go on from a state."""
        self._first_at, self._logs, self._weights, points = state
        self._points = {}
        for item, (times, weights, kept) in points.items():
            point = self._points[item] = Practised(weights, kept)
            point.times = times
        self._read = {}

    def _reading(self, item: str, point: Practised, at: float) -> Shares:
        """Recall of a point in its states, kept for all levels and from the question to its answer."""
        if self._read_at != at:
            self._read_at, self._read = at, {}
        if item not in self._read:
            self._read[item] = self.recalls(point, at)
        return self._read[item]


def _by_node(weights: Shares, recalls: Shares) -> list[float]:
    return [sum(map(mul, *node)) for node in zip(weights, recalls, strict=True)]


def _weighed(weights: Shares, recalls: Shares, base: float, slope: float) -> tuple[Shares, list[float]]:
    """Weights of states by node after an answer of chance base + slope x recall, and the logarithm of its chance."""
    found, logs = [], []
    for kept, states in zip(weights, recalls, strict=True):
        raw = [weight * (base + slope * recall) for weight, recall in zip(kept, states)]  # noqa: B905  # a tenth
        whole = sum(raw)
        found.append([weight / whole for weight in raw])
        logs.append(log(whole))
    return found, logs


def _normalised(logs: Sequence[float]) -> list[float]:
    peak = max(logs)
    raw = [exp(total - peak) for total in logs]
    whole = fsum(raw)
    return [weight / whole for weight in raw]


class Tally:
    """A Beta distribution a point, its mean for ever: what counting without forgetting says.

    It begins at Beta(2, 1), for an answer is always shown. An answer counts fully if it was wrong; a right one by
    the chance that it was recalled and not guessed.
    """

    name = "tally"
    START = (2.0, 1.0)

    def __init__(self) -> None:
        self._counts: dict[str, tuple[float, float]] = {}

    def recall(self, item: str, at: float) -> list[float]:  # noqa: ARG002  # whatever the date
        """Mean of the item's Beta, at every level."""
        return [self._mean(item)] * len(INATTENTIONS)

    def _mean(self, item: str) -> float:
        if item not in self._counts:
            return KNOWN_BEFORE
        a, b = self._counts[item]
        return a / (a + b)

    def take(self, evidence: Evidence) -> None:
        """Count an answer."""
        a, b = self._counts.get(evidence.item, self.START)
        if evidence.right:
            mean = a / (a + b)
            known = mean * answer_chance(1.0, evidence.choices) / answer_chance(mean, evidence.choices)
            a += known
        else:
            b += 1.0
        self._counts[evidence.item] = a, b

    def weights(self, level: int) -> list[float]:  # noqa: ARG002  # at every level
        """One node."""
        return [1.0]

    def recall_by_node(self, items: Iterable[str], at: float, level: int) -> list[Sequence[float]]:  # noqa: ARG002
        """Mean of each item's Beta, for the one node."""
        return [[self._mean(item)] for item in items]

    def state(self) -> State:
        """The counts."""
        return (self._counts,)

    def restore(self, state: State) -> None:
        """Go on from counts."""
        (self._counts,) = state
