"""What does not fit a surface, and the least surface that would hold it."""

from collections.abc import Callable, Mapping
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.lane.plan import Asked, fits, workings
from trainer.drill.lane.surface import LaneError, Surface, in_feet
from trainer.drill.length import Length

QUICK, THOROUGH = 3_000, 20_000
"""States that each of many searches looks at, for one measure and for several."""
LARGEST = 64.0
"""No surface so many times as large as the one asked for is tried."""
STEPS = {"in": "1 ft", "ft": "1 ft", "cm": "0.25 m", "m": "0.25 m"}


class Misfit(NamedTuple):
    """Why a surface does not do.

    Attributes:
        measures: the movements that do not fit even alone; empty if only all of them together do not.
        least: the least surface of that shape that was found to hold each of them alone; None if none was.
        together: the least surface of that shape that was found to hold them all; None if none was.
    """

    measures: tuple[str, ...]
    least: Surface | None
    together: Surface | None


class StoppedError(LaneError):
    """Nobody wants to know any more."""


def misfit(deck: Deck, asked: Asked, go_on: Callable[[], bool] = lambda: True) -> Misfit:
    """Return what does not fit the surface asked for, and what would.

    The places are the usual ones: a start asked for is left out of account.

    Args:
        deck: the deck.
        asked: what there is no plan for.
        go_on: asked now and then; once it says no, the search ends.

    Raises:
        StoppedError: if it was ended so.
    """
    works = workings(deck, asked.prompt)

    def fit(wanted: Mapping[str, int], surface: Surface) -> bool:
        if not go_on():
            raise StoppedError("The search was ended.")
        effort = QUICK if len(wanted) == 1 else THOROUGH
        return fits(works, asked._replace(wanted=wanted, surface=surface, start=None), effort)

    alone = tuple(name for name, count in asked.wanted.items() if not fit({name: count}, asked.surface))
    least = asked.surface
    for name in alone:
        found = _least(fit, deck.unit, {name: asked.wanted[name]}, least)
        if found is None:
            return Misfit(alone, None, None)
        least = found
    return Misfit(alone, least if alone else None, _least(fit, deck.unit, asked.wanted, least))


Fit = Callable[[Mapping[str, int], Surface], bool]


def _least(fit: Fit, unit: str, wanted: Mapping[str, int], lowest: Surface) -> Surface | None:
    """Return the least surface of a shape that holds what is wanted, its sides whole feet or quarters of a metre."""
    if fit(wanted, lowest):
        return lowest
    low, high = 1.0, 1.25
    while not fit(wanted, _grown(unit, lowest, high)):
        low, high = high, high * 1.5
        if high > LARGEST:
            return None
    while _grown(unit, lowest, low) != _grown(unit, lowest, high) and high - low > 0.03:
        middle = (low + high) / 2
        if fit(wanted, _grown(unit, lowest, middle)):
            high = middle
        else:
            low = middle
    return _grown(unit, lowest, high)


def _grown(unit: str, surface: Surface, times: float) -> Surface:
    number, of = STEPS[unit].split()
    step = Length(float(number), of).to(unit)
    x, y = (-int(-(side * times) // step) * step for side in (surface.x, surface.y))
    return surface._replace(x=x, y=y)


def misfit_lines(deck: Deck, asked: Asked, found: Misfit) -> list[str]:
    """Return what does not fit, and what would, in sentences."""
    unit, surface = deck.unit, asked.surface
    size = sides(surface, unit)
    margin = f" with a margin of {in_feet(surface.margin, unit)}" if surface.margin else ""
    lines = []
    if found.measures:
        names = ", ".join(f"{deck.movement(name).name} ({name})" for name in found.measures)
        lines.append(f"A surface of {size}{margin} is too small. These do not fit, even alone: {names}.")
        if found.least:
            alone = "" if found.together == found.least else ", each alone"
            lines.append(
                f"The least surface of this shape that was found to hold them{alone}: {sides(found.least, unit)}."
            )
    else:
        lines.append(f"A surface of {size}{margin} is too small: each measure fits alone, no order of all was found.")
    if found.together and found.together != found.least:
        together = sides(found.together, unit)
        lines.append(f"The least surface of this shape that was found to hold them all: {together}.")
    if asked.start is not None:
        lines.append("Sizes hold for a start near a corner, in the middle of a short side or of the surface.")
    return lines


def sides(surface: Surface, unit: str) -> str:
    """Return the sides of a surface as people say them."""
    return f"{in_feet(surface.x, unit)} x {in_feet(surface.y, unit)}"
