"""Calibrate: tap along with a beat, so that what this terminal and its keyboard add is known."""

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Key
from textual.screen import Screen

from trainer.rhythm.calibration import TAPS, Calibration, calibrate
from trainer.rhythm.grid import Grid, grid_from
from trainer.rhythm.sound import STEP, Due
from trainer.rhythm.timing import Strike
from trainer.screens.flow import Flow
from trainer.screens.head import Head
from trainer.screens.ticker import ways_of
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.film import Draw, Film
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, WRONG, Row, Span

if TYPE_CHECKING:
    from collections.abc import Hashable

CADENCE = 100.0
"""Beats a minute: one in 600 ms, at which the published figures were taken (Baath and Madison 2012)."""
BEATS = TAPS + 4
"""Beats that are shown: some to fall in with, then one for each tap."""
BEFORE = 2.0
REST = 3.0
"""Beats after the last one in which a tap is one too many and does not begin anew, which would lose what came out."""
LIT = 0.4
ABOUT = (
    f"Tap space along with the beat, about {TAPS} times, as evenly as you can. What comes out is how late your taps "
    "come on this terminal, you and the machine together; it is kept for this terminal alone and only used to tell "
    "whether a call is early or late on the whole. That is never a fault."
)


class CalibrateScreen(Screen[Calibration | None]):
    """Taps along with a beat; closes with the calibration to keep, or None."""

    CSS_PATH = "calibrate.tcss"
    AUTO_FOCUS = ""
    HELP = ABOUT
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "start", "Tap", show=False, tooltip="Start the beat; then tap along"),
        Binding("enter", "keep", "Keep", show=False, tooltip="Keep what came out"),
        Binding("escape,q", "leave", "Back", show=False, tooltip="Back; nothing is kept"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.grid: Grid | None = None
        self.strikes: list[Strike] = []
        self.found: Calibration | str | None = None
        self._rest_until = 0.0

    def compose(self) -> ComposeResult:
        """Lay out the beat and what is told."""
        yield Head("Set this terminal")
        yield Film(id="pulse")
        with VerticalScroll(can_focus=False):
            yield Flow(self._told)
        yield KeyLine()

    def on_mount(self) -> None:
        """Wait for the first key."""
        ways = ways_of(self.app)
        self._clock, self._stamp, self._ticker = ways.clock, ways.stamp, ways.ticker(ways.clock)
        self._sound = ways.sound
        self.query_one(Film).load(_beat, -1, range(-1, BEATS * 2))
        self._show()

    def _told(self, width: int) -> list[Row]:
        width = min(width, 96)
        if isinstance(self.found, str):
            return [(Span(line, WRONG),) for line in wrapped(self.found, width)]
        if self.found is not None:
            late = self.found.delay_us / 1000
            side = "late" if late > 0 else "early"
            told = f"Taps come {abs(late):.0f} ms {side} here, spread {self.found.spread_us / 1000:.0f} ms"
            return [(Span(f"{told}, over {self.found.taps} taps.", STRONG),)]
        role = FAINT if self.grid else INK
        return [(Span(line, role),) for line in wrapped(ABOUT, width)]

    def _show(self) -> None:
        self.query_one(Flow).refresh(layout=True)
        keys = {
            True: (("space", "tap"), ("esc", "stop")),
            False: (("space", "again" if self.found else "start"), ("?", "help"), ("esc", "back")),
        }[self.grid is not None]
        if isinstance(self.found, Calibration) and self.grid is None:
            keys = (("enter", "keep it"), *keys)
        self.query_one(KeyLine).show(keys)

    def frame(self) -> float | None:
        """Show the beat, lit or not, and return when it changes."""
        if self.grid is None:
            return None
        at = self.grid.beat_at(self._clock() + self._ticker.lead) + 1e-6
        if at >= BEATS:
            self.found = calibrate(self.grid, self.strikes)
            self._rest_until = self._clock() + REST * 60.0 / CADENCE
            self._stop()
            return None
        whole = int(at // 1)
        if whole < 0:
            return self.grid.time_of(0.0)
        lit = at - whole < LIT
        self.query_one(Film).turn(whole * 2 + (not lit))
        return self.grid.time_of(whole + LIT if lit else whole + 1.0)

    def _stop(self) -> None:
        self.grid = None
        self._ticker.stop()
        self._sound.forget()
        self.query_one(Film).turn(-1)
        self._show()

    def on_app_blur(self) -> None:
        """Stop when the window loses the keys."""
        if self.grid is not None:
            self._stop()

    def on_unmount(self) -> None:
        """Let the ticker rest."""
        self._ticker.stop()
        self._sound.forget()

    def on_key(self, event: Key) -> None:
        """Take a tap, at the time that the key itself carries."""
        if self.grid is not None and event.key == "space":
            event.stop()
            event.prevent_default()
            self.strikes.append(Strike(self._stamp(event), " "))

    def action_start(self) -> None:
        """Start the beat; a tap that only runs on past the last beat starts nothing."""
        if self._clock() < self._rest_until:
            return
        self.found, self.strikes = None, []
        grid = self.grid = grid_from(self._clock() + BEFORE * 60.0 / CADENCE, CADENCE)
        self._sound.play(Due(time, STEP) for beat in range(BEATS) if (time := grid.time_of(float(beat))) is not None)
        self._show()
        self._ticker.start(self, self.frame)

    def action_keep(self) -> None:
        """Keep what came out."""
        if self.grid is None and isinstance(self.found, Calibration):
            self.dismiss(self.found)

    def action_leave(self) -> None:
        """Stop the beat, or go back."""
        if self.grid is not None:
            self._stop()
        else:
            self.dismiss(None)


def _beat(key: "Hashable") -> Draw:
    number = key if isinstance(key, int) else -1
    lit = number >= 0 and number % 2 == 0
    count = f"{number // 2 + 1} of {BEATS}" if number >= 0 else ""
    return lambda *_: [(Span("beat  ", LINE), Span("■■■■■■" if lit else "      ", BRASS), Span(f"   {count}", FAINT))]
