"""What wakes a screen when the next picture is due: deadlines of the clock, never one pause after another."""

import asyncio
import gc
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import partial
from operator import attrgetter
from typing import NamedTuple, Protocol

from textual.message import Message
from textual.widget import Widget
from textual.worker import Worker

from trainer.drill.score import Score
from trainer.rhythm.clock import Clock, stamp_clock
from trainer.rhythm.reel import Reel
from trainer.rhythm.sound import Due, Silence, Sound, sounds_of

LEAD = 0.004
"""Seconds by which a picture is begun before it is due: about what it takes to reach the terminal."""
AFTER = 0.004
"""Seconds after the strip of a beat in which the soles follow, so that they do not delay it."""
SOON = 0.001
"""Seconds by which the first sound may be past when it is asked for."""
SHORT_TURNS = 0.0005
"""Seconds after which the thread that reads the keys gets its turn while a drill runs."""
Step = Callable[[], float | None]
"""Draws what is due and returns the clock reading of the next picture; None lets the ticker rest."""


STAMPS = stamp_clock()
"""The clock that keys are stamped with."""


class Ticker(Protocol):
    """Calls a step whenever it is due."""

    lead: float
    """Seconds by which a step is called before it is due."""

    def start(self, owner: Widget, step: Step) -> None:
        """Call a step now and whenever it asks to be called; an earlier one is forgotten."""

    def stop(self) -> None:
        """Call nothing more."""


class LoopTicker:
    """A ticker on the program's own event loop; it ends with the screen that started it."""

    lead = LEAD

    def __init__(self, clock: Clock = STAMPS) -> None:
        self._clock = clock
        self._worker: Worker[None] | None = None

    def start(self, owner: Widget, step: Step) -> None:
        """Call a step now and whenever it asks to be called."""
        self.stop()
        self._worker = owner.run_worker(partial(self._run, owner, step), group="ticker", exit_on_error=True)

    def stop(self) -> None:
        """Call nothing more."""
        if self._worker is not None:
            self._worker.cancel()
            self._worker = None

    async def _run(self, owner: Widget, step: Step) -> None:
        with undisturbed():
            # While the program ends, its screens are taken apart before their workers are.
            while owner.is_attached and (due := step()) is not None:
                await asyncio.sleep(max(due - self.lead - self._clock(), 0.0))


@contextmanager
def undisturbed() -> Iterator[None]:
    """Keep long pauses away while a drill runs: what lives already is not searched for garbage, threads turn soon."""
    before = sys.getswitchinterval()
    gc.collect()
    gc.freeze()
    sys.setswitchinterval(SHORT_TURNS)
    try:
        yield
    finally:
        sys.setswitchinterval(before)
        gc.unfreeze()


SILENCE = Silence()


class Ways(NamedTuple):
    """How beats are shown here: by which clock and ticker, and whether words change in the place of movement."""

    clock: Clock = STAMPS
    stamp: Callable[[Message], float] = attrgetter("time")
    ticker: Callable[[Clock], Ticker] = LoopTicker
    still: bool = False
    sound: Sound = SILENCE


def ways_of(app: object) -> Ways:
    """Return how an application shows beats; the usual ways where it says nothing."""
    ways = getattr(app, "ways", None)
    return ways if isinstance(ways, Ways) else Ways()


def play_sounds(sound: Sound, score: Score, reel: Reel, now: float) -> None:
    """Let the sounds of a running score be heard from a clock reading on, in the place of any that were to come."""
    sound.forget()
    sound.play(
        Due(time, name)
        for number, beat in enumerate(score.beats)
        if (time := reel.due(reel.times[number])) >= now - SOON
        for name in sounds_of(beat)
    )


def follow_sounds(sound: Sound, score: Score, time_of: Callable[[float], float | None], now: float) -> None:
    """Let the sounds of a score that follows a call be heard from a clock reading on, each when its beat is due."""
    sound.forget()
    for beat in score.beats:
        due = time_of(beat.beat)
        if due is not None and due > now:
            sound.play(Due(due, name) for name in sounds_of(beat))
