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

Section = tuple[str, Sequence[str]]


class Notes(ModalScreen[None]):
    """Sections of text, each with a heading and its paragraphs; text is shown as it is, never as markup."""

    DEFAULT_CSS = """
    Notes { align: center middle; }
    Notes > Vertical { width: 72; max-width: 92%; height: auto; max-height: 90%; background: $panel; padding: 1 2 0 2; }
    Notes VerticalScroll { height: auto; max-height: 100%; scrollbar-size-vertical: 1; }
    Notes .heading { color: $brass; text-style: bold; }
    Notes .paragraph { margin-bottom: 1; }
    Notes KeyLine { dock: none; padding: 0; margin-bottom: 1; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "dismiss", "Close", show=False)]

    def __init__(self, sections: Sequence[Section], keys: Keys = ()) -> None:
        super().__init__()
        self._sections, self._keys = sections, keys

    def compose(self) -> ComposeResult:
        """Lay out the sections that have something to say."""
        with Vertical():
            with VerticalScroll():
                if self._keys:
                    yield Static("Keys", classes="heading", markup=False)
                    yield Static(_table(self._keys), classes="paragraph")
                for heading, paragraphs in self._sections:
                    if any(paragraphs):
                        yield Static(heading, classes="heading", markup=False)
                        for text in paragraphs:
                            yield Static(visible(text), classes="paragraph", markup=False)
            yield KeyLine((("↑↓", "scroll"), ("esc", "close")))


def _table(keys: Keys) -> Content:
    return Content("\n").join([Content.assemble((f"{key:<12}", "bold $foreground"), does) for key, does in keys])
