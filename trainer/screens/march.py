"""A march that goes on with the beat alone while a command is called: for whoever must find the foot unaided."""

from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.events import Key
from textual.message import Message

from trainer.rhythm.calls import Called, call_ms, is_over, read_call
from trainer.rhythm.exercise import Exercise
from trainer.rhythm.grid import Grid, grid_from
from trainer.rhythm.sound import AHEAD, beat_sounds
from trainer.rhythm.timing import Strike
from trainer.screens.beat_rows import cue_words, pulse_at, pulse_rows, voice_rows
from trainer.screens.ticker import ways_of
from trainer.screens.widgets.film import Draw, Film

if TYPE_CHECKING:
    from collections.abc import Hashable

BEFORE = 2.0
"""Beats between the key that starts and the first beat."""
SAME = 1e-6
"""Beats below which two places are one."""
MODIFIERS = frozenset(f"{side}_{name}" for side in ("left", "right") for name in ("shift", "control", "alt", "super"))
LEAVING = frozenset({"escape", "ctrl+q", "ctrl+c"})
READY, MARCHING, CUT, OVER = "ready", "marching", "cut", "over"


class March(Vertical):
    """One call after the other, each attempted once.

    A call that was interrupted before its first word begins anew; one that had begun counts as far as it went.
    """

    DEFAULT_CSS = """
    March { height: auto; }
    March Film { height: 1; }
    """

    class Changed(Message):
        """Another phase."""

    class Over(Message):
        """A call is over: what was called, and the milliseconds from the first beat to the last strike."""

        def __init__(self, called: Called, ms: int) -> None:
            super().__init__()
            self.called, self.ms = called, ms

    def __init__(self, delay: float | None = None, *, id: str | None = None) -> None:  # noqa: A002
        """Lay it out.

        Args:
            delay: this terminal's delay in seconds from a calibration, None if it is not known.
            id: its id.
        """
        super().__init__(id=id)
        self.delay = delay
        self.done: Exercise | None = None
        self.phase = OVER
        self.grid: Grid | None = None
        self.strikes: list[Strike] = []
        self._voice, self._pulse = Film(), Film()

    def compose(self) -> ComposeResult:
        """Lay out what was called so far, and the beat."""
        yield self._voice
        yield self._pulse

    def on_mount(self) -> None:
        """Take the beat of this terminal into use."""
        ways = ways_of(self.app)
        self._clock, self._stamp, self._ticker = ways.clock, ways.stamp, ways.ticker(ways.clock)
        self._sound, self._heard = ways.sound, 0.0
        self._pulse.load(pulse, False, (False, True))

    def ready(self, done: Exercise) -> None:
        """Wait for the key that starts a call."""
        self.done, self.grid, self.strikes = done, None, []
        self._enter(READY)

    def start(self) -> None:
        """Let the beat run."""
        if self.done is None or self.phase != READY:
            return
        done, now = self.done, self._clock()
        self.grid = grid_from(now + BEFORE * 60.0 / done.cadence, done.cadence)
        self.strikes, self._heard = [], now
        self._voice.load(self._called, (0, -1))
        self._pulse.turn(False)
        self._enter(MARCHING)
        self._ticker.start(self, self.frame)

    @property
    def begins_anew(self) -> bool:
        """Whether it waits again because it was interrupted before the first word."""
        return self.phase == READY and self.grid is not None

    def frame(self) -> float | None:
        """Show what stands now and return when the next picture is due."""
        grid, done = self.grid, self.done
        if grid is None or done is None or self.phase != MARCHING:
            return None
        now = self._clock() + self._ticker.lead
        self._sound.play(beat_sounds(done, grid, self._heard, now + AHEAD))
        self._heard = max(self._heard, now + AHEAD)
        if is_over(done, grid, self.strikes, now):
            self.end()
            return None
        at = grid.beat_at(now) + SAME
        if at < 0:
            return grid.time_of(0.0)
        whole = int(at)
        self._voice.turn((len(self.strikes), whole if cue_words(done, whole) else -1))
        lit, changes = pulse_at(done.level, at)
        self._pulse.turn(lit)
        return grid.time_of(changes)

    def take(self, event: Key) -> bool:
        """Take a key while the beat runs, at the time that it carries; return whether it is taken."""
        if self.phase != MARCHING or event.key in LEAVING or event.key in MODIFIERS:
            return False
        grid, done = self.grid, self.done
        if grid is None or done is None:
            return False
        struck = self._stamp(event)
        if event.key == "enter":
            self.end()
        elif done.level.strikes(event.character) and grid.beat_at(struck) >= -0.5:
            self.strikes.append(Strike(struck, event.character or " "))
            self._voice.turn((len(self.strikes), -1))
            if is_over(done, grid, self.strikes, self._clock()):
                self._ticker.start(self, self.frame)
        return True

    def interrupt(self) -> None:
        """Let the beat stand because the keys are lost; a call that had begun is cut off there."""
        if self.phase == MARCHING:
            self._enter(CUT if self.strikes else READY)

    def stop(self) -> None:
        """Leave a call without reading it."""
        self._enter(OVER)

    def end(self) -> None:
        """Read what was called so far, be it nothing."""
        if self.done is None or self.phase == OVER:
            return
        grid = self.grid or grid_from(self._clock(), self.done.cadence)
        called = read_call(self.done, grid, self.strikes, self.delay)
        self._enter(OVER)
        self.post_message(self.Over(called, call_ms(grid, self.strikes)))

    def on_unmount(self) -> None:
        """Let the ticker rest."""
        self._ticker.stop()
        self._sound.forget()

    def _enter(self, phase: str) -> None:
        self.phase = phase
        if phase != MARCHING:
            self._ticker.stop()
            self._sound.forget()
        self.post_message(self.Changed())

    def _called(self, key: "Hashable") -> Draw:
        struck, beat = key if isinstance(key, tuple) else (0, -1)
        due = len(self.done.dues) if self.done else 0
        cue = cue_words(self.done, beat) if self.done else ""
        return lambda width, _: voice_rows(struck, due, cue, width)


def pulse(key: "Hashable") -> Draw:
    """Return the beat alone; the key is whether it is lit."""
    return lambda *_: pulse_rows(bool(key))
