"""A widget that shows rows drawn by a pure function of its size."""

from collections.abc import Callable, Sequence

from textual.content import Content
from textual.widget import Widget

from trainer.screens.widgets.spans import Row, content

Draw = Callable[[int, int], Sequence[Row]]


class Rows(Widget):
    """Rows that a function draws for a width and a height in cells."""

    DEFAULT_CSS = """
    Rows { text-wrap: nowrap; text-overflow: clip; }
    """

    def __init__(self, draw: Draw | None = None, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._draw = draw

    def show(self, draw: Draw) -> None:
        """Show what another function draws."""
        self._draw = draw
        self.refresh()

    def render(self) -> Content:
        """Draw the rows."""
        width, height = self.content_size
        return content(self._draw(width, height)) if self._draw and width and height else Content("")
