"""The states of one point under every learner node: what its answers make of them.

See `recall` for the filter as a whole and `grid` for the numbering. Everything here is exact: weights are
Bayes' on the grid, up to a power of two common to all states of the point.
"""

from __future__ import annotations

from array import array
from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import exp, frexp, inf, log
from operator import add, mul
from typing import NamedTuple

from trainer.memory.grid import (
    BLOCKS,
    EXPONENTS,
    HALF,
    INCREMENTS,
    KNOWN_BEFORE,
    NARROW,
    NODES,
    OFFSETS,
    OLD_TRACE,
    RESTING,
    STATES,
    TAU0,
    TRACES,
    WIDE,
    WIDTH,
)

# The likeliest state gives any answer at least 1e-8, so weights stay far from underflow in between.
_RESCALE_EVERY = 16

_RESTING = array("d", RESTING)
_ZEROS = array("d", bytes(8 * NODES))
_STARTS = range(0, STATES, HALF)
_CONSTANTS = (NARROW, NARROW, WIDE, WIDE) * BLOCKS
_Likelihood = tuple[float, float, list[float]]  # base, slope, 60 rises

_THRESHOLD_SLICES = tuple(pairwise(range(0, HALF + 1, OFFSETS)))

EVERY_HALF = frozenset(range(STATES // (2 * HALF)))
"""Numbers of the 30 half blocks: a half block is one exponent, increment and width, so three nodes."""


class Mark(NamedTuple):
    """An answer to a known point; among equal times the code decides their order.

    Attributes:
        at: Time in days.
        code: Twice the number of choices, and 1 more if the answer was right.
    """

    at: float
    code: int


class Split(NamedTuple):
    """One number for each of the 90 nodes, of the states not known before and of those known before."""

    unknown: array[float]
    known: array[float]


class _Reading(NamedTuple):
    """What a point's states say of one date, for the nodes in `halves`."""

    at: float
    old_at: float
    halves: frozenset[int]
    recalled: Split


class Memory:
    """The states of one point: 1,620 weights, and the traces that its answers left.

    `times` and `codes` are those of its marks, in order. `weights` is laid out by fading exponent,
    increment, width, known before (no, yes), threshold, offset. `traces` has a row of 30 an answer: by
    fading exponent, increment, known before. `kept` holds what `split` made of the weights, once asked for.
    """

    __slots__ = ("_logs", "_read", "_recall", "_shares", "codes", "kept", "times", "traces", "weights")

    def __init__(self) -> None:
        self.times = array("d")
        self.codes = array("q")
        self.weights = _RESTING[:]
        self.traces = array("d")
        self.kept: Split | None = None
        self._logs: list[float] | None = None
        self._shares: list[float] | None = None
        self._read: _Reading | None = None
        self._recall: list[float] | None = None

    @property
    def marks(self) -> list[Mark]:
        """The answers folded in, in order."""
        return list(map(Mark, self.times, self.codes))

    def same(self, other: Memory) -> bool:
        """Whether both come from the same answers, to the last digit."""
        return (
            self.times == other.times
            and self.codes == other.codes
            and self.weights == other.weights
            and self.traces == other.traces
        )

    def absorb(self, marks: Iterable[Mark], old_at: float, inattention: float) -> None:
        """Fold in answers that come after those folded already.

        Args:
            marks: Answers in order of time.
            old_at: Time in days of the trace that a point known before the first question has.
            inattention: Chance of a wrong answer with knowledge; the same for all answers.
        """
        likelihoods = []
        for mark in marks:
            levels = self._strengths(mark.at, old_at)
            likelihoods.append(_likelihood(mark, levels, inattention))
            self._leave_trace(mark, levels)
        self.weights = array("d", _weighed(self.weights.tolist(), likelihoods, len(self.times)))
        self.kept = self._logs = self._shares = self._read = self._recall = None

    def _leave_trace(self, mark: Mark, levels: Sequence[tuple[float, float]]) -> None:
        for block, (unknown, known) in enumerate(levels):
            delta = INCREMENTS[block % len(INCREMENTS)]
            self.traces.append(delta * (1.0 - unknown))
            self.traces.append(delta * (1.0 - known))
        self.times.append(mark.at)
        self.codes.append(mark.code)

    def _strengths(self, at: float, old_at: float) -> list[tuple[float, float]]:
        """Strength at `at` in each of the 15 blocks: not known before, known before."""
        spans = [1.0 + max(0.0, at - time) / TAU0 for time in self.times]
        old_span = 1.0 + max(0.0, at - old_at) / TAU0
        traces = self.traces
        levels = []
        column = 0
        for d in EXPONENTS:
            fades = [span**-d for span in spans]
            old = OLD_TRACE * old_span**-d
            for _ in INCREMENTS:
                unknown = sum(map(mul, traces[column::TRACES], fades))
                known = old + sum(map(mul, traces[column + 1 :: TRACES], fades))
                levels.append((unknown, known))
                column += 2
        return levels

    def split(self) -> Split:
        """Summed state weights in each of the 90 nodes, up to a factor common to all."""
        if self.kept is None:
            weights = self.weights
            split = _zeros()
            for half in EVERY_HALF:
                start = half * 2 * HALF
                middle = start + HALF
                _sum_up(split, half, weights[start:middle], weights[middle : middle + HALF])
            self.kept = split
        return self.kept

    def node_sums(self) -> list[float]:
        """Summed state weights in each of the 90 nodes, known before or not."""
        return list(map(add, *self.split()))

    def known_shares(self) -> list[float]:
        """Chance in each of the 90 nodes that the point was known before the first question."""
        if self._shares is None:
            totals = self.node_sums()
            self._shares = [
                known / total if total > 0.0 else KNOWN_BEFORE
                for known, total in zip(self.split().known, totals, strict=True)
            ]
        return self._shares

    def node_logs(self) -> list[float]:
        """Logarithms of `node_sums`."""
        if self._logs is None:
            self._logs = [log(total) if total > 0.0 else -inf for total in self.node_sums()]
        return self._logs

    def recall(self, at: float, old_at: float, halves: frozenset[int] = EVERY_HALF) -> list[float]:
        """Recall at `at` in each of the 90 nodes.

        Only nodes in one of `halves` are computed, the others may be 0. The last date asked for is kept.
        """
        recalled = self.recalled(at, old_at, halves)
        if self._recall is None:
            self._recall = [
                (low + high) / total if total > 0.0 else 0.0
                for low, high, total in zip(*recalled, self.node_sums(), strict=True)
            ]
        return self._recall

    def recalled(self, at: float, old_at: float, halves: frozenset[int] = EVERY_HALF) -> Split:
        """Recall at `at` times the weight of the states, summed as in `split`; nodes as in `recall`."""
        kept = self._read
        if kept is None or kept[:2] != (at, old_at) or not halves <= kept.halves:
            kept = self._read = _Reading(at, old_at, halves, self._recalled(at, old_at, halves))
            self._recall = None
        return kept.recalled

    def _recalled(self, at: float, old_at: float, halves: frozenset[int]) -> Split:
        weights = self.weights
        levels = self._strengths(at, old_at)
        recalled = _zeros()
        for half in halves:
            unknown, known = levels[half >> 1]
            rise0, rise1 = exp(-unknown / WIDTH), exp(-known / WIDTH)
            constants = WIDE
            if not half & 1:
                rise0, rise1, constants = rise0 * rise0, rise1 * rise1, NARROW
            start = half * 2 * HALF
            middle = start + HALF
            lows = [w / (1.0 + rise0 * c) for w, c in zip(weights[start:middle], constants)]  # noqa: B905  # as above
            highs = [w / (1.0 + rise1 * c) for w, c in zip(weights[middle : middle + HALF], constants)]  # noqa: B905
            _sum_up(recalled, half, lows, highs)
        return recalled


def _zeros() -> Split:
    return Split(_ZEROS[:], _ZEROS[:])


def _sum_up(split: Split, half: int, unknown: Sequence[float], known: Sequence[float]) -> None:
    """Sum the states of a half block node by node into `split`."""
    for node, (first, last) in enumerate(_THRESHOLD_SLICES, half * len(_THRESHOLD_SLICES)):
        split.unknown[node] = sum(unknown[first:last])
        split.known[node] = sum(known[first:last])


def _likelihood(mark: Mark, levels: Iterable[tuple[float, float]], inattention: float) -> _Likelihood:
    """An answer's likelihood: base + slope / (1 + rise x constant) in every state, up to a common factor.

    With strength B and width s, exp(-(B - threshold - offset) / s) is a product of the rise exp(-B / s)
    and one of 27 constants. The wide s is twice the narrow one, so the narrow rise is the square of
    the wide one: 30 exponentials an answer instead of 1,620.
    """
    choices, right = divmod(mark.code, 2)
    guess = 1.0 / choices if choices else 0.0
    base, slope = guess, 1.0 - guess - inattention
    if not right:
        base, slope = 1.0 - guess, -slope
    rises: list[float] = []
    for unknown, known in levels:
        wide0, wide1 = exp(-unknown / WIDTH), exp(-known / WIDTH)
        rises += (wide0 * wide0, wide1 * wide1, wide0, wide1)
    return base, slope, rises


def _weighed(weights: list[float], likelihoods: Sequence[_Likelihood], count: int) -> list[float]:
    """The 1,620 weights times each likelihood in turn; `count` is the number of answers with these."""
    done = 0
    first = count - len(likelihoods)
    while done < len(likelihoods):
        number = first + done
        # Four in one pass cost a third less; the product runs in the same order, so no digit changes.
        if number % 4 == 0 and done + 4 <= len(likelihoods):
            weights = _weighed_by_four(weights, likelihoods[done : done + 4])
            done += 4
        else:
            weights = _weighed_by_one(weights, likelihoods[done])
            done += 1
        if (first + done) % _RESCALE_EVERY == 0:
            factor = 2.0 ** -frexp(max(weights))[1]  # a power of two changes no digit
            weights = [weight * factor for weight in weights]
    return weights


def _weighed_by_one(weights: list[float], likelihood: _Likelihood) -> list[float]:
    base, slope, rises = likelihood
    weighed: list[float] = []
    for start, rise, constants in zip(_STARTS, rises, _CONSTANTS, strict=True):
        pairs = zip(weights[start : start + HALF], constants)  # noqa: B905  # the check costs a tenth
        weighed += [weight * (base + slope / (1.0 + rise * constant)) for weight, constant in pairs]
    return weighed


def _weighed_by_four(weights: list[float], likelihoods: Sequence[_Likelihood]) -> list[float]:
    (b0, s0, rises0), (b1, s1, rises1), (b2, s2, rises2), (b3, s3, rises3) = likelihoods
    weighed: list[float] = []
    for start, r0, r1, r2, r3, constants in zip(_STARTS, rises0, rises1, rises2, rises3, _CONSTANTS, strict=True):
        weighed += [
            weight
            * (b0 + s0 / (1.0 + r0 * constant))
            * (b1 + s1 / (1.0 + r1 * constant))
            * (b2 + s2 / (1.0 + r2 * constant))
            * (b3 + s3 / (1.0 + r3 * constant))
            for weight, constant in zip(weights[start : start + HALF], constants)  # noqa: B905
        ]
    return weighed
