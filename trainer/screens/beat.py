"""Call the step: the march goes on, the candidate strikes each word on its foot, and sees what his call did."""

import math
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.events import Key

from trainer.coach.beat import BeatPractice
from trainer.drill.called import Outcome, going_on
from trainer.drill.movement import Movement
from trainer.drill.score import Score
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.rhythm.calls import Called, call_ms, is_over, last_beat, read_call
from trainer.rhythm.exercise import LEVELS, Exercise, Level
from trainer.rhythm.grid import Grid, following, grid_from
from trainer.rhythm.sound import AHEAD, beat_sounds
from trainer.rhythm.timing import Strike
from trainer.screens.beat_rows import (
    EXECUTING,
    MARCHING,
    READY,
    TOLD,
    beat_head,
    call_rows,
    cue_words,
    keys_in,
    pulse_at,
    ready_rows,
    result_rows,
    voice_rows,
)
from trainer.screens.called import executed
from trainer.screens.filmed import StagedScreen
from trainer.screens.flow import Flow
from trainer.screens.march import BEFORE, LEAVING, MODIFIERS, SAME, pulse
from trainer.screens.stage import Stage
from trainer.screens.ticker import follow_sounds, ways_of
from trainer.screens.widgets.film import Draw, Film
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.spans import Row

if TYPE_CHECKING:
    from collections.abc import Hashable

PAGE = 8
"""Beats of the march that a strip shows, at least."""


class BeatScreen(StagedScreen):
    """Calls struck on the beat, one after the other.

    Args:
        practice: draws the movements and keeps the calls.
        clock: reads the calendar clock.
        level: the level to begin with.
        movement: the movement to stay with; another one each time if None.
        delay: this terminal's delay in seconds from a calibration, None if it is not known.
        remote: whether keys come over a link on which timing cannot be told.
    """

    CSS_PATH = "beat.tcss"
    AUTO_FOCUS = ""
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012
    HELP = (
        "The beat runs and the march goes on; you call when you like, so you must find the foot yourself. Strike space "
        "on the foot of each word, at the harder levels its first letter. Then the movement is executed as you called "
        "it: a call on the wrong foot is seen to go wrong. A word counts for the beat nearest to it; early or late on "
        "its foot is timing and never a fault. Feet and words go to what you know of the movement, timing has a "
        "history of its own. The call itself, its voice and inflection, is learnt from your unit's instructors. Escape "
        "stops the beat, and leaves."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "go", "Go", show=False, tooltip="Start the beat; call a word; go on after a call"),
        Binding("up", "level(1)", "Harder", show=False, tooltip="A harder level"),
        Binding("down", "level(-1)", "Easier", show=False, tooltip="An easier level"),
        Binding("r", "again", "Again", show=False, tooltip="The same movement again"),
        Binding("v", "play", "Play", show=False, tooltip="Your call beside the movement as it should be"),
        Binding("escape,q", "leave", "Back", show=False, tooltip="Stop the beat; then back"),
    ]

    def __init__(
        self,
        practice: BeatPractice,
        clock: Callable[[], Moment],
        level: Level = LEVELS[1],
        movement: Movement | None = None,
        delay: float | None = None,
        remote: bool = False,
    ) -> None:
        super().__init__()
        self.practice, self.clock, self.level, self.movement = practice, clock, level, movement
        self.delay, self.remote = delay, remote
        self.phase = READY
        self.done: Exercise = practice.draw(level, clock(), movement)
        self.grid: Grid | None = None
        self.strikes: list[Strike] = []
        self.called: Called | None = None
        self.outcome: Outcome | None = None
        self.told = self.trouble = ""
        self._zero = 0

    # ------------------------------------------------------------ layout

    def compose(self) -> ComposeResult:
        """Lay out all parts; the phase says which of them are seen."""
        yield Rows(id="head")
        yield Flow(id="call")
        yield Film(id="voice")
        yield Film(id="pulse")
        yield Film(id="word")
        yield Film(id="pointer")
        yield Film(id="strip")
        with Horizontal(id="views"):
            yield Film(id="soles")
            yield Film(id="figure")
        with VerticalScroll(id="page", can_focus=False):
            yield Flow(id="told")
        yield KeyLine()

    def on_mount(self) -> None:
        """Show the first exercise."""
        self.take_ways()
        self._stamp, self._heard = ways_of(self.app).stamp, 0.0
        self.query_one("#head", Rows).show(lambda width, _: beat_head(self.done, self.done.movement.name, width))
        self.query_one("#call", Flow).show(lambda width: call_rows(self.done, width))
        self.query_one("#told", Flow).show(self._told)
        self._film("pulse").load(pulse, False, (False, True))
        self._enter(READY)

    def _enter(self, phase: str) -> None:
        """Go over to a phase and show the parts that belong to it."""
        self.phase = phase
        if phase in (READY, TOLD):
            self._ticker.stop()
            self._sound.forget()
        feet = phase == EXECUTING or (phase == MARCHING and self.done.level.feet_shown)
        self.set_class(phase in (READY, TOLD), "-told")
        self.set_class(phase in (MARCHING, EXECUTING), "-beat")
        self.set_class(feet, "-feet")
        self.query_one("#head", Rows).refresh()
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        self._show_keys()

    def _show_keys(self) -> None:
        stands = self.grid is not None and not self.grid.running
        self.query_one(KeyLine).show(keys_in(self.phase, stands, self.done.level.letters))

    def _told(self, width: int) -> list[Row]:
        width = min(width, 96)
        if self.phase == READY:
            return ready_rows(self.done, self.told, width)
        if self.called is None:
            return []
        return result_rows(self.called, self.outcome, self.done, self.trouble, width)

    # ------------------------------------------------------------ the beat

    def _now(self) -> float:
        return self._clock() + self._ticker.lead

    def _start(self) -> None:
        done, now = self.done, self._clock()
        self.grid = grid_from(now + BEFORE * 60.0 / done.cadence, done.cadence)
        self.strikes, self.called, self.outcome, self.told, self.trouble = [], None, None, "", ""
        cycle = max(len(done.stance.cycle), 2)
        beats = math.ceil(PAGE / cycle) * cycle
        self._load_stage(Stage(done.deck, going_on(done.deck, done.stance.name, done.first, beats), numbered=False))
        self._film("voice").load(self._voice, (0, -1), ())
        self._heard = now
        self._enter(MARCHING)
        self._ticker.start(self, self.frame)

    def _voice(self, key: "Hashable") -> Draw:
        struck, beat = key if isinstance(key, tuple) else (0, -1)
        cue = cue_words(self.done, beat)
        return lambda width, _: voice_rows(struck, len(self.done.dues), cue, width)

    def frame(self) -> float | None:
        """Show what stands now and return when the next picture is due."""
        grid, stage = self.grid, self.stage
        if grid is None or stage is None or self.phase not in (MARCHING, EXECUTING) or not grid.running:
            return None
        now = self._now()
        if self.phase == MARCHING:
            self._sound.play(beat_sounds(self.done, grid, self._heard, now + AHEAD))
            self._heard = max(self._heard, now + AHEAD)
        at = grid.beat_at(now) + SAME - (self._zero if self.phase == EXECUTING else 0)
        if self.phase == MARCHING and is_over(self.done, grid, self.strikes, now):
            return self._finish_call()
        if at < 0 and self.phase == MARCHING:
            return grid.time_of(0.0)
        if self.phase == EXECUTING and at >= stage.beats[-1].beat + 1:
            self._enter(TOLD)
            return None
        place = self._turn(stage, at)
        return grid.time_of(place + (self._zero if self.phase == EXECUTING else 0))

    def _turn(self, stage: Stage, at: float) -> float:
        """Show the pictures of a place in beats and return the place of the next picture."""
        whole = math.floor(at)
        if self.phase == MARCHING:
            number, start, end = whole % len(stage.beats), float(whole), float(whole + 1)
            self._film("voice").turn((len(self.strikes), whole if cue_words(self.done, whole) else -1))
            if not self.done.level.feet_shown:
                lit, changes = pulse_at(self.done.level, at)
                self._film("pulse").turn(lit)
                return changes
        else:
            number = max((n for n, beat in enumerate(stage.beats) if beat.beat <= at), default=0)
            start = stage.beats[number].beat
            end = stage.beats[number + 1].beat if number + 1 < len(stage.beats) else start + 1.0
        return self._turn_stage(stage, number, (start, end), at, self.grid.cadence if self.grid is not None else 0.0)

    def _finish_call(self) -> float | None:
        """Read the call, keep it, and execute what was called."""
        grid, done = self.grid, self.done
        if grid is None:
            return None
        self.called = read_call(done, grid, self.strikes, self.delay, self.remote)
        ms = call_ms(grid, self.strikes)
        try:
            self.practice.record(done, self.called, ms, self.clock(), self.remote)
        except LogError as error:
            self.trouble = str(error)
        zero = done.cue_at if done.by_steps else last_beat(self.called)
        if zero is None:
            self._enter(TOLD)
            return None
        self._zero = zero
        shown, self.outcome = executed(done, self.called, zero)
        self.grid = following(grid, shown, self._zero, done.speed)
        self._load_stage(Stage(done.deck, shown))
        self._let_follow(self.grid, shown)
        self._enter(EXECUTING)
        return self.frame()

    def _let_follow(self, grid: Grid, shown: Score) -> None:
        follow_sounds(self._sound, shown, lambda beat: grid.time_of(self._zero + beat), self._clock())

    def _pause(self) -> None:
        if self.grid is not None and self.grid.running and self.phase in (MARCHING, EXECUTING):
            self.grid = self.grid.pause(self._clock())
            self._ticker.stop()
            self._sound.forget()
            if self.phase == MARCHING:
                self.strikes = []
            self._show_keys()

    def on_app_blur(self) -> None:
        """Let the beat stand when the window loses the keys; a call that had begun begins anew."""
        self._pause()

    def on_screen_suspend(self) -> None:
        """Let the beat stand when another screen takes over."""
        self._pause()

    # ------------------------------------------------------------ keys

    def on_key(self, event: Key) -> None:
        """Take a strike, at the time that the key itself carries."""
        if self.phase not in (MARCHING, EXECUTING) or event.key in LEAVING | MODIFIERS:
            return
        if event.key == "q" and not (self.phase == MARCHING and self.done.level.letters):
            return
        event.stop()
        event.prevent_default()
        grid = self.grid
        if grid is None:
            return
        if not grid.running:
            self.grid = grid.resume(self._clock())
            self._heard = self._clock()
            if self.phase == EXECUTING and self.stage is not None:
                self._let_follow(self.grid, self.stage.score)
            self._show_keys()
            self._ticker.start(self, self.frame)
            return
        wanted = self.done.level.strikes(event.character)
        if self.phase == MARCHING and wanted and grid.beat_at(self._stamp(event)) >= -0.5:
            self.strikes.append(Strike(self._stamp(event), event.character or " "))
            self._film("voice").turn((len(self.strikes), -1))
            if is_over(self.done, grid, self.strikes, self._now()):
                self._ticker.start(self, self.frame)

    def action_go(self) -> None:
        """Start the beat, or go on to the next call."""
        if self.phase == TOLD:
            self._another(self.movement)
        elif self.phase == READY:
            self._start()

    def action_again(self) -> None:
        """Call the same movement again."""
        if self.phase == TOLD:
            self._another(self.done.movement)

    def _another(self, movement: Movement | None) -> None:
        self.done = self.practice.draw(self.level, self.clock(), movement)
        self.called = self.outcome = None
        self._enter(READY)

    def action_level(self, by: int) -> None:
        """Take a harder or an easier level, with the same movement."""
        at = LEVELS.index(self.level) + by
        if self.phase in (READY, TOLD) and 0 <= at < len(LEVELS):
            self.level = LEVELS[at]
            self._another(self.done.movement)

    def action_play(self) -> None:
        """See the call beside the movement as it should be."""
        if self.phase != TOLD:
            return
        from trainer.screens.called import call_showing
        from trainer.screens.player import PlayerScreen

        self.app.push_screen(PlayerScreen(self.done.deck, call_showing(self.done, self.outcome)))

    def action_leave(self) -> None:
        """Stop the beat; without one go back."""
        if self.phase in (MARCHING, EXECUTING):
            self.grid = None
            self.told = "The beat was stopped; nothing was kept of it." if self.phase == MARCHING else ""
            self._enter(READY if self.phase == MARCHING else TOLD)
        else:
            self.dismiss(None)
