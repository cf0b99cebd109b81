"""A sheet of braille dots, two by four to a cell, with a role for every cell and words on top."""

from collections.abc import Iterable, Iterator, Set
from functools import lru_cache

from trainer.plain import columns
from trainer.screens.widgets.spans import INK, Line, Row

Dot = tuple[int, int]
Point = tuple[float, float]

DOTS_ACROSS, DOTS_DOWN = 2, 4
NEAR = 1e-6
"""Dots; what lies on the edge of a shape belongs to it, whatever the unit was rounded to."""
_BITS = ((0x01, 0x02, 0x04, 0x40), (0x08, 0x10, 0x20, 0x80))
"""The bit of a dot in the Unicode braille block by column and row (Unicode Standard, chapter 21, Braille)."""


class Sheet:
    """Dots on a grid of cells; x runs to the right, y down, both from 0.

    Where pieces of different roles meet in one cell, the one drawn last gives the cell its role.
    """

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self.bits = [[0] * width for _ in range(height)]
        self.roles = [[INK] * width for _ in range(height)]
        self.words: list[tuple[int, int, str, str]] = []

    @property
    def dots(self) -> Dot:
        """How many dots there are across and down."""
        return self.width * DOTS_ACROSS, self.height * DOTS_DOWN

    def set(self, x: int, y: int, role: str) -> None:
        """Set one dot; outside the sheet nothing happens."""
        if 0 <= x < self.width * DOTS_ACROSS and 0 <= y < self.height * DOTS_DOWN:
            row, column = y // DOTS_DOWN, x // DOTS_ACROSS
            self.bits[row][column] |= _BITS[x % DOTS_ACROSS][y % DOTS_DOWN]
            self.roles[row][column] = role

    def set_behind(self, x: int, y: int, role: str) -> None:
        """Set one dot only where its cell is free of other roles, so that what stands in front keeps its shape."""
        row, column = y // DOTS_DOWN, x // DOTS_ACROSS
        inside = 0 <= row < self.height and 0 <= column < self.width
        if inside and (not self.bits[row][column] or self.roles[row][column] == role):
            self.set(x, y, role)

    def clear(self, x: int, y: int) -> None:
        """Take one dot away."""
        if 0 <= x < self.width * DOTS_ACROSS and 0 <= y < self.height * DOTS_DOWN:
            self.bits[y // DOTS_DOWN][x // DOTS_ACROSS] &= ~_BITS[x % DOTS_ACROSS][y % DOTS_DOWN]

    def line(self, start: Point, end: Point, role: str, every: int = 1) -> None:
        """Draw a straight line, or only every n-th dot of it."""
        for number, (x, y) in enumerate(_along(start, end)):
            if number % every == 0:
                self.set(x, y, role)

    def say(self, column: int, row: int, text: str, role: str) -> bool:
        """Put words on cells without dots; return whether there was room."""
        end = column + columns(text)
        if not (0 <= row < self.height and column >= 0 and end <= self.width):
            return False
        taken = any(self.bits[row][column:end]) or any(
            at == row and start < end and column < start + columns(said) for start, at, said, _ in self.words
        )
        if not taken:
            self.words.append((column, row, text, role))
        return not taken

    def rows(self) -> list[Row]:
        """Return the sheet as rows of cells."""
        lines = []
        for bits, roles in zip(self.bits, self.roles, strict=True):
            line = Line(self.width)
            line.cells = [
                (chr(0x2800 + bit) if bit else " ", role if bit else INK) for bit, role in zip(bits, roles, strict=True)
            ]
            lines.append(line)
        for column, row, text, role in self.words:
            lines[row].put(column, text, role)
        return [line.row() for line in lines]


def _along(start: Point, end: Point) -> Iterator[Dot]:
    """Yield the dots of a straight line, one for every step along its longer axis."""
    (x0, y0), (x1, y1) = start, end
    steps = max(round(max(abs(x1 - x0), abs(y1 - y0))), 1)
    for step in range(steps + 1):
        part = step / steps
        yield round(x0 + (x1 - x0) * part), round(y0 + (y1 - y0) * part)


def fill(polygon: Iterable[Point]) -> set[Dot]:
    """Return the dots whose centres lie in a polygon (even-odd rule); dot centres are at whole numbers."""
    corners = list(polygon)
    top = min(y for _, y in corners)
    bottom = max(y for _, y in corners)
    inside: set[Dot] = set()
    for y in range(_ceil(top - NEAR), _floor(bottom + NEAR) + 1):
        crossings = sorted(
            x0 + (y - y0) * (x1 - x0) / (y1 - y0)
            for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True)
            if (y0 <= y) != (y1 <= y)
        )
        for left, right in zip(crossings[::2], crossings[1::2], strict=True):
            inside.update((x, y) for x in range(_ceil(left - NEAR), _floor(right + NEAR) + 1))
    return inside


def edge(dots: Set[Dot]) -> set[Dot]:
    """Return the dots of a shape that have a neighbour outside it."""
    return {(x, y) for x, y in dots if not {(x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)} <= dots}


@lru_cache(maxsize=512)
def rim(dots: frozenset[Dot]) -> frozenset[Dot]:
    """Return a shape and the dots next to it, corners included."""
    return frozenset((x + dx, y + dy) for x, y in dots for dx in (-1, 0, 1) for dy in (-1, 0, 1))


def _ceil(value: float) -> int:
    return -int(-value // 1)


def _floor(value: float) -> int:
    return int(value // 1)
