"""A chance against days: a line, the band it lies in, and a mark at the test date, in braille dots."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from textual.content import Content
from textual.widget import Widget

from trainer.plain import clip, columns, visible
from trainer.screens.widgets.braille import DOTS_ACROSS, DOTS_DOWN, Sheet
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, Row, Span, content

NARROWEST, LOWEST = 20, 5
"""Columns and rows that a chart takes at least."""
AXIS = 6
"""Columns of the numbers on the left, with the axis itself."""
BAND_EVERY = 3
"""A dot of the band in each third column, staggered row by row."""
GRID_EVERY, GRID_DASH = 16, 4
"""Dots from one dash of the quarter lines to the next, and of a dash; dashes are not taken for the band's dots."""
BAND_SIGN = "⡢⡢"
"""A piece of the band, for what explains it."""
DASH = 6
"""Dots of a dash and its gap, for the second and later lines."""
ROLES = (STRONG, INK, FAINT)


class Place(NamedTuple):
    """One point of a line: days from today, the chance (0 to 1), and the band it lies in."""

    day: float
    value: float
    low: float | None = None
    high: float | None = None


class Series(NamedTuple):
    """A line with a name; the first one drawn is solid, further ones are dashed."""

    name: str
    places: tuple[Place, ...]


class Frame(NamedTuple):
    """Where the plot stands in cells and which days it spans."""

    left: int
    width: int
    height: int
    first: float
    last: float

    def dot(self, day: float, value: float) -> tuple[float, float]:
        """Return where a place falls in dots of the plot; 0 lies on the lowest row of dots, 1 on the highest."""
        across, down = self.width * DOTS_ACROSS - 1, self.height * DOTS_DOWN - 1
        return (day - self.first) / (self.last - self.first) * across, (1.0 - value) * down


def nice_step(span: float, most: int) -> float:
    """Return the smallest of 1, 2, 5, 10, 20, 50 … that cuts a span into at most `most` pieces."""
    if span <= 0 or most < 1:
        return 1.0
    size = 10.0 ** math.floor(math.log10(span / most))
    return max(1.0, next(size * step for step in (1, 2, 5, 10) if span / (size * step) <= most + 1e-9))


def day_ticks(first: float, last: float, most: int) -> list[float]:
    """Return whole days for the axis, evenly spaced, at most `most` pieces between the first and the last."""
    step = nice_step(last - first, most)
    start = math.ceil(first / step) * step
    return [start + n * step for n in range(math.floor((last - start) / step) + 1)]


def percent(value: float) -> str:
    """Return a chance in whole per cent, `100 %` only where it is certain and `0 %` where it is impossible."""
    whole = round(value * 100)
    if whole == 100 and value < 1.0:
        return ">99 %"
    if whole == 0 and value > 0.0:
        return "<1 %"
    return f"{whole} %"


def draw_curve(
    series: Sequence[Series], width: int, height: int, *, test_day: float | None = None, names: bool = True
) -> list[Row]:
    """Return a chart as `height` rows of `width` cells.

    Args:
        series: lines with days in rising order; values from 0 to 1.
        width: cells across, 20 or more.
        height: cells down, 5 or more, the two rows of the axis and the names included.
        test_day: the day of the test, marked by a line and a word.
        names: end with a row of the lines' names.

    Raises:
        ValueError: if there is no room or no place to draw.
    """
    if width < NARROWEST or height < LOWEST:
        raise ValueError(f"a chart takes at least {NARROWEST} columns and {LOWEST} rows, not {width} and {height}")
    frame = _frame(series, width, height - names - 2, test_day)
    sheet = Sheet(frame.width, frame.height)
    for number, one in reversed(list(enumerate(series))):
        _draw_line(sheet, frame, one, number)
    if test_day is not None:
        x, _ = frame.dot(test_day, 0.0)
        for y in range(frame.height * DOTS_DOWN):
            sheet.set_behind(round(x), y, BRASS)
    for one in series[:1]:
        _draw_band(sheet, frame, one)
    for value in (0.25, 0.5, 0.75):
        for x in range(frame.width * DOTS_ACROSS):
            if x % GRID_EVERY < GRID_DASH:
                sheet.set_behind(x, round(frame.dot(frame.first, value)[1]), LINE)
    labels = _value_labels(frame.height)
    rows = [
        (Span(f"{labels.get(n, ''):>{AXIS - 2}} ", FAINT), Span("┤" if n in labels else "│", LINE), *row)
        for n, row in enumerate(sheet.rows())
    ]
    return [*rows, *_day_axis(frame, test_day), *([_names_row(series, width)] if names else [])]


def as_text(series: Sequence[Series], *, test_day: float | None = None) -> list[str]:
    """Return the same data as lines of plain text, one a day of any line."""
    lines = []
    for day in sorted({place.day for one in series for place in one.places}):
        parts = []
        for one in series:
            place = next((place for place in one.places if place.day == day), None)
            if place is not None:
                band = ""
                if place.low is not None and place.high is not None:
                    band = f" ({percent(place.low)} to {percent(place.high)})"
                parts.append(f"{visible(one.name)} {percent(place.value)}{band}")
        mark = " (test)" if day == test_day else ""
        lines.append(f"day {day:g}{mark}: " + ", ".join(parts))
    return lines


def _frame(series: Sequence[Series], width: int, height: int, test_day: float | None) -> Frame:
    days = [place.day for one in series for place in one.places]
    if not days:
        raise ValueError("there is nothing to draw: no line has a place")
    days += [] if test_day is None else [test_day]
    first, last = min(days), max(days)
    return Frame(AXIS, width - AXIS, height, first, last if last > first else first + 1.0)


def _draw_line(sheet: Sheet, frame: Frame, one: Series, number: int) -> None:
    """Draw a line, dashed if it is not the first, so that lines are told apart without colour."""
    role = ROLES[min(number, len(ROLES) - 1)]
    for x in range(frame.width * DOTS_ACROSS):
        if number and x % (DASH * number) >= DASH * number / 2:
            continue
        here, after = (_value_at(one, frame, column) for column in (x, x + 1))
        if here is None:
            continue
        _, y = frame.dot(frame.first, here)
        _, next_y = frame.dot(frame.first, here if after is None else after)
        sheet.line((x, y), (x, y + (next_y - y) / 2), role)


def _draw_band(sheet: Sheet, frame: Frame, one: Series) -> None:
    low = Series("", tuple(Place(p.day, p.low) for p in one.places if p.low is not None))
    high = Series("", tuple(Place(p.day, p.high) for p in one.places if p.high is not None))
    for x in range(frame.width * DOTS_ACROSS):
        lower, upper = _value_at(low, frame, x), _value_at(high, frame, x)
        if lower is None or upper is None:
            continue
        top, bottom = (round(frame.dot(frame.first, value)[1]) for value in (upper, lower))
        for y in range(top, bottom + 1):
            if (x + y * 2) % (BAND_EVERY + 1) == 0:
                sheet.set_behind(x, y, FAINT)


def _value_at(one: Series, frame: Frame, column: float) -> float | None:
    """Return the value of a line at a column of dots, straight between its places; None outside them."""
    day = frame.first + column / (frame.width * DOTS_ACROSS - 1) * (frame.last - frame.first)
    places = one.places
    if not places or day < places[0].day - 1e-9 or day > places[-1].day + 1e-9:
        return None
    for before, after in pairwise(places):
        if day <= after.day:
            span = after.day - before.day
            part = (day - before.day) / span if span else 1.0
            return before.value + (after.value - before.value) * min(max(part, 0.0), 1.0)
    return places[-1].value


def _value_labels(height: int) -> dict[int, str]:
    """Return the rows that carry a number: every quarter where there is room, else the halves, else the ends."""
    for values in ((0, 25, 50, 75, 100), (0, 50, 100), (0, 100)):
        rows = {round((1 - value / 100) * (height - 1)): f"{value}" for value in values}
        gaps = [after - before for before, after in pairwise(sorted(rows))]
        if len(rows) == len(values) and min(gaps) >= 2:
            break
    return {row: f"{text}%" for row, text in rows.items()}


def _day_axis(frame: Frame, test_day: float | None) -> list[Row]:
    axis, days = list("─" * frame.width), [" "] * (frame.width + 1)
    marked: set[int] = set()
    if test_day is not None:
        column = _column(frame, test_day)
        axis[column] = "┷"
        text = f"test {test_day:g}"
        start = min(max(column - len(text) // 2, 0), frame.width - len(text))
        days[start : start + len(text)] = text
        marked = set(range(start - 1, start + len(text) + 1))
    for day in day_ticks(frame.first, frame.last, max(frame.width // 8, 1)):
        column, text = _column(frame, day), f"{day:g}"
        start = min(column, frame.width - len(text))
        axis[column] = "┷" if axis[column] == "┷" else "┴"
        if (
            not marked & set(range(start, start + len(text)))
            and not "".join(days[max(start - 1, 0) : start + len(text) + 1]).strip()
        ):
            days[start : start + len(text)] = text
    label = "".join(days)[: frame.width]
    begin, end = (min(marked) + 1, max(marked)) if marked else (0, 0)
    return [
        (Span(" " * (AXIS - 1)), Span("└" + "".join(axis), LINE)),
        (
            Span(f"{'day':>{AXIS - 2}}  ", FAINT),
            Span(label[:begin], FAINT),
            Span(label[begin:end], BRASS),
            Span(label[end:], FAINT),
        ),
    ]


def _column(frame: Frame, day: float) -> int:
    x, _ = frame.dot(day, 0.0)
    return min(int(round(x) // DOTS_ACROSS), frame.width - 1)


def _names_row(series: Sequence[Series], width: int) -> Row:
    """Return the names of the lines, each after a piece of its own line."""
    spans = [Span(" " * AXIS)]
    room = width - AXIS
    for number, one in enumerate(series):
        sign = "━━ " if number == 0 else "╍╍ "
        text = clip(visible(one.name), room - len(sign))
        if text:
            spans += [
                Span(sign, ROLES[min(number, len(ROLES) - 1)]),
                Span(text, FAINT),
                Span("   "[: room - len(sign) - columns(text)]),
            ]
            room -= len(sign) + columns(text) + 3
    used = sum(columns(span.text) for span in spans)
    return (*spans, Span(" " * max(width - used, 0)))


class Curve(Widget):
    """A chart of chances against days that fills its place."""

    DEFAULT_CSS = """
    Curve { text-wrap: nowrap; text-overflow: clip; }
    """

    def __init__(self, *, names: bool = True, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self._names = names
        self._series: tuple[Series, ...] = ()
        self._test_day: float | None = None

    def show(self, series: Sequence[Series], *, test_day: float | None = None) -> None:
        """Show lines; arguments as for `draw_curve`."""
        self._series, self._test_day = tuple(series), test_day
        self.refresh()

    def render(self) -> Content:
        """Draw the chart, or its numbers as text where a chart has no room."""
        width, height = self.content_size
        if not any(one.places for one in self._series):
            return Content("")
        if width < NARROWEST or height < LOWEST:
            return Content("\n".join(as_text(self._series, test_day=self._test_day)))
        return content(draw_curve(self._series, width, height, test_day=self._test_day, names=self._names))
