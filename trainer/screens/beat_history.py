"""How calls and looks went: timing by day beside published figures, and how well each fault is seen."""

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen

from trainer.coach.beat import Call, Day, by_day, calls
from trainer.coach.eye import FaultEye, eye_words, fault_eyes, looks, whole_eye
from trainer.coach.standing import Standing
from trainer.plain import visible
from trainer.records.events import Event
from trainer.rhythm.scale import FIGURES, SOURCE
from trainer.screens.flow import Flow
from trainer.screens.head import Head
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, Row, Span

WIDEST_MS = 120.0
"""Spread at the right end of the scale."""
DAYS = 21
"""Days that are told, the last ones."""
NO_CALLS = "No call was struck yet."
NO_LOOKS = "No performance was looked at yet."


class BeatHistoryScreen(Screen[None]):
    """The history of timing and of the eye, one page to scroll."""

    CSS_PATH = "beat_history.tcss"
    HELP = (
        "Timing by day: how many calls, the share of words that fell on their foot, and the spread of the strikes on a "
        "scale on which published figures are marked. Then, for each fault, how often you saw it where it was and "
        "called it where it was not. d' (d prime) sets one against the other: 0 is guessing, 1 to 2 is usual for what "
        "is hard to see. It is told only after enough performances of both kinds."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "Back", show=False, tooltip="Back")]

    def __init__(self, standing: Standing, events: Sequence[Event]) -> None:
        super().__init__()
        self._deck = standing.deck
        self._calls = calls(events, self._deck.standard)
        self._seen = looks(events, self._deck.standard)

    def compose(self) -> ComposeResult:
        """Lay out the page."""
        yield Head("How it went", self._deck.title)
        with VerticalScroll():
            yield Flow(lambda width: history_rows(self._calls, min(width, 96)))
            yield Flow(lambda width: self._eye_rows(min(width, 96)))
        yield KeyLine((("↑↓", "scroll"), ("esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Let the arrows scroll."""
        self.query_one(VerticalScroll).focus()

    def _eye_rows(self, width: int) -> list[Row]:
        whole = whole_eye(self._seen)
        rows: list[Row] = [(), (Span("The eye for faults", STRONG),)]
        if not whole.there and not whole.not_there:
            return [*rows, (Span(NO_LOOKS, FAINT),)]
        rows += hanging((Span("something wrong  ", BRASS),), eye_words(whole), width, INK)
        return rows + [row for one in fault_eyes(self._deck, self._seen) for row in fault_rows(one, width)]

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)


def fault_rows(one: FaultEye, width: int) -> list[Row]:
    """Return one fault with how well it is seen."""
    name = f"{visible(one.movement.name)}: {visible(one.fault.tell)}"
    return [
        *((Span(line, INK),) for line in wrapped(name, width)),
        *hanging((Span("  "),), eye_words(one.eye), width, FAINT),
    ]


def history_rows(all_calls: Sequence[Call], width: int) -> list[Row]:
    """Return timing by day: calls, share of words on their foot, spread on a scale with the published figures."""
    rows: list[Row] = [(Span("Calls on the beat", STRONG),)]
    days = by_day(all_calls)[-DAYS:]
    if not days:
        return [*rows, (Span(NO_CALLS, FAINT),)]
    rows.append((Span(f"{'day':<12}{'calls':>6}{'on their foot':>15}{'spread':>10}", FAINT),))
    room = max(width - 46, 12)
    rows += [_day_row(day, room) for day in days]
    told = "; ".join(f"{one.spread:.0f} ms at {one.cadence:.0f} a minute ({one.group})" for one in FIGURES)
    rows += [(Span(line, FAINT),) for line in wrapped(f"│ published spreads: {told}. {SOURCE}.", width)]
    return rows


def _day_row(day: Day, room: int) -> Row:
    spread = "-" if day.spread is None else f"{day.spread:.0f} ms"
    head = f"{day.day.isoformat():<12}{day.calls:>6}{day.feet:>14.0%} {spread:>9}  "
    return (Span(head, INK), *scale_row(day.spread, room))


def scale_row(spread: float | None, room: int) -> Row:
    """Return a spread as a point on a scale from 0, the published spreads marked on it."""

    def column(value: float) -> int:
        return round(min(value / WIDEST_MS, 1.0) * (room - 1))

    cells = [("─", LINE)] * room
    for one in FIGURES:
        cells[column(one.spread)] = ("│", FAINT)
    if spread is not None:
        cells[column(spread)] = ("●", BRASS)
    return tuple(Span(sign, role) for sign, role in cells)
