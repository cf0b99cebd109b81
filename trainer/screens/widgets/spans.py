"""Rows of styled text: what the pure drawings return, whatever shows them.

A role says what a piece of text is (chalk line, left foot, pointer); the theme says how it looks.
"""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from trainer.plain import columns

if TYPE_CHECKING:
    from textual.content import Content

INK, FAINT, LINE, BRASS = "ink", "faint", "line", "brass"
LEFT_SOLE, RIGHT_SOLE, STRONG, WRONG = "left sole", "right sole", "strong", "wrong"

STYLES = {
    INK: "$foreground",
    STRONG: "bold $foreground",
    FAINT: "$faint",
    LINE: "$chalk-line",
    BRASS: "bold $brass",
    LEFT_SOLE: "$left-sole",
    RIGHT_SOLE: "$right-sole",
    WRONG: "bold $no-go",
}
"""The style of every role, in the theme's variables."""


class Span(NamedTuple):
    """A piece of text with its role."""

    text: str
    role: str = INK


Row = tuple[Span, ...]


def row_text(row: Iterable[Span]) -> str:
    """Return a row without its roles."""
    return "".join(span.text for span in row)


class Line:
    """One row of cells under construction: text is put at a column, later text covers earlier.

    A wide character takes two cells; a cell of it that is covered leaves a space, so that every
    column stays where the layout has it.
    """

    def __init__(self, width: int) -> None:
        self.cells: list[tuple[str, str]] = [(" ", INK)] * width

    def put(self, column: int, text: str, role: str) -> int:
        """Write text that `visible` has passed from a column on, cut at the edges; return the next column."""
        for char in text:
            size = columns(char)
            if size == 0:
                if 0 < column <= len(self.cells):
                    # A wide character stands in the first of its two cells; its mark belongs there too.
                    at = column - 2 if column > 1 and not self.cells[column - 1][0] else column - 1
                    base, old = self.cells[at]
                    self.cells[at] = (base + char, old)
                continue
            if column >= 0 and column + size <= len(self.cells):
                self._free(column, size)
                self.cells[column] = (char, role)
                if size == 2:
                    self.cells[column + 1] = ("", role)
            column += size
        return column

    def row(self) -> Row:
        """Return the line as spans, neighbours of one role joined."""
        spans: list[Span] = []
        for text, role in self.cells:
            if spans and (spans[-1].role == role or not text):
                spans[-1] = Span(spans[-1].text + text, spans[-1].role)
            else:
                spans.append(Span(text, role))
        return tuple(spans)

    def _free(self, column: int, size: int) -> None:
        if self.cells[column][0] == "" and column:
            self.cells[column - 1] = (" ", INK)
        end = column + size
        if end < len(self.cells) and self.cells[end][0] == "":
            self.cells[end] = (" ", INK)


def content(rows: Sequence[Row]) -> "Content":
    """Return rows as Textual content; nothing in them is read as markup."""
    from textual.content import Content

    pieces: list[tuple[str, str]] = []
    for number, row in enumerate(rows):
        if number:
            pieces.append(("\n", ""))
        pieces += [(span.text, STYLES[span.role]) for span in row]
    return Content.assemble(*pieces)
