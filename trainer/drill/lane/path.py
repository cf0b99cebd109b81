"""A plan walked with both feet: where every sole stands, beat by beat, and whether all of them stay on the surface."""

from collections.abc import Iterator
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero
from trainer.drill.footprints import Print, Stand, footprints
from trainer.drill.lane.plan import Command, Plan
from trainer.drill.lane.reach import corners, swept, turned
from trainer.drill.lane.surface import Place
from trainer.drill.movement import LEFT
from trainer.drill.unrolling import right_performance, unroll


class Tread(NamedTuple):
    """Both soles after one beat, on the surface.

    Attributes:
        command: the number of the command, from 0.
        beat: the beat as the deck counts it, 0 on the word of execution.
        left: the left sole.
        right: the right sole.
        body: the heading of the body.
        turn: the turn of the body on this beat, degrees clockwise.
        strikes: the foot that comes down on this beat: left, right, both or None.
    """

    command: int
    beat: float
    left: Print
    right: Print
    body: float
    turn: float
    strikes: str | None


def treads(deck: Deck, plan: Plan) -> tuple[Tread, ...]:
    """Return every beat of a plan, from the one on which the candidate stands before the first prompt."""
    walked: list[Tread] = []
    for number, command in enumerate(plan.commands):
        walked += _walked(deck, number, command)
    return tuple(walked)


def _walked(deck: Deck, number: int, command: Command) -> Iterator[Tread]:
    movement = deck.movement(command.movement)
    at_zero = foot_at_zero(movement, deck.stance(command.stance), command.foot or LEFT)
    done = right_performance(deck, movement, command.stance, at_zero)
    score = unroll(deck, movement, done, at_zero, command.tail, -command.wait)
    stands = footprints(deck, score)
    zero = next(stand for beat, stand in zip(score.beats, stands, strict=True) if beat.beat == 0)
    origin = zero.foot(command.foot or LEFT)
    for beat, stand in zip(score.beats, stands, strict=True):
        # The beat of the end before is shown once, by the command that it ends; the first one has none before it.
        if -command.wait + (1 if number else 0) <= beat.beat < command.tail + 1:
            left, right = (_put(sole, origin, command.before) for sole in (stand.left, stand.right))
            body = (stand.body + command.before.heading) % 360.0
            yield Tread(number, beat.beat, left, right, body, beat.turn, beat.strikes)


def _put(sole: Print, origin: Print, at: Place) -> Print:
    x, y = turned((sole.x - origin.x, sole.y - origin.y), at.heading)
    return Print(at.x + x, at.y + y, (sole.toes + at.heading) % 360.0)


def stays_inside(deck: Deck, plan: Plan) -> bool:
    """Whether every sole stays on the surface and within its margin, also while it turns."""
    last: Tread | None = None
    for tread in treads(deck, plan):
        for foot in ("left", "right"):
            here = _sole(tread, foot)
            points = corners(deck.sole, here)
            if last is not None:
                points += swept(deck.sole, _sole(last, foot), here, tread.turn)
            if not all(plan.asked.surface.holds(x, x, y, y) for x, y in points):
                return False
        last = tread
    return True


def _sole(tread: Tread, foot: str) -> Print:
    return Stand(tread.beat, tread.left, tread.right, tread.body).foot(foot)
