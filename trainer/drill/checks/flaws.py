"""The faults of a movement: each must show something, or say who sees it."""

from collections.abc import Iterator

from trainer.drill.checks.finding import Finding, Path, sword
from trainer.drill.deck import Deck
from trainer.drill.faults import apply_fault, changes_nothing
from trainer.drill.feet import Footfall, foot_at_zero
from trainer.drill.movement import (
    BACK,
    BALL_TO_HEEL,
    BOTH,
    CLOSE,
    LEFT,
    RIGHT,
    SIDE,
    STAYS,
    STEP,
    TEE,
    TOE_TO_HEEL,
    Fault,
    Movement,
)
from trainer.drill.unrolling import right_performance


def fault_row_findings(deck: Deck, movement: Movement, fault: Fault, here: Path) -> Iterator[Finding]:
    """Yield what is wrong with a fault's rows by themselves."""
    if not fault.shows and fault.seen_by is None:
        yield Finding(
            here,
            f"the fault '{fault.id}' neither says how it shows nor who sees it: add shows = [ … ] or "
            'seen_by = "grader"',
        )
    rows = {"count": len(movement.counts), "word": len(movement.words), "cue": len(movement.cues)}
    for number, change in enumerate(fault.shows):
        path = (*here, "shows", number)
        size = rows.get(change.target)
        if size is not None and change.number is not None and change.number > size:
            has = f"has {size}" if size else "has none"
            yield Finding((*path, change.target), f"there is no {change.target} {change.number}: '{movement.id}' {has}")
        fields = dict(change.fields)
        position = fields.get("sword")
        yield from sword(deck, position if isinstance(position, str) else None, (*path, "sword"))
        if not fields and not change.drop and not change.later and change.target != "tempo":
            yield Finding(path, f"this change of a {change.target} sets nothing that a {change.target} has")
    early = _early_drop(fault)
    if early is not None:
        yield Finding(
            (*here, "shows", early, "drop"),
            f"write the {fault.shows[early].target} that is left out last: after it the others are numbered anew",
        )


def fault_findings(deck: Deck, movement: Movement, fault: Fault, here: Path) -> Iterator[Finding]:
    """Yield a fault that cannot be applied, leads to what no body can do, or changes nothing."""
    if not fault.shows or any(fault_row_findings(deck, movement, fault, here)):
        return
    stance = deck.stance(movement.from_stances[0])
    at_zero = foot_at_zero(movement, stance)
    try:
        done = apply_fault(right_performance(deck, movement, stance.name, at_zero), fault, at_zero)
    except (ValueError, TypeError):
        yield Finding((*here, "shows"), f"the changes of the fault '{fault.id}' cannot be made one after the other")
        return
    impossible = _impossible(movement, done.falls)
    if impossible:
        yield Finding((*here, "shows"), f"the fault '{fault.id}' {impossible}")
    elif changes_nothing(deck, movement, fault):
        yield Finding(
            (*here, "shows"),
            f"the fault '{fault.id}' changes nothing: what it shows is what the movement is anyway",
        )


def _impossible(movement: Movement, falls: tuple[Footfall, ...]) -> str:
    """Say why no body can do these counts, even wrongly; nothing if one can."""
    taken: set[tuple[float, str]] = set()
    for fall in falls:
        count = fall.row
        if count.beat < 0 or (count.beat == 0 and not movement.cued_by):
            return "moves a count to or before beat 0, where the command is only just given"
        if fall.foot == BOTH and count.place in (STEP, BACK, SIDE, CLOSE, TEE, TOE_TO_HEEL, BALL_TO_HEEL):
            return f"has both feet '{count.place}' on one beat"
        resting = count.place in (None, STAYS)
        for foot in (LEFT, RIGHT):
            if not resting and fall.foot in (foot, BOTH):
                if (count.beat, foot) in taken:
                    return f"puts two counts of the {foot} foot on beat {count.beat:g}"
                taken.add((count.beat, foot))
    return ""


def _early_drop(fault: Fault) -> int | None:
    """Return the number of a dropped word or cue that is followed by a change of another one."""
    for number, change in enumerate(fault.shows):
        later = fault.shows[number + 1 :]
        if change.drop and change.target in ("word", "cue") and any(c.target == change.target for c in later):
            return number
    return None
