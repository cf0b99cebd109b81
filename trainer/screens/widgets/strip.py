"""The score as a strip, like music: one row a part, one chalk line a beat, a brass pointer on the current beat.

`draw_strip` is a pure function of the score; the widget around it only repaints the columns that change.
"""

import math
from collections.abc import Collection, Sequence
from typing import NamedTuple

from textual.content import Content
from textual.geometry import Region, Size
from textual.reactive import reactive
from textual.widget import Widget

from trainer.drill.score import Beat, Score
from trainer.plain import clip, columns
from trainer.screens.widgets.axis import LABEL, Axis, lay_axis
from trainer.screens.widgets.glyphs import ARROWS, GLYPHS
from trainer.screens.widgets.parts import COUNT, VOICE, Event, Part, parts
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, WRONG, Line, Row, content

POINTER, STAFF, WRONG_MARK, BELOW = "▼", "─", "!", "▾"
BARS, BARS_NOW = ("│", "┼"), ("┃", "╂")
"""The chalk line of a beat, and the pointer's: across empty ground, across a staff."""


class Hidden(NamedTuple):
    """Something not to be given away in a question: a part, a beat, or a part on one beat; None means every."""

    part: str | None = None
    beat: float | None = None

    def covers(self, part: str, beat: float) -> bool:
        """Whether this place is hidden."""
        return self.part in (None, part) and self.beat in (None, beat)


class _View(NamedTuple):
    """What every row needs to be drawn."""

    axis: Axis
    pointer: float | None
    width: int
    hide: Collection[Hidden]
    differ: Collection[tuple[str, float]]

    def hidden(self, names: tuple[str, ...], beat: float) -> bool:
        return any(hidden.covers(name, beat) for hidden in self.hide for name in names)

    def differs(self, names: tuple[str, ...], beat: float) -> bool:
        return any((name, beat) in self.differ for name in names)


def draw_strip(
    score: Score,
    pointer: float | None,
    width: int,
    *,
    hide: Collection[Hidden] = (),
    differ: Collection[tuple[str, float]] = (),
    full: float | None = None,
    unit: str = "",
) -> list[Row]:
    """Return the strip's rows, each exactly `width` cells wide.

    Args:
        score: what to draw.
        pointer: the beat that the pointer stands on, None for no pointer.
        width: cells to fill.
        hide: parts and beats shown as `?`, whether anything happens there or not.
        differ: parts and beats (as in a Difference) that depart from the standard; marked `!` above.
        full: the step that goes without saying, in the deck's unit; the longest of the score if None.
        unit: the deck's unit, for lengths in words.
    """
    view = _View(lay_axis(score, width, pointer), pointer, width, hide, differ)
    rows = [_pointer_line(view).row()]
    for part in parts(score, full, unit):
        if part.names == (VOICE,) and not part.on(view.axis.first, view.axis.last + 1):
            continue  # a grader who speaks on another page takes no row of this one
        rows += [line.row() for line in _part_lines(part, view)]
    return rows + [line.row() for line in _number_lines(score, view)]


def draw_pointer(score: Score, pointer: float, width: int, *, differ: Collection[tuple[str, float]] = ()) -> Row:
    """Return the first of the strip's rows alone, with the pointer anywhere between two beats."""
    axis = lay_axis(score, width, math.floor(pointer))
    return _pointer_line(_View(axis, pointer, width, (), differ)).row()


def legend() -> tuple[tuple[str, str], ...]:
    """Return every sign of the strip with its meaning, from the table that the strip is drawn with."""
    places = tuple((left + " " + right, place) for place, (left, right) in GLYPHS.items())
    return (
        ("solid", "the left foot; hollow or double: the right foot"),
        *places,
        (ARROWS[0] + " " + ARROWS[2], "body: the way that the body faces"),
        (POINTER, "the beat that you stand on"),
        (WRONG_MARK, "a beat on which the fault departs from the standard"),
        ("‹ ›", "the strip goes on before or after what is shown"),
        ("½", "a half beat"),
        (BELOW, "its word stands in the row below, for want of room"),
    )


def _ruled(label: str, view: _View, staff: bool, role: str = FAINT) -> Line:
    """Return a line with its name, its staff and the chalk line of every beat."""
    axis, line = view.axis, Line(view.width)
    line.put(0, clip(label, LABEL - 1), role)
    if staff:
        line.put(axis.column(axis.first), STAFF * (axis.size - LABEL), LINE)
    for beat in range(axis.first, axis.last + 1):
        line.put(axis.column(beat), BARS[staff], LINE)
    if view.pointer is not None and axis.shows(view.pointer):
        line.put(axis.column(view.pointer), BARS_NOW[staff], BRASS)
    return line


def _part_lines(part: Part, view: _View) -> list[Line]:
    """Return the row of one part; words that would run into one another get a further row below."""
    lines = [_ruled(part.label, view, part.staff)]
    free = [0]
    shown = part.on(view.axis.first, view.axis.last + 1)
    shown = [*shown, *_goes_on(part, view, [happens for happens, _ in shown])]
    shown.sort(key=lambda one: one[1].beat)
    ends = [view.axis.column(event.beat) for _, event in shown[1:]] + [view.width + 1]
    for (happens, event), end in zip(shown, ends[: len(shown)], strict=True):
        if view.hidden(part.names, happens):
            continue
        row, column = 0, view.axis.column(event.beat)
        below = part.staff and not event.sign and end <= view.width and columns(event.words[0]) > end - column - 1
        if below:
            lines[0].put(column, BELOW, BRASS)
        if below or not part.staff:
            row = next((n for n, taken in enumerate(free) if n >= below and taken <= column), len(free))
            end = view.width + 1
        if row == len(lines):
            lines.append(_ruled("", view, staff=False))
            free.append(0)
        free[row] = _put_event(lines[row], event, view, end, wrong=view.differs(part.names, happens)) + 1
    for beat in range(view.axis.first, view.axis.last + 1):
        if view.hidden(part.names, beat):
            lines[0].put(view.axis.column(beat), "?", BRASS)
    return lines


def _goes_on(part: Part, view: _View, known: list[float]) -> list[tuple[float, Event]]:
    """Return what a held part goes on with on beats where it departs from the standard and nothing new begins."""
    found: list[tuple[float, Event]] = []
    if part.held:
        beats = {beat for name, beat in view.differ if name in part.names and view.axis.shows(beat)} - set(known)
        for beat in sorted(beats):
            held = [event for event in part.events if event.beat <= beat]
            if held:
                found.append((beat, held[-1]._replace(beat=beat, words=() if held[-1].sign else held[-1].words)))
    return found


def _put_event(line: Line, event: Event, view: _View, end: int, *, wrong: bool) -> int:
    """Put an event on its beat and return the column after it."""
    column = view.axis.column(event.beat)
    role = WRONG if wrong else event.role
    if event.sign:
        column = line.put(column, event.sign, role)
        room = end - column - 2
        words = next((words for words in event.words if columns(words) <= room), "")
        return line.put(column, f" {words} ", WRONG if wrong else INK) if words else column
    after = line.put(column, clip(event.words[0], end - column - 1), role)
    if after < len(line.cells) and line.cells[after][0] == STAFF:
        line.put(after, " ", INK)
    return after


def _pointer_line(view: _View) -> Line:
    """Return the line above the parts: the pointer, and a mark right of every beat that departs from the standard."""
    line = Line(view.width)
    for beat in {beat for _, beat in view.differ if view.axis.shows(beat)}:
        line.put(view.axis.column(beat) + 1, WRONG_MARK, WRONG)
    if view.differ:
        line.put(0, "fault", WRONG)
    if view.pointer is not None and view.axis.shows(view.pointer):
        line.put(view.axis.column(view.pointer), POINTER, BRASS)
    if view.axis.more_before:
        line.put(LABEL - 2, "‹", BRASS)
    if view.axis.more_after:
        line.put(view.width - 1, "›", BRASS)
    return line


def _number_lines(score: Score, view: _View) -> list[Line]:
    """Return the beat numbers, and the count numbers where they are not the beats'."""
    shown = [beat for beat in score.beats if view.axis.shows(beat.beat)]
    beats = Line(view.width)
    beats.put(0, "beat", FAINT)
    for beat in shown:
        whole = beat.beat == math.floor(beat.beat)
        if not whole and any(hidden.beat is None or hidden.beat == beat.beat for hidden in view.hide):
            continue
        text = f"{beat.beat:.0f}" if whole else "½"
        role = BRASS if beat.beat == view.pointer else STRONG if beat.counts else FAINT
        beats.put(view.axis.column(beat.beat) - (text[0] == "-"), text, role)
    lines = [beats]
    if any(float(number) != beat.beat for beat in score.beats for number in beat.counts):
        lines.append(_count_line(shown, view))
    return lines


def _count_line(shown: Sequence[Beat], view: _View) -> Line:
    line = Line(view.width)
    line.put(0, COUNT, FAINT)
    for beat in shown:
        if beat.counts and not view.hidden((COUNT,), beat.beat):
            role = BRASS if beat.beat == view.pointer else STRONG
            line.put(view.axis.column(beat.beat), "+".join(map(str, beat.counts)), role)
    return line


class Strip(Widget):
    """The score of a movement, standing still, with a pointer that moves along it."""

    DEFAULT_CSS = """
    Strip { height: auto; text-wrap: nowrap; text-overflow: clip; }
    """

    pointer: reactive[float | None] = reactive(None, repaint=False)
    """The beat that the pointer stands on; None for no pointer."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._score: Score | None = None
        self._hide: Collection[Hidden] = ()
        self._differ: Collection[tuple[str, float]] = ()
        self._full: float | None = None
        self._unit = ""

    def show(
        self,
        score: Score,
        pointer: float | None = None,
        *,
        hide: Collection[Hidden] = (),
        differ: Collection[tuple[str, float]] = (),
        full: float | None = None,
        unit: str = "",
    ) -> None:
        """Show a score; arguments as for `draw_strip`."""
        self._score, self._hide, self._differ = score, tuple(hide), frozenset(differ)
        self._full, self._unit = full, unit
        self.pointer = pointer
        self.refresh(layout=True)

    def watch_pointer(self, old: float | None, new: float | None) -> None:
        """Repaint the two columns between which the pointer moves, or all if the page turns."""
        if self._score is None or not self.content_size:
            return
        before, after = (lay_axis(self._score, self.content_size.width, at) for at in (old, new))
        if before != after:
            self.refresh(layout=True)
            return
        height = self.content_size.height
        spots = [Region(after.column(beat) - 1, 0, 4, height) for beat in (old, new) if beat is not None]
        self.refresh(*spots)

    def render(self) -> Content:
        """Draw the strip."""
        return content(self.rows(self.content_size.width))

    def rows(self, width: int) -> list[Row]:
        """Return the strip's rows at a width; none before a score is shown."""
        if self._score is None or width <= 0:
            return []
        return draw_strip(
            self._score,
            self.pointer,
            width,
            hide=self._hide,
            differ=self._differ,
            full=self._full,
            unit=self._unit,
        )

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        """Return the number of rows, so that the strip is as high as its parts."""
        return len(self.rows(width))
