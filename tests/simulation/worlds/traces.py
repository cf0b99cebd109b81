"""Power-law traces whose increments shrink as strength rises (a delta rule), with a logistic link.

The form that fits Cepeda, Vul, Rohrer, Wixted and Pashler (2008), Psychological Science 19(11). Pupils and
items vary around the fit on continuous scales, wider than any grid.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from math import exp

from tests.simulation.worlds.common import Answering, Groups, known_before, spread

TAU0 = 0.0318
OLD_TRACES = ((-60.0, 0.3), (-30.0, 0.35))


def fade(age: float, d: float) -> float:
    """Share of a trace left after `age` days."""
    return float((1.0 + max(0.0, age) / TAU0) ** -d)


class TracePupil(Answering):
    """Traces of each item as (day, increment)."""

    def __init__(self, delta: float, d: float, sigma: float, thresholds: dict[str, float], slip: float = 0.02) -> None:
        self.delta, self.d, self.sigma, self.slip = delta, d, sigma, slip
        self.thresholds = thresholds
        self.traces: dict[str, list[tuple[float, float]]] = {item: [] for item in thresholds}

    def strength(self, item: str, day: float) -> float:
        return sum(u * fade(day - at, self.d) for at, u in self.traces[item])

    def recall(self, item: str, day: float) -> float:
        return self._link(item, self.strength(item, day))

    def practise(self, item: str, day: float, right: bool) -> None:
        self.traces[item].append((day, self.delta * (1.0 - self.strength(item, day))))

    def recall_if_asked(self, item: str, day: float, at: float) -> float:
        """True recall on the day `at` if the item is asked once on `day` and never again."""
        added = self.delta * (1.0 - self.strength(item, day))
        return self._link(item, self.strength(item, at) + added * fade(at - day, self.d))

    def _link(self, item: str, strength: float) -> float:
        return 1.0 / (1.0 + exp((self.thresholds[item] - strength) / self.sigma))


class World:
    """Pupils of the trace model."""

    name = "traces"

    def learner(self, items: Sequence[str], groups: Groups, rng: random.Random) -> TracePupil:
        theta = rng.gauss(0.285, 0.02)
        harder = spread(items, groups, rng, 0.025, 0.012)
        pupil = TracePupil(
            delta=0.24 * exp(rng.gauss(0.0, 0.2)),
            d=0.14 * exp(rng.gauss(0.0, 0.15)),
            sigma=0.03 * exp(rng.gauss(0.0, 0.2)),
            thresholds={item: theta + harder[item] for item in items},
            slip=rng.uniform(0.01, 0.06),
        )
        for item in sorted(known_before(items, groups, rng)):
            pupil.traces[item] += OLD_TRACES
        return pupil
