"""What does not fit a surface, and the least surface that would hold it."""

from collections.abc import Callable, Iterable, Mapping
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.lane.asked import Asked
from trainer.drill.lane.plan import Workings, fits, workings
from trainer.drill.lane.reach import box_of
from trainer.drill.lane.surface import NEAR, SQUARE_TURN, LaneError, Surface, in_feet
from trainer.drill.length import Length

QUICK, THOROUGH = 20_000, 45_000
"""States that each of many searches looks at, for one measure and for several."""
LARGEST = 64.0
"""No surface so many times as large as the one asked for is tried."""
GROWTH = 1.08
"""Each surface that is tried is so many times as large as the one before."""
STEPS = {"in": "1 ft", "ft": "1 ft", "cm": "0.25 m", "m": "0.25 m"}


class Misfit(NamedTuple):
    """Why a surface does not do.

    Attributes:
        measures: the movements for which no order was found even alone; empty if only for all of them together.
        least: the least surface of that shape that was found to hold each of them alone; None if none was.
        together: the least surface of that shape that was found to hold them all; None if none was.
        never: those of the measures that cannot fit, since each takes more ground than there is.
    """

    measures: tuple[str, ...]
    least: Surface | None
    together: Surface | None
    never: tuple[str, ...] = ()


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
    never = tuple(name for name in alone if too_long(works, name, asked.surface))
    least = asked.surface
    for name in alone:
        found = _least(fit, deck.unit, {name: asked.wanted[name]}, least)
        if found is None:
            return Misfit(alone, None, None, never)
        least = found
    together = _least(fit, deck.unit, asked.wanted, least)
    return Misfit(alone, least if alone else None, together, never)


def too_long(works: Workings, movement: str, surface: Surface) -> bool:
    """Whether a movement takes more ground than there is, however it is led up to and whichever way it is marched.

    Only what soles cover from the word of execution on counts, along the sides; a body askew to them proves nothing.
    """
    if any(arc.move.turn % SQUARE_TURN for arc in works.arcs):
        return False
    sides = sorted((surface.x - 2 * surface.margin, surface.y - 2 * surface.margin))
    boxes = [box_of(arc.move.reach) for arc in works.arcs if arc.move.movement == movement]
    grounds = [sorted((box.right - box.left, box.far - box.near)) for box in boxes]
    return all(less > sides[0] + NEAR or more > sides[1] + NEAR for less, more in grounds)


Fit = Callable[[Mapping[str, int], Surface], bool]


def _least(fit: Fit, unit: str, wanted: Mapping[str, int], lowest: Surface) -> Surface | None:
    """Return the least surface of a shape that was found to hold what is wanted.

    Its sides are whole feet or quarters of a metre. A search may miss on a larger surface what it found on a smaller
    one, so sizes go up in small steps, and what holds
    on the first that is found is then sought between it and the last that was not.
    """
    if fit(wanted, lowest):
        return lowest
    low, high = 1.0, GROWTH
    while not fit(wanted, _grown(unit, lowest, high)):
        low, high = high, high * GROWTH
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
    """Return what does not fit as far as it is known, and what would, in sentences."""
    size = sides(asked.surface, deck.unit)
    margin = f" with a margin of {in_feet(asked.surface.margin, deck.unit)}" if asked.surface.margin else ""
    where = f"a surface of {size}{margin}"

    def names(ids: Iterable[str]) -> str:
        return ", ".join(f"{deck.movement(name).name} ({name})" for name in ids)

    lines = []
    if found.never:
        lines.append(f"A{where[1:]} is too small: these take more ground than it has: {names(found.never)}.")
    unsure = [name for name in found.measures if name not in found.never]
    if unsure:
        lines.append(f"No order was found on {where} for these, each alone: {names(unsure)}.")
    if not found.measures:
        lines.append(f"Each measure fits alone on {where}, but no order of all was found.")
    if found.least:
        alone = "" if found.together == found.least else ", each alone"
        lines.append(
            f"The least surface of this shape that was found to hold them{alone}: {sides(found.least, deck.unit)}."
        )
    if found.together and found.together != found.least:
        together = sides(found.together, deck.unit)
        lines.append(f"The least surface of this shape that was found to hold them all: {together}.")
    if found.least or found.together:
        lines.append("A smaller one may do as well; not every size was tried.")
    if asked.start is not None:
        lines.append("Sizes hold for a start near a corner, in the middle of a short side or of the surface.")
    return lines


def sides(surface: Surface, unit: str) -> str:
    """Return the sides of a surface as people say them."""
    return f"{in_feet(surface.x, unit)} x {in_feet(surface.y, unit)}"
