"""Where commands lead on the surface: from one state to every next one, in whole numbers for speed.

Lengths are ten-thousandths of the deck's unit here, so that two ways to one place meet in the same number.
"""

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import NamedTuple

from trainer.drill.lane.bound import TINY, Arc, Prices, backing, legs_of, march_prices, prices, room_to_turn
from trainer.drill.lane.moves import Drill, Node
from trainer.drill.lane.reach import Xy, box_of, turned
from trainer.drill.lane.surface import SQUARE_TURN, Place, Surface

SCALE = 10_000
LENIENT = 20
"""Ten-thousandths that rounding may add up to over a whole order."""
Ints = tuple[int, int]


class State(NamedTuple):
    """The end of a command.

    `left` says how often each measure is still wanted, as one number; places are in ten-thousandths.
    """

    left: int
    node: int
    x: int
    y: int
    heading: float


class Step(NamedTuple):
    """One command in an order: its arc, and how many beats later than it could be it is called."""

    arc: Arc
    later: int


class _Way(NamedTuple):
    """An arc at a heading: where its word of execution falls, the box of its soles, where it ends, its price."""

    arc: Arc
    call: Ints
    box: tuple[int, int, int, int]
    end: Ints
    heading: float
    node: int
    measure: int
    price: float
    seconds: float
    again: Ints
    again_beats: int
    again_seconds: float


class Ground:
    """All commands of a deck on one surface, from one start, with the price of each.

    Args:
        drill: the deck's moves.
        arcs: its commands, from each of which the candidate can come to a halt.
        wanted: how often each measure is wanted.
        surface: the surface.
        place: where the candidate stands at first.
        node: what he stands in.
    """

    def __init__(
        self,
        drill: Drill,
        arcs: Sequence[Arc],
        wanted: Mapping[str, int],
        surface: Surface,
        place: Place,
        node: Node,
    ) -> None:
        self.drill, self.arcs, self.place = drill, arcs, place
        self.nodes = sorted({arc.start for arc in arcs} | {arc.move.end for arc in arcs})
        self._number = {node: n for n, node in enumerate(self.nodes)}
        self.ends = frozenset(n for n, one in enumerate(self.nodes) if not drill.deck.stance(one.stance).moves)
        low = round(surface.margin * SCALE) - LENIENT
        self._low, self._far_x, self._far_y = low, round(surface.x * SCALE) - low, round(surface.y * SCALE) - low
        self._names = list(wanted)
        self._strides, self._bases = [], []
        stride = 1
        for count in wanted.values():
            self._strides.append(stride)
            self._bases.append(count + 1)
            stride *= count + 1
        x, y = round(place.x * SCALE), round(place.y * SCALE)
        self.start = State(stride - 1, self._number[node], x, y, place.heading)
        self._wanted, self._surface = wanted, surface
        self._square = place.heading % SQUARE_TURN == 0 and not any(arc.move.turn % SQUARE_TURN for arc in arcs)
        self.prices = self._priced(1.0)
        self._bound = self._bounded(self.prices)
        self._worth = self.prices.room[0] / SCALE, self.prices.room[1] / SCALE
        self._ways: dict[tuple[int, float], list[_Way]] = {}
        self._to_turn = [room * SCALE for room in room_to_turn(drill, arcs, self.nodes)]
        marches = march_prices(drill, arcs, node, self._halts, wanted)
        self._march = [marches.measures[name] * SCALE for name in wanted]
        self._to_halt = [marches.nodes.get((one, 0), 0.0) * SCALE for one in self.nodes]
        self._straight: dict[int, float] = {}
        self._turning = {arc.move.movement for arc in arcs if arc.move.turn}

    def done(self, state: State) -> bool:
        """Whether every measure was tested and the candidate stands halted, square to the sides."""
        return not state.left and state.node in self.ends and state.heading % SQUARE_TURN == 0

    def wanted_still(self, state: State) -> dict[str, int]:
        """Return how often each measure is still wanted."""
        return {
            name: state.left // stride % base
            for name, stride, base in zip(self._names, self._strides, self._bases, strict=True)
        }

    def turns_left(self, state: State) -> int:
        """Return how many of the turns are still wanted."""
        return sum(count for name, count in self.wanted_still(state).items() if name in self._turning)

    def bound(self, state: State) -> float:
        """Return the least seconds from a state to the end."""
        return self._bound(state)

    def guess(self, share: float) -> Callable[[State], float] | None:
        """Return by how many seconds the bound would be higher if only a share of each side could be used.

        The true bound is too hopeful: in practice some room is lost before every turn. None if no order could be
        bounded by so small a share.
        """
        try:
            dearer = self._bounded(self._priced(share))
        except ValueError:
            return None
        return lambda state: dearer(state) - self._bound(state)

    @property
    def _halts(self) -> frozenset[Node]:
        return frozenset(self.nodes[number] for number in self.ends)

    def _priced(self, share: float) -> Prices:
        legs = legs_of(self.drill, self.arcs, self._surface.shrunk(share), square=self._square)
        node, heading = self.nodes[self.start.node], self.start.heading
        room = self._room(self.start) / SCALE if self._square else 0.0
        return prices(legs, (node, self._line(heading)), self._halts, self._wanted, room, backing(self.drill, legs))

    def _bounded(self, priced: Prices) -> Callable[[State], float]:
        lines = (0, 1) if self._square else (0,)
        nodes = [[priced.nodes.get((node, line), 0.0) for line in lines] for node in self.nodes]
        worth = priced.room[0] / SCALE, priced.room[1] / SCALE
        known: dict[int, float] = {}

        def bound(state: State) -> float:
            left = known.get(state.left)
            if left is None:
                still = self.wanted_still(state).items()
                left = known[state.left] = sum(count * priced.measures[name] for name, count in still)
            line = self._line(state.heading)
            return nodes[state.node][line] + left - (self._room(state) * worth[line] if self._square else 0.0)

        return bound

    def following(self, state: State, latest: float = math.inf) -> Iterator[tuple[float, State, Step]]:
        """Yield what can be called next: its slack in seconds, where it leads, the command.

        Args:
            state: the end of the command before.
            latest: beats that a command may be called later than it could be.
        """
        left, node, x, y, heading = state
        ways = self._ways.get((node, heading))
        if ways is None:
            ways = self._ways[node, heading] = self._ways_from(node, heading)
        low, far_x, far_y = self._low, self._far_x, self._far_y
        room = self._room(state) * self._worth[self._line(heading)]
        for arc, call, box, shift, then, to, measure, price, slack, again, beats, seconds in ways:
            remaining = left
            if measure >= 0 and left // self._strides[measure] % self._bases[measure]:
                slack -= price
                remaining -= self._strides[measure]
            slack += room
            at_x, at_y, later = x + call[0], y + call[1], 0
            while low <= at_x <= far_x and low <= at_y <= far_y:
                if at_x + box[0] >= low and at_x + box[1] <= far_x and at_y + box[2] >= low and at_y + box[3] <= far_y:
                    end = State(remaining, to, at_x + shift[0], at_y + shift[1], then)
                    if not (self._square and self._stuck(end)):
                        over = slack - self._room(end) * self._worth[self._line(then)]
                        if not remaining and self.done(end):
                            # What the bound still counted on, such as room that nobody needs now.
                            over -= self.bound(end)
                        yield over if over > TINY else 0.0, end, Step(arc, later)
                if not beats or later >= latest:
                    break
                at_x, at_y = at_x + again[0], at_y + again[1]
                later += beats
                slack += seconds

    def _room(self, state: State) -> int:
        """Return the room ahead; it counts only on the two lines of march."""
        heading = state.heading
        if heading == 0.0:
            return self._far_y - state.y
        if heading == 90.0:
            return self._far_x - state.x
        return state.y - self._low if heading == 180.0 else state.x - self._low

    def _stuck(self, state: State) -> bool:
        """Whether nothing can be turned any more, and what is still wanted does not fit straight ahead."""
        room = self._room(state)
        if room >= self._to_turn[state.node]:
            return False
        straight = self._straight.get(state.left)
        if straight is None:
            straight = self._straight[state.left] = self._needed(state.left)
        return room < straight + self._to_halt[state.node]

    def _needed(self, left: int) -> float:
        """Return the march that is needed at least for what is still wanted; infinite if a turn is."""
        return sum(
            (left // stride % base) * march if left // stride % base else 0.0
            for stride, base, march in zip(self._strides, self._bases, self._march, strict=True)
        )

    def _line(self, heading: float) -> int:
        return 1 if self._square and heading in (90.0, 270.0) else 0

    def _ways_from(self, node: int, heading: float) -> list[_Way]:
        return [self._way(arc, heading) for arc in self.arcs if self._number[arc.start] == node]

    def _way(self, arc: Arc, heading: float) -> _Way:
        move, steady = arc.move, self.drill.steady[arc.start.stance]
        box = box_of(turned(point, heading) for point in move.reach)
        then = (heading + move.turn) % 360.0
        before = self.prices.nodes[arc.start, self._line(heading)]
        after = self.prices.nodes[move.end, self._line(then)]
        again = _ints(steady.shift(arc.start.phase, steady.size), heading)
        return _Way(
            arc,
            _ints(steady.shift(arc.start.phase, arc.beats), heading),
            (round(box.left * SCALE), round(box.right * SCALE), round(box.near * SCALE), round(box.far * SCALE)),
            _ints(move.shift, heading),
            then,
            self._number[move.end],
            self._names.index(move.movement) if move.movement in self._names else -1,
            self.prices.measures.get(move.movement, 0.0),
            arc.seconds + after - before,
            again,
            steady.size if any(again) else 0,
            steady.size * move.beat_seconds,
        )


def _ints(shift: Xy, heading: float) -> Ints:
    x, y = turned(shift, heading)
    return round(x * SCALE), round(y * SCALE)
