"""Order and time of events whose clocks cannot be trusted.

**Order.** `next_tick` never runs backwards whatever the clock does, and events are ordered by it.

**Time for memory.** `guarded` turns the clock readings of events, in order, into times whose differences can be
believed. It is built from gaps between neighbours in order:

- *In line*: a reading not before the one in front of it is believed as it stands, with the gap before it. A record
  whose clock never went back keeps every reading exactly, and one more reading in line changes no earlier time.
- *A slip* (back by at most `SLIP`, what setting a clock right does): time stands still until the clock has caught up;
  if a single reading was ahead, that one is pulled down instead.
- *A jump back* (more than that) is proof that the clock was changed. Either what was ahead before it or what comes
  after it is wild:
    - readings ahead, whose predecessor fits what follows, are set between the two: one reading always, more than one
      only if the clock had leapt by more than `PAUSE` when they began;
    - otherwise the clock counts from here on as shifted. The gap over the jump cannot be known and is taken as the
      last break between sittings (an hour to `PAUSE`) that was read, a day if there was none. When the clock later
      fits the time before the jump again (after one reading at once, after several if it leaps by more than
      `PAUSE`), what lies between is set between the two and the shift ends.
- *Set between*: gaps within the run that were really read stay as they are; those that cannot be known, the two
  at its ends among them, share evenly what is left.
- *The first reading* has no predecessor: when the next two agree with each other and lie before it, the scale is moved
  so that those two stand as read, and the first is set before them by one usual break.
- *The last reading*, if ahead, cannot be told from a long pause and is believed until another follows.
- A leap forward that lasts cannot be told from a pause either: its gap is believed, all others are kept.

What follows: one wild reading moves only its own event; a shift that lasts keeps every gap on either side of it; and
study spaced over days is never massed by jumps of years, however many. Where a wild reading lies within its
neighbours' own gaps, either of the two may be the one that is moved, never more. Only differences of guarded times
mean anything, so the present has to be read on the same scale: `guarded_with_now`.
"""

import time
from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

SLIP = 10 * 60_000
"""A step back up to this is a clock set right, in ms; common practice, no source."""
BREAK = 60 * 60_000
"""A gap from here on parts two sittings, in ms; common practice, no source."""
PAUSE = 30 * 24 * 60 * 60_000
"""A leap beyond this is doubted when the readings contradict it, in ms; preparation lasts a few weeks."""
USUAL_BREAK = 24 * 60 * 60_000
"""The break taken where none was read, in ms: one sitting a day."""


class Moment(NamedTuple):
    """A clock reading: ms since 1970 UTC, and local time minus UTC in minutes."""

    at_ms: int
    offset: int


def read_clock() -> Moment:
    """The system's clock now. Only for the edge of the program: everything beneath takes a Moment as an argument."""
    seconds = time.time()
    return Moment(int(seconds * 1000), (time.localtime(seconds).tm_gmtoff or 0) // 60)


def next_tick(now_ms: int, last_tick: int) -> int:
    """The order time of a new event: the clock, but always later than the last tick (0 if there is none)."""
    return max(now_ms, last_tick + 1)


def guarded(readings: Sequence[tuple[int, int]]) -> list[int]:
    """Times for memory of events, in ms; see the top of this module for the rules.

    Args:
        readings: (tick_ms, at_ms) of each event of one candidate, in order. Events of one transaction share at_ms
            and count as one reading.

    Returns:
        As many times, never running backwards.

    Raises:
        ValueError: where the ticks run backwards, for then the order is wrong.
    """
    guard = _Guard()
    last_tick = None
    for tick, at in readings:
        if last_tick is not None and tick < last_tick:
            raise ValueError("the readings are not in the order of their ticks")
        last_tick = tick
        guard.add(at)
    return guard.times


def guarded_with_now(readings: Sequence[tuple[int, int]], now_ms: int) -> tuple[list[int], int]:
    """Times for memory of events, and the present on the same scale.

    A date to come lies as far after the returned present as it lies after `now_ms` on the calendar.
    """
    last_tick = readings[-1][0] if readings else 0
    times = guarded([*readings, (last_tick + 1, now_ms)])
    return times[:-1], times[-1]


class _Shift(NamedTuple):
    """A stretch of events on one clock: index of its first event, and what is added to its readings."""

    start: int
    add: int


class _Guard:
    """The fold behind `guarded`: one reading after the other."""

    def __init__(self) -> None:
        self.times: list[int] = []
        self._gap_read: list[bool] = []  # whether the gap before an event is as the clock said
        self._shifts: list[_Shift] = [_Shift(0, 0)]  # the clock now, on top of those it may still return to
        self._last_break = USUAL_BREAK

    def add(self, at: int) -> None:
        times = self.times
        if not times:
            self._append(at, read=False)
            return
        if at + self._shifts[-1].add < times[-1]:
            self._step_back(at)
            return
        read = not self._return_home(at)
        self._reset_first(at)
        time_now = at + self._shifts[-1].add
        if read and BREAK <= time_now - times[-1] <= PAUSE:
            self._last_break = time_now - times[-1]
        self._append(time_now, read=read)

    def _append(self, time_now: int, *, read: bool) -> None:
        self.times.append(time_now)
        self._gap_read.append(read)

    def _step_back(self, at: int) -> None:
        """A reading before the one in front of it: slip, end of a leap ahead, or a new shift."""
        times, shift = self.times, self._shifts[-1]
        time_now, size = at + shift.add, len(times)
        # The first event that lies ahead of this reading; its predecessor must be on the same clock.
        ahead = bisect_right(times, time_now, shift.start, size)
        single = times[ahead] == times[-1]
        homed = ahead > shift.start
        if times[-1] - time_now <= SLIP:
            if single and (homed or ahead == 0):
                for index in range(ahead, size):
                    times[index] = time_now
            self._append(times[-1], read=True)
        elif (
            homed
            and (single or times[ahead] - times[ahead - 1] > PAUSE)
            and self._read_span(ahead, size) <= time_now - times[ahead - 1]
        ):
            self._set_between(ahead, time_now)
            self._append(time_now, read=False)
        else:
            time_now = times[-1] + self._last_break
            self._shifts.append(_Shift(size, time_now - at))
            self._append(time_now, read=False)

    def _return_home(self, at: int) -> bool:
        """End the shifts that this reading shows to have been wild; tell whether there were any."""
        times, before = self.times, len(self._shifts)
        while len(self._shifts) > 1:
            start, add = self._shifts[-1]
            single = times[start] == times[-1]
            if not single and at + add - times[-1] <= PAUSE:
                break
            home = at + self._shifts[-2].add
            if self._read_span(start, len(times)) > home - times[start - 1]:
                break
            self._shifts.pop()
            self._set_between(start, home)
        if len(self._shifts) == 1:
            self._move_all(-self._shifts[0].add)  # the first reading was right after all
        return len(self._shifts) < before

    def _reset_first(self, at: int) -> None:
        """Set a first reading before the others, once two that follow agree against it."""
        times = self.times
        start, add = self._shifts[-1]
        if len(self._shifts) == 2 and times[0] == times[start - 1] and at + add > times[-1]:
            self._move_all(-add)

    def _move_all(self, by: int) -> None:
        """Move the whole scale; gaps stay as they are."""
        if by:
            self.times[:] = [when + by for when in self.times]
            self._shifts[:] = [_Shift(start, add + by) for start, add in self._shifts]

    def _read_span(self, start: int, end: int) -> int:
        """Time within a run of events that is known, in ms."""
        return sum(self.times[i] - self.times[i - 1] for i in range(start + 1, end) if self._believed(i))

    def _believed(self, index: int) -> bool:
        return self._gap_read[index] and self.times[index] - self.times[index - 1] <= PAUSE

    def _set_between(self, start: int, end_time: int) -> None:
        """Set the events from `start` on between the one before them and a time after them."""
        times, size = self.times, len(self.times)
        gaps = [0] + [times[i] - times[i - 1] if self._believed(i) else -1 for i in range(start + 1, size)]
        gaps[0] = -1
        unknown = gaps.count(-1) + 1
        room = end_time - times[start - 1] - sum(gap for gap in gaps if gap >= 0)
        share = room // unknown
        for index, gap in enumerate(gaps, start):
            times[index] = times[index - 1] + (share if gap < 0 else gap)
            self._gap_read[index] = gap >= 0
