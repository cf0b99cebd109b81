"""Elements that come and go: a world that none of the program's models is like, kept out of all tuning.

Stimulus fluctuation (Estes 1955, "Statistical theory of spontaneous recovery and regression", Psychological Review
62): a point is many elements, of which a share is available now; practice ties available elements to the answer;
between practices elements change places, so recall falls, but only to the share that is tied of all. What is
tied stays tied: forgetting ends on a level, which no power and no exponential does.

It is not among the bench's usual worlds: `--world tests/simulation/worlds/fluctuation.py`.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from math import exp

from tests.simulation.worlds.common import Answering, Groups, known_before, spread

OLD_TIED = 0.85
"""Share of the elements tied in a point known before."""


class FluctuationPupil(Answering):
    """For each item the tied shares of available and of all elements at its last asking, and that day.

    Args:
        available: Share of the elements that is available at any time.
        days: Days in which the difference between available and all elements falls to 1/e.
        tying: For each item, the share of available elements that one practice ties.
        slip: Chance of a wrong answer with knowledge.
    """

    def __init__(self, available: float, days: float, tying: dict[str, float], slip: float = 0.02) -> None:
        self.available, self.days, self.tying, self.slip = available, days, tying, slip
        self.tied: dict[str, tuple[float, float, float]] = {}

    def recall(self, item: str, day: float) -> float:
        return self._now(item, day)[0]

    def practise(self, item: str, day: float, right: bool) -> None:
        self.tied[item] = (*self._practised(item, day), day)

    def recall_if_asked(self, item: str, day: float, at: float) -> float:
        """True recall on the day `at` if the item is asked once on `day` and never again."""
        now, whole = self._practised(item, day)
        return whole + (now - whole) * exp(-(at - day) / self.days)

    def _now(self, item: str, day: float) -> tuple[float, float]:
        if item not in self.tied:
            return 0.0, 0.0
        now, whole, last = self.tied[item]
        return whole + (now - whole) * exp(-max(0.0, day - last) / self.days), whole

    def _practised(self, item: str, day: float) -> tuple[float, float]:
        now, whole = self._now(item, day)
        more = self.tying[item] * (1.0 - now)
        return now + more, whole + self.available * more


class World:
    """Pupils whose elements fluctuate."""

    name = "fluctuation"

    def learner(self, items: Sequence[str], groups: Groups, rng: random.Random) -> FluctuationPupil:
        harder = spread(items, groups, rng, 0.5, 0.25)
        ease = rng.gauss(1.8, 0.3)
        pupil = FluctuationPupil(
            available=0.5 * exp(rng.gauss(0.0, 0.12)),
            days=1.2 * exp(rng.gauss(0.0, 0.25)),
            tying={item: 1.0 / (1.0 + exp(harder[item] - ease)) for item in items},
            slip=rng.uniform(0.01, 0.06),
        )
        for item in sorted(known_before(items, groups, rng)):
            pupil.tied[item] = (OLD_TIED, OLD_TIED, -30.0)
        return pupil
