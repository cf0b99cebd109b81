"""The rivals with a law of memory: activation, the predictive performance equation, and disuse.

The laws and their published parameters are in `laws`. Thresholds, widths and first lives around them are set by
hand, no source: published tasks are not marching. No person has been measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import product
from math import exp
from typing import NamedTuple

from trainer.memory.laws import (
    ActivationLaw,
    DisuseLaw,
    PerformanceLaw,
    activation,
    activation_decay,
    left,
    mean_age,
    performance,
    spacing,
)
from trainer.memory.rivals import OFFSETS, OLD_DAYS, Gridded, Practised, Rival, Shares, Tally

DAY_SECONDS = 86400.0
DAY_HOURS = 24.0
SITTING = 1800.0
"""Seconds of an age that count in full; interference is less between sittings."""
BETWEEN_SITTINGS = 0.025
"""Share of all later seconds that counts, as in Pavlik and Anderson (2005); from memory."""
SOONEST = 1.0 / DAY_SECONDS
"""No age is shorter: one second, in days."""
OLD_LIFE = 60.0
"""Life in days of a point known before, under the law of disuse."""


def rivals() -> tuple[Rival, ...]:
    """Every rival, fresh."""
    return (Activation(), Performance(), Disuse(), Tally())


class Link(NamedTuple):
    """Threshold and width of the logistic curve from a level to recall."""

    threshold: float
    width: float


class Levelled(Gridded):
    """A rival whose law gives a level that a logistic curve turns into recall.

    Nodes are laws x links, the links the faster. `kept` has a list for each law, not known before and known before.
    """

    def __init__(self, laws: int, links: Sequence[Link], spread: float) -> None:
        super().__init__(laws * len(links))
        self._links = links
        self._constants = [
            [exp((link.threshold + offset * spread) / link.width) for offset in OFFSETS] for link in links
        ]
        self._kept: tuple[Practised, float, list[float]] | None = None

    def levels(self, point: Practised, at: float) -> list[float]:
        """Level of the point at `at` by law, not known before and known before; minus infinity if never met."""
        raise NotImplementedError

    def recalls(self, point: Practised, at: float) -> Shares:
        """The logistic of the levels."""
        levels = self.levels(point, at)
        self._kept = (point, at, levels)
        shares = []
        for law in range(len(levels) // 2):
            for link, constants in zip(self._links, self._constants, strict=True):
                states: list[float] = []
                for level in levels[2 * law : 2 * law + 2]:
                    rise = exp(min(-level / link.width, 600.0))
                    states += [1.0 / (1.0 + rise * constant) for constant in constants]
                shares.append(states)
        return shares


class Activation(Levelled):
    """The activation of Pavlik and Anderson (2005): practice that comes while much is active fades sooner."""

    name = "activation"

    def __init__(self) -> None:
        self._laws = [ActivationLaw(0.177 * factor, 0.217 * factor) for factor in (0.8, 1.0, 1.25)]
        links = [Link(*pair) for pair in product((-1.7, -1.1, -0.5), (0.2, 0.35))]
        super().__init__(len(self._laws), links, spread=0.3)
        ago = [day - OLD_DAYS[-1] for day in OLD_DAYS]
        self._old_decays = [_decays(ago, law) for law in self._laws]

    def fresh(self) -> Practised:
        """A point without decays."""
        return Practised(self._resting, [[] for _ in range(2 * len(self._laws))])

    def levels(self, point: Practised, at: float) -> list[float]:
        """Activation in seconds that count."""
        seen = [counted(max(at - time, SOONEST)) for time in point.times]
        old = [counted(age) for age in self.old_ages(at)]
        levels = []
        for number, decays in enumerate(self._old_decays):
            levels.append(activation(seen, point.kept[2 * number]))
            levels.append(activation(old + seen, decays + point.kept[2 * number + 1]))
        return levels

    def practise(self, point: Practised, at: float, recalls: Shares) -> None:  # noqa: ARG002
        """Keep the decay of this practice, which the activation at its moment decides."""
        kept = self._kept
        levels = kept[2] if kept is not None and kept[0] is point and kept[1] == at else self.levels(point, at)
        for number, level in enumerate(levels):
            point.kept[number].append(activation_decay(level, self._laws[number // 2]))


class Performance(Levelled):
    """The predictive performance equation of Walsh et al. (2018), in hours."""

    name = "performance equation"

    def __init__(self) -> None:
        self._laws = [PerformanceLaw(0.04 * factor, 0.08 * factor) for factor in (0.75, 1.0, 1.3)]
        links = [Link(*pair) for pair in product((0.77, 0.83, 0.89), (0.03, 0.06))]
        super().__init__(len(self._laws), links, spread=0.03)

    def levels(self, point: Practised, at: float) -> list[float]:
        """Performance; below any threshold if never met."""
        seen = [max(at - time, SOONEST) for time in point.times]
        both = [self._shape([DAY_HOURS * age for age in ages]) for ages in (seen, self.old_ages(at) + seen)]
        return [performance(*shape, law) if shape[0] else -1.0 for law in self._laws for shape in both]

    def practise(self, point: Practised, at: float, recalls: Shares) -> None:
        """Nothing but the times is needed."""

    def _shape(self, ages: Sequence[float]) -> tuple[int, float, float]:
        if not ages:
            return 0, 0.0, 0.0
        return len(ages), mean_age(ages, self._laws[0].x), spacing([-age for age in ages])


class Disuse(Gridded):
    """Disuse (Bjork and Bjork 1992): what is practised fades the slower, the more of it had been forgotten.

    Nodes are laws x first lives, the lives the faster; `kept` has the life in days in each state of each node.
    """

    name = "disuse"

    def __init__(self) -> None:
        nodes = product((DisuseLaw(g, s) for g in (1.5, 2.5, 4.0) for s in (0.0, 1.0)), (0.4, 0.8, 1.6))
        self._nodes = list(nodes)
        super().__init__(len(self._nodes))
        factors = [exp(-0.4 * offset) for offset in OFFSETS]
        self._old = [OLD_LIFE * factor for factor in factors]
        self._first = [[life * factor for factor in factors] for _, life in self._nodes]

    def recalls(self, point: Practised, at: float) -> Shares:
        """What is left in each state."""
        old_age = self.old_ages(at)[-1]
        if not point.times:
            known = [[left(old_age, life, law.shape) for life in self._old] for law, _ in self._nodes]
            return [[0.0] * len(OFFSETS) + states for states in known]
        age = max(at - point.times[-1], 0.0)
        return [
            [left(age, life, law.shape) for life in lives]
            for (law, _), lives in zip(self._nodes, point.kept, strict=True)
        ]

    def practise(self, point: Practised, at: float, recalls: Shares) -> None:  # noqa: ARG002
        """Lengthen every life; a first practice gives a point not known before its first."""
        if not point.times:
            point.kept = [first + self._old for first in self._first]
        lives = []
        for (law, _), old, states in zip(self._nodes, point.kept, recalls, strict=True):
            lives.append([life * (1.0 + law.gain * (1.0 - recall)) for life, recall in zip(old, states, strict=True)])
        if not point.times:
            lives = [first + old[len(OFFSETS) :] for first, old in zip(self._first, lives, strict=True)]
        point.kept = lives


def counted(age: float) -> float:
    """Seconds that an age in days counts for: a sitting's in full, all later ones shrunk."""
    gone = age * DAY_SECONDS
    return min(gone, SITTING) + BETWEEN_SITTINGS * max(0.0, gone - SITTING)


def _decays(times: Sequence[float], law: ActivationLaw) -> list[float]:
    """Decays of practices `times` days ago, the oldest first."""
    decays: list[float] = []
    for number, time in enumerate(times):
        level = activation([counted(earlier - time) for earlier in times[:number]], decays)
        decays.append(activation_decay(level, law))
    return decays
