"""Where soles are drawn: the footprints of a score with a gauge between the feet."""

import math
from typing import NamedTuple

from trainer.drill.deck import Deck, Sole
from trainer.drill.footprints import Print, Stand, footprints, heading_vector
from trainer.drill.movement import BOTH, LEFT, RIGHT, TEE, TOE_TO_HEEL, other_foot
from trainer.drill.score import Beat, Score
from trainer.screens.widgets.braille import Point

GAUGE = 1.7
"""Between the middle lines of the two soles at the halt, in sole widths: for drawing only, so that they part."""


class Placed(NamedTuple):
    """A sole as drawn: its ball (with the gauge), its heading and the beat on which it came there."""

    foot: str
    x: float
    y: float
    toes: float
    beat: float


class Tread(NamedTuple):
    """Both soles as drawn after one beat, the body's heading, and where the march has come to (no gauge)."""

    beat: float
    left: Placed
    right: Placed
    body: float
    march: Point

    @property
    def soles(self) -> tuple[Placed, Placed]:
        """The two soles, the one that came last at the end."""
        return (self.left, self.right) if self.left.beat <= self.right.beat else (self.right, self.left)


class Ground(NamedTuple):
    """A score made ready for drawing."""

    sole: Sole
    treads: tuple[Tread, ...]
    last_count: float

    def at(self, beat: float) -> int:
        """Return the index of the last tread up to a beat."""
        return max((n for n, tread in enumerate(self.treads) if tread.beat <= beat), default=0)


def lay_ground(deck: Deck, score: Score) -> Ground:
    """Return a score's soles with a gauge between them.

    Soles set against each other (T, toe to heel) keep their exact places to each other; a foot that
    stays keeps the place that it has; feet together stand side by side across the body's heading.
    """
    half = GAUGE * deck.sole.width / 2
    side = {LEFT: -half, RIGHT: half}
    shift = {foot: shift_along(90.0, side[foot]) for foot in side}
    came = dict.fromkeys(side, score.beats[0].beat)
    treads: list[Tread] = []
    last: Stand | None = None
    march = (0.0, 0.0)
    for beat, stand in zip(score.beats, footprints(deck, score), strict=True):
        for foot in side:
            here, place = stand.foot(foot), _place(beat, foot)
            if last is None or here != last.foot(foot) or place:
                came[foot] = beat.beat
            if place in (TEE, TOE_TO_HEEL):
                shift[foot] = shift[other_foot(foot)]
            elif last is None or here[:2] != last.foot(foot)[:2]:
                shift[foot] = shift_along(stand.body + 90.0, side[foot])
        if math.dist(stand.left[:2], stand.right[:2]) < deck.sole.width / 2:
            shift = {foot: shift_along(stand.body + 90.0, side[foot]) for foot in side}
        struck = beat.strikes if beat.strikes in side else None
        march = stand.foot(struck)[:2] if struck else march
        left, right = (_placed(stand.foot(foot), foot, shift[foot], came[foot]) for foot in (LEFT, RIGHT))
        treads.append(Tread(beat.beat, left, right, stand.body, march))
        last = stand
    return Ground(deck.sole, tuple(treads), score.last_count)


def _place(beat: Beat, foot: str) -> str | None:
    """Return what one foot does on a beat, None if nothing."""
    return next((act.place for act in beat.acts if act.foot in (foot, BOTH)), None)


def shift_along(heading: float, by: float) -> Point:
    """Return a length along a heading as a shift."""
    dx, dy = heading_vector(heading)
    return dx * by, dy * by


def _placed(at: Print, foot: str, shift: Point, beat: float) -> Placed:
    return Placed(foot, at.x + shift[0], at.y + shift[1], at.toes, beat)
