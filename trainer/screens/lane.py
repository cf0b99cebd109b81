"""The Lane screen: the order of commands that fits a surface, seen from above and stepped through."""

from collections.abc import Mapping
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.screen import Screen
from textual.widgets import Static
from textual.worker import get_current_worker

from trainer.coach.candidate import CandidateError
from trainer.coach.here import here, keep_here
from trainer.drill.deck import Deck
from trainer.drill.lane.asked import Asked, sheet_trials
from trainer.drill.lane.fit import StoppedError, misfit, misfit_lines
from trainer.drill.lane.path import Tread, treads
from trainer.drill.lane.plan import Plan, plan
from trainer.drill.lane.script import script_lines, told_apart
from trainer.drill.lane.surface import LaneError, Surface, in_feet, parse_surface, unit_typed
from trainer.drill.length import Length
from trainer.paths import Home
from trainer.plain import visible
from trainer.screens.change import AskScreen
from trainer.screens.fields import TextField
from trainer.screens.head import Head
from trainer.screens.lane_rows import command_rows, draw_lane, lane_title, sum_rows
from trainer.screens.notes import Notes
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows

KEPT = "lane"
USUAL = "120 ft x 60 ft"
"""Offered first: it holds the whole sheet of every shipped deck."""
MARGIN = Length(6.0, "in")
"""Half a sole: footprints leave the space between the feet out of account."""
ASK = (
    "The two sides of the marching surface, x to the right and y forward as you look at it from the near left corner. "
    "The candidate begins looking along the longer side."
)
PLANNING = "Planning…"
LOOKING = "No order was found; looking for what does not fit and for a surface that would do…"

Read = tuple[str, tuple[float, float]]
"""A surface as it was typed, and its sides in the deck's unit."""


def keep_order(home: Home, deck: Deck, plan: Plan) -> None:
    """Keep in which order a plan tests the measures, for the next run that is graded."""
    keep_here(home, f"order {deck.id}", ",".join(command.movement for command in plan.commands if command.trial))


def kept_order(home: Home, deck: Deck) -> tuple[str, ...]:
    """Return the order of the lane that was planned last, empty where there is none that fits the deck."""
    order = tuple(one for one in here(home).get(f"order {deck.id}", "").split(",") if one)
    minors = deck.grade_sheet.minors if deck.grade_sheet else ()
    return order if set(order) == set(minors) else ()


class LaneScreen(Screen[None]):
    """The plan of a surface for a deck's grade sheet.

    Args:
        deck: the deck.
        home: where the last surface is kept; None to keep nothing.
        wanted: how often each movement is to be tested; None for what the grade sheet says.
    """

    CSS_PATH = "lane.tcss"
    AUTO_FOCUS = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (104, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-tight"), (24, "-roomy")]  # noqa: RUF012
    HELP = (
        "The order of commands that tests every measure as often as the sheet says, in the least time that was found, "
        "without a foot leaving the surface. S is the start, the arrow where the command in hand ends and looks. Some "
        "commands only lead on to the next and count for no trial."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "step(-1)", "Command before", id="lane.before", show=False),
        Binding("right", "step(1)", "Next command", id="lane.next", show=False),
        Binding("home", "end(0)", "First command", id="lane.first", show=False),
        Binding("end", "end(-1)", "Last command", id="lane.last", show=False),
        Binding("s", "surface", "Another surface", id="lane.surface", show=False),
        Binding("t", "script", "What is said, as a script", id="lane.script", show=False),
        Binding("c", "cautions", "Cautions", id="lane.cautions", show=False),
        Binding("escape,q", "leave", "Back", id="lane.back", show=False),
    ]

    def __init__(self, deck: Deck, home: Home | None = None, wanted: Mapping[str, int] | None = None) -> None:
        super().__init__()
        self.deck, self._home, self._wanted = deck, home, wanted
        self.plan: Plan | None = None
        self.number = 0
        self._text = (here(home).get(KEPT) if home else None) or USUAL
        self._walked: tuple[Tread, ...] = ()

    def compose(self) -> ComposeResult:
        """Lay out head, sum, surface and command."""
        yield Head(self.deck.title, "")
        yield Rows(id="sum")
        yield Static(id="told", markup=False)
        with Horizontal(id="below"):
            yield Rows(id="surface")
            yield Rows(id="command")
        yield KeyLine(
            (
                ("← →", "command"),
                ("s", "surface"),
                ("t", "script"),
                ("c", "cautions"),
                ("?", "help"),
                ("q esc", "back"),
            )
        )

    def on_mount(self) -> None:
        """Plan for the last surface."""
        self._plan(self._text)

    def action_step(self, by: int) -> None:
        """Go to the next command or the one before."""
        if self.plan is not None:
            self.number = min(max(self.number + by, 0), len(self.plan.commands) - 1)
            self._show()

    def action_end(self, index: int) -> None:
        """Go to the first (0) or the last (-1) command."""
        if self.plan is not None:
            self.number = index % len(self.plan.commands)
            self._show()

    def action_surface(self) -> None:
        """Ask for another surface."""

        def field() -> TextField:
            return TextField(ASK, self._read, self._hint, self._text, placeholder=f"like {USUAL}")

        self.app.push_screen(AskScreen("Surface", field), self._chosen)

    def action_script(self) -> None:
        """Show what is said, by whom, on which step."""
        if self.plan is not None:
            groups = told_apart(script_lines(self.deck, self.plan))
            self.app.push_screen(Notes([("Script", ["\n".join(map(visible, lines)) for lines in groups])]))

    def action_cautions(self) -> None:
        """Show the deck's cautions."""
        self.app.push_screen(Notes([("Cautions", list(self.deck.cautions))]))

    def action_leave(self) -> None:
        """Close the screen."""
        self.dismiss(None)

    def _read(self, text: str) -> Read:
        try:
            return text.strip(), parse_surface(text, self.deck.unit)
        except LaneError as error:
            raise CandidateError(visible(str(error))) from None

    def _hint(self, read: Read) -> str:
        unit = unit_typed(read[0], self.deck.unit)
        x, y = (in_feet(Length(side, self.deck.unit).to(unit), unit) for side in read[1])
        return f"{x} to the right, {y} forward"

    def _chosen(self, read: Read | None) -> None:
        if read is not None:
            self._plan(read[0])

    def _plan(self, text: str) -> None:
        """Begin to plan for a surface; it takes a second or so, and the screen stays alive."""
        try:
            sides = parse_surface(text, self.deck.unit)
            wanted = self._wanted if self._wanted is not None else sheet_trials(self.deck)
        except LaneError as error:
            self._tell(str(error))
            return
        self._text = text
        if self._home is not None:
            keep_here(self._home, KEPT, text)
        asked = Asked(wanted, Surface(*sides, MARGIN.to(self.deck.unit)))
        self.plan, self._walked, self.number = None, (), 0
        self._tell(PLANNING, busy=True)
        self._show(asked.surface)
        self._work(asked)

    @work(thread=True, exclusive=True, exit_on_error=False)
    def _work(self, asked: Asked) -> None:
        worker = get_current_worker()
        try:
            found = plan(self.deck, asked)
            walked = treads(self.deck, found) if found else ()
            if not worker.is_cancelled:
                self.app.call_from_thread(self._planned, found, walked)
            if found is None and not worker.is_cancelled:
                lines = misfit_lines(self.deck, asked, misfit(self.deck, asked, lambda: not worker.is_cancelled))
                self.app.call_from_thread(self._tell, "\n".join(lines))
        except StoppedError:
            return
        except LaneError as error:
            if not worker.is_cancelled:
                self.app.call_from_thread(self._tell, str(error))

    def _planned(self, found: Plan | None, walked: tuple[Tread, ...]) -> None:
        self.plan, self._walked = found, walked
        self._tell("" if found else LOOKING, busy=True)
        if found is not None:
            if self._home is not None and self._wanted is None:
                keep_order(self._home, self.deck, found)
            self._show(found.asked.surface)

    def _tell(self, text: str, *, busy: bool = False) -> None:
        told = self.query_one("#told", Static)
        told.set_class(busy, "-busy")
        told.update(visible(text, lines=True))
        told.display = bool(text)

    def _show(self, surface: Surface | None = None) -> None:
        """Show the command in hand; another surface if one is given."""
        found, number = self.plan, self.number
        if surface is None and found is not None:
            surface = found.asked.surface
        if surface is None:
            return
        bare, walked = surface, self._walked
        self.query_one(Head).say(self.deck.title, lane_title(self.deck, bare, unit_typed(self._text, self.deck.unit)))
        self.query_one("#surface", Rows).show(
            lambda width, height: draw_lane(bare, found, walked, number, width, height)
        )
        self.query_one("#sum", Rows).show(lambda width, _: sum_rows(found, width) if found else [])
        self.query_one("#command", Rows).show(
            lambda width, height: command_rows(self.deck, found, number, width, height) if found else []
        )
