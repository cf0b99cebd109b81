"""The forward model: what each exposure adds to a memory, how it fades, how often it is then recalled.

One exposure leaves one trace. A trace fades as a power of its age; an exposure adds the less, the
stronger the memory already is; the strength is turned into a probability by a logistic curve. Times
and ages are in days, strengths have no unit.

The form was fitted to the 26 published conditions of Cepeda, Vul, Rohrer, Wixted and Pashler (2008),
"Spacing effects in learning: a temporal ridgeline of optimal retention", Psychological Science 19(11).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import exp
from typing import NamedTuple


class Fit(NamedTuple):
    """The five parameters of the model.

    Attributes:
        delta: Share of the missing strength that one exposure adds, 0 to 1.
        d: Exponent with which a trace fades.
        tau0: Time scale of fading, days.
        theta: Strength at which one of two attempts succeeds.
        sigma: Width of the logistic curve, in units of strength.
    """

    delta: float
    d: float
    tau0: float
    theta: float
    sigma: float


CEPEDA_2008 = Fit(delta=0.4013, d=0.13667, tau0=0.03180, theta=0.24653, sigma=0.02668)
"""Least squares over the 26 conditions of Cepeda et al. (2008), two exposures each."""


def fade(age: float, d: float, tau0: float) -> float:
    """Share of a trace that is left after `age` days (0 or more)."""
    return float((1.0 + age / tau0) ** -d)


def strength(at: float, times: Sequence[float], increments: Sequence[float], fit: Fit) -> float:
    """Strength at the time `at` of traces laid down at `times` (none later than `at`) with `increments`."""
    return sum(u * fade(at - t, fit.d, fit.tau0) for t, u in zip(times, increments, strict=True))


def increments(times: Sequence[float], fit: Fit) -> list[float]:
    """What each exposure at `times` (ascending) adds: delta x (1 - strength at that moment)."""
    added: list[float] = []
    for n, at in enumerate(times):
        added.append(fit.delta * (1.0 - strength(at, times[:n], added, fit)))
    return added


def probability(level: float, fit: Fit, *, offset: float = 0.0, guess: float = 0.0, inattention: float = 0.0) -> float:
    """Probability of a right answer at strength `level`.

    `offset` is the point's own difficulty in units of strength, `guess` the chance of a right answer
    without knowledge, `inattention` the chance of a wrong one with it. With the last two at 0 this is
    recall itself.
    """
    recall = 1.0 / (1.0 + exp((fit.theta + offset - level) / fit.sigma))
    return guess + (1.0 - guess - inattention) * recall


def best_gap(retention: float, fit: Fit) -> float:
    """Gap in days between two exposures that leaves the most strength `retention` days after the second.

    Where the derivative of the strength by the gap is nought; 0 if massing is best.
    """
    y = retention / fit.tau0
    power = 1.0 / (fit.d + 1.0)
    ratio = fit.delta**-power * (1.0 + y) ** (fit.d * power)
    return max(0.0, float(fit.tau0 * (y / (ratio - 1.0) - 1.0)))
