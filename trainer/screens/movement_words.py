"""The words of the Movement screen as rows: head lines, what happens on a beat, faults and what they change."""

from trainer.drill.deck import Deck
from trainer.drill.describe import CALLED, beat_number, describe_beat, describe_call, difference_lines
from trainer.drill.faults import Comparison
from trainer.drill.movement import LEFT, RIGHT, Fault, Movement
from trainer.drill.score import Beat, Score
from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LEFT_SOLE, RIGHT_SOLE, STRONG, WRONG, Row, Span

SOLE_ROLES = {LEFT: LEFT_SOLE, RIGHT: RIGHT_SOLE}
MOST_BEATS = 6
"""Beats that are listed one by one."""
NUMBERED = 9
"""Faults that have a number key."""


def head_rows(deck: Deck, movement: Movement, shown: Score, width: int) -> list[Row]:
    """Return the two head lines: name, stances and place in the deck; the call with its feet, and the source."""
    number = [one.id for one in deck.movements].index(movement.id) + 1
    place = f"{number} of {len(deck.movements)}"
    where = f"{visible(shown.from_stance)} to {visible(movement.to)}, {CALLED[movement.called_on]}"
    if movement.called_on == "either" and shown.at_zero:
        where += f", here {shown.at_zero}"
    name = visible(movement.name)
    room = width - len(place) - 2
    first = [Span(clip(name, room), STRONG)]
    room -= columns(name) + 3
    if room > 0:
        first.append(Span(f"   {clip(where, room)}", FAINT))
    return [_spread(first, [Span(place, FAINT)], width), _call_row(movement, shown, width)]


def _call_row(movement: Movement, shown: Score, width: int) -> Row:
    call: list[Span] = []
    for say, foot in describe_call(movement, shown):
        call += [Span("  " if call else ""), Span(visible(say), INK)]
        if foot:
            call.append(Span(f" {foot}", SOLE_ROLES.get(foot, FAINT)))
    if not call:
        call = [Span(f"started by the {visible(movement.cued_by or 'cue')}", INK)]
    source = "not confirmed: c tells" if movement.unconfirmed else visible(movement.source)
    room = width - sum(columns(span.text) for span in call) - 3
    tail = [Span(clip(source, room), BRASS if movement.unconfirmed else FAINT)] if room > 0 else []
    return _spread(call, tail, width)


def _spread(left: list[Span], right: list[Span], width: int) -> Row:
    gap = width - sum(columns(span.text) for span in (*left, *right))
    return (*left, Span(" " * max(gap, 1)), *right)


def fault_rows(faults: tuple[Fault, ...], chosen: int, width: int, height: int) -> list[Row]:
    """Return the list to choose from: 0 is the movement as it should be; scrolled so that the choice is in sight."""
    entries = ["as it should be", *(visible(fault.tell) for fault in faults)]
    plural = "" if len(faults) == 1 else "s"
    rows: list[Row] = [(Span(f"{len(faults)} fault{plural}", FAINT), Span("  ↑↓", STRONG), Span(" choose", FAINT))]
    room = max(height - 1, 1)
    for number in range(1, len(entries)):
        if _unseen(faults, number):
            entries[number] += f" (only seen by the {visible(faults[number - 1].seen_by or '')})"
    whole = [wrapped(text, max(width - 4, 8)) for text in entries]
    if sum(map(len, whole)) > room:
        whole = [
            lines[:room] if number == chosen else [clip(entries[number], width - 4)]
            for number, lines in enumerate(whole)
        ]
    for number, lines in enumerate(whole):
        mark, role = ("▸", STRONG) if number == chosen else (" ", INK)
        label = str(number) if number <= NUMBERED else " "
        for line, text in enumerate(lines):
            head = (Span(mark, BRASS), Span(f" {label} ", role)) if not line else (Span("    "),)
            rows.append((*head, Span(text, role)))
    end = 1 + sum(map(len, whole[: min(chosen + 2, len(whole))]))
    begin = 1 + sum(map(len, whole[:chosen]))
    top = min(max(end - room, 1), begin)
    return [rows[0], *rows[top : top + room]]


def _unseen(faults: tuple[Fault, ...], number: int) -> bool:
    return number > 0 and not faults[number - 1].shows and bool(faults[number - 1].seen_by)


def now_lines(shown: Score, beat: Beat, unit: str) -> list[Row]:
    """Return what happens on a beat, and the author's own words for it."""
    at = next(n for n, one in enumerate(shown.beats) if one.beat == beat.beat)
    before = shown.beats[at - 1] if at else None
    said = "; ".join(visible(text) for text in describe_beat(beat, before, unit))
    lines: list[Row] = [_now_heading(beat), (Span(said[:1].upper() + said[1:] + ".", INK),)]
    for number in beat.counts:
        tell = next((fall.row.tell for n, fall in enumerate(shown.falls, 1) if n == number), "")
        if tell:
            lines.append((Span(visible(tell), FAINT),))
    return lines


def _now_heading(beat: Beat) -> Row:
    counts = " and ".join(str(number) for number in beat.counts)
    where = f"Beat {beat_number(beat.beat)}" + (f", count {counts}" if counts else "")
    steady = "" if counts or beat.said else "  steady"
    return Span(where, BRASS), Span(steady, FAINT), Span("   ←→ home end", STRONG), Span(" move", FAINT)


def flaw_lines(
    fault: Fault, comparison: Comparison | None, beat: float, unit: str, *, brief: bool = False
) -> list[Row]:
    """Return what a fault changes in words, what it changes on this beat first.

    `brief` only names the other beats, for screens with few rows.
    """
    tell: Row = (Span(visible(fault.tell), STRONG),)
    if comparison is None:
        who = visible(fault.seen_by or "grader")
        return [tell, (Span(f"The strip cannot show it; the {who} notices it.", FAINT),)]
    rows = difference_lines(comparison.differences, unit)
    here: list[Row] = [(Span(visible(text), WRONG),) for beats, text in rows if beat in beats]
    there: list[Row] = [(Span(visible(text), INK),) for beats, text in rows if beat not in beats]
    others = sorted({one for beats, _ in rows for one in beats} - {beat})
    if brief and there:
        there = [(Span(f"{'also' if here else 'shows'} on {_beat_list(others)}", FAINT),)]
    return [tell, *here, *there]


def _beat_list(beats: list[float]) -> str:
    names = [beat_number(beat) for beat in beats]
    if len(names) == 1:
        return f"beat {names[0]}"
    if len(names) > MOST_BEATS:
        return f"beats {names[0]} to {names[-1]}"
    return f"beats {', '.join(names[:-1])} and {names[-1]}"
