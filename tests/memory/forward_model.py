"""The forward model written plainly: a reference for the filter, itself held to published recall in `test_traces`."""

from collections.abc import Sequence
from math import exp

from trainer.memory.traces import Fit, fade

CEPEDA_2008 = Fit(delta=0.4013, d=0.13667, tau0=0.03180, theta=0.24653, sigma=0.02668)
"""Least squares over the 26 conditions of Cepeda et al. (2008), two exposures each."""


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
