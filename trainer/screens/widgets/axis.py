"""Where beats stand on a strip, and which of them are in sight."""

import math
from typing import NamedTuple

from trainer.drill.score import Score

LABEL = 11
"""Columns of the names of the parts."""

NARROWEST, COMFORTABLE, WIDEST = 5, 7, 16
"""Columns from one beat to the next: to fit all, on a page of several, at most."""


class Axis(NamedTuple):
    """Where beats stand: `first` and `last` are whole beats, `width` the columns from one to the next."""

    first: int
    last: int
    width: int
    more_before: bool = False
    more_after: bool = False

    def column(self, beat: float) -> int:
        """Return the column of a beat's chalk line."""
        return LABEL + round((beat - self.first) * self.width)

    @property
    def size(self) -> int:
        """The columns of the whole strip."""
        return LABEL + (self.last - self.first + 1) * self.width

    def shows(self, beat: float) -> bool:
        """Whether a beat is on this axis."""
        return self.first <= beat < self.last + 1


def whole_beats(score: Score) -> tuple[int, int]:
    """Return the first and the last whole beat of a score."""
    return math.floor(score.beats[0].beat), math.floor(score.beats[-1].beat)


def lay_axis(score: Score, width: int, pointer: float | None) -> Axis:
    """Choose the columns of a beat so that the whole score fits, else the page that the pointer is on."""
    first, last = whole_beats(score)
    count = last - first + 1
    room = max(width - LABEL, NARROWEST)
    if count * NARROWEST <= room:
        return Axis(first, last, min(room // count, WIDEST))
    on_page = max(room // COMFORTABLE, 1)
    page_width = room // on_page
    turn = max(on_page - 1, 1)  # one beat of the page before stays in sight
    at = min(max(math.floor(first if pointer is None else pointer), first), last) - first
    start = min((at // turn) * turn, count - on_page)
    return Axis(first + start, first + start + on_page - 1, page_width, start > 0, start + on_page < count)
