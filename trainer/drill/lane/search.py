"""The search for the order of commands that takes the least time.

Small lanes are searched best first, which ends with the shortest order or the proof that there is none (P. E. Hart,
N. J. Nilsson, B. Raphael, A formal basis for the heuristic determination of minimum cost paths, 1968). Larger ones are
searched in breadth, command by command, keeping the most hopeful states; orders that save up different numbers of turns
are kept apart, since turns are what a surface runs out of.
"""

import heapq
import math
import random
from collections.abc import Callable, Sequence
from typing import NamedTuple

from trainer.drill.lane.bound import TINY
from trainer.drill.lane.ground import Ground, State, Step

SMALL = 3_000
"""States that the first search looks at, for each start."""
EFFORT = 45_000
"""States that are looked at in all: less than a second on a small computer."""
STUBBORN = 3
"""Times as many as long as no order was found."""
WIDTHS = (8, 24, 60)
SHARES = (0.85, 0.7, 1.0, 0.6)
"""How many states are kept for each number of turns, and what share of the sides the guesses count on."""
PATIENCE = 2
"""Beats that the broad search lets a command be called later than it could be."""

Trail = tuple[float, State, "Link | None"]


class Link(NamedTuple):
    """A command with what led to it."""

    trail: Trail
    step: Step


class Order(NamedTuple):
    """An order of commands that was found."""

    seconds: float
    steps: tuple[Step, ...]


class Sought(NamedTuple):
    """What a search came to.

    Attributes:
        order: the best order, None if none was found.
        start: the number of the start that it begins from.
        bound: no order from any of the starts takes less seconds; infinite if there is none at all.
        effort: the states that were looked at.
    """

    order: Order | None
    start: int
    bound: float
    effort: int

    @property
    def seconds(self) -> float:
        """What the order takes; infinite if there is none."""
        return self.order.seconds if self.order else math.inf

    @property
    def shortest(self) -> bool:
        """Whether no other order is shorter."""
        return self.order is not None and self.order.seconds <= self.bound + TINY * 100


class _Search:
    """One search over several starts, with the best order so far."""

    def __init__(self, grounds: Sequence[Ground], *, any_order: bool = False, under: float = math.inf) -> None:
        self.grounds, self.any_order, self.under = grounds, any_order, under
        self.looked = 0
        self.best: Order | None = None
        self.start = 0
        self.bounds = [ground.bound(ground.start) for ground in grounds]

    @property
    def seconds(self) -> float:
        return self.best.seconds if self.best else self.under

    def take(self, number: int, slack: float, trail: Trail) -> None:
        """Keep an order if it is the best so far."""
        seconds = self.grounds[number].bound(self.grounds[number].start) + slack
        if seconds < self.seconds - TINY:
            self.best, self.start = Order(seconds, _steps(trail)), number

    def open(self, number: int) -> bool:
        """Whether a start can still lead to a better order, and one is sought."""
        if self.best and self.any_order:
            return False
        return self.bounds[number] < self.seconds - TINY * 100

    def best_first(self, number: int, limit: int) -> None:
        """Open the most hopeful states of a start, looking at so many, and raise its bound to what is left open."""
        ground = self.grounds[number]
        base = ground.bound(ground.start)
        known = {ground.start: 0.0}
        until = self.looked + limit
        heap: list[tuple[float, int, int, Trail]] = [(0.0, 0, 0, (0.0, ground.start, None))]
        while heap:
            slack, _, _, trail = heap[0]
            if base + slack >= self.seconds - TINY:
                break
            if self.looked >= until:
                self.bounds[number] = max(self.bounds[number], base + slack)
                return
            heapq.heappop(heap)
            state = trail[1]
            if slack > known[state] + TINY:
                continue
            if ground.done(state):
                self.take(number, slack, trail)
                break
            for more, then, step in ground.following(state):
                self.looked += 1
                new = slack + more
                if new < known.get(then, math.inf) - TINY:
                    known[then] = new
                    left = sum(ground.wanted_still(then).values())
                    heapq.heappush(heap, (new, left, self.looked, (new, then, Link(trail, step))))
        self.bounds[number] = max(self.bounds[number], min(base + heap[0][0], self.seconds) if heap else self.seconds)

    def broad(self, number: int, width: int, guess: Callable[[State], float], most: int) -> None:
        """Go on command by command with the most hopeful states, looking at so many at most."""
        ground = self.grounds[number]
        base = ground.bound(ground.start)
        shuffle = random.Random(width)
        known = {ground.start: 0.0}
        level: list[Trail] = [(0.0, ground.start, None)]
        until = self.looked + most
        while level and self.looked < until:
            found: dict[State, Trail] = {}
            for trail in level:
                for more, then, step in ground.following(trail[1], PATIENCE):
                    self.looked += 1
                    slack = trail[0] + more
                    if slack < known.get(then, math.inf) - TINY and base + slack < self.seconds - TINY:
                        known[then] = slack
                        found[then] = (slack, then, Link(trail, step))
            for state, trail in found.items():
                if ground.done(state):
                    self.take(number, trail[0], trail)
            if not self.open(number):
                return
            kept: dict[int, list[tuple[float, float, Trail]]] = {}
            for state, trail in found.items():
                if base + trail[0] < self.seconds - TINY and not ground.done(state):
                    entry = (trail[0] + guess(state), shuffle.random(), trail)
                    kept.setdefault(ground.turns_left(state), []).append(entry)
            level = [trail for rows in kept.values() for _, _, trail in sorted(rows, key=_first)[:width]]


def _first(entry: tuple[float, float, Trail]) -> tuple[float, float]:
    return entry[:2]


def _steps(trail: Trail) -> tuple[Step, ...]:
    steps = []
    link = trail[2]
    while link is not None:
        steps.append(link.step)
        link = link.trail[2]
    return tuple(reversed(steps))


def seek(
    grounds: Sequence[Ground],
    effort: int = EFFORT,
    small: int = SMALL,
    *,
    any_order: bool = False,
    under: float = math.inf,
) -> Sought:
    """Return the best order from any of some starts, and how much better one could be.

    Args:
        grounds: the same deck and surface from each start; one at least.
        effort: the states that are looked at, give or take the last round.
        small: the states that the exact search looks at first, for each start.
        any_order: whether the first order that is found will do.
        under: only orders that take less seconds are sought.
    """
    search = _Search(grounds, any_order=any_order, under=under)
    numbers = sorted(range(len(grounds)), key=lambda number: search.bounds[number])
    for number in numbers:
        if search.open(number):
            search.best_first(number, small)
    for width in WIDTHS:
        for share in SHARES:
            for number in numbers:
                most = effort if search.seconds < math.inf else effort * STUBBORN
                if search.looked < most and search.open(number):
                    guess = grounds[number].guess(share)
                    if guess is not None:
                        search.broad(number, width, guess, most - search.looked)
    for number in numbers:
        if search.open(number) and search.looked < effort:
            search.best_first(number, effort - search.looked)
    return Sought(search.best, search.start, min(search.seconds, *search.bounds, math.inf), search.looked)
