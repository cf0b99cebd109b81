"""The words of a command on their beats, with rows of feet beneath."""

from collections.abc import Mapping
from itertools import pairwise

from trainer.drill.describe import beat_number
from trainer.drill.movement import LEFT, RIGHT
from trainer.plain import clip, columns, visible
from trainer.screens.widgets.spans import (
    BRASS,
    FAINT,
    LEFT_SOLE,
    LINE,
    RIGHT_SOLE,
    STRONG,
    Line,
    Row,
    Span,
)

FOOT_ROLES = {LEFT: LEFT_SOLE, RIGHT: RIGHT_SOLE}

FOOT_LETTERS = {LEFT: "L left", RIGHT: "R right"}

FOOT_WIDTH = 7

LABEL = 11

GAP = 2


def feet_rows(
    words: tuple[str, ...],
    beats: tuple[float, ...],
    feet: Mapping[str, tuple[str, ...]],
    width: int,
    pointer: int | None = None,
    marks: tuple[bool, ...] = (),
) -> list[Row]:
    """Return words on their beats with rows of feet beneath; one word a row where they do not fit side by side.

    Args:
        words: the words.
        beats: the beat of each; empty if they are not known.
        feet: by the name of its row, `left` or `right` for the first words; further ones are open.
        width: cells.
        pointer: the word whose foot comes next, None for none.
        marks: whether the foot of each word was right; shown in the first row of feet.
    """
    shown = [visible(word) for word in words]
    places = _places(shown, beats, width)
    if places is None:
        return _feet_stacked(shown, beats, feet, width, pointer, marks)
    lines = [Line(width), Line(width), Line(width)]
    for label, line in zip(("", "beat", "voice"), lines, strict=True):
        line.put(0, label, FAINT)
    for number, (word, column) in enumerate(zip(shown, places, strict=True)):
        here = number == pointer
        lines[0].put(column, "▼" if here else "", BRASS)
        beat = beat_number(beats[number]) if beats else str(number + 1)
        lines[1].put(column - beat.startswith("-"), beat, BRASS if here else FAINT)
        lines[2].put(column, word, STRONG)
    rows = [line.row() for line in (lines if pointer is not None else lines[1:])]
    for first, (label, given) in enumerate(feet.items()):
        line = Line(width)
        line.put(0, label, FAINT)
        for number, column in enumerate(places):
            if number < len(given):
                after = line.put(column, FOOT_LETTERS[given[number]], FOOT_ROLES[given[number]])
                if marks and not first:
                    line.put(after + 1, _sign(marks[number]), STRONG)
            else:
                line.put(column, "?" if number == pointer else "·", BRASS if number == pointer else LINE)
        rows.append(line.row())
    return rows


def _sign(right: bool) -> str:
    return "✓" if right else "✗"


def _places(words: list[str], beats: tuple[float, ...], width: int) -> list[int] | None:
    """Return the column of each word: in proportion to its beat where that fits, else evenly, else None."""
    sizes = [max(columns(word), FOOT_WIDTH + 2) + GAP for word in words]
    if beats:
        gaps = [after - before for before, after in pairwise(beats)]
        if all(gap > 0 for gap in gaps):
            each = max([-(-size // gap) for size, gap in zip(sizes, gaps, strict=False)], default=0)
            places = [LABEL + round((beat - beats[0]) * each) for beat in beats]
            if places[-1] + sizes[-1] <= width:
                return places
    if LABEL + sum(sizes) > width:
        return None
    places, at = [], LABEL
    for size in sizes:
        places.append(at)
        at += size
    return places


def _feet_stacked(
    words: list[str],
    beats: tuple[float, ...],
    feet: Mapping[str, tuple[str, ...]],
    width: int,
    pointer: int | None,
    marks: tuple[bool, ...],
) -> list[Row]:
    room = max(width - 14 - (FOOT_WIDTH + 10) * len(feet), 8)
    rows: list[Row] = []
    for number, word in enumerate(words):
        beat = f"beat {beat_number(beats[number])}" if beats else ""
        text = clip(word, room)
        row = [Span("▸ " if number == pointer else "  ", BRASS), Span(f"{beat:<9}", FAINT)]
        row.append(Span(text + " " * (room - columns(text) + 2), STRONG))
        for first, (label, given) in enumerate(feet.items()):
            row.append(Span(f"{label} " if len(feet) > 1 else "", FAINT))
            foot = given[number] if number < len(given) else ""
            role = FOOT_ROLES.get(foot, BRASS if number == pointer else LINE)
            row.append(Span(f"{FOOT_LETTERS.get(foot, '?' if number == pointer else '·'):<{FOOT_WIDTH}}", role))
            row.append(Span(f" {_sign(marks[number])} " if marks and not first else "   ", STRONG))
        rows.append(tuple(row))
    return rows
