"""What a mock test came to."""

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen

from trainer.coach.mock import MockResult
from trainer.drill.deck import Deck
from trainer.screens.feedback import head_rows
from trainer.screens.flow import Flow
from trainer.screens.mock_rows import result_rows
from trainer.screens.widgets.keys import KeyLine

READING = 96
KEYS = (("enter q", "back"), ("?", "help"))


class MockEndScreen(Screen[None]):
    """The verdict of a mock test, its measures, what was not right; any of its keys closes it."""

    CSS_PATH = "mock.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "What the mock test came to by the deck's own rule, over the minor measures alone; what the forecast had said "
        "before it; every question that was not right, with what is."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,escape,q", "close", "Back", id="mock-end.back", show=False, tooltip="Back to Today"),
        Binding("up", "scroll(-1)", "Up", id="mock-end.up", show=False, tooltip="Scroll up"),
        Binding("down", "scroll(1)", "Down", id="mock-end.down", show=False, tooltip="Scroll down"),
        Binding("pageup", "scroll(-10)", "Page up", id="mock-end.pageup", show=False, tooltip="Scroll up by a page"),
        Binding("pagedown", "scroll(10)", "Page down", id="mock-end.pagedown", show=False, tooltip="Scroll by a page"),
    ]

    def __init__(self, deck: Deck, result: MockResult) -> None:
        super().__init__()
        self._deck, self.result = deck, result

    def compose(self) -> ComposeResult:
        """Lay out head, page and keys."""
        told = f"Mock test   {self.result.questions} questions, {self.result.all_right} wholly right"
        yield Flow(lambda width: head_rows(told, "", self._deck.title, 1.0, width), id="head")
        with VerticalScroll(id="page", can_focus=False):
            yield Flow(lambda width: result_rows(self._deck, self.result, min(width, READING)))
        yield KeyLine(KEYS)

    def on_mount(self) -> None:
        """Tell of scrolling once it is known whether there is anything to scroll."""
        self.call_after_refresh(self._show_keys)

    def on_resize(self) -> None:
        """Tell of scrolling where the page no longer fits."""
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        scrolls = self.query_one("#page", VerticalScroll).max_scroll_y > 0
        self.query_one(KeyLine).show((("↑↓", "scroll"), *KEYS) if scrolls else KEYS)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)

    def action_scroll(self, by: int) -> None:
        """Scroll the page by some rows."""
        self.query_one("#page", VerticalScroll).scroll_relative(y=by, animate=False)
