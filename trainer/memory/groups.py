"""How likely a point was known before the first question, learnt from points of its movement and of its family.

On the log odds of having been known stand two effects, the movement's and the family's, each on a grid of five steps
with a normal prior around nought. Together with the base that makes a point of which nothing is known
`grid.KNOWN_BEFORE`, they say how likely each point was known; what its own answers say of it comes in as odds. The
posterior of the effects is a variational one: a distribution for each effect, fitted in turn with the others as they
stand (Bishop 2006, Pattern Recognition and Machine Learning, section 10.1).

The spread of the effects is an assumption; no person has been measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import exp, log
from operator import mul
from typing import NamedTuple

from trainer.memory.grid import KNOWN_BEFORE

Cell = tuple[str, str]
"""A movement and a family."""

SPREAD = 1.5
"""Standard deviation of an effect on the log odds."""
STEP = 1.5
STEPS = 5
ROUNDS = 4
SUREST = 1e6
"""The odds that answers alone may give a point, or take from it."""

_SUMS = 2 * STEPS - 1
_MIDDLE = STEPS // 2


def _prior() -> tuple[float, ...]:
    raw = [exp(-((STEP * (place - _MIDDLE)) ** 2) / (2.0 * SPREAD**2)) for place in range(STEPS)]
    whole = sum(raw)
    return tuple(weight / whole for weight in raw)


PRIOR = _prior()
"""Weights of the steps of an effect before any answer."""


def together(one: Sequence[float], other: Sequence[float]) -> list[float]:
    """Distribution of the sum of two independent effects."""
    sums = [0.0] * _SUMS
    for place, weight in enumerate(one):
        for further, share in enumerate(other, place):
            sums[further] += weight * share
    return sums


def _known_shares() -> tuple[float, ...]:
    """Chance of having been known at each sum of two effects; its mean under the prior is `KNOWN_BEFORE`."""
    prior = together(PRIOR, PRIOR)

    def shares(base: float) -> tuple[float, ...]:
        return tuple(1.0 / (1.0 + exp(-base - STEP * (place - 2 * _MIDDLE))) for place in range(_SUMS))

    low, high = -20.0, 20.0
    for _ in range(60):
        middle = (low + high) / 2.0
        low, high = (middle, high) if sum(map(mul, prior, shares(middle))) < KNOWN_BEFORE else (low, middle)
    return shares(low)


KNOWN = _known_shares()


class Effects(NamedTuple):
    """Posterior weights of the steps of every effect."""

    movements: Mapping[str, Sequence[float]]
    families: Mapping[str, Sequence[float]]

    def on(self, cell: Cell) -> list[float]:
        """Distribution of the sum of the effects on a cell."""
        movement, family = cell
        return together(self.movements.get(movement, PRIOR), self.families.get(family, PRIOR))


def odds_of(known: float) -> float:
    """What its answers say of a point as odds (1 if nothing), from its chance of having been known under the prior."""
    odds = known * (1.0 - KNOWN_BEFORE) / max((1.0 - known) * KNOWN_BEFORE, known / SUREST, 1e-300)
    return max(1.0 / SUREST, odds)


def effects(points: Iterable[tuple[Cell, float]]) -> Effects:
    """The effects behind points, each given by its cell and what its answers say as odds."""
    cells: dict[Cell, list[float]] = {}
    for cell, odds in points:
        rise = odds - 1.0
        told = [log(1.0 + rise * share) for share in KNOWN]
        kept = cells.get(cell)
        cells[cell] = told if kept is None else [total + more for total, more in zip(kept, told)]  # noqa: B905
    # For each step of one effect, what a cell says at every step of the other.
    rows = {cell: [told[place : place + STEPS] for place in range(STEPS)] for cell, told in cells.items()}
    movements: dict[str, Sequence[float]] = {movement: PRIOR for movement, _ in cells}
    families: dict[str, Sequence[float]] = {family: PRIOR for _, family in cells}
    for _ in range(ROUNDS):
        families = _refitted(
            families, [(family, movements[movement], rows[movement, family]) for movement, family in rows]
        )
        movements = _refitted(
            movements, [(movement, families[family], rows[movement, family]) for movement, family in rows]
        )
    return Effects(movements, families)


_Told = tuple[str, Sequence[float], list[list[float]]]


def _refitted(groups: Iterable[str], cells: Iterable[_Told]) -> dict[str, Sequence[float]]:
    """Weights of the steps of each group's effect, from cells (group, weights of the other effect, rows)."""
    logs = {group: [log(weight) for weight in PRIOR] for group in groups}
    for group, others, rows in cells:
        logs[group] = [total + sum(map(mul, others, row)) for total, row in zip(logs[group], rows)]  # noqa: B905
    return {group: _weights(values) for group, values in logs.items()}


def _weights(logs: Sequence[float]) -> list[float]:
    peak = max(logs)
    raw = [exp(value - peak) for value in logs]
    whole = sum(raw)
    return [weight / whole for weight in raw]


def known_before(spread: Sequence[float], odds: float = 1.0) -> float:
    """Chance that a point was known before, all told but its own answers.

    Args:
        spread: Distribution of the sum of effects on its cell, from `Effects.on`.
        odds: What its own answers say, which is part of that distribution and taken out of it here.
    """
    if odds == 1.0:
        return float(sum(map(mul, spread, KNOWN)))
    rise = odds - 1.0
    without = [weight / (1.0 + rise * share) for weight, share in zip(spread, KNOWN)]  # noqa: B905
    return float(sum(map(mul, without, KNOWN)) / sum(without))
