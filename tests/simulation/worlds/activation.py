"""Activation whose decay depends on the activation at each practice.

Pavlik and Anderson (2005), "Practice and forgetting effects on vocabulary memory", Cognitive Science 29(4):
m = ln sum t_k^-d_k with d_k = c exp(m at practice k) + a, recall = 1 / (1 + exp((tau - m) / s)), times in seconds.
Between sessions time counts as a small share of itself there (interference is less); the share here is theirs,
.025, from memory.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from math import exp, inf, log

from tests.simulation.worlds.common import Answering, Groups, known_before, spread

A, C, TAU, S = 0.177, 0.217, -0.704, 0.255
BETWEEN_SESSIONS = 0.025
DAY = 86400.0
OLD_DAYS = (-45.0, -44.0, -42.0, -39.0, -35.0, -32.0, -30.0)
SOONEST = 1.0
SESSION = 1500.0
"""Seconds of a day, its first, that count in full."""


def activation(at: float, practices: Sequence[tuple[float, float]]) -> float:
    """Activation at `at` of practices given as (time, decay), all in seconds; minus infinity without any."""
    total = sum(max(at - time, SOONEST) ** -decay for time, decay in practices)
    return log(total) if total > 0.0 else -inf


def decay(level: float, a: float = A, c: float = C) -> float:
    """Decay of a practice made at the activation `level`."""
    return c * exp(level) + a


def recalled(level: float, tau: float = TAU, s: float = S) -> float:
    """Chance of recall at the activation `level`."""
    return 1.0 / (1.0 + exp(min(700.0, (tau - level) / s)))


def seconds(day: float) -> float:
    """Time as memory counts it: a session at the beginning of each day in full, all that follows shrunk."""
    whole = day // 1.0
    gone = (day - whole) * DAY
    after = max(0.0, gone - SESSION) / (DAY - SESSION)
    return whole * DAY * BETWEEN_SESSIONS + min(gone, SESSION) + after * (DAY * BETWEEN_SESSIONS - SESSION)


class ActivationPupil(Answering):
    """Practices of each item as (seconds, decay)."""

    def __init__(self, a: float, c: float, s: float, thresholds: dict[str, float], slip: float = 0.02) -> None:
        self.a, self.c, self.s, self.slip = a, c, s, slip
        self.thresholds = thresholds
        self.practices: dict[str, list[tuple[float, float]]] = {item: [] for item in thresholds}

    def recall(self, item: str, day: float) -> float:
        return recalled(activation(seconds(day), self.practices[item]), self.thresholds[item], self.s)

    def practise(self, item: str, day: float, right: bool) -> None:
        at = seconds(day)
        self.practices[item].append((at, decay(activation(at, self.practices[item]), self.a, self.c)))

    def recall_if_asked(self, item: str, day: float, at: float) -> float:
        """True recall on the day `at` if the item is asked once on `day` and never again."""
        now, known = seconds(day), self.practices[item]
        more = (*known, (now, decay(activation(now, known), self.a, self.c)))
        return recalled(activation(seconds(at), more), self.thresholds[item], self.s)


class World:
    """Pupils of the activation model."""

    name = "activation"

    def learner(self, items: Sequence[str], groups: Groups, rng: random.Random) -> ActivationPupil:
        tau = rng.gauss(TAU - 0.4, 0.15)
        harder = spread(items, groups, rng, 0.2, 0.1)
        pupil = ActivationPupil(
            a=A * exp(rng.gauss(0.0, 0.1)),
            c=C * exp(rng.gauss(0.0, 0.1)),
            s=S * exp(rng.gauss(0.0, 0.15)),
            thresholds={item: tau + harder[item] for item in items},
            slip=rng.uniform(0.01, 0.06),
        )
        for item in sorted(known_before(items, groups, rng)):
            for day in OLD_DAYS:
                pupil.practise(item, day, True)
        return pupil
