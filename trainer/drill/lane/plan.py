"""The plan of a lane: which commands in which order, where each is called and where it ends."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.footprints import Print
from trainer.drill.lane.asked import Asked
from trainer.drill.lane.bound import TINY, Arc, arcs_from
from trainer.drill.lane.ground import Ground, Step
from trainer.drill.lane.moves import Drill, Node, drill_of
from trainer.drill.lane.reach import Xy, box_of, corners, turned
from trainer.drill.lane.search import EFFORT, STUBBORN, Sought, seek
from trainer.drill.lane.surface import LaneError, Place, Surface

NEAR_ENOUGH = 1.02
"""An order that takes at most so many times the bound is not sought to be bettered on a part of the surface."""
FAR_OFF = 1.2
"""One that takes more is sought to be bettered with all effort."""
PART, PARTS = 1.2, 4
"""By how much the sides of such parts differ, and how many are looked at."""


class Command(NamedTuple):
    """One command of a plan.

    Attributes:
        movement: the movement's id.
        trial: which trial of its measure it is, from 1; 0 if it only leads on and counts for none.
        stance: the stance it is called in.
        foot: the foot of the word of execution; None at the halt.
        lead: beats from the first word of the prompt to the word of execution.
        wait: beats from the end of the command before to the word of execution.
        at: the beat of the word of execution, from the beginning of the plan.
        tail: beats from the word of execution to the end.
        before: the ball of the foot of the word of execution, and the heading there.
        after: the ball of the foot that struck last, and the heading there.
        seconds: the time at its end, from the beginning of the plan.
        steps: the footfalls from the end of the command before to its own end.
    """

    movement: str
    trial: int
    stance: str
    foot: str | None
    lead: int
    wait: int
    at: int
    tail: int
    before: Place
    after: Place
    seconds: float
    steps: int


class Plan(NamedTuple):
    """An order of commands.

    Attributes:
        asked: what it was planned for.
        start: where the candidate stands at first.
        commands: the commands in their order.
        seconds: the time from a beat before the first prompt to the last count.
        steps: all footfalls.
        bound: no order from the usual places (or from the start asked for) takes less seconds.
        shortest: whether it was shown that no other order takes less.
    """

    asked: Asked
    start: Place
    commands: tuple[Command, ...]
    seconds: float
    steps: int
    bound: float
    shortest: bool


class Workings(NamedTuple):
    """What a deck gives for every plan: its moves, the commands that matter, the stance to begin in."""

    drill: Drill
    arcs: tuple[Arc, ...]
    node: Node


def workings(deck: Deck, prompt: int | None = None) -> Workings:
    """Make a deck ready to be planned for.

    Raises:
        LaneError: if the deck has no halt to begin from and to come back to.
    """
    drill = drill_of(deck, prompt)
    halts = [stance.name for stance in deck.stances if not stance.moves]
    begins = [name for name in halts if any(move.stance == name for move in drill.moves)]
    if not begins:
        raise LaneError(f"The deck '{deck.id}' has no movement that is called at the halt, so no lane can begin.")
    node = Node("halted" if "halted" in begins else begins[0])
    arcs = arcs_from(drill, node)
    good = {Node(name) for name in halts}
    while more := {arc.start for arc in arcs if arc.move.end in good} - good:
        good |= more
    return Workings(drill, tuple(arc for arc in arcs if arc.start in good and arc.move.end in good), node)


def plan(deck: Deck, asked: Asked, effort: int = EFFORT) -> Plan | None:
    """Return the quickest order of commands that was found, None if none was; `effort` as for `search.seek`.

    Raises:
        LaneError: if what is asked for makes no sense whatever the surface.
    """
    works = workings(deck, asked.prompt)
    check(works, asked)
    grounds = _grounds(works, asked)
    sought = seek(grounds, effort) if grounds else None
    best = (sought, grounds) if sought and sought.order else None
    if asked.start is None and (best is None or best[0].seconds > best[0].bound * NEAR_ENOUGH):
        best = _on_part(works, asked, effort, best)
    if best is None:
        return None
    sought, grounds = best
    return _told(works, asked, grounds[sought.start].place, sought)


_Best = tuple[Sought, list[Ground]]


def _on_part(works: Workings, asked: Asked, effort: int, best: _Best | None) -> _Best | None:
    """Return a better order if one is found that uses only a part of the surface at its near left corner.

    What fits a part fits the whole, and where there is ample room the search finds its way more easily on less.
    """
    bound = best[0].bound if best else 0.0
    for part in parts(asked.surface, works.drill.deck.sole.length):
        seconds = best[0].seconds if best else math.inf
        if seconds <= bound * NEAR_ENOUGH:
            break
        grounds = [one for one in _grounds(works, asked._replace(surface=part)) if one.bound(one.start) < seconds]
        much = effort * STUBBORN if seconds > bound * FAR_OFF else effort // 2
        sought = seek(grounds, much, under=seconds) if grounds else None
        if sought and sought.seconds < seconds:
            # No order on the part counts against the bound of the whole, save that it may begin elsewhere.
            best = sought._replace(bound=min(bound, sought.seconds)), grounds
    return best


def parts(surface: Surface, least: float) -> list[Surface]:
    """Return parts of a surface to plan on, the largest first: sides from one series, so that surfaces share parts.

    Args:
        surface: the whole.
        least: the first side of the series, in the deck's unit.
    """

    def lower(side: float, steps: int) -> float:
        return least * PART ** (math.floor(math.log(side / least, PART) + TINY) - steps)

    found = [surface._replace(x=lower(surface.x, n), y=lower(surface.y, n)) for n in range(PARTS)]
    return [one for one in found if min(one.x, one.y) > 2 * surface.margin + least]


def fits(works: Workings, asked: Asked, effort: int) -> bool:
    """Whether some order of commands was found, however long it takes; `effort` as for `search.seek`."""
    grounds = _grounds(works, asked)
    return bool(grounds) and seek(grounds, effort, any_order=True).order is not None


def _grounds(works: Workings, asked: Asked) -> list[Ground]:
    """Return the surface seen from each start; none if its sides are shorter than what must be marched on them."""
    grounds = []
    for place in [asked.start] if asked.start else usual_starts(works, asked.surface):
        try:
            grounds.append(Ground(works.drill, works.arcs, asked.wanted, asked.surface, place, works.node))
        except ValueError:
            continue
    return grounds


def usual_starts(works: Workings, surface: Surface) -> list[Place]:
    """Return where a candidate is usually put: near a short side, left, middle and right, and in the middle of all."""
    room = surface.margin + works.drill.deck.sole.length
    x, y = (min(room, side / 2) for side in (surface.x, surface.y))
    across = surface.along == 0.0
    middle, right = ((surface.x / 2, y), (surface.x - x, y)) if across else ((x, surface.y / 2), (x, surface.y - y))
    places = [(x, y), middle, right, (surface.x / 2, surface.y / 2)]
    return [Place(*place, surface.along) for place in dict.fromkeys(places)]


def check(works: Workings, asked: Asked) -> None:
    """Say what cannot be asked for.

    Raises:
        LaneError: with one sentence.
    """
    there = {arc.move.movement for arc in works.arcs}
    for name in asked.wanted:
        if name not in there:
            raise LaneError(f"No order of commands leads from the halt to '{name}' and on to a halt in this deck.")
    if asked.start is not None:
        stood = box_of(corners(works.drill.deck.sole, Print(*asked.start)))
        if not asked.surface.holds(*stood):
            raise LaneError("Feet at that start reach over the margin; start farther from the sides.")


def _told(works: Workings, asked: Asked, start: Place, sought: Sought) -> Plan:
    """Walk an order from its start and say where each command is called."""
    steps: Sequence[Step] = sought.order.steps if sought.order else ()
    tried = dict.fromkeys(asked.wanted, 0)
    commands = []
    place, beat, seconds = start, 0, 0.0
    for step in steps:
        arc, move = step.arc, step.arc.move
        steady = works.drill.steady[arc.start.stance]
        wait = arc.beats + step.later
        before = _moved(place, steady.shift(arc.start.phase, wait))
        after = _moved(before, move.shift)._replace(heading=(before.heading + move.turn) % 360.0)
        counts = tried.get(move.movement, 0) < asked.wanted.get(move.movement, 0)
        if counts:
            tried[move.movement] += 1
        seconds += wait * move.beat_seconds + move.seconds
        commands.append(
            Command(
                move.movement,
                tried[move.movement] if counts else 0,
                arc.start.stance,
                move.at_zero,
                move.lead,
                wait,
                beat + wait,
                move.tail,
                before,
                after,
                seconds,
                steady.steps(arc.start.phase, wait) + move.steps,
            )
        )
        place, beat = after, beat + wait + move.tail
    footfalls = sum(command.steps for command in commands)
    return Plan(asked, start, tuple(commands), seconds, footfalls, sought.bound, sought.shortest)


def _moved(place: Place, shift: Xy) -> Place:
    x, y = turned(shift, place.heading)
    return Place(place.x + x, place.y + y, place.heading)
