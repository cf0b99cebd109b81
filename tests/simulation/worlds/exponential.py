"""Exponential forgetting whose rate falls with every repetition, the more, the more had been forgotten.

Recall is exp(-age / life). An asking multiplies the life by 1 + gain (1 - recall), less where the answer was
wrong. The form is common practice, no source; it stands here because it is unlike a sum of power laws.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from math import exp

from tests.simulation.worlds.common import Answering, Groups, known_before, spread

OLD_DAY = -30.0
OLD_LIFE = 90.0
AFTER_WRONG = 0.75


class ExponentialPupil(Answering):
    """Life in days and last asking of each item met so far."""

    def __init__(self, gain: float, first_lives: dict[str, float], slip: float = 0.02) -> None:
        self.gain, self.first_lives, self.slip = gain, first_lives, slip
        self.met: dict[str, tuple[float, float]] = {}

    def recall(self, item: str, day: float) -> float:
        if item not in self.met:
            return 0.0
        life, last = self.met[item]
        return exp(-max(0.0, day - last) / life)

    def practise(self, item: str, day: float, right: bool) -> None:
        self.met[item] = (self._next_life(item, day, right), day)

    def recall_if_asked(self, item: str, day: float, at: float) -> float:
        """True recall on the day `at` if the item is asked once on `day` and never again."""
        chance = self.recall(item, day)
        right = exp(-(at - day) / self._next_life(item, day, True))
        wrong = exp(-(at - day) / self._next_life(item, day, False))
        return chance * right + (1.0 - chance) * wrong

    def _next_life(self, item: str, day: float, right: bool) -> float:
        if item not in self.met:
            return self.first_lives[item]
        growth = self.gain * (1.0 - self.recall(item, day))
        return self.met[item][0] * (1.0 + (growth if right else AFTER_WRONG * growth))


class World:
    """Pupils who forget exponentially."""

    name = "exponential"

    def learner(self, items: Sequence[str], groups: Groups, rng: random.Random) -> ExponentialPupil:
        life = 0.9 * exp(rng.gauss(0.0, 0.25))
        harder = spread(items, groups, rng, 0.35, 0.15)
        pupil = ExponentialPupil(
            gain=2.6 * exp(rng.gauss(0.0, 0.15)),
            first_lives={item: life * exp(-harder[item]) for item in items},
            slip=rng.uniform(0.01, 0.06),
        )
        for item in sorted(known_before(items, groups, rng)):
            pupil.met[item] = (OLD_LIFE * exp(-harder[item]), OLD_DAY)
        return pupil
