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
    """A number of pictures, each under a key, one of which is shown; `turn` paints only the lines that differ."""

    DEFAULT_CSS = """
    Film { text-wrap: nowrap; text-overflow: clip; }
    """

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._draw: Callable[[Hashable], Draw] | None = None
        self._key: Hashable = NOTHING
        self._ready: dict[Hashable, list[Strip]] = {}
        self._lines: dict[tuple[Hashable, Hashable], tuple[int, ...]] = {}
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
        self._draw, self._key, self._ready, self._lines = draw, key, {}, {}
        self.refresh(layout=True)
        wanted = tuple(ahead)
        self.call_after_refresh(lambda: self.prepare(wanted))

    def prepare(self, keys: Iterable[Hashable]) -> None:
        """Draw pictures before they are due, and find what differs from each to the next."""
        wanted = list(keys)
        for key in wanted:
            self._picture(key)
        for turned in zip(wanted, wanted[1:] + wanted[:1], strict=True):
            self._lines[turned] = changed(self._picture(turned[0]), self._picture(turned[1]))

    def turn(self, key: Hashable) -> None:
        """Show another picture; only what differs is painted anew."""
        if key == self._key:
            return
        before, after = self._picture(self._key), self._picture(key)
        turned = (self._key, key)
        if turned not in self._lines:
            self._lines[turned] = changed(before, after)
        self._key = key
        width, left, top = self.content_size.width, self.gutter.left, self.gutter.top
        lines = self._lines[turned]
        if lines:
            self.refresh(*(Region(left, top + y, width, 1) for y in lines))

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
            self._made_for, self._ready, self._lines = made_for, {}, {}
        if key not in self._ready:
            rows = self._draw(key)(width, height) if self._draw and width and height else ()
            self._ready[key] = Visual.to_strips(self, content(rows), width, height, self.visual_style)
        return self._ready[key]


def changed(before: Sequence[Strip], after: Sequence[Strip]) -> tuple[int, ...]:
    """Return the lines that differ between two pictures; the terminal is given whole lines in any case."""
    most = max(len(before), len(after))
    old, new = ([*strips, *[None] * (most - len(strips))] for strips in (before, after))
    return tuple(y for y, (one, two) in enumerate(zip(old, new, strict=True)) if one != two)
