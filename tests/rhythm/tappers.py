"""People who tap along with a beat, simulated: a known asynchrony, spread and correction of phase."""

import math
import random
from collections.abc import Sequence
from itertools import pairwise
from statistics import fmean
from typing import NamedTuple

from trainer.rhythm.grid import Grid
from trainer.rhythm.timing import Strike


class Tapper(NamedTuple):
    """Taps with A' = (1 - alpha) A + T + M' - M - C, in ms: correction alpha, spread of clock and hand, mean wanted.

    Linear phase correction with the two noises of Wing and Kristofferson 1973 (Vorberg and Schulze 2002).
    """

    alpha: float
    clock: float
    hand: float
    mean: float = 0.0

    @property
    def spread(self) -> float:
        """The standard deviation in the long run: Var A = (sT^2 + 2 alpha sM^2) / (alpha (2 - alpha))."""
        variance = self.clock**2 + 2 * self.alpha * self.hand**2
        return math.sqrt(variance / (self.alpha * (2 - self.alpha)))

    @property
    def lag_one(self) -> float:
        """The correlation of neighbours in the long run: Cov = (1 - alpha) Var A - sM^2."""
        return (1 - self.alpha) - self.hand**2 / self.spread**2

    def late(self, taps: int, rng: random.Random) -> list[float]:
        """Return by how many ms so many taps come late."""
        found = []
        last, hand = rng.gauss(0.0, self.spread), rng.gauss(0.0, self.hand)
        for _ in range(taps):
            before, hand = hand, rng.gauss(0.0, self.hand)
            last = (1 - self.alpha) * last + rng.gauss(0.0, self.clock) + hand - before
            found.append(last + self.mean)
        return found


def strikes(grid: Grid, beats: range, late: list[float]) -> list[Strike]:
    """Return the strikes that come late by so many ms on these beats."""
    found = []
    for beat, by in zip(beats, late, strict=True):
        due = grid.time_of(beat)
        assert due is not None
        found.append(Strike(due + by / 1000))
    return found


def lag_one(late: Sequence[float]) -> float:
    """The correlation of each value with the one before (Box, Jenkins and Reinsel, Time Series Analysis, r1)."""
    mean = fmean(late)
    parts = [value - mean for value in late]
    return sum(one * two for one, two in pairwise(parts)) / sum(part * part for part in parts)
