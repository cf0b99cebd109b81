"""Every order of commands on a small surface, tried one by one, from nothing but `stepcall deck show`'s data.

It shares no code with the search: ground, turns, feet and soles come from the beats that the engine shows for each
movement, and every sole of every beat is held against the sides.
"""

import math
from collections.abc import Iterator
from typing import Any, NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.shown import shown

Corner = tuple[float, float]


class Entry(NamedTuple):
    """One movement as shown, from one stance on one foot."""

    movement: str
    stance: str
    foot: str | None
    lead: int
    beats: list[dict[str, Any]]
    turn: float
    ground: Corner
    ends: str
    leads: str | None
    last: int


def entries(deck: Deck, prompt: int) -> list[Entry]:
    """Return every movement from every stance on every foot; words and prompt as in the deck."""
    found = []
    for movement in deck.movements:
        for stance in movement.from_stances:
            for foot in ("left", "right") if movement.called_on == "either" else ("left",):
                data = shown(deck, movement, stance, foot)
                zero = next(beat for beat in data["beats"] if beat["beat"] == 0)
                said = [word.beat for word in movement.words] + [cue.beat for cue in movement.cues]
                totals = data["totals"]
                found.append(
                    Entry(
                        movement.id,
                        stance,
                        zero["strikes"],
                        math.ceil(-min([0.0, *said])) + prompt,
                        data["beats"],
                        totals["turn"],
                        (totals["ground"]["x"], totals["ground"]["y"]),
                        totals["ends"],
                        totals["leads_next"],
                        int(max(count.beat for count in movement.counts)),
                    )
                )
    return found


class Walk(NamedTuple):
    """Where a candidate is after a command."""

    stance: str
    leads: str | None
    x: float
    y: float
    heading: float


class Exhaustive:
    """All orders on one surface; stances step 30 in, mark time or stand, everything at 120 a minute."""

    def __init__(self, deck: Deck, sides: Corner, margin: float, prompt: int, step: float = 30.0) -> None:
        self.deck, self.sides, self.margin, self.step = deck, sides, margin, step
        self.entries = entries(deck, prompt)
        self.reached: dict[tuple[str, str, str | None, float], tuple[float, float, float, float]] = {}

    def shortest(self, wanted: dict[str, int], start: Walk, most: float) -> float | None:
        """Return the seconds of the shortest order, None if none takes at most so many."""
        self.best = most + 1e-9
        self.known: dict[tuple[Walk, tuple[tuple[str, int], ...]], float] = {}
        self.found: float | None = None
        self._go(start, dict(wanted), 0.0)
        return self.found

    def _go(self, at: Walk, left: dict[str, int], seconds: float) -> None:
        key = (at._replace(x=round(at.x, 3), y=round(at.y, 3)), tuple(sorted(left.items())))
        if seconds >= min(self.best, self.known.get(key, math.inf)):
            return
        self.known[key] = seconds
        if not any(left.values()) and at.stance == "halted":
            self.best = self.found = seconds
            return
        for entry in self.entries:
            if entry.stance == at.stance:
                for wait in self._waits(entry, at):
                    then = self._called(entry, at, wait)
                    if then is None:
                        continue
                    rest = {name: count - (name == entry.movement and count > 0) for name, count in left.items()}
                    self._go(then, rest, seconds + (wait + entry.last) / 2)

    def _waits(self, entry: Entry, at: Walk) -> list[int]:
        least = entry.lead + 1
        if at.stance == "halted":
            return [least]
        # The foot of the first beat after the command before leads; it strikes on odd beats.
        right = [wait for wait in range(least, least + 40) if (wait % 2 == 1) == (entry.foot == at.leads)]
        return right if at.stance == "marching" else right[:1]

    def _called(self, entry: Entry, at: Walk, wait: int) -> Walk | None:
        march = wait * self.step if at.stance == "marching" else 0.0
        zero = _turned((0.0, march), at)
        here = at._replace(x=zero[0], y=zero[1])
        left, right, near, far = self._reach(entry, at.heading)
        low = self.margin - 0.02
        if here.x + left < low or here.x + right > self.sides[0] - low:
            return None
        if here.y + near < low or here.y + far > self.sides[1] - low:
            return None
        x, y = _turned(entry.ground, here)
        return Walk(entry.ends, entry.leads, x, y, (at.heading + entry.turn) % 360)

    def _reach(self, entry: Entry, heading: float) -> tuple[float, float, float, float]:
        """Return how far soles reach to the left, the right, near and far, from the foot of beat 0."""
        key = (entry.movement, entry.stance, entry.foot, heading)
        if key not in self.reached:
            origin = next(beat for beat in entry.beats if beat["beat"] == 0)["feet"][entry.foot or "left"]
            at = Walk("", None, 0.0, 0.0, heading)
            points = [
                _turned((x - origin["x"], y - origin["y"]), at)
                for sole in self._soles(entry)
                for x, y in _corners(sole)
            ]
            xs, ys = [x for x, _ in points], [y for _, y in points]
            self.reached[key] = (min(xs), max(xs), min(ys), max(ys))
        return self.reached[key]

    def _soles(self, entry: Entry) -> Iterator[dict[str, float]]:
        before = None
        for beat in entry.beats:
            if not 0 <= beat["beat"] < entry.last + 1:
                continue
            for foot in ("left", "right"):
                sole = beat["feet"][foot]
                if before is not None:
                    yield from self._between(before["feet"][foot], sole, entry.turn)
                elif foot == entry.foot or entry.foot not in ("left", "right"):
                    yield sole  # the other one stands where it struck a beat before
            before = beat

    @staticmethod
    def _between(start: dict[str, float], end: dict[str, float], turn: float) -> list[dict[str, float]]:
        """Return a sole on its way, a degree at a time where it turns."""
        way = (end["toes"] - start["toes"] + 180) % 360 - 180
        if abs(way) == 180:
            way = math.copysign(180, turn)
        parts = max(round(abs(way)), 1)
        return [
            {
                "x": start["x"] + (end["x"] - start["x"]) * part / parts,
                "y": start["y"] + (end["y"] - start["y"]) * part / parts,
                "toes": start["toes"] + way * part / parts,
            }
            for part in range(0 if way else parts, parts + 1)
        ]


def _corners(sole: dict[str, float]) -> list[Corner]:
    toes = math.radians(sole["toes"])
    return [
        (
            sole["x"] + ahead * math.sin(toes) + across * math.cos(toes),
            sole["y"] + ahead * math.cos(toes) - across * math.sin(toes),
        )
        for ahead in (3.0, -9.0)
        for across in (-2.0, 2.0)
    ]


def _turned(point: Corner, at: Walk) -> Corner:
    angle = math.radians(at.heading)
    sin, cos = math.sin(angle), math.cos(angle)
    return at.x + point[0] * cos + point[1] * sin, at.y + point[1] * cos - point[0] * sin
