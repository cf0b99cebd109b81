"""What a full step is between two stances, and what lengths follow from it."""

from collections.abc import Iterator
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.length import Length
from trainer.drill.movement import (
    BACK,
    HALF,
    SIDE,
    STEP,
    Stance,
)

SHORT_GAIT = 0.6
"""A gait up to six tenths of the full step is a half step (15 of 30 in, 18 in double time), not a full one."""


class Gait(NamedTuple):
    """The full lengths of a movement's footfalls, in the deck's unit; None where no stance says one."""

    forward: float | None
    back: float | None
    side: float | None

    def full(self, place: str | None) -> float | None:
        """Return what full means for a place."""
        return {BACK: self.back, SIDE: self.side}.get(place or STEP, self.forward)

    def length(self, place: str | None, written: str | Length | None, unit: str) -> float:
        """Return the length of one footfall, 0 where nothing says it."""
        return stride(self.full(place) or 0.0, written, unit)


def stride(full: float, written: str | Length | None, unit: str) -> float:
    """Return the length of a footfall: as written, else the full one or its half."""
    if isinstance(written, Length):
        return written.to(unit)
    return full / 2 if written == HALF else full


def full_step(deck: Deck) -> float | None:
    """Return the deck's full step: of the stance `marching`, else of the first that steps, else None."""
    forward = [s for s in deck.stances if s.step and STEP in s.places]
    for stance in sorted(forward, key=lambda s: (s.name != "marching", bool(s.cycle))):
        if stance.step:
            return stance.step.to(deck.unit)
    return None


def gait(deck: Deck, before: Stance, after: Stance) -> Gait:
    """Return what full means in a movement between two stances.

    A full step forward is that of the stance it is called from, else of the one it leads to; a stance of
    half steps does not make its step a full one.
    """
    usual = full_step(deck)

    def steps(place: str, stances: tuple[Stance, ...]) -> Iterator[float]:
        return (s.step.to(deck.unit) for s in stances if s.step is not None and place in s.places)

    forward = (step for step in steps(STEP, (before, after)) if usual is None or step > SHORT_GAIT * usual)
    anywhere = (before, after, *deck.stances)
    return Gait(next(forward, usual), next(steps(BACK, anywhere), None), next(steps(SIDE, anywhere), None))
