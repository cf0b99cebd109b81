"""The marching surface: a rectangle, and places on it.

The origin is the near left corner; x runs to the right along the first side, y forward along the second; headings
are degrees clockwise from y.
"""

import re
from typing import NamedTuple

from trainer.drill.length import Length, parse_length

EXAMPLE = '"60 ft x 40 ft"'
BETWEEN = r"\s*[×*]\s*|\s+(?:x|by)\s+|\s*(?<=[a-z0-9])x(?=[0-9])"
"""What may stand between two sides."""
SQUARE_TURN = 90.0


class LaneError(ValueError):
    """A lane that cannot be planned as it was asked for; one sentence or two for whoever asked."""


class Place(NamedTuple):
    """The ball of the foot that struck last, in the deck's unit, and where the body looks."""

    x: float
    y: float
    heading: float


class Surface(NamedTuple):
    """Two sides in the deck's unit; `margin` is kept free of feet along all of them."""

    x: float
    y: float
    margin: float = 0.0

    @property
    def along(self) -> float:
        """The heading along the longer side."""
        return SQUARE_TURN if self.x > self.y else 0.0

    def shrunk(self, share: float) -> "Surface":
        """Return the surface with a share of its sides."""
        return Surface(self.x * share, self.y * share, self.margin * share)

    def holds(self, left: float, right: float, near: float, far: float) -> bool:
        """Whether a box of soles lies on the surface, within the margin."""
        low = self.margin - NEAR
        return left >= low and near >= low and right <= self.x - low and far <= self.y - low


NEAR = 1e-6
"""What stands on the line is inside; lengths differ by so much from one unit to another."""


def parse_surface(text: str, unit: str) -> tuple[float, float]:
    """Read two sides such as `60 ft x 40 ft`, `18 m by 12 m` or `60 ft 6 in x 40 ft`.

    Args:
        text: the sides.
        unit: the unit of the result.

    Raises:
        LaneError: with a sentence that says what is wrong.
    """
    sides = re.split(BETWEEN, text.strip().lower())
    if len(sides) != 2 or not all(sides):
        raise LaneError(f'A surface is two sides, like {EXAMPLE}, not "{text}".')
    if re.fullmatch(r"[0-9.]+", sides[0]):
        sides[0] += " " + sides[1].split()[-1].lstrip("0123456789.")
    found = [_length(side, unit, "a side of the surface") for side in sides]
    if 0 in found:
        raise LaneError(f'A side of the surface is longer than nothing, so it cannot be "{sides[found.index(0)]}".')
    return found[0], found[1]


def parse_margin(text: str, unit: str) -> float:
    """Read the room that is kept free along the sides.

    Raises:
        LaneError: with a sentence that says what is wrong.
    """
    return _length(text, unit, "a margin")


def parse_start(text: str, surface: Surface, unit: str) -> Place:
    """Read where the candidate stands at first: `10 ft, 4 ft` or `10 ft, 4 ft, 90`, from the near left corner.

    The third number is the heading, degrees clockwise from the second side; without it he looks along the longer side.

    Raises:
        LaneError: with a sentence that says what is wrong.
    """
    parts = [part.strip() for part in text.split(",")]
    if len(parts) not in (2, 3):
        raise LaneError(
            f'A start is two lengths from the near left corner and, if need be, a heading, like "10 ft, 4 ft, 90", '
            f'not "{text}".'
        )
    x, y = (_length(part, unit, "a place of the start") for part in parts[:2])
    heading = _heading(parts[2]) if len(parts) == 3 else surface.along
    if x > surface.x or y > surface.y:
        raise LaneError(f'The start "{text}" lies outside of the surface.')
    return Place(x, y, heading)


def _heading(text: str) -> float:
    number = text.removesuffix("degrees").removesuffix("°").strip()
    if not re.fullmatch(r"[0-9]{1,3}(\.[0-9]+)?", number) or float(number) > 360:
        raise LaneError(f'A heading is degrees clockwise from 0 to 360, so it cannot be "{text}".')
    return float(number) % 360.0


def _length(text: str, unit: str, what: str) -> float:
    text = text.strip().lower()
    both = re.fullmatch(r"([0-9.]+\s*(?:ft|m))\s+([0-9.]+\s*(?:in|cm))", text)
    try:
        return sum(parse_length(piece).to(unit) for piece in (both.groups() if both else (text,)))
    except ValueError as error:
        raise LaneError(f'"{text}" cannot be {what}: {error}.') from None


def unit_typed(text: str, unit: str) -> str:
    """Return the unit in which to answer somebody who wrote a surface: metres, feet, or the deck's where none shows."""
    if re.search(r"ft|in", text.lower()):
        return "ft"
    return "m" if re.search(r"[0-9]\s*c?m", text.lower()) else unit


def in_feet(length: float, unit: str) -> str:
    """Return a length as people pace it out: feet and inches, or metres to the centimetre, never less than it is."""
    if unit in ("in", "ft"):
        inches = -int(-(Length(length, unit).to("in") - NEAR) // 1)
        feet, rest = divmod(inches, 12)
        return " ".join(part for part in (f"{feet} ft" if feet else "", f"{rest} in" if rest else "") if part) or "0 in"
    centimetres = -int(-(Length(length, unit).to("cm") - NEAR) // 1)
    return f"{centimetres / 100:g} m"
