"""The plan to the test in words, what more time would change, and how past forecasts did."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen

from trainer.screens.answers import hanging
from trainer.screens.flow import Flow
from trainer.screens.head import Head
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.spans import FAINT, INK, STRONG, Row, Span

READING = 96
KEYS = (("q esc", "back"), ("?", "help"))

Section = tuple[str, Sequence[str]]


class PlanScreen(Screen[None]):
    """Sections of what is planned and what was forecast; closes with escape.

    Args:
        title: whose plan.
        where: the deck's title.
        sections: headings with their lines.
    """

    CSS_PATH = "readiness.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "The plan follows your habit of the last three weeks, sittings kept and missed, to the test date. It puts "
        "practice where it turns a NO-GO into a GO; where the rule allows it, a hopeless measure is let go. Below, "
        "what the forecasts said before answers and tests, and how these came out."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,p", "close", "Back", id="plan.back", show=False, tooltip="Back to Readiness"),
        Binding("up", "scroll(-1)", "Up", id="plan.up", show=False, tooltip="Scroll up"),
        Binding("down", "scroll(1)", "Down", id="plan.down", show=False, tooltip="Scroll down"),
        Binding("pageup", "scroll(-10)", "Page up", id="plan.pageup", show=False, tooltip="Scroll up by a page"),
        Binding("pagedown", "scroll(10)", "Page down", id="plan.pagedown", show=False, tooltip="Scroll by a page"),
    ]

    def __init__(self, title: str, where: str, sections: Sequence[Section]) -> None:
        super().__init__()
        self._title, self._where, self.sections = title, where, sections

    def compose(self) -> ComposeResult:
        """Lay out head, page and keys."""
        yield Head(self._title, self._where)
        with VerticalScroll(id="page", can_focus=False):
            yield Flow(lambda width: section_rows(self.sections, min(width, READING)))
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


def section_rows(sections: Sequence[Section], width: int) -> list[Row]:
    """Return sections as rows; a line that begins with blanks is told under the one before it."""
    rows: list[Row] = []
    for heading, lines in sections:
        rows += [(), (Span(heading, STRONG),)] if rows else [(Span(heading, STRONG),)]
        for line in lines:
            if line.startswith("  "):
                rows += hanging((Span("  "),), line.strip(), width, FAINT)
            else:
                rows += [(Span(text, INK),) for text in wrapped(line, width)]
    return rows
