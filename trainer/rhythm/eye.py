"""Signal detection: whether faults are seen where they are, and only there.

A grader who calls every fault has many hits and is worth nothing. Sensitivity (d prime) sets hits against false alarms;
the criterion says how readily a fault is called. Both with the log-linear correction, so that neither is infinite:
half a trial is added to hits and to false alarms, one to each number of trials (Hautus 1995, Behavior Research
Methods, Instruments, & Computers 27, 46-51).
"""

import math
from collections.abc import Iterable, Mapping
from statistics import NormalDist
from typing import NamedTuple

FEWEST = 5
"""Performances with the fault, and without it, below which nothing is said. Common practice, no source."""
SURE = 1.96
"""Standard errors that make a difference from nothing: 95 in 100 under a normal distribution."""
GHOSTS = 0.2
"""False alarm rate above which a grader is told that he sees the fault where it is not. Common practice, no source."""
BLIND = 0.5
"""Hit rate below which he is told that he misses it. Common practice, no source."""
TOO_FEW, SEES, MISSES, SEES_GHOSTS, UNSURE = "too few", "sees it", "misses it", "sees it where it is not", "unsure"
"""What the trials say of an eye."""

_NORMAL = NormalDist()


class Look(NamedTuple):
    """One performance that was looked at: the fault that was in it and the one that was said, by id; None for none."""

    shown: str | None
    said: str | None


class Eye(NamedTuple):
    """How often a fault was said or not, where it was there (hits, misses) and where not (false alarms, rejections)."""

    hits: int = 0
    misses: int = 0
    false_alarms: int = 0
    rejections: int = 0

    @property
    def there(self) -> int:
        """Performances with the fault."""
        return self.hits + self.misses

    @property
    def not_there(self) -> int:
        """Performances without it."""
        return self.false_alarms + self.rejections

    @property
    def hit_rate(self) -> float:
        """The share of hits, corrected."""
        return (self.hits + 0.5) / (self.there + 1)

    @property
    def false_alarm_rate(self) -> float:
        """The share of false alarms, corrected."""
        return (self.false_alarms + 0.5) / (self.not_there + 1)

    @property
    def sensitivity(self) -> float:
        """D prime: z(hit rate) - z(false alarm rate) (Green and Swets 1966); 0 is chance."""
        return _NORMAL.inv_cdf(self.hit_rate) - _NORMAL.inv_cdf(self.false_alarm_rate)

    @property
    def criterion(self) -> float:
        """Half the negative sum of both z; negative: faults are called readily, positive: rarely."""
        return -(_NORMAL.inv_cdf(self.hit_rate) + _NORMAL.inv_cdf(self.false_alarm_rate)) / 2

    @property
    def error(self) -> float:
        """The standard error of d prime (Gourevitch and Galanter 1967, Psychometrika 32, 25-33), corrected rates."""
        parts = ((self.hit_rate, self.there), (self.false_alarm_rate, self.not_there))
        return math.sqrt(sum(p * (1 - p) / ((n + 1) * _NORMAL.pdf(_NORMAL.inv_cdf(p)) ** 2) for p, n in parts))

    @property
    def enough(self) -> bool:
        """Whether there are enough trials of both kinds to say anything."""
        return self.there >= FEWEST and self.not_there >= FEWEST

    @property
    def verdict(self) -> str:
        """What the trials say, one of the words of this module."""
        if not self.enough:
            return TOO_FEW
        if self.false_alarm_rate > GHOSTS:
            return SEES_GHOSTS
        if self.hit_rate < BLIND:
            return MISSES
        return SEES if self.sensitivity > SURE * self.error else UNSURE

    def plus(self, there: bool, said: bool) -> "Eye":
        """Return the same with one more trial."""
        hit, alarm = there and said, not there and said
        return Eye(
            self.hits + hit,
            self.misses + (there and not said),
            self.false_alarms + alarm,
            self.rejections + (not there and not said),
        )


def eyes(looks: Iterable[Look], faults: Iterable[str]) -> Mapping[str, Eye]:
    """Return the eye for each fault of a movement: every performance of it is a trial of all of them.

    Args:
        looks: the performances of one movement.
        faults: the ids of the faults that could be said.
    """
    found = {fault: Eye() for fault in faults}
    for look in looks:
        for fault in found:
            found[fault] = found[fault].plus(look.shown == fault, look.said == fault)
    return found


def any_fault(looks: Iterable[Look]) -> Eye:
    """Return the eye for whether there was a fault at all, whichever one was said."""
    eye = Eye()
    for look in looks:
        eye = eye.plus(look.shown is not None, look.said is not None)
    return eye
