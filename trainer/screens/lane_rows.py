"""What the Lane screen shows: the surface from above with the path, and the command in hand."""

from collections.abc import Sequence
from itertools import pairwise

from trainer.drill.deck import Deck
from trainer.drill.lane.fit import sides
from trainer.drill.lane.path import Tread
from trainer.drill.lane.plan import Plan
from trainer.drill.lane.script import clock, counts_words, said, where_words
from trainer.drill.lane.surface import Place, Surface, in_feet
from trainer.drill.length import Length
from trainer.drill.movement import LEFT, RIGHT
from trainer.plain import clip, visible
from trainer.screens.widgets.braille import Point, Sheet
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, Row, Span

FACING = {0.0: "▲", 90.0: "▶", 180.0: "▼", 270.0: "◀"}
ASKEW = "◆"
SPARSE = 3
"""What is still to come shows every n-th dot."""


class _Map:
    """Places on the surface as dots of a sheet: x to the right, y up."""

    def __init__(self, surface: Surface, width: int, height: int) -> None:
        self.sheet = Sheet(width, height)
        across, down = self.sheet.dots
        self.scale = min((across - 1) / surface.x, (down - 1) / surface.y)
        self.left = (across - 1 - surface.x * self.scale) / 2
        self.top = (down - 1 - surface.y * self.scale) / 2
        self.surface = surface

    def dot(self, x: float, y: float) -> Point:
        """Return where a place is drawn."""
        return self.left + x * self.scale, self.top + (self.surface.y - y) * self.scale

    def mark(self, place: Place, text: str, role: str) -> None:
        """Put a sign on a place, over whatever is drawn there."""
        x, y = self.dot(place.x, place.y)
        self.sheet.words.append((round(x) // 2, round(y) // 4, text, role))


def draw_lane(
    surface: Surface, plan: Plan | None, walked: Sequence[Tread], number: int, width: int, height: int
) -> list[Row]:
    """Draw the surface from above.

    Args:
        surface: the surface.
        plan: the plan; None for the bare surface.
        walked: every beat of the plan.
        number: the command in hand, from 0; its path is drawn last.
        width: columns.
        height: rows.
    """
    lane = _Map(surface, width, height)
    corners = [lane.dot(x, y) for x, y in ((0, 0), (surface.x, 0), (surface.x, surface.y), (0, surface.y))]
    for one, two in pairwise([*corners, corners[0]]):
        lane.sheet.line(one, two, LINE)
    if plan is None:
        return lane.sheet.rows()
    legs: dict[int, list[Point]] = {}
    last = lane.dot(plan.start.x, plan.start.y)
    for tread in walked:
        if tread.strikes in (LEFT, RIGHT):
            sole = tread.left if tread.strikes == LEFT else tread.right
            here = lane.dot(sole.x, sole.y)
            legs.setdefault(tread.command, [last]).append(here)
            last = here
    for leg, points in sorted(legs.items(), key=lambda one: (one[0] == number, one[0] <= number)):
        role = BRASS if leg == number else INK if leg < number else FAINT
        for one, two in pairwise(points):
            lane.sheet.line(one, two, role, every=SPARSE if leg > number else 1)
    lane.mark(plan.start, "S", STRONG)
    command = plan.commands[number]
    lane.mark(command.after, FACING.get(command.after.heading, ASKEW), BRASS)
    return lane.sheet.rows()


def command_rows(deck: Deck, plan: Plan, number: int, width: int, height: int) -> list[Row]:
    """Return the command in hand: its name, whether it counts, what is said on which step, where it leads.

    Where there are few rows, the empty ones go.
    """
    command = plan.commands[number]
    moves = deck.stance(command.stance).moves
    rows: list[Row] = [
        (Span(f"{number + 1} of {len(plan.commands)}", FAINT),),
        (Span(clip(visible(deck.movement(command.movement).name), width), STRONG),),
        (Span(counts_words(command, plan), INK if command.trial else FAINT),),
        (),
        (Span(f"{'step' if moves else 'beat'}    foot   is said", FAINT),),
    ]
    for line in said(deck, plan, command):
        speaker = "" if line.speaker == "candidate" else clip(visible(line.speaker), 6)
        told = f"{speaker}: {visible(line.say)}" if speaker and line.foot else visible(line.say)
        text = clip(told, max(width - 15, 1))
        rows.append((Span(f"{line.beat:<8g}{line.foot or speaker:<7}", FAINT), Span(text, FAINT if speaker else INK)))
    rows += [
        (),
        (Span("called at", FAINT),),
        (Span(clip(where_words(deck, command.before), width)),),
        (Span("ends at", FAINT),),
        (Span(clip(where_words(deck, command.after), width)),),
        (Span("time ", FAINT), Span(f"{clock(command.seconds)} of {clock(plan.seconds)}")),
    ]
    return rows if len(rows) <= height else [row for row in rows if row]


def lane_title(deck: Deck, surface: Surface, unit: str) -> str:
    """Return the sides of a surface and its margin in a unit, for the head of the page."""
    shown = Surface(*(Length(length, deck.unit).to(unit) for length in surface))
    margin = f", margin {in_feet(shown.margin, unit)}" if surface.margin else ""
    return sides(shown, unit) + margin


def sum_rows(plan: Plan, width: int) -> list[Row]:
    """Return how much the plan takes, and how much shorter one could be."""
    extra = sum(not command.trial for command in plan.commands)
    size = f"{len(plan.commands)} commands ({extra} only lead on), {plan.steps} steps, {clock(plan.seconds)}"
    rest = "none is shorter" if plan.shortest else f"none can take less than {clock(plan.bound)}"
    return [(Span(clip(f"{size}; {rest}", width), FAINT),)]
