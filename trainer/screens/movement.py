"""The Movement screen: walk through a movement beat by beat, right or with one of its faults."""

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.screen import Screen
from textual.widgets import Static

from trainer.drill.deck import Deck
from trainer.drill.faults import Comparison, compare
from trainer.drill.gait import full_step
from trainer.drill.movement import Fault, Movement
from trainer.drill.score import Score
from trainer.drill.unrolling import score, starts
from trainer.plain import visible
from trainer.screens.movement_list import MovementList
from trainer.screens.movement_words import fault_rows, flaw_lines, head_rows, now_lines
from trainer.screens.notes import Notes
from trainer.screens.player import PlayerScreen
from trainer.screens.showing import showing
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.soles import Soles
from trainer.screens.widgets.spans import content
from trainer.screens.widgets.strip import Strip, legend

KEYS = (
    ("← →", "one beat back or on"),
    ("home end", "first or last beat"),
    ("↑ ↓", "the movement as it should be, or one of its faults"),
    ("0 to 9", "a fault by its number; 0 is as it should be"),
    ("v", "play it; a fault is played beside the movement as it should be"),
    ("b", "call this step on the beat"),
    ("e", "see the faults of this movement"),
    ("z", "the last steps, or the whole path of the counts"),
    ("f", "another stance or foot to start from"),
    ("n p", "next or previous movement"),
    ("l", "all movements"),
    ("c", "cautions, sources, what is not confirmed"),
    ("? F1", "this help"),
    ("esc", "back"),
)
PURPOSE = (
    "Walk through a movement beat by beat: the strip shows voice, feet, arms and body, the footprints show it from "
    "above. Choose a fault to see the same movement done wrong; what departs from the standard is marked."
)
SIGNS = (
    *legend(),
    ("R-1", "a footprint: the right foot's on beat -1"),
    ("steady", "nothing new begins on this beat; the march goes on as it was"),
)

ROOMY = 30
"""Rows from which on nothing needs to be shortened."""


class MovementScreen(Screen[None]):
    """One movement of a deck: strip, footprints, what to do on each beat, faults.

    Args:
        deck: the deck.
        movement_id: the movement to open; the deck's first if None.
        call: lets the step of a movement be called; there is no key for it if None.
        see: lets the faults of a movement be seen; there is no key for it if None.
    """

    CSS_PATH = "movement.tcss"
    AUTO_FOCUS = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (104, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-tight"), (ROOMY, "-roomy")]  # noqa: RUF012
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "beat back", show=False),
        Binding("right", "step(1)", "beat on", show=False),
        Binding("home", "end(0)", "first beat", show=False),
        Binding("end", "end(-1)", "last beat", show=False),
        Binding("up", "fault(-1)", "fault before", show=False),
        Binding("down", "fault(1)", "fault after", show=False),
        *(Binding(str(n), f"choose({n})", f"fault {n}", show=False) for n in range(10)),
        Binding("v", "play", "play it", show=False),
        Binding("b", "call", "call the step", show=False),
        Binding("e", "see", "see the fault", show=False),
        Binding("z", "zoom", "whole path", show=False),
        Binding("f", "start", "start from", show=False),
        Binding("n", "turn(1)", "next movement", show=False),
        Binding("p", "turn(-1)", "previous movement", show=False),
        Binding("l", "list", "all movements", show=False),
        Binding("c", "notes", "cautions", show=False),
        Binding("question_mark", "help", "help", show=False),
        Binding("f1", "help", "help", show=False),
        Binding("escape,q", "leave", "back", show=False),
    ]

    def __init__(
        self,
        deck: Deck,
        movement_id: str | None = None,
        call: Callable[[str], None] | None = None,
        see: Callable[[str], None] | None = None,
    ) -> None:
        super().__init__()
        self.deck = deck
        self._call, self._see = call, see
        self.movement: Movement = deck.movement(movement_id) if movement_id else deck.movements[0]
        self.start = 0
        self.chosen = 0
        self.beat = 0.0
        self.shown: Score
        self.comparison: Comparison | None = None
        self._perform()

    @property
    def fault(self) -> Fault | None:
        """The fault that is shown, None for the movement as it should be."""
        return self.movement.faults[self.chosen - 1] if self.chosen else None

    def compose(self) -> ComposeResult:
        """Lay out head lines, strip, words and footprints."""
        yield Rows(id="head")
        yield Strip()
        with Horizontal(id="below"):
            with Vertical(id="words"):
                yield Static(id="now", markup=False)
                yield Rows(id="faults")
                yield Static(id="source", markup=False)
            yield Soles()
        yield KeyLine()

    def on_mount(self) -> None:
        """Show the movement that the screen was opened with."""
        self._show_score()

    def on_resize(self) -> None:
        """Say more where there is more room."""
        self._show_words()

    def action_step(self, by: int) -> None:
        """Go to the next or the previous beat."""
        beats = [beat.beat for beat in self.shown.beats]
        self._go(beats[min(max(beats.index(self.beat) + by, 0), len(beats) - 1)])

    def action_end(self, index: int) -> None:
        """Go to the first (0) or the last (-1) beat."""
        self._go(self.shown.beats[index].beat)

    def action_fault(self, by: int) -> None:
        """Choose the next or the previous fault."""
        self.action_choose(min(max(self.chosen + by, 0), len(self.movement.faults)))

    def action_choose(self, number: int) -> None:
        """Choose a fault by its number, 0 for the movement as it should be."""
        if number > len(self.movement.faults) or number == self.chosen:
            return
        self.chosen = number
        self._perform()
        self._show_score()

    def action_zoom(self) -> None:
        """Change between the last steps and the whole path."""
        soles = self.query_one(Soles)
        soles.whole = not soles.whole
        self._show_keys()

    def action_play(self) -> None:
        """Play what is chosen."""
        stance, foot = starts(self.deck, self.movement)[self.start]
        self.app.push_screen(PlayerScreen(self.deck, showing(self.deck, self.movement, self.fault, stance, foot)))

    def action_call(self) -> None:
        """Call the step of this movement."""
        if self._call is not None:
            self._call(self.movement.id)

    def action_see(self) -> None:
        """See the faults of this movement."""
        if self._see is not None:
            self._see(self.movement.id)

    def action_start(self) -> None:
        """Take the next stance and foot that the movement can start from."""
        self.start = (self.start + 1) % len(starts(self.deck, self.movement))
        self._perform()
        self._show_score()

    def action_turn(self, by: int) -> None:
        """Open the next or the previous movement."""
        ids = [one.id for one in self.deck.movements]
        self.open(ids[(ids.index(self.movement.id) + by) % len(ids)])

    def action_list(self) -> None:
        """Pick another movement from the list."""
        self.app.push_screen(MovementList(self.deck, self.movement.id), self.open)

    def action_notes(self) -> None:
        """Show cautions, sources and what is not confirmed."""
        movement = self.movement
        self.app.push_screen(
            Notes(
                (
                    ("Not confirmed", (movement.unconfirmed,) if movement.unconfirmed else ()),
                    ("Source of this movement", (movement.source,) if movement.source else ()),
                    ("Cautions", self.deck.cautions),
                    ("Sources of the deck", self.deck.sources),
                )
            )
        )

    def action_help(self) -> None:
        """Show the keys and the signs."""
        self.app.push_screen(Notes((), KEYS, PURPOSE, SIGNS))

    def action_leave(self) -> None:
        """Go back to the screen before."""
        self.dismiss(None)

    def open(self, movement_id: str | None) -> None:
        """Show another movement of the deck; None changes nothing."""
        if movement_id is None or movement_id == self.movement.id:
            return
        self.movement = self.deck.movement(movement_id)
        self.start, self.chosen, self.beat = 0, 0, 0.0
        self._perform()
        self._show_score()

    def _perform(self) -> None:
        """Unroll what is chosen; with a fault, stand on a beat that it changes."""
        stance, foot = starts(self.deck, self.movement)[self.start]
        fault = self.fault
        self.comparison = None
        if fault is None or not fault.shows:
            self.shown = score(self.deck, self.movement, stance, foot)
        else:
            self.comparison = compare(self.deck, self.movement, fault, stance, foot)
            self.shown = self.comparison.flawed
        beats = [beat.beat for beat in self.shown.beats]
        wrong = [one.beat for one in self.comparison.differences if one.beat in beats] if self.comparison else []
        if wrong and self.beat not in wrong:
            self.beat = wrong[0]
        elif self.beat not in beats:
            self.beat = max(beat for beat in beats if beat <= max(self.beat, beats[0]))

    def _go(self, beat: float) -> None:
        self.beat = beat
        self.query_one(Strip).pointer = beat
        self.query_one(Soles).beat = beat
        self._show_words()

    def _show_score(self) -> None:
        standard = self.comparison.right if self.comparison else self.shown
        differ = [(one.part, one.beat) for one in self.comparison.differences] if self.comparison else []
        strip = self.query_one(Strip)
        strip.show(self.shown, self.beat, differ=differ, full=full_step(self.deck), unit=self.deck.unit)
        self.query_one(Soles).show(self.deck, self.shown, self.beat)
        self.query_one("#head", Rows).show(lambda width, _: head_rows(self.deck, self.movement, standard, width))
        self.query_one("#faults", Rows).show(
            lambda width, height: fault_rows(self.movement.faults, self.chosen, width, height)
        )
        confirmed = f"Not confirmed: {self.movement.unconfirmed}" if self.movement.unconfirmed else ""
        texts = [visible(text) for text in (self.movement.source, confirmed) if text]
        self.query_one("#source", Static).update("\n".join(texts))
        self._show_words()
        self._show_keys()

    def _show_words(self) -> None:
        beat = self.shown.at(self.beat)
        lines = now_lines(self.shown, beat, self.deck.unit)
        if self.fault is not None:
            brief = self.size.height < ROOMY
            lines = [lines[0], *flaw_lines(self.fault, self.comparison, self.beat, self.deck.unit, brief=brief)]
        self.query_one("#now", Static).update(content(lines))

    def _show_keys(self) -> None:
        several = len(starts(self.deck, self.movement)) > 1
        zoom = "last steps" if self.query_one(Soles).whole else "whole path"
        self.query_one(KeyLine).show(
            (
                ("n p", "movement"),
                ("l", "list"),
                ("v", "play"),
                *((("b", "call"),) if self._call else ()),
                *((("e", "see faults"),) if self._see else ()),
                ("z", zoom),
                *((("f", "other start"),) if several else ()),
                ("c", "cautions"),
                ("?", "help"),
                ("esc", "back"),
            )
        )
