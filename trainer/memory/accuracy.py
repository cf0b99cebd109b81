"""How good forecasts were, judged by what happened.

A forecast is a chance from 0 to 1 that something comes about, and it then did or did not. Scores are means over
forecasts, the lower the better. With few forecasts they say little; `Assessment` therefore has what a forecaster
who is right on the whole would have scored, and how far chance alone may lead away from that.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import log, sqrt
from typing import NamedTuple

CLIP = 1e-6
"""Log loss takes no forecast for surer than this, or a single one could outweigh all others."""
BINS = 10
Z_95 = 1.959963984540054
"""Quantile of the normal distribution behind an interval of 95 percent."""


class Bin(NamedTuple):
    """Forecasts of like size.

    Attributes:
        low: Least forecast of the bin.
        high: Where the next bin begins.
        size: Forecasts in it.
        said: Their mean.
        came: Share that came.
        came_low: Lower end of the 95 percent interval of that share.
        came_high: Upper end of it.
    """

    low: float
    high: float
    size: int
    said: float
    came: float
    came_low: float
    came_high: float


class Assessment(NamedTuple):
    """Forecasts judged.

    Attributes:
        number: How many.
        said: Mean forecast.
        came: Share that came.
        brier: Brier score.
        brier_if_right: What it would be on average if every forecast were right.
        log_loss: Mean of minus the natural logarithm of the chance given to what came.
        surprise: Standard deviations by which the Brier score lies above `brier_if_right`, as chance alone would
            spread it; beyond 2 the forecasts were surer than they should be. 0 where chance has no part.
        bins: By size, empty ones left out.
    """

    number: int
    said: float
    came: float
    brier: float
    brier_if_right: float
    log_loss: float
    surprise: float
    bins: tuple[Bin, ...]


def assess(said: Sequence[float], came: Sequence[bool], number_of_bins: int = BINS) -> Assessment:
    """Judge forecasts `said` by what `came`, pair by pair.

    Raises:
        ValueError: No forecasts, unequal lengths, a forecast that is no chance, or fewer than one bin.
    """
    _check(said, came)
    n = len(said)
    return Assessment(
        n,
        sum(said) / n,
        sum(came) / n,
        brier(said, came),
        sum([chance * (1.0 - chance) for chance in said]) / n,
        log_loss(said, came),
        surprise(said, came),
        bins(said, came, number_of_bins),
    )


def brier(said: Sequence[float], came: Sequence[bool]) -> float:
    """Mean square of forecast minus outcome: Brier (1950), Monthly Weather Review 78, for two outcomes.

    Raises:
        ValueError: As `assess`.
    """
    _check(said, came)
    return sum([(chance - outcome) ** 2 for chance, outcome in zip(said, came, strict=True)]) / len(said)


def log_loss(said: Sequence[float], came: Sequence[bool]) -> float:
    """Mean of minus the natural logarithm of the chance that was given to what came.

    Raises:
        ValueError: As `assess`.
    """
    _check(said, came)
    return sum(map(surprisal, said, came)) / len(said)


def surprisal(said: float, came: bool) -> float:
    """Minus the natural logarithm of the chance given to what came, of one forecast; at most -ln `CLIP`."""
    return -log(max(CLIP, said if came else 1.0 - said))


def surprise(said: Sequence[float], came: Sequence[bool]) -> float:
    """How far the Brier score lies above what it should be were all forecasts right, in standard deviations.

    Spiegelhalter (1986), "Probabilistic prediction in patient management and clinical trials", Statistics in
    Medicine 5; the formula is from memory: sum (y - p)(1 - 2p) / sqrt(sum (1 - 2p)^2 p (1 - p)).

    Raises:
        ValueError: As `assess`.
    """
    _check(said, came)
    excess = sum([(outcome - chance) * (1.0 - 2.0 * chance) for chance, outcome in zip(said, came, strict=True)])
    variance = sum([(1.0 - 2.0 * chance) ** 2 * chance * (1.0 - chance) for chance in said])
    return excess / sqrt(variance) if variance > 0.0 else 0.0


def bins(said: Sequence[float], came: Sequence[bool], number: int = BINS) -> tuple[Bin, ...]:
    """Forecasts in `number` bins of equal width, empty ones left out, each with the share that came.

    Raises:
        ValueError: As `assess`.
    """
    _check(said, came)
    if number < 1:
        raise ValueError(f"{number} bins: give 1 or more")
    groups: dict[int, list[tuple[float, bool]]] = {}
    for pair in zip(said, came, strict=True):
        groups.setdefault(min(int(pair[0] * number), number - 1), []).append(pair)
    found = []
    for place, pairs in sorted(groups.items()):
        size, outcomes = len(pairs), sum(outcome for _, outcome in pairs)
        mean = sum(chance for chance, _ in pairs) / size
        low, high = wilson(outcomes, size)
        found.append(Bin(place / number, (place + 1) / number, size, mean, outcomes / size, low, high))
    return tuple(found)


def wilson(successes: int, trials: int, z: float = Z_95) -> tuple[float, float]:
    """Interval of a share: Wilson (1927), Journal of the American Statistical Association 22.

    Raises:
        ValueError: No trials, or successes that are negative or more than the trials.
    """
    if not 0 <= successes <= trials or trials < 1:
        raise ValueError(f"{successes} of {trials}: give at least one trial, and successes from 0 to the trials")
    share, stretch = successes / trials, 1.0 + z * z / trials
    middle = (share + z * z / (2 * trials)) / stretch
    reach = z / stretch * sqrt(share * (1.0 - share) / trials + z * z / (4 * trials * trials))
    return max(0.0, middle - reach), min(1.0, middle + reach)


def _check(said: Sequence[float], came: Sequence[bool]) -> None:
    if len(said) != len(came):
        raise ValueError(f"{len(said)} forecasts and {len(came)} outcomes: give one outcome for each")
    if not said:
        raise ValueError("there are no forecasts to judge")
    for chance in said:
        if not 0.0 <= chance <= 1.0:
            raise ValueError(f"the forecast {chance} is no chance: give a number from 0 to 1")
