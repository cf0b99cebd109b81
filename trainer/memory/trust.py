"""How far the predictions for this candidate can be trusted, learnt from those that have been put to the test.

Before every answer the model's recall was known; the answer then came right or wrong. A small logistic regression
of what came on what was predicted learns by how much to correct: in the logit of recall, a constant, a slope on the
logit itself and a slope on the logarithm of the days since the point was last asked. It begins at no correction,
and what is not known of it stays a distribution. It is learnt under several chances of inattention, which the
answers weigh: what is slipped in practice must not be taken for forgotten.

A reading spreads every node of the model over that distribution, with the same sign for all points: a model that is
wrong is wrong about all of them alike, and the product over the points of a sheet would hide it. What no past answer
can tell, because the test is further away than any pause so far, is an error of its own that grows with the days
ahead.

The priors here are set by hand on synthetic learners; no person has been measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from itertools import accumulate
from math import erf, exp, hypot, log, sqrt
from operator import mul
from typing import NamedTuple

from trainer.memory.blend import PAUSE, Model
from trainer.memory.recall import Evidence, Standing
from trainer.memory.rivals import State, answer_chance

PRIOR_SD = (0.4, 0.15, 0.25)
"""Standard deviation of constant, slope on the logit and slope on the log of days, before any answer."""
USUAL_LOGIT, USUAL_DAYS = 2.0, 2.0
"""Where the slopes turn: a recall of 88 percent, two days."""
INATTENTION = (0.01, 0.035, 0.07)
INATTENTION_WEIGHTS = (0.3, 0.4, 0.3)
"""Chances of a wrong answer with knowledge, and their weights before any answer.

Where nearly all is known they decide: what is taken for inattention is not missing on the test.
"""
KEPT = 0.997
"""Share of its weight that an answer keeps with each later one."""
ERROR, ERROR_A_DAY = 0.2, 0.02
"""Standard deviation in the logit of what no answer can tell: today, and added for each day ahead."""
DRAWS = 128
"""Nodes of a reading: a power of two, so that the corrections are spread without a bias."""

_SIZE = len(PRIOR_SD)
_SUREST = 1e-4


class Correction(NamedTuple):
    """Mean of the three coefficients and their covariance."""

    mean: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]

    def at(self, x: Sequence[float]) -> tuple[float, float]:
        """Mean and standard deviation of the correction of a logit with the features `x`."""
        variance = sum(a * sum(map(mul, row, x)) for a, row in zip(x, self.covariance, strict=True))
        return sum(map(mul, x, self.mean)), sqrt(variance)


class Regression:
    """The correction learnt under one chance of inattention, in the information form.

    `score` is the logarithm of the chance that it gave to all that came.
    """

    def __init__(self, inattention: float) -> None:
        self.inattention = inattention
        self.score = 0.0
        self._matrix = [[0.0] * _SIZE for _ in range(_SIZE)]
        self._vector = [0.0] * _SIZE
        self._correction: Correction | None = None

    def learn(self, logit: float, days: float, right: bool, choices: int) -> None:
        """One step of weighted least squares around the present mean."""
        x = _features(logit, days)
        corrected = sum(map(mul, x, self.correction().mean))
        recall = 1.0 / (1.0 + exp(-logit - corrected))
        guess = 1.0 / choices if choices else 0.0
        span = 1.0 - guess - self.inattention
        chance = guess + span * recall
        slope = span * recall * (1.0 - recall)
        variance = chance * (1.0 - chance)
        weight = slope * slope / variance
        pull = weight * corrected + (float(right) - chance) * slope / variance
        self._matrix = [
            [KEPT * old + weight * a * b for old, b in zip(row, x, strict=True)]
            for row, a in zip(self._matrix, x, strict=True)
        ]
        self._vector = [KEPT * old + pull * a for old, a in zip(self._vector, x, strict=True)]
        self.score += log(chance if right else 1.0 - chance)
        self._correction = None

    def correction(self) -> Correction:
        """What is known of the correction so far."""
        if self._correction is None:
            precision = [row[:] for row in self._matrix]
            for place, sd in enumerate(PRIOR_SD):
                precision[place][place] += 1.0 / sd**2
            covariance = _inverse(precision)
            mean = tuple(sum(map(mul, row, self._vector)) for row in covariance)
            self._correction = Correction(mean, covariance)
        return self._correction

    def state(self) -> State:
        """All that was learnt, as plain values."""
        return self.score, self._matrix, self._vector

    def restore(self, state: State) -> None:
        """Go on from a state."""
        self.score, self._matrix, self._vector = state
        self._correction = None


class Trust:
    """A model read with what its past predictions were worth. Answers come in the order of time.

    Args:
        model: The model. Whoever folds an answer into it calls `take` before.
    """

    def __init__(self, model: Model) -> None:
        self.model = model
        self.counted = 0
        self.regressions = tuple(map(Regression, INATTENTION))
        self._last: dict[str, float] = {}

    def take(self, evidence: Evidence, recall: float | None = None) -> None:
        """Learn from an answer that the model has not folded yet; one that comes without a pause is no test.

        Args:
            evidence: The answer, none earlier than those taken before.
            recall: What the model predicted, where it was read before; the model is read now if None.
        """
        item, at, right, choices = evidence
        days = at - self._last.get(item, at)
        if days >= PAUSE:
            said = self.model.recall((item,), at, at)[0] if recall is None else recall
            for regression in self.regressions:
                regression.learn(_logit(said), days, right, choices)
            self.counted += 1
        self._last[item] = max(at, self._last.get(item, at))

    def inattention(self) -> list[float]:
        """Weight of each chance of `INATTENTION`, by what its regression gave to the answers."""
        peak = max(regression.score for regression in self.regressions)
        raw = [
            weight * exp(regression.score - peak)
            for weight, regression in zip(INATTENTION_WEIGHTS, self.regressions, strict=True)
        ]
        whole = sum(raw)
        return [weight / whole for weight in raw]

    def corrected(self, item: str, recall: float, at: float) -> float:
        """A recall of the model at the date `at` under the mean corrections alone."""
        found = 0.0
        for weight, (shift, _) in zip(self.inattention(), self._shifts(item, recall, at), strict=True):
            odds = _odds(recall) * exp(shift)
            found += weight * odds / (1.0 + odds)
        return found

    def weights(self) -> list[float]:
        """Weight of each of the `DRAWS` nodes, all alike."""
        return [1.0 / DRAWS] * DRAWS

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item at the date `at`: the model's nodes, each under its share of corrections.

        The nodes are spread evenly over those of the model, the corrections and the chances of inattention (Hammersley
        points, so that the same answers always give the same reading). A point never asked is not corrected, but shares
        in the error.
        """
        wanted = tuple(items)
        weights = self.model.weights()
        nodes, causes = _spread(weights), _drawn(self.inattention())
        error = hypot(ERROR, ERROR_A_DAY * max(0.0, at - now))
        points = _normal_points()
        corrected: list[Sequence[float]] = []
        for item, recalls in zip(wanted, self.model.recall_by_node(wanted, at, now), strict=True):
            shifts = self._shifts(item, sum(map(mul, weights, recalls)), at)
            spreads = [(shift, hypot(sd, error)) for shift, sd in shifts]
            odds = [_odds(recall) for recall in recalls]
            read = []
            for node, cause, z in zip(nodes, causes, points, strict=True):
                shift, sd = spreads[cause]
                one = odds[node] * exp(shift + sd * z)
                read.append(one / (1.0 + one))
            corrected.append(read)
        return corrected

    def _shifts(self, item: str, recall: float, at: float) -> list[tuple[float, float]]:
        """Mean and standard deviation of the correction of an item's logit at a date, by chance of inattention."""
        last = self._last.get(item)
        if last is None:
            return [(0.0, 0.0)] * len(self.regressions)
        x = _features(_logit(recall), max(at - last, PAUSE))
        return [regression.correction().at(x) for regression in self.regressions]

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item, averaged over nodes."""
        return [sum(nodes) / DRAWS for nodes in self.recall_by_node(items, at, now)]

    def chance_right(self, item: str, at: float, choices: int, now: float) -> float:
        """Chance that an answer is right, guessing and inattention included."""
        inattention = sum(map(mul, INATTENTION, self.inattention()))
        return answer_chance(self.recall((item,), at, now)[0], choices, inattention)

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands, by its corrected recall."""
        recalls = self.recall(items, at, now)
        found = self.model.standings(items, at, now)
        return [standing._replace(recall=recall) for standing, recall in zip(found, recalls, strict=True)]

    def state(self) -> State:
        """All that was learnt, as plain values that `marshal` can keep."""
        return self.counted, self._last, tuple(regression.state() for regression in self.regressions)

    def restore(self, state: State) -> None:
        """Go on from a state."""
        self.counted, self._last, states = state
        for regression, one in zip(self.regressions, states, strict=True):
            regression.restore(one)


def _features(logit: float, days: float) -> tuple[float, float, float]:
    return 1.0, logit - USUAL_LOGIT, log(days / USUAL_DAYS)


def _odds(recall: float) -> float:
    within = min(max(recall, _SUREST), 1.0 - _SUREST)
    return within / (1.0 - within)


def _logit(recall: float) -> float:
    return log(_odds(recall))


def _spread(weights: Sequence[float]) -> list[int]:
    """The model's node at each of the `DRAWS` even steps through the heap of its weights."""
    nodes: list[int] = []
    whole = sum(weights)
    for node, reached in enumerate(accumulate(weights)):
        while len(nodes) < DRAWS and (len(nodes) + 0.5) / DRAWS * whole <= reached:
            nodes.append(node)
    return nodes + [len(weights) - 1] * (DRAWS - len(nodes))


def _drawn(weights: Sequence[float]) -> list[int]:
    """The numbers of weights, each in proportion, by the radical inverses in base 3."""
    bounds = list(accumulate(weights))[:-1]
    return [sum(place >= bound for bound in bounds) for place in _thirds()]


@cache
def _thirds() -> tuple[float, ...]:
    return tuple(_radical_inverse(number, 3) for number in range(DRAWS))


@cache
def _normal_points() -> tuple[float, ...]:
    """Normal quantiles of the radical inverses in base 2: they go with the even steps of `_spread`."""
    return tuple(_normal_quantile(_radical_inverse(number) + 0.5 / DRAWS) for number in range(DRAWS))


def _radical_inverse(number: int, base: int = 2) -> float:
    """The digits of a number mirrored at the point (van der Corput)."""
    inverse, step = 0.0, 1.0 / base
    while number:
        number, digit = divmod(number, base)
        inverse += digit * step
        step /= base
    return inverse


def _normal_quantile(share: float) -> float:
    low, high = -8.0, 8.0
    for _ in range(50):
        middle = (low + high) / 2.0
        if 0.5 * (1.0 + erf(middle / sqrt(2.0))) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _inverse(matrix: Sequence[Sequence[float]]) -> tuple[tuple[float, ...], ...]:
    """Inverse of a symmetric positive 3 x 3 matrix, by its adjugate."""
    (a, b, c), (_, d, e), (_, _, f) = matrix
    minors = d * f - e * e, c * e - b * f, b * e - c * d
    whole = a * minors[0] + b * minors[1] + c * minors[2]
    inner = a * f - c * c, b * c - a * e, a * d - b * b
    rows = (minors, (minors[1], *inner[:2]), (minors[2], *inner[1:]))
    return tuple(tuple(one / whole for one in row) for row in rows)
