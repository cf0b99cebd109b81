"""How far soles reach, also while they turn: corners, what a turning sole sweeps over, boxes on the surface."""

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from trainer.drill.deck import Sole
from trainer.drill.footprints import Print, heading_vector

FINE = 5.0
"""Degrees; a sole that turns is looked at so often on its way. Its corners then reach at most a hundredth of an inch
farther (9.2 in from ball to heel corner, half of the angle: 9.2 (1 - cos 2.5°))."""

Xy = tuple[float, float]


class Box(NamedTuple):
    """The least rectangle with sides along the surface that holds some soles."""

    left: float
    right: float
    near: float
    far: float

    def at(self, x: float, y: float) -> "Box":
        """Return the box moved by a place."""
        return Box(self.left + x, self.right + x, self.near + y, self.far + y)

    def with_(self, other: "Box") -> "Box":
        """Return the least box that holds both."""
        return Box(
            min(self.left, other.left),
            max(self.right, other.right),
            min(self.near, other.near),
            max(self.far, other.far),
        )


def turned(point: Xy, heading: float) -> Xy:
    """Return a place seen from a body that looks along y, as it lies when the body has a heading."""
    fx, fy = heading_vector(heading)
    return point[0] * fy + point[1] * fx, point[1] * fy - point[0] * fx


def box_of(points: Iterable[Xy]) -> Box:
    """Return the least box around some places, one at least."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), max(xs), min(ys), max(ys))


def corners(sole: Sole, at: Print) -> list[Xy]:
    """Return the four corners of a sole."""
    fx, fy = heading_vector(at.toes)
    return [
        (at.x + fx * ahead + fy * across, at.y + fy * ahead - fx * across)
        for ahead in (sole.toe, -sole.ball)
        for across in (-sole.width / 2, sole.width / 2)
    ]


def swept(sole: Sole, start: Print, end: Print, turn: float) -> list[Xy]:
    """Return the corners of a sole at its end and, where it turns, on its way there.

    Args:
        sole: the sole.
        start: where it was a beat before.
        end: where it is.
        turn: the turn of the body on that beat, degrees clockwise; it says which way a half turn goes.
    """
    way = (end.toes - start.toes + 180.0) % 360.0 - 180.0
    if abs(way) == 180.0 and turn:
        way = math.copysign(180.0, turn)
    pieces = math.ceil(abs(way) / FINE)
    points = corners(sole, end)
    for number in range(pieces):
        part = number / pieces
        x, y = start.x + (end.x - start.x) * part, start.y + (end.y - start.y) * part
        points += corners(sole, Print(x, y, start.toes + way * part))
    return points


def hull(points: Sequence[Xy]) -> tuple[Xy, ...]:
    """Return the corners of the convex hull; what is inside of it reaches no farther in any direction."""
    ordered = sorted({(round(x, 9), round(y, 9)) for x, y in points})
    if len(ordered) < 3:
        return tuple(ordered)
    return tuple(_half(ordered)[:-1] + _half(ordered[::-1])[:-1])


def _half(ordered: Sequence[Xy]) -> list[Xy]:
    kept: list[Xy] = []
    for point in ordered:
        while len(kept) > 1 and _side(kept[-2], kept[-1], point) <= 0:
            kept.pop()
        kept.append(point)
    return kept


def _side(a: Xy, b: Xy, c: Xy) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
