"""The clock of the stamps on each system, and the clock that is set by hand."""

import time

from textual import _time

from trainer.rhythm.clock import stamp_clock


def test_each_system_has_the_clock_that_its_keys_are_stamped_with() -> None:
    """Read in the source of Textual 8.2: monotonic, but under Windows the performance counter."""
    assert stamp_clock("linux") is time.monotonic
    assert stamp_clock("darwin") is time.monotonic
    assert stamp_clock("win32") is time.perf_counter


def test_it_is_the_clock_of_this_system() -> None:
    before = stamp_clock()()
    assert before <= _time.get_time() <= stamp_clock()()
