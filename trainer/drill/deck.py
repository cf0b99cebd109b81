"""Deck: stances, movements, grade sheet, cautions, sources."""

from typing import NamedTuple

from trainer.drill.grade_sheet import GradeSheet
from trainer.drill.length import Length
from trainer.drill.movement import Movement, Stance


class Sole(NamedTuple):
    """A shoe sole seen from above: lengths in the deck's unit, `ball` measured from the heel."""

    length: float
    width: float
    ball: float

    @property
    def toe(self) -> float:
        """From the ball forward to the toe."""
        return self.length - self.ball


def usual_sole(unit: str) -> Sole:
    """Return the sole that holds unless a deck says otherwise: 12 by 4 in, the ball 9 in from the heel."""
    return Sole(*(Length(inches, "in").to(unit) for inches in (12.0, 4.0, 9.0)))


class Deck(NamedTuple):
    """One standard, as its author wrote it, checked."""

    id: str
    standard: str
    title: str
    unit: str
    sole: Sole
    stances: tuple[Stance, ...]
    movements: tuple[Movement, ...]
    grade_sheet: GradeSheet | None = None
    sources: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    sword: tuple[str, ...] = ()

    def stance(self, name: str) -> Stance:
        """Return a stance by name.

        Raises:
            KeyError: if the deck has none of that name.
        """
        for stance in self.stances:
            if stance.name == name:
                return stance
        raise KeyError(name)

    def movement(self, movement_id: str) -> Movement:
        """Return a movement by id.

        Raises:
            KeyError: if the deck has none of that id.
        """
        for movement in self.movements:
            if movement.id == movement_id:
                return movement
        raise KeyError(movement_id)
