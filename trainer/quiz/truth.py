"""Whether a description is false of a beat, so that no wrong choice can be right as well.

It is held false only if something it states cannot be squared with what the score and the deck state. What
the deck leaves open, and what looks alike on the ground, is not called false.
"""

from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.gait import Gait, gait
from trainer.drill.length import Length
from trainer.drill.movement import (
    BACK,
    BOTH,
    CLOSE,
    IN_PLACE,
    LEFT,
    OTHER,
    PIVOT,
    RIGHT,
    SAME,
    SIDE,
    STAYS,
    STEP,
    STRIKING_PLACES,
    TEE,
    Count,
    Movement,
    other_foot,
)
from trainer.drill.score import FootAct, Score
from trainer.quiz.facts import scores
from trainer.quiz.wording import Deed

ALIKE = {CLOSE, IN_PLACE}
"""A foot that closes beside the other may come down where it was: the two look the same on the ground."""
UNMOVED = {"pinned", "still"}
"""Arms pinned to the sides do not move either."""
NEAR = 0.5
"""Millimetres; lengths as near as this are one length written in two units."""


class Seen(NamedTuple):
    """What is so on one beat of one performance; None is what the deck leaves open."""

    at_zero: str | None
    gait: Gait
    unit: str
    acts: tuple[FootAct, ...]
    turns: frozenset[float]
    left_arm: str | None
    right_arm: str | None
    sword: str | None
    cadences: frozenset[float]


def seen(deck: Deck, movement: Movement, beat: float) -> tuple[Seen, ...]:
    """Return what is so on a beat in every performance of a movement; nothing if a performance has no such beat."""
    views = [_seen(deck, movement, played, beat) for _, played in scores(deck, movement)]
    return tuple(view for view in views if view) if all(views) else ()


def _seen(deck: Deck, movement: Movement, played: Score, beat: float) -> Seen | None:
    here = next((entry for entry in played.beats if entry.beat == beat), None)
    if here is None:
        return None
    before, after = deck.stance(played.from_stance), deck.stance(played.to)
    counts = [count for count in movement.counts if count.beat == beat]
    turns = {count.turn for count in counts} | {here.turn}
    sources: list[object] = [before, *(count for count in movement.counts if count.beat <= beat)]
    if beat > played.last_count:
        sources.append(after)

    def stated(name: str) -> bool:
        return any(getattr(source, name) is not None for source in sources)

    return Seen(
        played.at_zero,
        gait(deck, before, after),
        deck.unit,
        here.acts,
        frozenset(turns),
        here.left_arm if stated("left_arm") else None,
        here.right_arm if stated("right_arm") else None,
        here.sword if stated("sword") else None,
        _cadences(counts),
    )


def _cadences(counts: list[Count]) -> frozenset[float]:
    return frozenset(count.cadence for count in counts if count.cadence is not None)


def false_of(deed: Deed, views: tuple[Seen, ...]) -> bool:
    """Whether a description is false of a beat in every performance; never where there is nothing to see."""
    return bool(views) and all(_false(deed, view) for view in views)


def _false(deed: Deed, view: Seen) -> bool:
    return (
        (deed.turn != 0 and deed.turn not in view.turns)
        or _arm_false(deed.left_arm, view.left_arm)
        or _arm_false(deed.right_arm, view.right_arm)
        or (deed.sword is not None and view.sword is not None and deed.sword != view.sword)
        or (deed.cadence is not None and bool(view.cadences) and deed.cadence not in view.cadences)
        or (deed.footwork and _footwork_false(deed, view))
    )


def _arm_false(stated: str | None, known: str | None) -> bool:
    if stated is None or known is None or stated == known:
        return False
    return not {stated, known} <= UNMOVED


def _feet(deed: Deed, view: Seen) -> set[str]:
    both = {LEFT, RIGHT}
    if deed.foot in (BOTH, None):
        return both
    if deed.foot in (SAME, OTHER):
        if view.at_zero not in both:
            return both
        return {view.at_zero or LEFT} if deed.foot == SAME else {other_foot(view.at_zero or LEFT)}
    return {deed.foot or LEFT}


def _act_feet(act: FootAct) -> set[str]:
    return {LEFT, RIGHT} if act.foot == BOTH else {act.foot}


def _footwork_false(deed: Deed, view: Seen) -> bool:
    feet = _feet(deed, view)
    acts = [act for act in view.acts if _act_feet(act) & feet]
    striking = [act for act in acts if act.place in STRIKING_PLACES]
    if deed.place == STAYS:
        return bool(striking)
    if deed.place == PIVOT:
        # A footfall with a turn is a pivot on the other foot as well, so only the turn can be false.
        pivots = [act for act in view.acts if act.place == PIVOT]
        return bool(pivots) and all(not _act_feet(act) & feet for act in pivots)
    return all(_act_false(deed, act, view) for act in striking)


def _act_false(deed: Deed, act: FootAct, view: Seen) -> bool:
    if deed.place != act.place and not {deed.place, act.place} <= ALIKE:
        return True
    return (
        _length_false(deed, act, view)
        or (deed.place == TEE and (deed.against or "toe") != (act.against or "toe"))
        or (deed.contact is not None and act.contact is not None and deed.contact != act.contact)
        or (deed.lift is not None and act.lift is not None and not _same(deed.lift, act.lift))
        or (deed.toes is not None and act.toes is not None and deed.toes != act.toes)
    )


def _length_false(deed: Deed, act: FootAct, view: Seen) -> bool:
    if deed.place not in (STEP, BACK, SIDE):
        return False
    stated = view.gait.length(deed.place, deed.length, view.unit)
    return not _same(Length(stated, view.unit), Length(act.length, view.unit))


def _same(one: Length, two: Length) -> bool:
    return abs(one.to("cm") - two.to("cm")) * 10 < NEAR
