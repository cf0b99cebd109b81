"""Which foot strikes on which beat.

Marching feet alternate, so the foot at beat 0 fixes the foot at every whole beat, until a footfall on
a half beat or a halt sets it anew.
"""

import math
from typing import NamedTuple

from trainer.drill.movement import (
    BOTH,
    LEFT,
    OTHER,
    PIVOT,
    RIGHT,
    SAME,
    STRIKING_PLACES,
    Count,
    Movement,
    Stance,
    other_foot,
)


class Anchor(NamedTuple):
    """A whole beat whose foot is known; every other whole beat follows from it."""

    beat: int
    foot: str

    def foot_at(self, beat: int) -> str:
        """Return the foot that strikes on a whole beat while feet alternate."""
        return self.foot if (beat - self.beat) % 2 == 0 else other_foot(self.foot)


class Footfall(NamedTuple):
    """One count with its foot settled.

    `foot` is left, right, both, or None where no foot is meant; `due` is the foot that the beat gives,
    None where it is free (the first footfall from the halt); `clash` is true where the written foot is
    not the one that can be next.
    """

    row: Count
    foot: str | None
    due: str | None
    clash: bool = False

    @property
    def strikes(self) -> bool:
        """Whether the foot comes down, rather than turning or resting where it is."""
        return self.row.place in STRIKING_PLACES and self.foot is not None


def foot_at_zero(movement: Movement, stance: Stance, either: str = LEFT) -> str | None:
    """Return the foot that strikes on beat 0, None at the halt; `either` decides where both may."""
    if not stance.moves or movement.called_on == "halted":
        return None
    if movement.called_on == "either":
        return either
    if movement.called_on == "together":
        row = stance.together
        return stance.cycle[row].foot if row is not None else None
    return movement.called_on


def cycle_row(stance: Stance, movement: Movement, foot: str | None, beat: int) -> Count | None:
    """Return the row of a stance's cycle on a whole beat up to the command, None without a cycle."""
    if not stance.cycle:
        return None
    size = len(stance.cycle)
    if movement.called_on == "together" and stance.together is not None:
        zero = stance.together
    else:
        zero = next((n for n, row in enumerate(stance.cycle) if row.foot == foot), 0)
    return stance.cycle[(zero + beat) % size]


def stance_foot(stance: Stance, movement: Movement, foot: str | None, beat: int) -> str | None:
    """Return the foot that strikes on a whole beat before the first count; None at the halt."""
    row = cycle_row(stance, movement, foot, beat)
    if row is not None:
        return row.foot
    return Anchor(0, foot).foot_at(beat) if foot in (LEFT, RIGHT) else None


def settle_feet(movement: Movement, at_zero: str | None) -> list[Footfall]:
    """Give every count its foot.

    Args:
        movement: the movement.
        at_zero: the foot that struck on beat 0, None at the halt.

    Returns:
        One Footfall a count, in the order of the counts; a foot that cannot be next is kept as written
        and marked as a clash.
    """
    anchor = Anchor(0, at_zero) if at_zero in (LEFT, RIGHT) else None
    last: str | None = at_zero
    settled = []
    for count in movement.counts:
        fall, anchor = _settle(count, anchor, last, at_zero)
        settled.append(fall)
        if fall.strikes and fall.foot in (LEFT, RIGHT):
            last = fall.foot
    return settled


def _settle(
    count: Count, anchor: Anchor | None, last: str | None, at_zero: str | None
) -> tuple[Footfall, Anchor | None]:
    whole = count.beat == math.floor(count.beat)
    due = None
    if anchor is not None:
        due = anchor.foot_at(int(count.beat))
        if not whole:
            due = other_foot(last or due)
    relative = {SAME: at_zero, OTHER: other_foot(at_zero) if at_zero else None}
    foot = relative.get(count.foot or "", count.foot)
    striking = count.place in STRIKING_PLACES
    if foot is None and striking:
        foot = due
    elif foot is None and count.place == PIVOT:
        foot = BOTH
    single = foot if foot in (LEFT, RIGHT) else None
    fall = Footfall(count, foot, due, clash=bool(striking and due and single and single != due))
    if not striking or single is None:
        return fall, anchor
    if not whole:
        anchor = Anchor(math.ceil(count.beat), other_foot(single))
    elif anchor is None:
        anchor = Anchor(int(count.beat), single)
    return fall, anchor


def foot_after(falls: list[Footfall], at_zero: str | None) -> str | None:
    """Return the foot that leads next: the one that did not strike last, None if none has struck."""
    for fall in reversed(falls):
        if fall.strikes and fall.foot in (LEFT, RIGHT):
            return other_foot(fall.foot)
    return other_foot(at_zero) if at_zero in (LEFT, RIGHT) else None
