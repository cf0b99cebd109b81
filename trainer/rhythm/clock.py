"""The clock of the beat: the one that keys are stamped with, and one that is set by hand.

Beats and keys can only be compared on one and the same clock. Stamps are made by the monotonic clock everywhere but
under Windows, where they are made by the performance counter.
"""

import sys
import time
from collections.abc import Callable

Clock = Callable[[], float]
"""Returns seconds since some moment; never goes back."""


def stamp_clock(platform: str = sys.platform) -> Clock:
    """Return the clock that key events are stamped with on a system, named as `sys.platform` names it."""
    return time.perf_counter if platform == "win32" else time.monotonic


class HandClock:
    """A clock that stands until it is told to go on: for tests, and for whatever is played without waiting."""

    def __init__(self, reading: float = 0.0) -> None:
        self.reading = reading

    def __call__(self) -> float:
        """Return the reading in seconds."""
        return self.reading

    def go(self, seconds: float) -> float:
        """Let time pass and return the new reading.

        Raises:
            ValueError: if it is told to go back.
        """
        if seconds < 0:
            raise ValueError("a clock does not go back")
        self.reading += seconds
        return self.reading
