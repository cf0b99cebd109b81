"""Which foot can be next: the words and counts of a movement taken together."""

import math
from collections.abc import Iterator

from trainer.drill.checks.finding import Finding, Path
from trainer.drill.feet import Footfall, foot_at_zero, settle_feet, stance_foot
from trainer.drill.movement import LEFT, RIGHT, STRIKING_PLACES, Movement, Stance, other_foot


def start_findings(movement: Movement, stances: list[Stance], path: Path) -> Iterator[Finding]:
    """Yield what does not fit between the foot a movement is called on and the stances it starts from."""
    for number, stance in enumerate(stances):
        here = (*path, "from", number)
        if movement.called_on == "halted" and stance.moves:
            yield Finding(
                here,
                f"'{movement.id}' is called halted, but in '{stance.name}' the feet move; say the foot it is called "
                f"on{_or_two(stances)}",
            )
        if movement.called_on != "halted" and not stance.moves:
            yield Finding(
                here,
                f"'{movement.id}' is called on '{movement.called_on}', but in '{stance.name}' no foot strikes: write "
                f'called_on = "halted"{_or_two(stances)}',
            )
        if movement.called_on == "together" and stance.moves and stance.together is None:
            yield Finding(
                (*path, "called_on"),
                f"it is called with the heels together, but no beat of '{stance.name}' brings them together; "
                "give that stance a cycle with a close",
            )


def _or_two(stances: list[Stance]) -> str:
    return ", or make it two movements" if len(stances) > 1 else ""


def feet_findings(movement: Movement, stance: Stance, path: Path) -> Iterator[Finding]:
    """Yield every word, cue and count whose foot cannot be next; each place once."""
    told: set[Path] = set()
    flipped = _called_on_the_other_foot(movement, stance, path)
    if flipped is not None:
        yield flipped
        return
    for at_zero in (LEFT, RIGHT) if movement.called_on == "either" else (None,):
        for finding in _foot_by_foot(movement, stance, at_zero or foot_at_zero(movement, stance), path):
            if finding.path not in told:
                told.add(finding.path)
                yield finding


def _foot_by_foot(movement: Movement, stance: Stance, foot: str | None, path: Path) -> Iterator[Finding]:
    yield from _word_feet(movement, stance, foot, path)
    if movement.called_on == "either":
        written = [(n, count) for n, count in enumerate(movement.counts) if count.foot in (LEFT, RIGHT)]
        yield from (
            Finding(
                (*path, "counts", number, "foot"),
                f"'{movement.id}' may be called on either foot, so count {number + 1} says same or other (than the "
                f"foot of beat 0), not {count.foot}",
            )
            for number, count in written
        )
        if written:
            return
    falls = settle_feet(movement, foot, stance)
    for number, fall in enumerate(falls):
        yield from _fall_findings(movement, falls, number, foot, (*path, "counts", number))
        if fall.clash:
            return  # what comes after it is out of step because of it


def _called_on_the_other_foot(movement: Movement, stance: Stance, path: Path) -> Finding | None:
    """Return one finding where all written feet agree with each other, but not with `called_on`."""
    if movement.called_on not in (LEFT, RIGHT):
        return None
    other = other_foot(movement.called_on)
    wrong = sum(1 for _ in _foot_by_foot(movement, stance, movement.called_on, path))
    if wrong < 2 or any(True for _ in _foot_by_foot(movement._replace(called_on=other), stance, other, path)):
        return None
    return Finding(
        (*path, "called_on"),
        f"'{movement.id}' is called on the {movement.called_on} foot, but every foot written in it fits a call on the "
        f"{other} foot",
    )


def _word_feet(movement: Movement, stance: Stance, foot: str | None, path: Path) -> Iterator[Finding]:
    rows: list[tuple[str, int, str, float, str | None]] = [
        ("words", n, word.say, word.beat, word.foot) for n, word in enumerate(movement.words)
    ]
    rows += [("cues", n, cue.sound, cue.beat, cue.foot) for n, cue in enumerate(movement.cues)]
    for rows_name, number, what, beat, written in rows:
        if written is None:
            continue
        here = (*path, rows_name, number, "foot")
        if movement.called_on == "either":
            yield Finding(here, f"'{what}' may be called on either foot here, so it cannot say the {written} foot")
            continue
        due = stance_foot(stance, movement, foot, int(beat)) if beat == math.floor(beat) else None
        if due is None:
            yield Finding(here, f"no foot strikes on beat {beat:g}, so '{what}' cannot be on the {written} foot")
        elif due != written and beat == 0:
            yield Finding(here, f"'{what}' is on beat 0, and called_on says the {due} foot, not the {written} foot")
        elif due != written:
            yield Finding(
                here,
                f"'{what}' cannot be on the {written} foot: beat 0 is the {foot} foot and feet alternate, so beat "
                f"{beat:g} is the {due} foot. One step is missing or one too many between the words",
            )


def _fall_findings(
    movement: Movement, falls: list[Footfall], number: int, at_zero: str | None, here: Path
) -> Iterator[Finding]:
    fall = falls[number]
    count = fall.row
    if count.foot in ("same", "other") and at_zero is None:
        yield Finding(
            (*here, "foot"),
            f"'{count.foot}' is said of the foot of beat 0, but no foot strikes there; say left or right",
        )
        return
    if count.place in STRIKING_PLACES and fall.foot is None:
        yield Finding(here, f"from the halt, count {number + 1} must say its foot: left or right")
    if fall.clash:
        yield Finding((*here, "foot" if count.foot else "beat"), _clash(movement, falls, number, at_zero))


def _clash(movement: Movement, falls: list[Footfall], number: int, at_zero: str | None) -> str:
    """Return the sentence that shows which step is missing."""
    fall = falls[number]
    beat, foot = fall.row.beat, fall.foot or LEFT
    earlier = next((f for f in reversed(falls[:number]) if f.strikes and f.foot in (LEFT, RIGHT)), None)
    if earlier is None or earlier.row.beat < math.ceil(beat) - 1:
        since = math.ceil(beat) - 1
        said = next((w.say for w in movement.words if w.executes), None)
        what = f"'{said}' on it" if said and since == 0 else "the stance before"
    else:
        since_beat = earlier.row.beat
        what = f"count {falls.index(earlier) + 1}"
        return (
            f"count {number + 1} cannot be the {foot} foot on beat {beat:g}: the {foot} foot has just struck on beat "
            f"{since_beat:g} ({what}). A step of the {other_foot(foot)} foot is missing between"
        )
    return (
        f"count {number + 1} cannot be the {foot} foot on beat {beat:g}: the {foot} foot has just struck on beat "
        f"{since} ({what}), and no foot strikes twice running. The missing step is the {other_foot(foot)} foot's, on "
        f"beat {beat:g}: put this count on beat {beat + 1:g}{_or_call(movement, at_zero)}"
    )


def _or_call(movement: Movement, at_zero: str | None) -> str:
    if movement.called_on not in (LEFT, RIGHT) or at_zero is None:
        return ""
    return f", or call on the {other_foot(at_zero)} foot"
