"""The line of keys at the foot of a screen: the key bold, what it does beside it."""

from collections.abc import Sequence

from textual.content import Content
from textual.widget import Widget

from trainer.plain import columns
from trainer.screens.widgets.spans import FAINT, STRONG, Row, Span, content

Keys = Sequence[tuple[str, str]]
GAP = "  "


def key_rows(keys: Keys, width: int) -> list[Row]:
    """Return keys and what they do, wrapped between keys at a width."""
    rows: list[list[Span]] = [[]]
    used = 0
    for key, does in keys:
        size = columns(key) + 1 + columns(does)
        if rows[-1] and used + len(GAP) + size > width:
            rows.append([])
            used = 0
        if rows[-1]:
            rows[-1].append(Span(GAP))
            used += len(GAP)
        rows[-1] += [Span(key, STRONG), Span(f" {does}", FAINT)]
        used += size
    return [tuple(row) for row in rows]


class KeyLine(Widget):
    """The keys of a screen, as pairs of key and what it does; two rows where one is too short."""

    DEFAULT_CSS = """
    KeyLine { dock: bottom; height: auto; padding: 0 1; text-wrap: nowrap; }
    """

    def __init__(self, keys: Keys = (), *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._keys = keys

    def show(self, keys: Keys) -> None:
        """Show other keys."""
        if keys != self._keys:
            self._keys = keys
            self.refresh(layout=True)

    def render(self) -> Content:
        """Draw the line."""
        return content(key_rows(self._keys, self.content_size.width))

    def get_content_height(self, container: object, viewport: object, width: int) -> int:  # noqa: ARG002
        """Return the rows that the keys take."""
        return len(key_rows(self._keys, width))
