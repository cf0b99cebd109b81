"""The Cautions screen: what to take care of, read before the first sitting and at any time."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from trainer.coach.cautions import FIRST_OF_ALL
from trainer.drill.deck import Deck
from trainer.plain import visible
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine


class CautionsText(VerticalScroll):
    """A deck's cautions and sources, to scroll through."""

    def __init__(self, deck: Deck) -> None:
        super().__init__()
        self._deck = deck

    def compose(self) -> ComposeResult:
        """Lay out what comes first of all, the cautions, the sources."""
        yield Static(FIRST_OF_ALL, classes="first", markup=False)
        if not self._deck.cautions:
            yield Static("This deck names no cautions of its own.", classes="hint", markup=False)
        for number, caution in enumerate(self._deck.cautions, 1):
            with Horizontal(classes="caution"):
                yield Static(str(number), classes="number", markup=False)
                yield Static(visible(caution), markup=False)
        if self._deck.sources:
            yield Static("Sources", classes="heading", markup=False)
        for source in self._deck.sources:
            yield Static(visible(source), classes="hint source", markup=False)


class CautionsScreen(Screen[bool]):
    """Shows the cautions; asked to, it closes with whether they were acknowledged."""

    CSS_PATH = "cautions.tcss"
    HELP = (
        "The cautions that the deck's author gives, and the sources of the standard. They are shown before the first "
        "sitting on a deck and whenever their text changes."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "acknowledge", "I have read them", id="cautions.read", show=False),
        Binding("escape,q", "leave", "Back", id="cautions.back", show=False),
        Binding("x", "leave", "Back", show=False),
    ]

    def __init__(self, deck: Deck, ask: bool = False) -> None:
        super().__init__()
        self._deck, self._ask = deck, ask

    def compose(self) -> ComposeResult:
        """Lay out the cautions over the keys."""
        yield Head("Cautions", self._deck.title)
        yield CautionsText(self._deck)
        yield KeyLine()

    def on_mount(self) -> None:
        """Tell of scrolling once it is known whether there is anything to scroll."""
        self.call_after_refresh(self._show_keys)

    def on_resize(self) -> None:
        """Tell of scrolling where the text no longer fits."""
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        read = (("enter", "I have read them"),) if self._ask else ()
        scroll = (("↑↓", "scroll"),) if self.query_one(CautionsText).max_scroll_y > 0 else ()
        self.query_one(KeyLine).show((*read, *scroll, ("q esc", "back"), ("?", "help")))

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to acknowledge only where it is asked for."""
        return self._ask if action == "acknowledge" else super().check_action(action, parameters)

    def action_acknowledge(self) -> None:
        """Close; they were read."""
        self.dismiss(True)

    def action_leave(self) -> None:
        """Close; they were not acknowledged."""
        self.dismiss(False)
