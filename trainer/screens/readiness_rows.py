"""Readiness as rows of text: every measure with knowledge and execution apart, and joined. No Textual in here."""

from collections.abc import Sequence
from typing import NamedTuple

from trainer.coach.forecast import Measured, Outlook
from trainer.coach.standing import MovementRecall
from trainer.coach.words import HONESTY, assumed_lines, chance_words, days_words, percent, readiness_words
from trainer.drill.grade_sheet import MAJOR
from trainer.memory.forward import Day
from trainer.memory.readiness import Chance
from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import spread, wrapped
from trainer.screens.widgets.curve import BAND_SIGN, Place, Series, as_text
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, Row, Span

UNPRACTISED = "if nothing more is practised"
PRACTISED = "with the sittings planned"
NUMBER = 9
"""Columns of a percentage: `over 99 %` is the longest."""
BAR = 16
WIDE, NARROW = 100, 70
"""Columns from which there are bars, and trials in words; below which there are no trials."""


class Line(NamedTuple):
    """One line of the list: what it shows, and the movement that enter opens; `heading` lines cannot be chosen."""

    name: str
    cells: tuple[tuple[str, float | None], ...] = ()
    movement: str = ""
    heading: bool = False


def lines_of(outlook: Outlook, movements: Sequence[MovementRecall], by_risk: bool, wide: bool) -> list[Line]:
    """Return the list: the minors, then apart from them the majors; movements where the deck has no grade sheet.

    Args:
        outlook: the forecast.
        movements: mean recall of every movement, for a deck without a grade sheet.
        by_risk: the lowest chance first; else the order of the sheet.
        wide: tell observed trials in words.
    """
    if outlook.chance is None:
        rows = sorted(movements, key=lambda one: one.recall) if by_risk else list(movements)
        return [
            Line(one.name, ((percent(one.recall), one.recall), (f"{one.asked} of {one.points}", None)), one.id)
            for one in rows
        ]
    minors = [one for one in outlook.measures if one.kind != MAJOR]
    majors = [one for one in outlook.measures if one.kind == MAJOR]
    if by_risk:
        minors.sort(key=lambda one: one.go)
        majors.sort(key=lambda one: one.go)
    found = [_measure_line(one, wide) for one in minors]
    if majors:
        found.append(Line("majors, none of which may fail", heading=True))
        found += [_measure_line(one, wide) for one in majors]
    return found


def _measure_line(one: Measured, wide: bool) -> Line:
    major = one.kind == MAJOR
    return Line(
        one.name,
        (
            ("-", None) if one.knowledge is None else (percent(one.knowledge), one.knowledge),
            (percent(one.execution), None),
            (_seen(one, wide), None),
            (percent(one.go), None),
            (f"{one.asked} of {one.points}" if one.points else "-", None),
        ),
        "" if major else one.id,
    )


def _seen(one: Measured, wide: bool) -> str:
    go, nogo = one.trials
    if not go + nogo:
        return "none, assumed" if wide else "none"
    told = f"{go} of {go + nogo}"
    return f"{told} {'kept' if one.kind == MAJOR else 'GO'}" if wide else told


def head_row(outlook: Outlook, width: int) -> Row:
    """Return the names of the columns."""
    name = "movement" if outlook.chance is None else "measure"
    sizes = _sizes(outlook, width)
    room = width - sum(sizes) - 2
    row = [Span(f"  {name:<{room}}", FAINT)]
    heads = zip(_heads(outlook, width >= WIDE), sizes, strict=True)
    row += [Span(f"{text:>{size}}", FAINT) for text, size in heads if size]
    return tuple(row)


def _heads(outlook: Outlook, wide: bool) -> tuple[str, ...]:
    if outlook.chance is None:
        return "mean recall", "asked"
    return "knowledge", "execution", "trials seen" if wide else "trials", "GO", "asked"


def _bar(width: int) -> int:
    # Names tell more than short bars, so bars come in only where there is room for both.
    return BAR if width >= WIDE else 0


def _sizes(outlook: Outlook, width: int) -> tuple[int, ...]:
    """Return the columns of every cell after the name; a cell without columns is left out."""
    if outlook.chance is None:
        return _bar(width) + NUMBER + 3, 10
    if width >= WIDE:
        return BAR + NUMBER + 3, NUMBER + 1, 15, NUMBER + 1, 10
    return NUMBER + 1, NUMBER + 1, 0 if width < NARROW else 7, NUMBER + 1, 9


def list_rows(outlook: Outlook, lines: Sequence[Line], at: int, width: int, height: int) -> list[Row]:
    """Return as many lines as there are rows, the chosen one in sight."""
    top = first_shown(len(lines), at, height)
    return [_list_row(outlook, line, number == at, width) for number, line in enumerate(lines)][top : top + height]


def first_shown(number: int, at: int, height: int) -> int:
    """Return which of a number of lines is the first in sight, so that the chosen one is."""
    return min(max(at - height // 2, 0), max(number - height, 0))


def hidden_words(number: int, at: int, height: int) -> str:
    """Return how many lines are out of sight; nothing where all are seen."""
    above = first_shown(number, at, height)
    below = max(number - height - above, 0)
    told = [f"{count} more {where}" for count, where in ((above, "above"), (below, "below")) if count]
    return ", ".join(told) if height else ""


def chance_rows(outlook: Outlook | None, days: int | None, width: int) -> list[Row]:
    """Return what the whole says: readiness in words, its band, the days left, how much was asked."""
    if outlook is None:
        return [(Span("Computing …", FAINT),)]
    left = days_words(days)
    asked = f"{outlook.asked} of {outlook.total} points asked."
    if outlook.chance is None:
        told = (
            f"No grade sheet in this deck. Mean recall on the test date {percent(outlook.mean_recall)}; {left}. {asked}"
        )
        return [(Span(line, INK),) for line in wrapped(told, min(width, 96))]
    words = f"{readiness_words(outlook)}. "
    lines = wrapped(f"{words}{chance_words(outlook.chance)} {left[:1].upper()}{left[1:]}. {asked}", width)
    head = lines[0]
    rows: list[Row] = [(Span(head[: len(words)], STRONG), Span(head[len(words) :], INK))]
    return rows + [(Span(line, INK),) for line in lines[1:]]


def chosen_rows(line: Line, hidden: str, width: int) -> list[Row]:
    """Return the name of the chosen line, whole, and beside it what is out of sight."""
    end = "" if line.movement else "   a major: no movement to open"
    more = [Span(hidden, STRONG)]
    if columns(line.name) + len(end) + len(hidden) + 4 <= width:
        return [spread([Span(f"▸ {visible(line.name)}", BRASS), Span(end, FAINT)], more, width)]
    first, *further = wrapped(line.name, max(width - max(len(end), len(hidden)) - 4, 20))
    rest = [Span(f"  {' '.join(further)}".rstrip(), BRASS), Span(end, FAINT)]
    return [spread([Span(f"▸ {first}", BRASS)], more, width), tuple(rest)]


def title_row(width: int) -> Row:
    """Return what the curves show, with a piece of each line and of the band."""
    gap = "   " if width >= WIDE else "  "
    whole = "Chance of the whole test" if width >= WIDE else "Whole test"
    rest = "no more practice" if width < WIDE else UNPRACTISED
    return (
        Span(whole, STRONG),
        Span(f"{gap}━━ ", STRONG),
        Span(PRACTISED, FAINT),
        Span(f"{gap}╌╌ ", STRONG),
        Span(rest, FAINT),
        *((Span(f"{gap}{BAND_SIGN} ", FAINT), Span("8 times in 10", FAINT)) if width >= WIDE else ()),
    )


def series_of(curve: Sequence[Day], now: float, days: int) -> tuple[Series, Series]:
    """Return the chances by day of a plan, and of practising nothing more, as lines over the days to the test.

    Args:
        curve: chances by date up to the test, on the scale of the evidence; at least one.
        now: the present on that scale.
        days: whole days to the test, at which the last date is drawn.
    """
    span = max(curve[-1].at - now, 1e-9)

    def place(at: float, chance: Chance) -> Place:
        return Place(days * (at - now) / span, chance.go, chance.low, chance.high)

    return (
        Series(PRACTISED, tuple(place(day.at, day.planned) for day in curve)),
        Series(UNPRACTISED, tuple(place(day.at, day.resting) for day in curve)),
    )


def curve_lines(series: Sequence[Series]) -> list[str]:
    """Return lines over the days as plain text, days to a tenth."""
    rounded = [
        Series(one.name, tuple(place._replace(day=round(place.day, 1)) for place in one.places)) for one in series
    ]
    return as_text(rounded, test_day=rounded[0].places[-1].day)


def _list_row(outlook: Outlook, line: Line, chosen: bool, width: int) -> Row:
    if line.heading:
        return (Span(f"  {clip(line.name, width - 2)}", FAINT),)
    sizes = _sizes(outlook, width)
    room = width - sum(sizes) - 2
    name = clip(visible(line.name), room)
    row = [
        Span("▸ " if chosen else "  ", BRASS),
        Span(name + " " * (room - columns(name)), STRONG if chosen else INK),
    ]
    last = len(line.cells) - 2
    for number, ((text, share), size) in enumerate(zip(line.cells, sizes, strict=True)):
        if number == 0:
            row += _barred(text, share, size, _bar(width))
        elif size:
            row.append(Span(f"{text:>{size}}", STRONG if number == last else FAINT))
    return tuple(row)


def _barred(text: str, share: float | None, size: int, bar: int) -> list[Span]:
    if share is None:
        return [Span(f"{text:>{size}}", FAINT)]
    heavy = round(min(max(share, 0.0), 1.0) * bar)
    return [
        Span(" " * (size - bar - NUMBER - 1)),
        Span("━" * heavy, INK),
        Span("─" * (bar - heavy), LINE),
        Span(f"{text:>{NUMBER + 1}}", STRONG),
    ]


def told_lines(outlook: Outlook) -> list[str]:
    """Return what the numbers rest on, a paragraph each."""
    assumed = [" ".join(assumed_lines(outlook))] if outlook.chance is not None else []
    return [*assumed, HONESTY]


def told_rows(outlook: Outlook, width: int) -> list[Row]:
    """Return what the numbers rest on, wrapped."""
    return [(Span(line, FAINT),) for text in told_lines(outlook) for line in wrapped(text, width)]
