"""How a movement ends: its whole turn, and a closing foot that the next stance can go on from."""

import math
from collections.abc import Iterator

from trainer.drill.checks.finding import Finding, Path
from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero
from trainer.drill.footprints import footprints
from trainer.drill.movement import BACK, IN_PLACE, STEP, Movement, Stance, turn_words
from trainer.drill.unrolling import goes_on, right_performance, score


def turn_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    """Yield a whole turn that the counts do not add up to."""
    if movement.turn is None:
        return
    turned = sum(count.turn for count in movement.counts)
    if round(turned - movement.turn, 6):  # thirds of a turn do not add up exactly
        yield Finding(
            (*path, "turn"),
            f"the whole turn is said to be {turn_words(movement.turn)}, but the counts add up to {turn_words(turned)}",
        )


def closing_findings(deck: Deck, movement: Movement, stance: Stance, path: Path) -> Iterator[Finding]:
    """A closing foot that `to` cannot go on from."""
    at_zero = foot_at_zero(movement, stance)
    done = right_performance(deck, movement, stance.name, at_zero)
    striking = [n for n, fall in enumerate(done.falls) if fall.strikes]
    if not striking:
        if stance.moves and not done.after.moves:
            yield Finding(
                (*path, "counts", len(movement.counts) - 1),
                f"'{movement.to}' stands still, but no count brings the feet to a halt",
            )
        return
    here = (*path, "counts", striking[-1])
    last = done.falls[striking[-1]]
    if done.after.moves:
        if not goes_on(done.after, done.falls):
            yield Finding(
                (*here, "foot"),
                f"'{done.after.name}' cannot go on from here: the {last.foot} foot has just struck "
                f"({last.row.place}), and no beat of its cycle follows that one",
            )
        return
    if last.row.place not in (STEP, BACK) and last.row.place != IN_PLACE:
        return
    apart = _fore_and_aft(deck, movement, stance)
    if apart > deck.sole.length / 2:
        yield Finding(
            (*here, "place"),
            f"'{movement.to}' stands still, but the last count leaves the feet {apart:g} {deck.unit} apart: "
            "close the other foot, or end in a stance that moves",
        )


def _fore_and_aft(deck: Deck, movement: Movement, stance: Stance) -> float:
    done = score(deck, movement, stance.name)
    end = footprints(deck, done)[-1]
    angle = math.radians(end.body)
    return abs((end.left.x - end.right.x) * math.sin(angle) + (end.left.y - end.right.y) * math.cos(angle))
