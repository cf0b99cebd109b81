"""Which point to ask next.

Of the points that are carried (the essential ones unless told otherwise) the one with the lowest recall
predicted for the test date goes first. Around that stand seven rules:

1. Turns. Every carried point has one turn a day before any has a second: a second asking on the same day adds
   little to a memory and takes the turn of another.
2. Misses. A point missed comes back once in the session, as soon as the carried points have had their turn; missed
   again it is left for another session. So do points of their first day until they were right three times (three
   right in the first session, one in each later one: Rawson and Dunlosky 2011).
3. Space. At least five other questions stand between two askings of a point, and two on other movements between two
   on one where others are open: an explanation just read would answer the next question on the same movement. If no
   open point has waited that long, the one that has waited longest is asked. A point just answered right is never
   asked twice running, a point just missed only if nothing else is left.
4. Pairs. After a point that is easily confused with another open one, the other comes next if it has waited and
   is among the weaker half (interleave what is confusable: Rohrer, Dedrick and Stershic 2015).
5. New points come essential first, movement by movement in the order of their ranks. In the last three days
   before the test one pass over what was seen on earlier days comes first.
6. The others. Points that are not carried (what informs a trial without deciding it, and what the plan gave up)
   have a share of the sittings, or they would never come up where the carried ones fill every one: the fortieth
   question, and every fifth once the carried points stand well. More would cost GO: for synthetic learners every
   twentieth question lowered it by up to 5 in a hundred, every fifth by up to 12. One of every family comes first,
   then the weakest. In the last three days they have no share.
7. Wishes. Points that a tasking names have half of the questions until each has had its turn of the day. They
   steer the sitting and do not replace it.

The rules were tried on synthetic learners only; no person has been measured. Everything here is a pure
function of its arguments: no clock, no randomness.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import inf
from typing import NamedTuple

OTHERS_BETWEEN = 5
MOVEMENTS_BETWEEN = 2
"""Questions on other movements between two on one; common practice, no source."""
RIGHT_ON_FIRST_DAY = 3
RIGHT_ON_LATER_DAY = 1
ASKINGS_OF_A_MISS = 2
LAST_DAYS = 3.0
NO_DATE = inf
"""Days left where no test lies ahead."""
SHARE = 40
"""Every so many questions one goes to the points that are not carried."""
SHARE_STANDING_WELL = 5
STANDS_WELL = 0.99
"""Mean recall of the carried points from which the others have the larger share."""


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
    """The next point (none if nothing is worth asking now), and the open points in the order of their turns."""

    next: str | None
    open: tuple[str, ...]


def plan(
    candidates: Sequence[Candidate],
    asked: Sequence[Asked],
    days_left: float,
    carried: Collection[str] | None = None,
    wished: Collection[str] = (),
) -> Plan:
    """The next point to ask, by the rules of this module.

    Args:
        candidates: Every point that may be asked, each id once, in any order.
        asked: The questions of this session in order.
        days_left: Days until the test; `NO_DATE` where none lies ahead, because it has no date or has passed.
        carried: Ids of the points that the plan carries; the essential ones if None.
        wished: Ids of the points that a tasking names, carried or not.
    """
    first_of_all = frozenset([c.item.id for c in candidates if c.essential] if carried is None else carried)
    by_entry = _in_order_of_entry(candidates, first_of_all)
    misses, since = _misses(asked), _questions_since(asked)
    last_days = 0.0 <= days_left <= LAST_DAYS
    ranks: dict[str, tuple[int, float, int]] = {}
    for place, candidate in enumerate(by_entry):
        item = candidate.item.id
        if not _done(candidate, misses.get(item, 0)):
            turn = _turn(candidate, item in first_of_all, item in since, last_days)
            # What new points are expected to be differs little, and a movement is best learnt together.
            recall = candidate.recall if candidate.seen else round(candidate.recall, 1)
            ranks[item] = (turn, recall, place)
    waiting = sorted((c for c in by_entry if c.item.id in ranks), key=lambda c: ranks[c.item.id])
    opened = tuple(c.item.id for c in waiting)
    ready = [c for c in waiting if since.get(c.item.id, OTHERS_BETWEEN) >= OTHERS_BETWEEN]
    if not ready:
        return Plan(_longest_waiting(waiting, asked, since), opened)
    fresh = [c for c in ready if c.item.id not in since and not c.right_today]
    share = _share([c.recall for c in candidates if c.item.id in first_of_all])
    if not last_days and len(asked) % share == share - 1:
        others = [c for c in candidates if c.item.id not in first_of_all]
        other = _one_of_the_others([c for c in fresh if c.item.id not in first_of_all], others)
        if other is not None:
            return Plan(other, opened)
    wishes = [c for c in fresh if c.item.id in wished] if _wish_is_due(asked, wished) else []
    turn = ranks[ready[0].item.id][0]
    first = wishes or [c for c in ready if ranks[c.item.id][0] == turn]
    return Plan(_choose(first, candidates, asked, since), opened)


def _turn(candidate: Candidate, carried: bool, asked_here: bool, last_days: bool) -> int:
    """The lower, the sooner: carried points once, carried points again, the others likewise."""
    turn = 2 if asked_here or candidate.right_today else int(last_days and not candidate.seen)
    return turn if carried else turn + 3


def _share(carried: Sequence[float]) -> int:
    """Every how many questions one goes to the others, by the recall of the carried points."""
    return SHARE_STANDING_WELL if sum(carried) >= STANDS_WELL * len(carried) else SHARE


def _one_of_the_others(fresh: Sequence[Candidate], others: Sequence[Candidate]) -> str | None:
    """Of points not carried, given weakest first, one of a family of which nothing was seen, else the weakest."""
    met = {c.item.groups[1:] for c in others if c.seen}
    return next((c.item.id for c in fresh if c.item.groups[1:] not in met), fresh[0].item.id if fresh else None)


def _wish_is_due(asked: Sequence[Asked], wished: Collection[str]) -> bool:
    """Whether no more than half of the questions so far marked a wished point."""
    return 2 * sum(any(item in wished for item, _ in question.marks) for question in asked) <= len(asked)


def _choose(
    ready: Sequence[Candidate], candidates: Sequence[Candidate], asked: Sequence[Asked], since: dict[str, int]
) -> str:
    """One of the points whose turn it is, given weakest first: a partner, else a miss, else the weakest."""
    if asked:
        just_asked = {item for item, _ in asked[-1].marks}
        partners = {partner for c in candidates if c.item.id in just_asked for partner in c.item.confusable}
        # A strong partner would only take the turn of a weaker point.
        for candidate in ready[: (len(ready) + 1) // 2]:
            if candidate.item.id in partners:
                return candidate.item.id
    ready = _elsewhere(ready, candidates, asked)
    latest = {item: right for question in asked for item, right in question.marks}
    missed = [c.item.id for c in ready if latest.get(c.item.id) is False]
    if missed:
        return max(missed, key=since.__getitem__)
    return ready[0].item.id


def _elsewhere(
    ready: Sequence[Candidate], candidates: Sequence[Candidate], asked: Sequence[Asked]
) -> Sequence[Candidate]:
    """Those of other movements than the last questions were about, where there are any."""
    lately = {item for question in asked[-MOVEMENTS_BETWEEN:] for item, _ in question.marks}
    told = {_movement(c.item) for c in candidates if c.item.id in lately}
    return [c for c in ready if _movement(c.item) not in told] or ready


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


def _in_order_of_entry(candidates: Sequence[Candidate], carried: Collection[str]) -> list[Candidate]:
    """Carried points movement by movement, by the lowest rank in it; then the others, every family alike.

    Of the others the n-th of a family that has N comes at n / N of the way, so that none waits for the end of another.
    """
    first_rank: dict[str, int] = {}
    for candidate in candidates:
        movement = _movement(candidate.item)
        first_rank[movement] = min(candidate.rank, first_rank.get(movement, candidate.rank))

    def key(candidate: Candidate) -> tuple[bool, int, str, int, str]:
        movement = _movement(candidate.item)
        return not candidate.essential, first_rank[movement], movement, candidate.rank, candidate.item.id

    ordered = sorted(candidates, key=key)
    families: dict[tuple[str, ...], list[Candidate]] = {}
    for candidate in ordered:
        if candidate.item.id not in carried:
            families.setdefault(candidate.item.groups[1:], []).append(candidate)
    spread = [(n / len(family), *key(c), c) for family in families.values() for n, c in enumerate(family)]
    return [c for c in ordered if c.item.id in carried] + [c for *_, c in sorted(spread, key=lambda one: one[:-1])]


def _movement(item: Item) -> str:
    return item.groups[0] if item.groups else item.id
