"""A page to read: a head, rows to scroll through, the keys."""

from collections.abc import Iterable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widget import Widget

from trainer.screens.flow import Flow
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.screens.widgets.spans import Row


class ScrolledPage(Screen[None]):
    """What all pages to read share; one says its head and its rows, and which keys it has besides."""

    AUTO_FOCUS = ""
    DEFAULT_CSS = """
    ScrolledPage #page { height: 1fr; padding: 0 1; }
    """
    KEYS: ClassVar[Keys] = (("q esc", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "close", "Back", id="page.back", show=False, tooltip="Back to where you came from"),
        Binding("up", "scroll(-1)", "Up", id="page.up", show=False, tooltip="Scroll up"),
        Binding("down", "scroll(1)", "Down", id="page.down", show=False, tooltip="Scroll down"),
        Binding("pageup", "scroll(-10)", "Page up", id="page.pageup", show=False, tooltip="Scroll up by a page"),
        Binding("pagedown", "scroll(10)", "Page down", id="page.pagedown", show=False, tooltip="Scroll by a page"),
    ]

    # What a page must say for itself.

    def head(self) -> Widget:
        """Return the head of the page."""
        raise NotImplementedError

    def rows(self, width: int) -> list[Row]:
        """Return everything that is told, at a width."""
        raise NotImplementedError

    def foot(self) -> Iterable[Widget]:
        """Return what stands between the page and the keys."""
        return ()

    @property
    def keys(self) -> Keys:
        """The keys of the page besides those that scroll."""
        return self.KEYS

    def compose(self) -> ComposeResult:
        """Lay out head, page and keys."""
        yield self.head()
        with VerticalScroll(id="page", can_focus=False):
            yield Flow(self.rows, id="rows")
        yield from self.foot()
        yield KeyLine(self.keys)

    def on_mount(self) -> None:
        """Tell of scrolling once it is known whether there is anything to scroll."""
        self.call_after_refresh(self.show_keys)

    def on_resize(self) -> None:
        """Tell of scrolling where the page no longer fits."""
        self.call_after_refresh(self.show_keys)

    def show_keys(self) -> None:
        """Show the keys that work on the page as it is."""
        scrolls = self.query_one("#page", VerticalScroll).max_scroll_y > 0
        self.query_one(KeyLine).show((("↑↓", "scroll"), *self.keys) if scrolls else self.keys)

    def redraw(self) -> None:
        """Draw the rows anew."""
        self.query_one("#rows", Flow).refresh(layout=True)
        self.call_after_refresh(self.show_keys)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)

    def action_scroll(self, by: int) -> None:
        """Scroll the page by some rows."""
        self.query_one("#page", VerticalScroll).scroll_relative(y=by, animate=False)
