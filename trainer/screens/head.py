"""The head of a page: its name at the left, where one is at the right, over a chalk line."""

from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import spread
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.spans import FAINT, LINE, STRONG, Row, Span


def page_head(title: str, where: str, width: int) -> list[Row]:
    """Return the two rows of a page's head."""
    name = clip(visible(title), width)
    room = max(width - columns(name) - 3, 0)
    return [
        spread([Span(name, STRONG)], [Span(clip(visible(where), room), FAINT)], width),
        (Span("─" * width, LINE),),
    ]


class Head(Rows):
    """The head of a page."""

    DEFAULT_CSS = """
    Head { height: 3; padding: 0 1; }
    """

    def __init__(self, title: str, where: str = "") -> None:
        super().__init__(lambda width, _: page_head(title, where, width))

    def say(self, title: str, where: str = "") -> None:
        """Show another title."""
        self.show(lambda width, _: page_head(title, where, width))
