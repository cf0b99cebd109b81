"""A lower bound for the time of every order of commands on a surface.

Of the surface only the lengths of its sides count here: an order is a walk between steady stances on two lines of
march, and what is marched on a line between two turns is not longer than its side. Prices on stances, measures and room
(the dual of the linear program of that walk: every measure often enough, as many ways into a stance as out of it, no
more march than the turns find room for) bound its time from below. What a command takes beyond its prices is its slack;
the time of an order is the bound and the slack of its commands.

Linear programming duality and the simplex method: V. Chvátal, Linear Programming, 1983, chapters 2, 3 and 5.
"""

import math
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from trainer.drill.lane.moves import Drill, Move, Node
from trainer.drill.lane.reach import Xy, turned
from trainer.drill.lane.surface import SQUARE_TURN, Surface

TINY = 1e-9


class Arc(NamedTuple):
    """A move called as soon as it can be after what led to a node.

    Attributes:
        start: what led to it.
        move: the move.
        beats: from the end of what led to it to the word of execution.
        seconds: from the end of what led to it to its own end.
    """

    start: Node
    move: Move
    beats: int
    seconds: float


class Leg(NamedTuple):
    """An arc on one of the two lines of march: 0 along y, 1 along x.

    Attributes:
        arc: the arc.
        line: the line of march before it.
        to_line: the line of march after it.
        room: the most by which it can change the room ahead on either line, in the deck's unit: what it marches is
            taken from its own line; a turn gives up the room that it needs at least and finds a whole side at most.
    """

    arc: Arc
    line: int
    to_line: int
    room: tuple[float, float]


class Prices(NamedTuple):
    """Seconds: from each node on a line to the end, of each execution of a measure, of a unit of room on each line.

    The bound from a state is the price of its node, the prices of all that is still wanted, less the price of the room
    ahead: who has room ahead need not turn yet.
    """

    nodes: dict[tuple[Node, int], float]
    measures: dict[str, float]
    room: tuple[float, float]


def arcs_from(drill: Drill, start: Node) -> list[Arc]:
    """Return every command that can be called, now and after other commands, from a start on."""
    found: list[Arc] = []
    seen, waiting = {start}, [start]
    while waiting:
        node = waiting.pop()
        for move in drill.moves:
            if move.stance == node.stance:
                beats = drill.waits(node, move)
                found.append(Arc(node, move, beats, beats * move.beat_seconds + move.seconds))
                if move.end not in seen:
                    seen.add(move.end)
                    waiting.append(move.end)
    return found


def legs_of(drill: Drill, arcs: Sequence[Arc], surface: Surface, *, square: bool) -> list[Leg]:
    """Return the arcs on both lines of march.

    Where the march is not square to the sides, or some turn is not, they are all on one line, and room has no price.
    """
    if not square or any(arc.move.turn % SQUARE_TURN for arc in arcs):
        return [Leg(arc, 0, 0, (0.0, 0.0)) for arc in arcs]
    sides = surface.y - 2 * surface.margin, surface.x - 2 * surface.margin
    legs = []
    for arc in arcs:
        march = _march(drill, arc)
        for before in (0, 1):
            room = [0.0, 0.0]
            after = (before + round(arc.move.turn / SQUARE_TURN)) % 2
            if arc.move.turn:
                ahead = max(y for _, y in arc.move.reach)
                behind = min(_ahead(point, arc.move) for point in arc.move.reach)
                room[before] -= march + ahead
                room[after] += sides[after] + behind
            else:
                room[before] -= march + arc.move.shift[1]
            legs.append(Leg(arc, before, after, (room[0], room[1])))
    return legs


def backing(drill: Drill, legs: Sequence[Leg]) -> list[tuple[tuple[float, float], float]]:
    """Return what stances that go backward give of room, and the seconds that it takes, on each line of march."""
    found = []
    for leg in legs:
        steady = drill.steady[leg.arc.start.stance]
        gained = -steady.shift(0, steady.size)[1]
        if gained > 0 and any(leg.room):
            seconds = steady.size * leg.arc.move.beat_seconds
            found.append(((gained, 0.0) if leg.line == 0 else (0.0, gained), seconds))
    return found


def room_to_turn(drill: Drill, arcs: Sequence[Arc], nodes: Sequence[Node]) -> list[float]:
    """Return for each node the room ahead without which no turn can be reached any more, in the deck's unit."""
    need = dict.fromkeys(nodes, math.inf)
    changed = True
    while changed:
        changed = False
        for arc in arcs:
            march = _march(drill, arc)
            if arc.move.turn:
                room = march + max(y for _, y in arc.move.reach)
            else:
                room = max(march + arc.move.shift[1] + need[arc.move.end], 0.0)
            if room < need[arc.start] - TINY:
                need[arc.start], changed = room, True
    return [need[node] for node in nodes]


def march_prices(
    drill: Drill, arcs: Sequence[Arc], start: Node, ends: frozenset[Node], wanted: Mapping[str, int]
) -> Prices:
    """Return prices in lengths instead of seconds: what must be marched at least without any turn.

    A measure that turns has an infinite price.
    """
    straight = [
        Leg(arc._replace(seconds=max(_march(drill, arc) + arc.move.shift[1], 0.0)), 0, 0, (0.0, 0.0))
        for arc in arcs
        if not arc.move.turn
    ]
    there = {leg.arc.move.movement for leg in straight}
    try:
        found = prices(straight, (start, 0), ends, {name: n for name, n in wanted.items() if name in there}, 0.0)
    except ValueError:
        # Some straight measure cannot be done and ended without a turn: nothing is known then.
        return Prices({}, {name: 0.0 if name in there else math.inf for name in wanted}, (0.0, 0.0))
    return found._replace(measures=dict.fromkeys(wanted, math.inf) | found.measures)


def _march(drill: Drill, arc: Arc) -> float:
    """Return what is marched ahead before the word of execution of an arc."""
    return drill.steady[arc.start.stance].shift(arc.start.phase, arc.beats)[1]


def _ahead(point: Xy, move: Move) -> float:
    """Return how far a place lies ahead of where a move ends, along its last heading."""
    return turned((point[0] - move.shift[0], point[1] - move.shift[1]), -move.turn)[1]


def prices(
    legs: Sequence[Leg],
    start: tuple[Node, int],
    ends: frozenset[Node],
    wanted: Mapping[str, int],
    room: float,
    backing: Sequence[tuple[tuple[float, float], float]] = (),
) -> Prices:
    """Return the prices that make the bound from the start as high as it can be.

    Args:
        legs: every command on every line; from each of their nodes one of the ends can be reached.
        start: where the order begins, and on which line.
        ends: where it may end.
        wanted: how often each measure is wanted.
        room: the room ahead of the start, in the deck's unit.
        backing: the room on both lines that stances find which go backward, and the seconds that it takes.
    """
    nodes = sorted(
        {(leg.arc.start, leg.line) for leg in legs} | {(leg.arc.move.end, leg.to_line) for leg in legs} | {start}
    )
    at = {node: 2 * number for number, node in enumerate(nodes)}
    of = {name: 2 * len(nodes) + number for number, name in enumerate(wanted)}
    width = 2 * len(nodes) + len(wanted) + 2
    rows = []
    for leg in legs:
        row = [0.0] * width
        for node, sign in (((leg.arc.start, leg.line), 1.0), ((leg.arc.move.end, leg.to_line), -1.0)):
            row[at[node]] += sign
            row[at[node] + 1] -= sign
        if leg.arc.move.movement in of:
            row[of[leg.arc.move.movement]] = 1.0
        row[-2:] = leg.room
        rows.append((row, leg.arc.seconds))
    rows += [([0.0] * (width - 2) + list(room), seconds) for room, seconds in backing]
    for node in nodes:
        if node[0] in ends:
            row = [0.0] * width
            row[at[node]], row[at[node] + 1] = 1.0, -1.0
            rows.append((row, 0.0))
    gain = [0.0] * width
    gain[at[start]], gain[at[start] + 1] = 1.0, -1.0
    gain[start[1] - 2] = -room
    for name, count in wanted.items():
        gain[of[name]] = float(count)
    best = maximum(gain, rows)
    return _made_valid(
        legs,
        ends,
        {node: best[number] - best[number + 1] for node, number in at.items()},
        wanted,
        (max(best[-2], 0.0), max(best[-1], 0.0)),
    )


def _made_valid(
    legs: Sequence[Leg],
    ends: frozenset[Node],
    nodes: dict[tuple[Node, int], float],
    wanted: Mapping[str, int],
    room: tuple[float, float],
) -> Prices:
    """Take the rounding of the arithmetic out of prices: no command may have a slack below nothing."""
    over = max([0.0, *(price for (node, _), price in nodes.items() if node in ends)])
    nodes = {node: price - over for node, price in nodes.items()}
    measures: dict[str, float] = {}
    for leg in legs:
        move = leg.arc.move
        if move.movement in wanted:
            price = leg.arc.seconds + nodes[move.end, leg.to_line] - nodes[leg.arc.start, leg.line]
            price -= leg.room[0] * room[0] + leg.room[1] * room[1]
            measures[move.movement] = min(measures.get(move.movement, price), max(price, 0.0))
    return Prices(nodes, measures, room)


def maximum(gain: Sequence[float], rows: Sequence[tuple[Sequence[float], float]]) -> list[float]:
    """Return the x >= 0 that makes gain·x greatest under row·x <= limit, for limits that are not negative.

    The simplex method on a full tableau; Bland's rule keeps it from going round in circles.
    """
    size, count = len(gain), len(rows)
    table = [
        [*row, *(1.0 if n == number else 0.0 for n in range(count)), limit] for number, (row, limit) in enumerate(rows)
    ]
    goal = [-value for value in gain] + [0.0] * (count + 1)
    basis = list(range(size, size + count))
    while True:
        enter = next((n for n in range(size + count) if goal[n] < -TINY), None)
        if enter is None:
            break
        ratios = [(row[-1] / row[enter], basis[n], n) for n, row in enumerate(table) if row[enter] > TINY]
        if not ratios:
            raise ValueError("nothing limits the gain")
        least = min(ratio for ratio, _, _ in ratios)
        leave = min((name, n) for ratio, name, n in ratios if ratio <= least + TINY)[1]
        pivot = [value / table[leave][enter] for value in table[leave]]
        table[leave], basis[leave] = pivot, enter
        held = [n for n, value in enumerate(pivot) if value]
        for row in [goal, *(row for n, row in enumerate(table) if n != leave)]:
            if factor := row[enter]:
                for n in held:
                    row[n] -= factor * pivot[n]
    found = [0.0] * (size + count)
    for row, name in zip(table, basis, strict=True):
        found[name] = row[-1]
    return found[:size]
