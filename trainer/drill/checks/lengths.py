"""Lengths that nothing says, and lengths that no step has."""

from collections.abc import Iterator

from trainer.drill.checks.finding import Finding, Path
from trainer.drill.deck import Deck
from trainer.drill.gait import gait
from trainer.drill.length import Length
from trainer.drill.movement import BACK, SIDE, STEP, Movement, Stance

LONGEST_STEP = Length(2.0, "m")


def length_findings(deck: Deck, movement: Movement, stance: Stance, path: Path) -> Iterator[Finding]:
    """Yield counts whose step has no length that the deck says, or one that no leg reaches."""
    steps = gait(deck, stance, deck.stance(movement.to))
    for number, count in enumerate(movement.counts):
        here = (*path, "counts", number)
        if isinstance(count.length, Length):
            if not reachable(count.length):
                yield Finding((*here, "length"), f"no step is {count.length} long; look at the unit")
        elif count.place in (STEP, BACK, SIDE) and steps.full(count.place) is None:
            yield Finding(
                here,
                f"count {number + 1} does not say how long this '{count.place}' is, and no stance does: add a length, "
                'like length = "30 in", or a stance with such a step',
            )


def reachable(length: Length) -> bool:
    """Whether a step can have this length."""
    return 0 < length.to("m") <= LONGEST_STEP.value
