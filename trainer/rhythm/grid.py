"""The beat grid: which beat stands at a time and when a beat is due, on absolute deadlines.

A grid is a row of stretches, each with its own cadence. A change of cadence begins on a beat and a pause ends a
stretch, so nothing jumps, nothing adds up over time, and a key struck long ago still resolves as it did then.
"""

import math
from bisect import bisect_right
from typing import NamedTuple

from trainer.drill.movement import Stance
from trainer.drill.score import USUAL_CADENCE, Score

SECONDS = 60.0
SLOW = 0.6
"""Slow practice goes at this part of the cadence: common practice, no source."""
SLOWEST = 60.0
"""Beats a minute below which practice is not slowed: what is slow already, as slow time, keeps its cadence."""


class Stretch(NamedTuple):
    """A stretch of one cadence: `beat` is due at the clock reading `since`, the next ones `period` seconds apart.

    It holds up to the clock reading `until`, to no end while it is the last and runs.
    """

    beat: float
    since: float
    period: float
    until: float = math.inf

    def beat_at(self, time: float) -> float:
        """Return the beat at a clock reading, with its fraction."""
        return self.beat + (time - self.since) / self.period

    def time_of(self, beat: float) -> float:
        """Return the clock reading of a beat."""
        return self.since + (beat - self.beat) * self.period

    @property
    def last(self) -> float:
        """The beat, with its fraction, at which it ends."""
        return math.inf if self.until == math.inf else self.beat_at(self.until)


class Near(NamedTuple):
    """The whole beat nearest to a clock reading, and by how many seconds the reading is late (early if negative)."""

    beat: int
    late: float


class Grid(NamedTuple):
    """The stretches of a beat, in order. A value: what changes it returns another one.

    `waiting` are stretches that were still to come when it was paused; they come as many beats after it goes on.
    """

    stretches: tuple[Stretch, ...]
    waiting: tuple[Stretch, ...] = ()

    @property
    def running(self) -> bool:
        """Whether the beat goes on."""
        return self.stretches[-1].until == math.inf

    @property
    def cadence(self) -> float:
        """Beats a minute of the last stretch."""
        return SECONDS / self.stretches[-1].period

    def beat_at(self, time: float) -> float:
        """Return the beat at a clock reading, with its fraction; while paused it stands where it was paused.

        It never falls as time goes on.
        """
        beat = -math.inf
        for stretch in self._begun(time):
            beat = max(beat, stretch.beat_at(min(time, stretch.until)))
        return beat

    def time_of(self, beat: float) -> float | None:
        """Return the clock reading at which a beat, whole or not, was or is due; None if it is paused before it."""
        for stretch in self.stretches:
            if beat <= stretch.last:
                return stretch.time_of(beat)
        return None

    def nearest(self, time: float) -> Near:
        """Return the whole beat nearest to a clock reading."""
        below = math.floor(self.beat_at(time))
        found = []
        for beat in (below, below + 1):
            due = self.time_of(beat)
            if due is not None:
                found.append(Near(beat, time - due))
        return min(found, key=lambda near: (abs(near.late), near.beat))

    def next_beat(self, time: float) -> float | None:
        """Return the clock reading of the first whole beat after a clock reading; None while paused."""
        beat = math.floor(self.beat_at(time)) + 1
        due = self.time_of(beat)
        if due is not None and due <= time:
            # A reading may fall a rounding short of its beat.
            return self.time_of(beat + 1)
        return due

    def stands(self, time: float) -> bool:
        """Whether it was paused at a clock reading: a key struck then belongs to no beat."""
        return time > self._begun(time)[-1].until

    def at_cadence(self, beat: float, cadence: float) -> "Grid":
        """Take another cadence from a beat on.

        Args:
            beat: a beat not before the last change; the beat itself is due as it was.
            cadence: beats a minute.

        Raises:
            ValueError: if the beat was before the last change, or the beat is paused.
        """
        last = self.stretches[-1]
        if not self.running or beat < last.beat:
            raise ValueError("a cadence changes on a beat that is still to come")
        since = last.time_of(beat)
        return Grid((*self.stretches[:-1], last._replace(until=since), Stretch(beat, since, SECONDS / cadence)))

    def pause(self, now: float) -> "Grid":
        """Let the beat stand from a clock reading on."""
        if not self.running:
            return self
        begun = self._begun(now)
        last = begun[-1]
        if now < last.since:
            # Paused before the first beat: the stretch then counts from a beat that is past.
            beat = math.floor(last.beat_at(now))
            last = last._replace(beat=beat, since=last.time_of(beat))
        return Grid((*begun[:-1], last._replace(until=now)), self.stretches[len(begun) :])

    def resume(self, now: float) -> "Grid":
        """Let the beat go on: the next whole beat comes a full beat after the clock reading."""
        if self.running:
            return self
        last = self.stretches[-1]
        on = Stretch(math.floor(last.last), max(now, last.until), last.period)
        if not self.waiting:
            return Grid((*self.stretches, on))
        later = on.time_of(self.waiting[0].beat) - self.waiting[0].since
        rest = [one._replace(since=one.since + later, until=one.until + later) for one in self.waiting]
        return Grid((*self.stretches, on._replace(until=rest[0].since), *rest))

    def _begun(self, time: float) -> tuple[Stretch, ...]:
        """Return the stretches that had begun at a clock reading, at least the first."""
        begun = bisect_right(self.stretches, time, key=lambda stretch: stretch.since)
        return self.stretches[: max(begun, 1)]


def grid_from(now: float, cadence: float, beat: float = 0.0) -> Grid:
    """Return a grid on which a beat (0 unless said) is due at a clock reading, running at a cadence."""
    return Grid((Stretch(beat, now, SECONDS / cadence),))


def following(grid: Grid, score: Score, zero: float, speed: float = 1.0) -> Grid:
    """Return a grid that takes the cadences of a score from its beat 0 on.

    Args:
        grid: the grid, running.
        score: what is performed.
        zero: the beat of the grid on which beat 0 of the score falls.
        speed: the part of the score's cadence at which it is performed.
    """
    for beat in score.beats:
        cadence = beat.cadence * speed
        if beat.beat >= 0 and not math.isclose(cadence, grid.cadence):
            grid = grid.at_cadence(zero + beat.beat, cadence)
    return grid


def cadences(stance: Stance) -> tuple[float, ...]:
    """Return the cadences at which a stance can be practised: both ends and the middle of a range, else the one."""
    if stance.cadence is None:
        return (USUAL_CADENCE,)
    low, high = stance.cadence
    return (low,) if low == high else (low, (low + high) / 2, high)


def slowed(cadence: float) -> float:
    """Return the cadence of slow practice."""
    return max(cadence * SLOW, min(cadence, SLOWEST))
