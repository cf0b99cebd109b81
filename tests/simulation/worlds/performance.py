"""The predictive performance equation.

Walsh et al. (2018), "Mechanisms underlying the spacing effect in learning: a comparison of three computational
models", Journal of Experimental Psychology: General 147(9): M = N^c T^-d, T the mean age of the practices
weighted by age^-x, d = b + m x mean of 1 / ln(lag + e), recall = 1 / (1 + exp((tau - M) / s)). Times are in hours
here, so that three weeks are long.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from itertools import pairwise
from math import e, exp, log
from typing import NamedTuple

from tests.simulation.worlds.common import Answering, Groups, known_before, spread

HOURS = 24.0
SOONEST = 1.0 / 120.0
OLD_DAYS = (-45.0, -44.0, -42.0, -38.0, -34.0, -30.0)


class Equation(NamedTuple):
    """Parameters in the paper's letters."""

    b: float = 0.04
    m: float = 0.08
    s: float = 0.04
    c: float = 0.1
    x: float = 0.6


def elapsed(at: float, times: Sequence[float], x: float) -> float:
    """T: mean age at `at`, each practice weighted by its age to the power -x."""
    ages = [max(at - time, SOONEST) for time in times]
    weights = [age**-x for age in ages]
    return float(sum(w * age for w, age in zip(weights, ages, strict=True)) / sum(weights))


def decay(times: Sequence[float], b: float, m: float) -> float:
    """d: b, and m times the mean of 1 / ln(lag + e) over the lags between practices."""
    lags = [later - earlier for earlier, later in pairwise(times)]
    return b + (m * sum(1.0 / log(lag + e) for lag in lags) / len(lags) if lags else 0.0)


def performance(at: float, times: Sequence[float], equation: Equation) -> float:
    """M: activation at `at` after practices at `times` (at least one)."""
    c, x = equation.c, equation.x
    return float(len(times) ** c * elapsed(at, times, x) ** -decay(times, equation.b, equation.m))


def recalled(level: float, tau: float, s: float) -> float:
    """Chance of recall at the activation `level`."""
    return 1.0 / (1.0 + exp(min(700.0, (tau - level) / s)))


class PerformancePupil(Answering):
    """Times of practice of each item, hours, with the running sum behind the mean of the lags."""

    def __init__(self, equation: Equation, thresholds: dict[str, float], slip: float = 0.02) -> None:
        self.equation, self.thresholds, self.slip = equation, thresholds, slip
        self.times: dict[str, list[float]] = {item: [] for item in thresholds}

    def recall(self, item: str, day: float) -> float:
        return self._recall(item, day * HOURS, self.times[item])

    def practise(self, item: str, day: float, right: bool) -> None:
        self.times[item].append(day * HOURS)

    def recall_if_asked(self, item: str, day: float, at: float) -> float:
        """True recall on the day `at` if the item is asked once on `day` and never again."""
        return self._recall(item, at * HOURS, [*self.times[item], day * HOURS])

    def _recall(self, item: str, at: float, times: Sequence[float]) -> float:
        if not times:
            return 0.0
        return recalled(performance(at, times, self.equation), self.thresholds[item], self.equation.s)


class World:
    """Pupils of the performance equation."""

    name = "performance"

    def learner(self, items: Sequence[str], groups: Groups, rng: random.Random) -> PerformancePupil:
        tau = rng.gauss(0.83, 0.025)
        harder = spread(items, groups, rng, 0.025, 0.012)
        equation = Equation(
            b=0.04 * exp(rng.gauss(0.0, 0.1)),
            m=0.08 * exp(rng.gauss(0.0, 0.1)),
            s=0.04 * exp(rng.gauss(0.0, 0.15)),
        )
        pupil = PerformancePupil(equation, {i: tau + harder[i] for i in items}, slip=rng.uniform(0.01, 0.06))
        for item in sorted(known_before(items, groups, rng)):
            pupil.times[item] += [day * HOURS for day in OLD_DAYS]
        return pupil
