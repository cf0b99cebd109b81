"""Which point to ask next.

Inside a small set of open points the one with the lowest recall predicted for the test date goes first.
Around that stand five rules:

1. Rest. A point rests for the day after one right answer, after three on its first day (three right in
   the first session, one in each later one: Rawson and Dunlosky 2011). A point that was missed, came back
   and was missed again is left for another session, unless today is its first day.
2. Space. At least five other questions stand between two askings of a point. If no open point has waited
   that long, another new point is brought in; if there is none, the point that has waited longest is
   asked. A point just answered right is never asked twice running, a point just missed only if nothing
   else is left.
3. Misses. A point missed comes back as soon as it has waited.
4. Pairs. After a point that is easily confused with another open one, the other comes next if it has
   waited (interleave what is confusable: Rohrer, Dedrick and Stershic 2015).
5. New points. Those that a trial cannot succeed without come first, movement by movement in the order of their
   ranks, then the others likewise, and only as many as keep about eight points in their first day open: a first session goes over the
   same few movements several times and does not race through the deck once. Points of earlier days do not
   count among the eight: if they did, a large deck would never be gone through (144 points, 20 questions a
   day for 21 days, four synthetic learners: mean recall on the test date .27 against .65). In the last three
   days before the test, one pass over what was seen on earlier days comes first: new points wait until all
   of that rests.

The rules were tried on synthetic learners only; no person has been measured. Everything here is a pure
function of its arguments: no clock, no randomness.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

POINTS_IN_FIRST_DAY = 8
OTHERS_BETWEEN = 5
RIGHT_ON_FIRST_DAY = 3
RIGHT_ON_LATER_DAY = 1
ASKINGS_OF_A_MISS = 2
LAST_DAYS = 3.0


class Item(NamedTuple):
    """A point as the planner sees it.

    Attributes:
        id: Its id, opaque here.
        groups: What it belongs to, the movement first.
        confusable: Ids of points that it is easily taken for.
    """

    id: str
    groups: tuple[str, ...] = ()
    confusable: tuple[str, ...] = ()


class Candidate(NamedTuple):
    """A point that may be asked, with its state after every answer given so far.

    Attributes:
        item: The point.
        recall: Its recall predicted for the test date, 0 to 1.
        essential: Whether a trial cannot succeed without it.
        rank: Place in the order in which new points come in.
        seen: Whether it was ever asked.
        right_today: Right answers to it today, in any session.
        first_today: Whether it was asked today for the first time; of no account before it was seen.
    """

    item: Item
    recall: float
    essential: bool
    rank: int
    seen: bool = False
    right_today: int = 0
    first_today: bool = False


class Asked(NamedTuple):
    """A question of this session: the points it marked, and whether each was right."""

    marks: tuple[tuple[str, bool], ...]


class Plan(NamedTuple):
    """The next point (none if nothing is worth asking now), and the open points, weakest first."""

    next: str | None
    open: tuple[str, ...]


def plan(candidates: Sequence[Candidate], asked: Sequence[Asked], days_left: float) -> Plan:
    """The next point to ask, by the rules of this module.

    Args:
        candidates: Every point that may be asked, each id once, in any order.
        asked: The questions of this session in order.
        days_left: Days until the test.
    """
    by_entry = _in_order_of_entry(candidates)
    entry = {candidate.item.id: place for place, candidate in enumerate(by_entry)}
    misses = _misses(asked)
    seen = [c for c in by_entry if c.seen and not _done(c, misses.get(c.item.id, 0))]
    new = [c for c in by_entry if not c.seen]
    last_pass = days_left <= LAST_DAYS and any(not c.first_today for c in seen)
    learning = sum(c.first_today for c in seen)
    room = 0 if last_pass else max(0, POINTS_IN_FIRST_DAY - learning)

    weakest = sorted(seen + new[:room], key=lambda c: (c.recall, entry[c.item.id]))
    opened = tuple(c.item.id for c in weakest)
    since = _questions_since(asked)
    ready = [c for c in weakest if since.get(c.item.id, OTHERS_BETWEEN) >= OTHERS_BETWEEN]
    if ready:
        return Plan(_choose(ready, candidates, asked, since), opened)
    if not last_pass and len(new) > room:
        extra = new[room].item.id
        return Plan(extra, (*opened, extra))
    return Plan(_longest_waiting(weakest, asked, since), opened)


def _choose(
    ready: Sequence[Candidate], candidates: Sequence[Candidate], asked: Sequence[Asked], since: dict[str, int]
) -> str:
    """One of the points that have waited, given weakest first: a partner, else a miss, else the weakest."""
    if asked:
        just_asked = {item for item, _ in asked[-1].marks}
        partners = {partner for c in candidates if c.item.id in just_asked for partner in c.item.confusable}
        for candidate in ready:
            if candidate.item.id in partners:
                return candidate.item.id
    latest = {item: right for question in asked for item, right in question.marks}
    missed = [c.item.id for c in ready if latest.get(c.item.id) is False]
    if missed:
        return max(missed, key=since.__getitem__)
    return ready[0].item.id


def _longest_waiting(weakest: Sequence[Candidate], asked: Sequence[Asked], since: dict[str, int]) -> str | None:
    """The open point asked longest ago, when none has waited long enough; never one just answered right."""
    just_right = {item for item, right in asked[-1].marks if right} if asked else set()
    waiting = [c.item.id for c in weakest if c.item.id not in just_right]
    return max(waiting, key=since.__getitem__, default=None)


def _done(candidate: Candidate, misses: int) -> bool:
    """Whether a seen point is not asked again in this session."""
    if candidate.first_today:
        return candidate.right_today >= RIGHT_ON_FIRST_DAY
    return candidate.right_today >= RIGHT_ON_LATER_DAY or misses >= ASKINGS_OF_A_MISS


def _misses(asked: Sequence[Asked]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for question in asked:
        for item, right in question.marks:
            if not right:
                counts[item] = counts.get(item, 0) + 1
    return counts


def _questions_since(asked: Sequence[Asked]) -> dict[str, int]:
    """Number of questions after the latest asking of each point of this session."""
    return {item: len(asked) - place for place, question in enumerate(asked, start=1) for item, _ in question.marks}


def _in_order_of_entry(candidates: Sequence[Candidate]) -> list[Candidate]:
    """Essential points before all others, each movement by movement by the lowest rank in it."""
    first_rank: dict[str, int] = {}
    for candidate in candidates:
        movement = _movement(candidate.item)
        first_rank[movement] = min(candidate.rank, first_rank.get(movement, candidate.rank))

    def key(candidate: Candidate) -> tuple[bool, int, str, int, str]:
        movement = _movement(candidate.item)
        return not candidate.essential, first_rank[movement], movement, candidate.rank, candidate.item.id

    return sorted(candidates, key=key)


def _movement(item: Item) -> str:
    return item.groups[0] if item.groups else item.id
