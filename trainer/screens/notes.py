"""A sheet of plain text over the screen: the keys, the cautions, the sources."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.content import Content
from textual.screen import ModalScreen
from textual.widgets import Static

from trainer.plain import visible
from trainer.screens.widgets.keys import KeyLine, Keys

BACK = (("esc", "back"),)
AROUND = 3

Section = tuple[str, Sequence[str]]


class Notes(ModalScreen[None]):
    """Sections of text, each with a heading and its paragraphs of one or more lines; text is never markup."""

    DEFAULT_CSS = """
    Notes { align: center middle; }
    Notes > Vertical { width: 72; max-width: 92%; height: auto; max-height: 90%; background: $panel; padding: 1 2 0 2; }
    Notes VerticalScroll { height: auto; scrollbar-size-vertical: 1; }
    Notes .heading { color: $brass; text-style: bold; }
    Notes .paragraph { margin-bottom: 1; }
    Notes KeyLine { dock: none; padding: 0; margin-bottom: 1; }
    Notes.-long > Vertical { height: 90%; }
    Notes.-long VerticalScroll { height: 1fr; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Close", show=False)]

    def __init__(self, sections: Sequence[Section], keys: Keys = (), purpose: str = "", signs: Keys = ()) -> None:
        super().__init__()
        self._sections, self._keys = sections, keys
        self._purpose, self._signs = purpose, signs

    def compose(self) -> ComposeResult:
        """Lay out the sections that have something to say."""
        with Vertical():
            with VerticalScroll():
                if self._purpose:
                    yield Static(self._purpose, classes="paragraph", markup=False)
                for heading, table in (("Keys", self._keys), ("Signs", self._signs)):
                    if table:
                        yield Static(heading, classes="heading", markup=False)
                        yield Static(_table(table), classes="paragraph")
                for heading, paragraphs in self._sections:
                    if any(paragraphs):
                        yield Static(heading, classes="heading", markup=False)
                        for text in paragraphs:
                            yield Static(visible(text, lines=True), classes="paragraph", markup=False)
            yield KeyLine(BACK)

    def on_mount(self) -> None:
        """Give a long text a window to scroll in, once its length is known."""
        self.call_after_refresh(self._fit)

    def on_resize(self) -> None:
        """Fit the text to another window."""
        self.call_after_refresh(self._fit)

    def _fit(self) -> None:
        inside = self.query_one(VerticalScroll)
        # Around the text stand the padding, and the line of keys with the row below it.
        long = inside.virtual_size.height + AROUND > self.size.height * 9 // 10
        self.set_class(long, "-long")
        self.query_one(KeyLine).show((("↑↓", "scroll"), *BACK) if long else BACK)


def _table(keys: Keys) -> Content:
    return Content("\n").join([Content.assemble((f"{key:<12}", "bold $foreground"), does) for key, does in keys])
