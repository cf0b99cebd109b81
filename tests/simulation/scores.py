"""Intervals of means and shares, and how good forecasts were."""

from __future__ import annotations

from collections.abc import Sequence
from math import atan, log, nan, pi, sqrt
from typing import NamedTuple

from tests.simulation.course import Reading

LEVEL = 0.95
BINS = 10
CLIP = 1e-6
"""Log loss takes no forecast for surer than this."""
OPEN = (0.02, 0.98)
"""Between these a chance is neither nearly lost nor nearly certain."""
UNSEEN = 0.005
"""A truth this near to a band counts as inside: whole percents are shown, and 0 is then 0."""


class Interval(NamedTuple):
    """A mean or a share with its 95 percent interval."""

    mean: float
    low: float
    high: float


class Bin(NamedTuple):
    """Forecasts within a tenth: how many, their mean, the mean truth, and the share of drawn tests passed."""

    low: float
    size: int
    forecast: float
    truth: float
    passed: float


class Accuracy(NamedTuple):
    """Forecasts against the truth of the world and against drawn tests.

    `binned_mae` is the mean over bins, weighted by their sizes, of mean forecast minus mean truth, without sign.
    `coverage` is the share of truths inside the 10 to 90 percent band, `open_coverage` the same of the `open`
    forecasts: those where the forecast or the truth is between 2 and 98 percent. The others are easy, unless forecast
    and truth are at opposite ends; then they are open too. The perfect forecaster says the truth.
    """

    number: int
    binned_mae: float
    rmse: float
    coverage: float
    open: int
    open_coverage: float
    open_rmse: float
    brier: float
    perfect_brier: float
    log_loss: float
    perfect_log_loss: float
    bins: tuple[Bin, ...]


def mean_interval(values: Sequence[float]) -> Interval:
    """Student's interval of a mean; NaN from a single value, of which nothing can be said."""
    n = len(values)
    mean = sum(values) / n
    if n < 2:
        return Interval(mean, nan, nan)
    error = sqrt(sum((value - mean) ** 2 for value in values) / (n - 1) / n)
    reach = t_quantile(0.5 + LEVEL / 2.0, n - 1) * error
    return Interval(mean, mean - reach, mean + reach)


def share_interval(successes: int, n: int) -> Interval:
    """Wilson's interval of a share (Wilson 1927, Journal of the American Statistical Association 22)."""
    z = 1.959963984540054
    share = successes / n
    middle = (share + z * z / (2 * n)) / (1 + z * z / n)
    reach = z / (1 + z * z / n) * sqrt(share * (1 - share) / n + z * z / (4 * n * n))
    return Interval(share, max(0.0, middle - reach), min(1.0, middle + reach))


def t_quantile(share: float, freedom: int) -> float:
    """Quantile of Student's distribution for a share from .5 up, by halving an interval."""
    low, high = 0.0, 1000.0
    for _ in range(60):
        middle = (low + high) / 2.0
        if _t_below(middle, freedom) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0


def _t_below(t: float, freedom: int) -> float:
    """Distribution function of Student's t at t >= 0, in closed form (Abramowitz and Stegun 26.7.3 and 26.7.4)."""
    cos2 = freedom / (freedom + t * t)
    sine = t / sqrt(freedom + t * t)
    if freedom % 2:
        term, total = sqrt(cos2), 0.0
        for k in range(1, freedom - 1, 2):
            total += term
            term *= cos2 * (k + 1) / (k + 2)
        from_middle = 2.0 / pi * (atan(t / sqrt(freedom)) + sine * total)
    else:
        term, total = 1.0, 0.0
        for k in range(0, freedom - 1, 2):
            total += term
            term *= cos2 * (k + 1) / (k + 2)
        from_middle = sine * total
    return 0.5 + from_middle / 2.0


def accuracy(readings: Sequence[Reading]) -> Accuracy:
    """How good forecasts were.

    Raises:
        ValueError: No forecasts.
    """
    if not readings:
        raise ValueError("there are no forecasts to judge")
    n = len(readings)
    said = [reading.forecast.go for reading in readings]
    truths = [reading.truth for reading in readings]
    passed = [float(reading.passed) for reading in readings]
    bins = _bins(readings)
    disputed = [reading for reading in readings if _open(reading)]
    return Accuracy(
        n,
        sum(b.size * abs(b.forecast - b.truth) for b in bins) / n,
        sqrt(mean_square(said, truths)),
        _covered(readings),
        len(disputed),
        _covered(disputed),
        sqrt(mean_square([r.forecast.go for r in disputed], [r.truth for r in disputed])),
        mean_square(said, passed),
        mean_square(truths, passed),
        log_loss(said, passed),
        log_loss(truths, passed),
        bins,
    )


def mean_square(said: Sequence[float], came: Sequence[float]) -> float:
    """Mean square of the difference; the Brier score where outcomes are 0 or 1."""
    if not said:
        return nan
    return sum((s - c) ** 2 for s, c in zip(said, came, strict=True)) / len(said)


def log_loss(said: Sequence[float], came: Sequence[float]) -> float:
    """Mean of minus the logarithm of the chance given to what came."""
    clipped = [min(max(s, CLIP), 1.0 - CLIP) for s in said]
    return -sum(log(s if c else 1.0 - s) for s, c in zip(clipped, came, strict=True)) / len(said)


def _covered(readings: Sequence[Reading]) -> float:
    if not readings:
        return nan
    inside = [r.forecast.low - UNSEEN <= r.truth <= r.forecast.high + UNSEEN for r in readings]
    return sum(inside) / len(readings)


def _open(reading: Reading) -> bool:
    said, truth = reading.forecast.go, reading.truth
    return OPEN[0] <= said <= OPEN[1] or OPEN[0] <= truth <= OPEN[1] or abs(said - truth) > 0.5


def _bins(readings: Sequence[Reading]) -> tuple[Bin, ...]:
    groups: dict[int, list[Reading]] = {}
    for reading in readings:
        groups.setdefault(min(int(reading.forecast.go * BINS), BINS - 1), []).append(reading)
    return tuple(
        Bin(
            number / BINS,
            len(group),
            sum(r.forecast.go for r in group) / len(group),
            sum(r.truth for r in group) / len(group),
            sum(r.passed for r in group) / len(group),
        )
        for number, group in sorted(groups.items())
    )
