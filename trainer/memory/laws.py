"""Laws of memory beside that of `traces`, as plain functions: activation, predictive performance, disuse.

The first two turn the times of practice into a level, and `recalled` turns a level into a chance by a logistic curve.

- Activation: Pavlik and Anderson (2005), "Practice and forgetting effects on vocabulary memory", Cognitive Science
  29(4). Times in seconds.
- Predictive performance equation: Walsh et al. (2018), "Mechanisms underlying the spacing effect in learning: a
  comparison of three computational models", Journal of Experimental Psychology: General 147(9). Times in any one unit.
- Disuse: Bjork and Bjork (1992), "A new theory of disuse and an old theory of stimulus fluctuation", in "From learning
  processes to cognitive processes", says that practice adds the more lasting strength, the less of the memory could be
  retrieved. It gives no equation; the one here is common practice, no source.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import e, exp, inf, log
from typing import NamedTuple


class ActivationLaw(NamedTuple):
    """Decay at no activation, and what activation at a practice adds to it."""

    a: float = 0.177
    c: float = 0.217


class PerformanceLaw(NamedTuple):
    """Decay of practice without spacing, what massing adds to it, and the exponents of number and age."""

    b: float = 0.04
    m: float = 0.08
    c: float = 0.1
    x: float = 0.6


class DisuseLaw(NamedTuple):
    """How much a practice that found nothing left lengthens a life, and the shape of forgetting."""

    gain: float
    shape: float


def activation(ages: Sequence[float], decays: Sequence[float]) -> float:
    """Activation: ln of the sum of age^-decay over practices; minus infinity without any. Ages are above 0."""
    total: float = sum([age**-decay for age, decay in zip(ages, decays, strict=True)])
    return log(total) if total > 0.0 else -inf


def activation_decay(level: float, law: ActivationLaw) -> float:
    """Decay of a practice made at the activation `level`: c e^level + a."""
    return law.c * exp(level) + law.a


def mean_age(ages: Sequence[float], x: float) -> float:
    """T: mean age of the practices, each weighted by its age to the power -x."""
    weights = [age**-x for age in ages]
    return float(sum([weight * age for weight, age in zip(weights, ages, strict=True)]) / sum(weights))


def spacing(times: Sequence[float]) -> float:
    """Mean of 1 / ln(lag + e) over the lags between practices in order; 0 with fewer than two."""
    lags = [later - earlier for earlier, later in pairwise(times)]
    return sum([1.0 / log(lag + e) for lag in lags]) / len(lags) if lags else 0.0


def performance(number: int, age: float, massing: float, law: PerformanceLaw) -> float:
    """M = N^c T^-d with d = b + m x massing, of `number` practices of mean age T and the `massing` of `spacing`."""
    return float(number**law.c * age ** -(law.b + law.m * massing))


def recalled(level: float, threshold: float, width: float) -> float:
    """Chance of recall at a level: 1 / (1 + exp((threshold - level) / width))."""
    return 1.0 / (1.0 + exp(min(700.0, (threshold - level) / width)))


def left(age: float, life: float, shape: float) -> float:
    """Share left at an age: (1 + shape x age / life)^(-1 / shape), which for shape 0 is exp(-age / life)."""
    gone = age / life
    return exp(-gone) if shape == 0.0 else float((1.0 + shape * gone) ** (-1.0 / shape))
