"""Pictures that are drawn before they are due, so that on the beat one only takes the place of the other."""

from collections.abc import Callable, Hashable, Iterable, Sequence

from textual.geometry import Region
from textual.strip import Strip
from textual.visual import Visual
from textual.widget import Widget

from trainer.screens.widgets.spans import Row, content

Draw = Callable[[int, int], Sequence[Row]]
"""What a picture looks like in so many columns and rows."""
NOTHING = ""
"""The key of an empty picture."""


class Film(Widget):
    """A number of pictures, each under a key, one of which is shown; `turn` changes only the cells that differ."""

    DEFAULT_CSS = """
    Film { text-wrap: nowrap; text-overflow: clip; }
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._draw: Callable[[Hashable], Draw] | None = None
        self._key: Hashable = NOTHING
        self._ready: dict[Hashable, list[Strip]] = {}
        self._made_for: tuple[object, ...] = ()

    @property
    def key(self) -> Hashable:
        """The picture that is shown."""
        return self._key

    def load(self, draw: Callable[[Hashable], Draw], key: Hashable, ahead: Iterable[Hashable] = ()) -> None:
        """Take other pictures into use.

        Args:
            draw: returns the picture of a key.
            key: the picture to show first.
            ahead: keys of pictures to draw now.
        """
        self._draw, self._key, self._ready = draw, key, {}
        self.refresh(layout=True)
        wanted = tuple(ahead)
        self.call_after_refresh(lambda: self.prepare(wanted))

    def prepare(self, keys: Iterable[Hashable]) -> None:
        """Draw pictures before they are due."""
        for key in keys:
            self._picture(key)

    def turn(self, key: Hashable) -> None:
        """Show another picture; only what differs is painted anew."""
        if key == self._key:
            return
        before, self._key = self._picture(self._key), key
        spots = changed(before, self._picture(key))
        if spots:
            left, top = self.gutter.left, self.gutter.top
            self.refresh(*(spot.translate((left, top)) for spot in spots))

    def render_line(self, y: int) -> Strip:
        """Return one line of the picture that is shown."""
        picture = self._picture(self._key)
        if y < len(picture):
            return picture[y]
        return Strip.blank(self.content_size.width, self.rich_style)

    def get_content_height(self, container: object, viewport: object, width: int) -> int:  # noqa: ARG002
        """Return the rows of the picture that is shown, where its height is left to it."""
        return len(self._draw(self._key)(width, 0)) if self._draw else 0

    def _picture(self, key: Hashable) -> list[Strip]:
        width, height = self.content_size
        made_for = (width, height, self.app.theme)
        if made_for != self._made_for:
            self._made_for, self._ready = made_for, {}
        if key not in self._ready:
            rows = self._draw(key)(width, height) if self._draw and width and height else ()
            self._ready[key] = Visual.to_strips(self, content(rows), width, height, self.visual_style)
        return self._ready[key]


def changed(before: Sequence[Strip], after: Sequence[Strip]) -> list[Region]:
    """Return the parts of lines that differ between two pictures; all of a line where its length differs."""
    spots = []
    for y in range(max(len(before), len(after))):
        old = before[y] if y < len(before) else None
        new = after[y] if y < len(after) else None
        if old == new:
            continue
        width = max(strip.cell_length for strip in (old, new) if strip is not None)
        if old is None or new is None or old.cell_length != new.cell_length:
            spots.append(Region(0, y, width, 1))
            continue
        start, end = _apart(old, new)
        spots.append(Region(start, y, max(end - start, 1), 1))
    return spots


def _apart(old: Strip, new: Strip) -> tuple[int, int]:
    """Return the columns from the first to after the last cell that differs."""
    one, two = (_cells(strip) for strip in (old, new))
    differ = [column for column, pair in enumerate(zip(one, two, strict=True)) if pair[0] != pair[1]]
    return (differ[0], differ[-1] + 1) if differ else (0, new.cell_length)


def _cells(strip: Strip) -> list[object]:
    found: list[object] = [(char, segment.style) for segment in strip for char in segment.text]
    # Characters of two columns or of none make places and columns differ; then the whole line counts as one.
    return found if len(found) == strip.cell_length else [tuple(found)] * strip.cell_length
