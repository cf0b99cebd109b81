"""On the beat: call the step, see the fault, how it went, and how beats are shown and heard here."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import Candidate
from trainer.coach.standing import Standing
from trainer.coach.terminal import keep_calibration, keep_motion, keep_sound
from trainer.rhythm.calibration import Calibration
from trainer.screens.choices import Choices
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine

if TYPE_CHECKING:
    from trainer.screens.app import StepcallApp

CALL, CALL_ONE, SEE, SEE_ONE = "Call the step", "Call one movement", "See the fault", "See one movement"
HISTORY, TERMINAL, MOTION, SOUND = "How it went", "Set this terminal", "Movement", "Sound"
LABEL = 20
CAUTION = (
    "At a screen only ear, eye and call are trained. March under your unit's standard and certified instruction, on a "
    "surface that is safe, and never with a blade because a screen said so."
)


class BeatMenuScreen(Screen[None]):
    """What can be practised on the beat.

    Args:
        candidate: whose record it is.
        standing: his standing on the deck.
    """

    CSS_PATH = "beat_menu.tcss"
    HELP = (
        "Call the step: the march goes on and you strike each word on its foot. See the fault: a performance is played "
        "with one fault or none. Set this terminal by tapping along if you want to be told whether you call early or "
        "late on the whole. Movement can be replaced by a changing word, and the beat can be heard where the sound "
        "extra is installed; both hold for this laptop."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q,b", "leave", "Back", show=False, tooltip="Back")]

    app: "StepcallApp"

    def __init__(self, candidate: Candidate, standing: Standing) -> None:
        super().__init__()
        self.candidate, self.standing = candidate, standing

    def compose(self) -> ComposeResult:
        """Lay out the list."""
        yield Head("On the beat", self.standing.deck.title)
        yield Choices()
        yield Static(CAUTION, id="cautions", classes="hint", markup=False)
        yield Static(id="told", classes="hint", markup=False)
        yield KeyLine((("↑↓", "choose"), ("enter", "take it"), ("esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Fill the list."""
        self._fill()
        self.query_one(OptionList).highlighted = 0

    def _fill(self) -> None:
        terminal = self.app.terminal()
        if terminal.remote:
            delay = "not over this link"
        elif terminal.calibration is None:
            delay = "tap along, to be told early and late on the whole"
        else:
            delay = f"set: taps come {terminal.calibration.delay_us / 1000:.0f} ms late, spread "
            delay += f"{terminal.calibration.spread_us / 1000:.0f} ms"
        rows = {
            CALL: "strike each word on its foot while the march goes on",
            CALL_ONE: "the same movement every time",
            SEE: "a performance with one fault, or with none",
            SEE_ONE: "the same movement every time",
            HISTORY: "timing by day, and how well each fault is seen",
            TERMINAL: delay,
            MOTION: "a word changes in its place" if terminal.still else "the pointer, soles and figure move",
            SOUND: "on" if terminal.sound else "off",
        }
        choices = self.query_one(OptionList)
        at = choices.highlighted
        choices.clear_options()
        choices.add_options(
            Option(Content.assemble(f"{name:<{LABEL}}", (value, "$faint")), id=name) for name, value in rows.items()
        )
        choices.highlighted = at
        trouble = self.app.ways.sound.trouble if terminal.sound else ""
        self.query_one("#told", Static).update("\n".join(text for text in (terminal.remote or "", trouble) if text))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if not self.is_current:
            return
        if event.option_id == HISTORY:
            from trainer.screens.beat_history import BeatHistoryScreen

            self.app.push_screen(BeatHistoryScreen(self.standing, self.candidate.events()))
        elif event.option_id == TERMINAL:
            self._calibrate()
        elif event.option_id == MOTION:
            keep_motion(self.app.desk.home, not self.app.terminal().still)
            self._fill()
        elif event.option_id == SOUND:
            keep_sound(self.app.desk.home, not self.app.terminal().sound)
            self._fill()
        elif event.option_id in (CALL_ONE, SEE_ONE):
            self._pick(event.option_id)
        else:
            self._practise(event.option_id or CALL, None)

    def _calibrate(self) -> None:
        from trainer.screens.calibrate import CalibrateScreen

        if not self.app.terminal().remote:
            self.app.push_screen(CalibrateScreen(), self._calibrated)

    def _calibrated(self, found: Calibration | None) -> None:
        if found is not None:
            keep_calibration(self.app.desk.home, self.app.terminal(), found)
            self._fill()

    def _pick(self, what: str) -> None:
        from trainer.screens.movement_list import MovementList

        def picked(movement: str | None) -> None:
            if movement is not None:
                self._practise(what, movement)

        self.app.push_screen(MovementList(self.standing.deck), picked)

    def _practise(self, what: str, movement: str | None) -> None:
        if what in (SEE, SEE_ONE):
            self.app.see_faults(self.candidate, self.standing, movement)
        else:
            self.app.call_step(self.candidate, self.standing, movement)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
