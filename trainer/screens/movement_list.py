"""All movements of a deck to pick one from."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.drill.deck import Deck
from trainer.drill.movement import Movement
from trainer.plain import clip, columns, visible
from trainer.screens.choices import CHOSEN, Choices
from trainer.screens.widgets.keys import KeyLine

NAME, CALLED = 30, 12
"""Columns of the names and of the foot of the call."""


def movement_line(movement: Movement) -> Content:
    """Return one movement as a line: its name, where the call falls, what it leads from and to."""
    name = clip(visible(movement.name), NAME - 2)
    called = clip(visible(movement.cued_by) if movement.cued_by else movement.called_on, CALLED - 2)
    stances = f"{', '.join(map(visible, movement.from_stances))} to {visible(movement.to)}"
    gaps = " " * (NAME - columns(name)), " " * (CALLED - columns(called))
    return Content.assemble(name, gaps[0], called, gaps[1], (stances, "$faint"))


class MovementList(Screen[str | None]):
    """Pick a movement; closes with its id, or None."""

    CSS_PATH = "movement.tcss"
    HELP = (
        "All movements of the deck: its name, the foot on which its last word falls (or the cue that starts it), and "
        "the stances that it leads from and to."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "Back", show=False)]

    def __init__(self, deck: Deck, chosen: str | None = None) -> None:
        super().__init__()
        self.deck, self._chosen = deck, chosen

    def compose(self) -> ComposeResult:
        """Lay out the list under the deck's title."""
        titles = (
            " " * (len(CHOSEN) + 1)
            + f"{len(self.deck.movements)} movements".ljust(NAME)
            + "called on".ljust(CALLED)
            + "from and to"
        )
        yield Static(Content.assemble((visible(self.deck.title), "bold"), "\n", (titles, "$faint")), id="head")
        yield Choices(*(Option(movement_line(one), id=one.id) for one in self.deck.movements), markup=False)
        yield KeyLine((("↑↓", "choose"), ("enter", "open"), ("esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Start on the movement that was open."""
        ids = [one.id for one in self.deck.movements]
        self.query_one(OptionList).highlighted = ids.index(self._chosen) if self._chosen in ids else 0

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """Hand back the chosen movement."""
        self.dismiss(event.option_id)

    def action_leave(self) -> None:
        """Close without a choice."""
        self.dismiss(None)
