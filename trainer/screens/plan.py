"""The plan to the test in words, what more time would change, and how past forecasts did."""

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from trainer.screens.head import Head
from trainer.screens.page import ScrolledPage
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.spans import FAINT, INK, STRONG, Row, Span

READING = 96

Section = tuple[str, Sequence[str]]


class PlanScreen(ScrolledPage):
    """Sections of what is planned and what was forecast; closes with escape.

    Args:
        title: whose plan.
        where: the deck's title.
        sections: headings with their lines.
    """

    HELP = (
        "The plan follows your habit of the last three weeks, sittings kept and missed, to the test date. It puts "
        "practice where it turns a NO-GO into a GO; where the rule allows it, a hopeless measure is let go. Below, "
        "what the forecasts said before answers and tests, and how these came out."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("p", "close", "Back", id="plan.back", show=False, tooltip="Back to Readiness")
    ]

    def __init__(self, title: str, where: str, sections: Sequence[Section]) -> None:
        super().__init__()
        self._title, self._where, self.sections = title, where, sections

    def head(self) -> Head:
        """Return whose plan it is, on which deck."""
        return Head(self._title, self._where)

    def rows(self, width: int) -> list[Row]:
        """Return the sections."""
        return section_rows(self.sections, min(width, READING))


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
