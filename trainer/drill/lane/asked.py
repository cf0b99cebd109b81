"""What a lane is planned for: how often each movement is to be tested, and on which surface."""

from collections.abc import Mapping
from typing import NamedTuple

from trainer.drill.checks import nearest
from trainer.drill.deck import Deck
from trainer.drill.lane.surface import LaneError, Place, Surface

MOST_TIMES = 20
"""How often one measure can be wanted."""


class Asked(NamedTuple):
    """What a lane is planned for.

    Attributes:
        wanted: how often each movement is to be tested.
        surface: the surface.
        start: where the candidate stands at first; None for the best of some usual places.
        prompt: beats that the grader takes to name a movement, as for `moves.first_word`.
    """

    wanted: Mapping[str, int]
    surface: Surface
    start: Place | None = None
    prompt: int | None = None


def sheet_trials(deck: Deck, trials: int | None = None) -> dict[str, int]:
    """Return how often each measure of the deck's grade sheet is tried.

    Raises:
        LaneError: if the deck has no grade sheet.
    """
    sheet = deck.grade_sheet
    if sheet is None:
        raise LaneError(f"The deck '{deck.id}' has no grade sheet; name the movements to test, each with how often.")
    return dict.fromkeys(sheet.minors, trials or sheet.trials)


def parse_left(text: str, deck: Deck) -> dict[str, int]:
    """Read what is left to test, `right-flank:2,halt:1`; a movement that is not named is not left.

    Raises:
        LaneError: with a sentence that says what is wrong.
    """
    left: dict[str, int] = {}
    for part in filter(None, (part.strip() for part in text.split(","))):
        name, _, number = (piece.strip() for piece in part.rpartition(":"))
        if not name or not (number.isascii() and number.isdigit()) or int(number[:4]) > MOST_TIMES:
            raise LaneError(
                f'What is left is written like "right-flank:2,halt:1", each from 0 to {MOST_TIMES} times, not "{part}".'
            )
        if name not in {movement.id for movement in deck.movements}:
            hint = nearest(name, [movement.id for movement in deck.movements])
            raise LaneError(f"The deck '{deck.id}' has no movement '{name}'.{hint}")
        left[name] = left.get(name, 0) + int(number)
    left = {name: number for name, number in left.items() if number}
    if not left:
        raise LaneError('Nothing is left to test; name at least one movement, like "halt:1".')
    return left
