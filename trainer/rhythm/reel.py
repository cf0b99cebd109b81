"""A score that is played: which beat stands at a time, with pause, back, and other speeds, without a jump.

Everything follows from the clock: a reel says where the score stands at any time, and when the next beat is due.
"""

from bisect import bisect_right
from itertools import pairwise
from typing import NamedTuple

from trainer.drill.score import Score

LEAD_IN = 2
"""Steady beats that are played before the command."""
SPEEDS = (1.0, 0.5, 0.25)
"""At cadence, at half and at a quarter of it."""
SAME = 1e-9
"""Seconds below which two times are one."""


def beat_times(score: Score) -> tuple[float, ...]:
    """Return the time of each beat of a score in seconds after the first, each beat at its own cadence."""
    times = [0.0]
    for before, after in pairwise(score.beats):
        times.append(times[-1] + (after.beat - before.beat) * 60.0 / before.cadence)
    return tuple(times)


class Reel(NamedTuple):
    """A score being played, as a value.

    `times` are seconds after the first beat at cadence, one more than the beats: the last is the end of the last
    beat. At the clock reading `since` the score stood at the second `at`; it runs from there if `running`.
    """

    times: tuple[float, ...]
    speed: float = 1.0
    at: float = 0.0
    since: float = 0.0
    running: bool = False

    @property
    def last(self) -> int:
        """The number of the last beat, from 0."""
        return len(self.times) - 2

    def second(self, now: float) -> float:
        """Return where the score stands at a clock reading, in seconds at cadence; not beyond its end."""
        passed = max(now - self.since, 0.0) * self.speed if self.running else 0.0
        return min(self.at + passed, self.times[-1])

    def number(self, now: float) -> int:
        """Return the number of the beat that stands at a clock reading."""
        return min(max(bisect_right(self.times, self.second(now) + SAME) - 1, 0), self.last)

    def part(self, now: float) -> float:
        """Return how far the time to the next beat has passed, from 0 to 1."""
        number, second = self.number(now), self.second(now)
        start, end = self.times[number], self.times[number + 1]
        return min(max((second - start) / (end - start), 0.0), 1.0)

    def due(self, second: float) -> float:
        """Return the clock reading at which a running score comes to a second."""
        return self.since + (second - self.at) / self.speed

    def next_beat(self, now: float) -> float | None:
        """Return the clock reading of the next beat, or of the end after the last; None if nothing is to come."""
        if not self.running or self.ended(now):
            return None
        return self.due(self.times[self.number(now) + 1])

    def column(self, now: float, parts: int) -> int:
        """Return how many of so many equal parts of the way to the next beat have passed; never all of them."""
        return min(int(self.part(now) * parts + SAME), parts - 1)

    def next_column(self, now: float, parts: int) -> float | None:
        """Return the clock reading at which the next of so many equal parts has passed; None if none is to come."""
        if not self.running or self.ended(now):
            return None
        number = self.number(now)
        start, end = self.times[number], self.times[number + 1]
        return self.due(start + (end - start) * (self.column(now, parts) + 1) / parts)

    def ended(self, now: float) -> bool:
        """Whether the last beat is over."""
        return self.second(now) >= self.times[-1] - SAME

    def play(self, now: float) -> "Reel":
        """Let it run from the beat where it stands, from the first one if it had ended."""
        start = self.times[-1] if self.ended(now) else self.times[self.number(now)]
        return self._replace(at=0.0 if start == self.times[-1] else start, since=now, running=True)

    def pause(self, now: float) -> "Reel":
        """Let it stand on the beat where it is; it goes on from that whole beat."""
        return self._replace(at=self.times[self.number(now)], since=now, running=False)

    def go(self, number: int, now: float) -> "Reel":
        """Go to a beat by number; it then runs or stands as before."""
        return self._replace(at=self.times[min(max(number, 0), self.last)], since=now)

    def at_speed(self, speed: float, now: float) -> "Reel":
        """Take another speed from here on; the score does not jump."""
        return self._replace(speed=speed, at=self.second(now), since=now)


def reel(score: Score, speed: float = 1.0) -> Reel:
    """Return a score ready to be played, standing on its first beat."""
    times = beat_times(score)
    return Reel((*times, times[-1] + 60.0 / score.beats[-1].cadence), speed)


def starting_beat(score: Score) -> float:
    """Return the beat to play from: some steps before the candidate's own first word or the first cue."""
    begins = [one.beat for one in score.beats if one.cues or any(word.speaker is None for word in one.said)]
    return max(min([*begins, 0.0]) - LEAD_IN, score.beats[0].beat)
