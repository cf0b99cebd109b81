"""The clock of the beat: the one that keys are stamped with.

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
