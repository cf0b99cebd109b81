"""See the fault: a performance is played with one fault or none; who watched says which, and on which beat."""

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll

from trainer.coach.eye import EyePractice, Judged, Performance, eye_words, fault_eyes, looks
from trainer.drill.movement import Fault, Movement
from trainer.plain import visible
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.rhythm.reel import SPEEDS, Reel, reel, starting_beat
from trainer.screens.filmed import FilmedScreen
from trainer.screens.flow import Flow
from trainer.screens.player import PlayerScreen
from trainer.screens.see_rows import (
    NAMING,
    PLACING,
    PLAYING,
    READ,
    READY,
    TOLD,
    head_rows,
    keys_in,
    naming_rows,
    placing_rows,
    ready_rows,
    told_rows,
)
from trainer.screens.showing import Showing, Take, beside
from trainer.screens.stage import Mark, Stage
from trainer.screens.ticker import play_sounds
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.film import Film
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.spans import FAINT, Row, Span


class SeeScreen(FilmedScreen):
    """Performances to be looked at, one after the other.

    Args:
        practice: draws the performances and keeps what was said.
        clock: reads the calendar clock.
        movement: the movement to stay with; another one each time if None.
    """

    CSS_PATH = "see.tcss"
    AUTO_FOCUS = ""
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012
    HELP = (
        "A performance is played, with one fault or with none: it was right is always among the answers, and true "
        "about every second time. Say which fault it was, then on which beat it shows; afterwards both are played "
        "side by side with the difference marked. For each fault is kept how often you see it where it is, and how "
        "often where it is not. At level 1 what happens is told in words too, and the score stays; at level 2 you see "
        "it once. The eye for bearing, alignment and voice is trained beside a certified grader, not at a screen."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "go", "Go", show=False, tooltip="Play; take the beat; go on to the next performance"),
        *(
            Binding(str(n), f"name({n})", "Choose", show=False, tooltip="Say what was wrong; 0 says that it was right")
            for n in range(10)
        ),
        Binding("left", "move(-1)", "Back", show=False, tooltip="The beat before"),
        Binding("right", "move(1)", "On", show=False, tooltip="The beat after"),
        Binding("s", "speed", "Speed", show=False, tooltip="At cadence, at half, at a quarter of it"),
        Binding("up", "level(2)", "Harder", show=False, tooltip="Level 2: seen once"),
        Binding("down", "level(1)", "Easier", show=False, tooltip="Level 1: told in words, and the score stays"),
        Binding("v", "play", "Play", show=False, tooltip="See it again beside what is right"),
        Binding("pageup", "scroll(-1)", "Scroll", show=False, tooltip="Scroll what is told, up"),
        Binding("pagedown", "scroll(1)", "Scroll", show=False, tooltip="Scroll what is told, down"),
        Binding("escape,q", "leave", "Back", show=False, tooltip="Back"),
    ]

    def __init__(self, practice: EyePractice, clock: Callable[[], Moment], movement: Movement | None = None) -> None:
        super().__init__()
        self.practice, self.clock, self.movement = practice, clock, movement
        self.phase, self.level, self.speed = READY, READ, SPEEDS[0]
        self.shown: Performance | None = practice.draw(clock(), movement)
        self.stage: Stage | None = None
        self.reel: Reel | None = None
        self.said: Fault | None = None
        self.judged: Judged | None = None
        self.trouble = ""
        self._at = self._over_at = 0.0

    # ------------------------------------------------------------ layout

    def compose(self) -> ComposeResult:
        """Lay out all parts; the phase says which of them are seen."""
        yield Rows(lambda width, _: head_rows(self.shown, self.speed, self.level, width), id="head")
        yield Film(id="voice")
        yield Film(id="tells")
        yield Film(id="pointer")
        yield Film(id="strip")
        with Horizontal(id="views"):
            yield Film(id="soles")
            yield Film(id="figure")
        with VerticalScroll(id="page", can_focus=False):
            yield Flow(self._page)
        yield KeyLine()

    def on_mount(self) -> None:
        """Wait for the first performance to be played."""
        self.take_ways()
        self._enter(READY)

    def _enter(self, phase: str) -> None:
        self.phase = phase
        if phase != PLAYING:
            self._ticker.stop()
            self._sound.forget()
        self.set_class(phase == PLAYING, "-playing")
        self.set_class(phase == PLAYING and (self.level == READ or self.still), "-read")
        self.set_class(phase in (PLACING, TOLD) or (phase == NAMING and self.level == READ), "-score")
        self._show_strip()
        self.query_one("#head", Rows).refresh()
        self.query_one(Flow).refresh(layout=True)
        self.query_one("#page", VerticalScroll).scroll_home(animate=False)
        self._show_keys()
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        scrolls = self.phase != PLAYING and self.query_one("#page", VerticalScroll).max_scroll_y > 0
        keys = keys_in(self.phase, self.shown)
        self.query_one(KeyLine).show((*keys[:-2], ("pgdn", "scroll"), *keys[-2:]) if scrolls else keys)

    def _show_strip(self) -> None:
        """Let the strip stand: what was played where it may be read, else the movement as it should be."""
        shown = self.shown
        if shown is None or self.phase not in (NAMING, PLACING, TOLD):
            return
        played = self.level == READ or self.phase == TOLD
        told = self.phase == TOLD and shown.pair is not None
        differ = [(one.part, one.beat) for one in shown.pair.differences] if told and shown.pair else []
        stage = Stage(self.practice.deck, shown.score if played else shown.right, differ)
        self.stage = stage
        self._at = min((beat.beat for beat in stage.beats), key=lambda beat: abs(beat - self._at))
        number = next(n for n, beat in enumerate(stage.beats) if beat.beat == self._at)
        self._film("strip").styles.height = stage.strip_height(max(self.size.width - 2, 1))
        self._film("strip").load(stage.strip, number)
        self._film("pointer").load(stage.pointer, Mark(number))

    def _page(self, width: int) -> list[Row]:
        width, shown = min(width, 96), self.shown
        if shown is None or self.phase == READY:
            return ready_rows(shown, width)
        if self.phase == NAMING:
            return naming_rows(shown, width)
        if self.phase == PLACING:
            return placing_rows(self.said, self._at, width)
        if self.judged is None:
            return []
        rows = told_rows(shown, self.judged, self._at, self.practice.deck.unit, self.trouble, width)
        return [*rows, (), *((Span(line, FAINT),) for one in self._eyes(shown) for line in wrapped(one, width))]

    def _eyes(self, shown: Performance) -> list[str]:
        """Return how well the fault that was shown, and the one that was said, are seen so far."""
        told = {fault.id for fault in (shown.fault, self.judged.said if self.judged else None) if fault}
        seen = looks(self.practice.candidate.events(), self.practice.deck.standard)
        mine = [one for one in fault_eyes(self.practice.deck, seen) if one.movement is shown.movement]
        return [f"{visible(one.fault.tell)}: {eye_words(one.eye)}." for one in mine if one.fault.id in told]

    # ------------------------------------------------------------ the beat

    def _start(self) -> None:
        if self.shown is None:
            return
        stage = self.stage = Stage(self.practice.deck, self.shown.score, numbered=False)
        keys = tuple(stage.marks())
        self._film("voice").load(stage.word, 0, keys)
        self._film("tells").load(stage.tells, 0, keys)
        self._film("soles").load(stage.soles, 0, keys)
        self._film("figure").load(stage.figure, (0, False), tuple((key, on) for key in keys for on in (False, True)))
        self._enter(PLAYING)
        # The pictures take a moment to be drawn; the first beat waits for them.
        self.call_after_refresh(self._run)

    def _run(self) -> None:
        if self.phase != PLAYING or self.stage is None:
            return
        now = self._clock()
        start = starting_beat(self.stage.score)
        first = max((n for n, one in enumerate(self.stage.beats) if one.beat <= start), default=0)
        self.reel = reel(self.stage.score, self.speed).go(first, now).play(now)
        play_sounds(self._sound, self.stage.score, self.reel, now)
        self._ticker.start(self, self.frame)

    def frame(self) -> float | None:
        """Show what stands now and return when the next picture is due."""
        one = self.reel
        if one is None or self.phase != PLAYING:
            return None
        now = self._clock() + self._ticker.lead
        if one.ended(now):
            self._over_at = self._clock()
            self._at = 0.0
            self._enter(NAMING)
            return None
        number = one.number(now)
        self._film("voice").turn(number)
        self._film("tells").turn(number)
        if not self.still:
            self._film("soles").turn(number)
            self._film("figure").turn((number, one.column(now, 2) == 1))
        return one.next_column(now, 1 if self.still else 2)

    def _halt(self) -> None:
        if self.phase == PLAYING:
            self._another()

    def on_app_blur(self) -> None:
        """Take another when the window loses the keys: half a performance cannot be judged, nor one seen twice."""
        self._halt()

    def on_screen_suspend(self) -> None:
        """Take another after another screen."""
        self._halt()

    # ------------------------------------------------------------ keys

    def action_go(self) -> None:
        """Play, take the beat, or go on."""
        if self.phase == READY:
            self._start()
        elif self.phase == PLACING:
            self._judge(self._at)
        elif self.phase == TOLD:
            self._another()

    def action_name(self, number: int) -> None:
        """Say what was wrong."""
        if self.phase != NAMING or self.shown is None or number > len(self.shown.offered):
            return
        self.said = self.shown.offered[number - 1] if number else None
        if self.said is None:
            self._judge(None)
        else:
            self._enter(PLACING)

    def _judge(self, beat: float | None) -> None:
        if self.shown is None:
            return
        ms = round((self._clock() - self._over_at) * 1000)
        self.trouble = ""
        try:
            self.judged = self.practice.record(
                self.shown, self.said, beat, ms, self.clock(), speed=self.speed, level=self.level
            )
        except LogError as error:
            self.trouble = str(error)
            self.judged = Judged(self.said, self.said == self.shown.fault, beat in self.shown.beats)
        self._enter(TOLD)

    def _another(self) -> None:
        self.shown = self.practice.draw(self.clock(), self.movement)
        self.said = self.judged = None
        self._enter(READY)

    def action_move(self, by: int) -> None:
        """Go along the beats."""
        if self.phase not in (NAMING, PLACING, TOLD) or self.stage is None or not self.has_class("-score"):
            return
        beats = [beat.beat for beat in self.stage.beats]
        number = min(max(beats.index(self._at) + by, 0), len(beats) - 1)
        self._at = beats[number]
        self._film("strip").turn(number)
        self._film("pointer").turn(Mark(number))
        self.query_one(Flow).refresh(layout=True)

    def action_speed(self) -> None:
        """Take the next speed, for the next performance."""
        if self.phase in (READY, TOLD):
            self.speed = SPEEDS[(SPEEDS.index(self.speed) + 1) % len(SPEEDS)]
            self._next_way()

    def action_level(self, level: int) -> None:
        """Take a level, for the next performance."""
        if self.phase in (READY, TOLD):
            self.level = level
            self._next_way()

    def _next_way(self) -> None:
        if self.phase == TOLD:
            self._another()
        else:
            self._enter(READY)

    def action_scroll(self, by: int) -> None:
        """Scroll what is told by a page."""
        page = self.query_one("#page", VerticalScroll)
        page.scroll_relative(y=by * max(page.size.height - 1, 1), animate=False)

    def action_play(self) -> None:
        """See the performance beside what is right."""
        if self.phase != TOLD or self.shown is None:
            return
        title = self.shown.movement.name
        if self.shown.pair is not None and self.shown.fault is not None:
            showing = beside(title, self.shown.pair, self.shown.fault.tell)
        else:
            showing = Showing(title, Take("it was as it should be", self.shown.right))
        self.app.push_screen(PlayerScreen(self.practice.deck, showing))

    def action_leave(self) -> None:
        """Stop a performance; else go back."""
        if self.phase == PLAYING:
            self._another()
        else:
            self.dismiss(None)
