"""Which foot strikes on which beat.

Marching feet alternate, so the foot at beat 0 fixes the foot at every whole beat, until a footfall on
a half beat or a halt sets it anew.
"""

import math
from typing import NamedTuple

from trainer.drill.movement import (
    BOTH,
    CLOSE,
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


def settle_feet(movement: Movement, at_zero: str | None, before: Stance | None = None) -> list[Footfall]:
    """Give every count its foot.

    Args:
        movement: the movement.
        at_zero: the foot that struck on beat 0, None at the halt.
        before: the stance it starts from; one whose cycle rests on a beat leaves the first foot free.

    Returns:
        One Footfall a count, in the order of the counts; a foot that cannot be next is kept as written
        and marked as a clash.
    """
    rests = before is not None and any(row.place not in STRIKING_PLACES for row in before.cycle)
    settling = _Settling(at_zero, rests)
    return [settling.take(count) for count in movement.counts]


class _Settling:
    """What is known of the feet while counts are gone through one by one."""

    def __init__(self, at_zero: str | None, rests: bool) -> None:
        self.at_zero = at_zero
        self.anchor = Anchor(0, at_zero) if at_zero in (LEFT, RIGHT) and not rests else None
        self.last = at_zero
        self.closed = False

    def take(self, count: Count) -> Footfall:
        """Settle one count."""
        due = self._due(count.beat)
        relative = {SAME: self.at_zero, OTHER: other_foot(self.at_zero) if self.at_zero else None}
        foot = relative.get(count.foot or "", count.foot)
        striking = count.place in STRIKING_PLACES
        if foot is None and striking:
            foot = due
        elif foot is None and count.place == PIVOT:
            foot = BOTH
        single = foot if foot in (LEFT, RIGHT) else None
        clash = bool(striking and due and single and single != due)
        if striking and single is not None:
            self._struck(count, single)
        elif count.place is not None and (self.closed or (self.at_zero is None and foot == BOTH)):
            # With both feet down and no footfall on a beat, either foot may be next.
            self.anchor = None
        return Footfall(count, foot, due, clash)

    def _due(self, beat: float) -> str | None:
        if self.anchor is None:
            return None
        due = self.anchor.foot_at(math.floor(beat))
        return due if beat == math.floor(beat) else other_foot(self.last or due)

    def _struck(self, count: Count, foot: str) -> None:
        self.last, self.closed = foot, count.place == CLOSE
        if count.beat != math.floor(count.beat):
            self.anchor = Anchor(math.ceil(count.beat), other_foot(foot))
        elif self.anchor is None:
            self.anchor = Anchor(int(count.beat), foot)
