"""A widget that is as high as the rows that a function draws for its width."""

from collections.abc import Callable, Sequence

from textual.content import Content
from textual.widget import Widget

from trainer.screens.feedback import RIGHT_ROLE
from trainer.screens.widgets.spans import STYLES, Row

Draw = Callable[[int], Sequence[Row]]
ROLES = STYLES | {RIGHT_ROLE: "bold $go"}


def styled(rows: Sequence[Row]) -> Content:
    """Return rows as content; nothing in them is read as markup."""
    lines = [Content.assemble(*((span.text, ROLES[span.role]) for span in row)) for row in rows]
    return Content("\n").join(lines)


class Flow(Widget):
    """Rows drawn for a width; nothing in them is read as markup."""

    DEFAULT_CSS = """
    Flow { height: auto; text-wrap: nowrap; text-overflow: clip; }
    """

    def __init__(self, draw: Draw | None = None, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._draw = draw

    def show(self, draw: Draw) -> None:
        """Show what another function draws."""
        self._draw = draw
        self.refresh(layout=True)

    def rows(self, width: int) -> list[Row]:
        """Return the rows at a width."""
        return list(self._draw(width)) if self._draw and width > 0 else []

    def render(self) -> Content:
        """Draw the rows."""
        return styled(self.rows(self.content_size.width))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:  # noqa: ARG002
        """Return the number of rows."""
        return len(self.rows(width))
