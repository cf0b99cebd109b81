"""What must hold in a deck beyond its shape: the rules of the trade that a file can break.

A finding names the place by the path of its value in the deck file, such as
`("movement", 3, "counts", 0, "foot")`, and says what is wrong and what to do.
"""

import math
from collections.abc import Callable, Iterable, Iterator
from difflib import get_close_matches
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.faults import apply_fault, changes_nothing
from trainer.drill.feet import Footfall, foot_at_zero, settle_feet, stance_foot
from trainer.drill.footprints import footprints
from trainer.drill.movement import (
    AGAINST,
    BACK,
    CLOSE,
    IN_PLACE,
    LEFT,
    RIGHT,
    SIDE,
    STAYS,
    STEP,
    STRIKING_PLACES,
    Count,
    Fault,
    Movement,
    Stance,
    Word,
    other_foot,
    turn_words,
)
from trainer.drill.score import right_performance, score

Path = tuple[str | int, ...]


class Finding(NamedTuple):
    """Something wrong in a deck, at the path of its value."""

    path: Path
    message: str


def nearest(word: str, known: Iterable[str]) -> str:
    """Return ` Did you mean 'x'?` for the nearest known name, or the list of names, or nothing."""
    names = list(known)
    close = get_close_matches(word.lower(), [name.lower() for name in names], 1, 0.6)
    if close:
        name = next(name for name in names if name.lower() == close[0])
        return f" Did you mean '{name}'?"
    if not names:
        return ""
    return f" Known here: {', '.join(sorted(names)[:12])}."


def findings(deck: Deck) -> list[Finding]:
    """Return everything that is wrong in a deck, in no particular order."""
    found = list(_deck_findings(deck))
    for number, movement in enumerate(deck.movements):
        found += _movement_findings(deck, movement, ("movement", number))
    return found


def _deck_findings(deck: Deck) -> Iterator[Finding]:
    yield from _twice([m.id for m in deck.movements], lambda n: ("movement", n, "id"), "movement")
    for stance in deck.stances:
        yield from _stance_findings(deck, stance)
    sheet = deck.grade_sheet
    if sheet is None:
        return
    yield from _twice(list(sheet.minors), lambda n: ("grade_sheet", "minors", n), "minor measure")
    yield from _twice([m.id for m in sheet.majors], lambda n: ("grade_sheet", "majors", n, "id"), "major measure")
    ids = [movement.id for movement in deck.movements]
    for number, minor in enumerate(sheet.minors):
        if minor not in ids:
            yield Finding(
                ("grade_sheet", "minors", number),
                f"the minor measure '{minor}' has no movement of that id.{nearest(minor, ids)}",
            )
    for number, major in enumerate(sheet.majors):
        if major.id in sheet.minors:
            yield Finding(
                ("grade_sheet", "majors", number, "id"),
                f"'{major.id}' is a minor measure already; give the major an id of its own",
            )
    if sheet.needed > sheet.trials:
        yield Finding(
            ("grade_sheet", "needed"),
            f"{sheet.needed} right trials are needed, but there are only {sheet.trials} trials",
        )


def _twice(ids: list[str], path: Callable[[int], Path], what: str) -> Iterator[Finding]:
    seen: dict[str, int] = {}
    for number, one in enumerate(ids):
        if one in seen:
            yield Finding(
                path(number),
                f"the {what} '{one}' is there twice: it is also number {seen[one] + 1}. Give each an id of its own",
            )
        seen.setdefault(one, number)


def _stance_findings(deck: Deck, stance: Stance) -> Iterator[Finding]:
    path: Path = ("stance", stance.name)
    if stance.cadence and stance.cadence[0] > stance.cadence[1]:
        yield Finding((*path, "cadence"), "a range of cadence starts with the slower one, like [100, 120]")
    yield from _sword(deck, stance.sword, (*path, "sword"))
    if stance.length and not stance.step:
        yield Finding((*path, "length"), "'length' is a share of the step: say the step as well, like step = \"30 in\"")
    if not stance.cycle:
        if stance.steady_place == STEP and stance.place and not stance.step:
            yield Finding((*path, "place"), 'a stance that steps needs the length of its step, like step = "30 in"')
        if stance.place not in (None, STEP, BACK, SIDE, IN_PLACE, STAYS):
            yield Finding(
                (*path, "place"),
                f"'{stance.place}' cannot be done on every beat; a stance steps, backs, or marks in place",
            )
        return
    for number, row in enumerate(stance.cycle):
        yield from _sword(deck, row.sword, (*path, "cycle", number, "sword"))
        before = stance.cycle[number - 1]
        both_strike = row.place in STRIKING_PLACES and before.place in STRIKING_PLACES
        if len(stance.cycle) > 1 and row.foot in (LEFT, RIGHT) and row.foot == before.foot and both_strike:
            yield Finding(
                (*path, "cycle", number, "foot"),
                f"the {row.foot} foot cannot strike twice running; the {other_foot(row.foot)} foot comes between",
            )
        if row.place in (STEP, BACK, SIDE) and row.length is None and stance.step is None:
            yield Finding(
                (*path, "cycle", number),
                f"the length of this '{row.place}' is missing: say it here or as the stance's step",
            )


def _sword(deck: Deck, word: str | None, path: Path) -> Iterator[Finding]:
    if word is not None and word not in deck.sword:
        listed = nearest(word, deck.sword) or ' List it there, like sword = ["carry", "order"].'
        yield Finding(path, f"'{word}' is not in the list of sword positions under [deck].{listed}")


def _movement_findings(deck: Deck, movement: Movement, path: Path) -> list[Finding]:
    found = list(_name_findings(deck, movement, path))
    found += _word_findings(movement, path)
    found += _cue_findings(movement, path)
    found += _count_findings(deck, movement, path)
    found += _twice([f.id for f in movement.faults], lambda n: (*path, "faults", n, "id"), "fault")
    if found:
        return found
    stances = [deck.stance(name) for name in movement.from_stances]
    found += _start_findings(movement, stances, path)
    if found:
        return found
    for stance in stances:
        found += _feet_findings(movement, stance, path)
        found += _closing_findings(deck, movement, stance, path)
    found += _turn_findings(movement, path)
    if not found:
        for number, fault in enumerate(movement.faults):
            found += _fault_findings(deck, movement, fault, (*path, "faults", number))
    return list(dict.fromkeys(found))


def _name_findings(deck: Deck, movement: Movement, path: Path) -> Iterator[Finding]:
    names = [stance.name for stance in deck.stances]
    for number, name in enumerate(movement.from_stances):
        if name not in names:
            yield Finding((*path, "from", number), f"there is no [stance] called '{name}'.{nearest(name, names)}")
        if name in movement.from_stances[:number]:
            yield Finding((*path, "from", number), f"the stance '{name}' is there twice")
    if movement.to not in names:
        yield Finding((*path, "to"), f"there is no [stance] called '{movement.to}'.{nearest(movement.to, names)}")


def _word_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    executing = [(n, word) for n, word in enumerate(movement.words) if word.executes]
    if not executing and not movement.cued_by:
        yield Finding(
            (*path, "words"),
            f"'{movement.id}' has no word that executes it: mark one with executes = true, on beat 0",
        )
    for number, word in executing[1:]:
        first = executing[0][1].say
        yield Finding(
            (*path, "words", number, "executes"),
            f"'{word.say}' executes, but '{first}' does already: only one word of a command executes it",
        )
    for number, word in executing:
        if word.beat != 0 and not movement.cued_by:
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' executes, so it stands on beat 0, not on {word.beat:g}; count the other words back "
                "from it",
            )
        if word.speaker is not None:
            yield Finding(
                (*path, "words", number, "speaker"),
                f"'{word.say}' executes, so the candidate says it: leave the speaker out",
            )
    taken: dict[tuple[float, str | None], Word] = {}
    for number, word in enumerate(movement.words):
        other = taken.setdefault((word.beat, word.speaker), word)
        if other is not word:
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' and '{other.say}' are both on beat {word.beat:g}",
            )
        if word.beat > 0 and not word.executes:
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' comes after the word of execution; words before it have negative beats, like -2",
            )


def _cue_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    if movement.cued_by and not movement.cues:
        yield Finding((*path, "cued_by"), f"'{movement.id}' is cued by {movement.cued_by}, but no cues are listed")
    if movement.cues and not movement.cued_by:
        yield Finding((*path, "cues"), 'these cues need a line that says what gives them, like cued_by = "drum"')
    beats = [cue.beat for cue in movement.cues]
    if movement.cued_by and beats and min(beats) != 0:
        yield Finding(
            (*path, "cues", 0, "beat"),
            f"the first cue is on beat {min(beats):g}; a cued movement counts its beats from its first cue, beat 0",
        )
    for number, beat in enumerate(beats):
        if beat in beats[:number]:
            yield Finding((*path, "cues", number, "beat"), f"there is a cue on beat {beat:g} already")


def _count_findings(deck: Deck, movement: Movement, path: Path) -> Iterator[Finding]:
    last = -math.inf
    seen: set[tuple[float, str | None]] = set()
    for number, count in enumerate(movement.counts):
        here = (*path, "counts", number)
        if count.beat < 0 or (count.beat == 0 and not movement.cued_by):
            yield Finding(
                (*here, "beat"),
                f"count {number + 1} is on beat {count.beat:g}; counts come after beat 0, the word of execution",
            )
        if count.beat < last:
            yield Finding(
                (*here, "beat"),
                f"count {number + 1} is on beat {count.beat:g}, before the count above it; write counts in their order",
            )
        if (count.beat, count.foot) in seen:
            yield Finding((*here, "beat"), f"beat {count.beat:g} has two counts for the same foot")
        seen.add((count.beat, count.foot))
        last = max(last, count.beat)
        yield from _sword(deck, count.sword, (*here, "sword"))
        yield from _footwork_findings(count, here)


def _footwork_findings(count: Count, here: Path) -> Iterator[Finding]:
    if count.foot is not None and count.place is None:
        yield Finding(
            (*here, "foot"), f'the {count.foot} foot is named, but not what it does: add a place, like "step"'
        )
    if count.against is not None and count.place not in ("T", "toe to heel"):
        yield Finding(
            (*here, "against"),
            f'\'against\' goes with the place "T" or "toe to heel" ({" or ".join(AGAINST)})',
        )
    if count.length is not None and count.place not in (STEP, BACK, SIDE):
        yield Finding((*here, "length"), f"a length goes with step, back or side, not with '{count.place}'")
    if count.foot == "both" and count.place in (STEP, BACK, SIDE, CLOSE, "T", "toe to heel"):
        yield Finding((*here, "foot"), f"both feet cannot '{count.place}' on one beat; name the foot that moves")
    if count.toes is not None and count.place is None:
        yield Finding((*here, "toes"), "toes turn with a foot: name the foot and its place")


def _start_findings(movement: Movement, stances: list[Stance], path: Path) -> Iterator[Finding]:
    for number, stance in enumerate(stances):
        here = (*path, "from", number)
        if movement.called_on == "halted" and stance.moves:
            yield Finding(
                here,
                f"'{movement.id}' is called halted, but in '{stance.name}' the feet move; say the foot it is called "
                "on, or make it two movements",
            )
        if movement.called_on != "halted" and not stance.moves:
            yield Finding(
                here,
                f"'{movement.id}' is called on '{movement.called_on}', but in '{stance.name}' no foot strikes: write "
                'called_on = "halted", or make it two movements',
            )
        if movement.called_on == "together" and stance.moves and stance.together is None:
            yield Finding(
                (*path, "called_on"),
                f"it is called with the heels together, but no beat of '{stance.name}' brings them together; "
                "give that stance a cycle with a close",
            )


def _feet_findings(movement: Movement, stance: Stance, path: Path) -> Iterator[Finding]:
    for at_zero in (LEFT, RIGHT) if movement.called_on == "either" else (None,):
        foot = at_zero or foot_at_zero(movement, stance)
        yield from _word_feet(movement, stance, foot, path)
        falls = settle_feet(movement, foot)
        for number in range(len(falls)):
            yield from _fall_findings(movement, falls, number, foot, (*path, "counts", number))


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
    if movement.called_on == "either" and count.foot in (LEFT, RIGHT):
        yield Finding(
            (*here, "foot"),
            f"'{movement.id}' may be called on either foot, so count {number + 1} says same or other (than the foot of "
            f"beat 0), not {count.foot}",
        )
        return
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
        f"beat {beat:g}: put this count on beat {beat + 1:g}, or call on the {other_foot(at_zero or foot)} foot"
    )


def _turn_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    if movement.turn is None:
        return
    turned = sum(count.turn for count in movement.counts)
    if turned != movement.turn:
        yield Finding(
            (*path, "turn"),
            f"the whole turn is said to be {turn_words(movement.turn)}, but the counts add up to {turn_words(turned)}",
        )


def _closing_findings(deck: Deck, movement: Movement, stance: Stance, path: Path) -> Iterator[Finding]:
    """A closing foot that `to` cannot go on from."""
    at_zero = foot_at_zero(movement, stance)
    done = right_performance(deck, movement, stance.name, at_zero)
    striking = [n for n, fall in enumerate(done.falls) if fall.strikes]
    if not striking:
        if stance.moves and not done.after.moves:
            yield Finding(
                (*path, "counts", len(movement.counts) - 1),
                f"'{movement.to}' stands still, but no count brings the feet to a halt",
            )
        return
    here = (*path, "counts", striking[-1])
    last = done.falls[striking[-1]]
    if done.after.moves:
        yield from _next_row(done.after, last, here)
        return
    if last.row.place not in (STEP, BACK) and last.row.place != IN_PLACE:
        return
    apart = _fore_and_aft(deck, movement, stance)
    if apart > deck.sole.length / 2:
        yield Finding(
            (*here, "place"),
            f"'{movement.to}' stands still, but the last count leaves the feet {apart:g} {deck.unit} apart: "
            "close the other foot, or end in a stance that moves",
        )


def _next_row(after: Stance, last: Footfall, here: Path) -> Iterator[Finding]:
    if not after.cycle or last.foot not in (LEFT, RIGHT):
        return
    follows = any(row.foot == last.foot and row.place == last.row.place for row in after.cycle)
    if not follows and all(row.foot != other_foot(last.foot) for row in after.cycle):
        yield Finding(
            (*here, "foot"),
            f"'{after.name}' cannot go on from the {last.foot} foot: no beat of its cycle is the "
            f"{other_foot(last.foot)} foot",
        )


def _fore_and_aft(deck: Deck, movement: Movement, stance: Stance) -> float:
    done = score(deck, movement, stance.name)
    end = footprints(deck, done)[-1]
    angle = math.radians(end.body)
    return abs((end.left.x - end.right.x) * math.sin(angle) + (end.left.y - end.right.y) * math.cos(angle))


def _fault_findings(deck: Deck, movement: Movement, fault: Fault, here: Path) -> Iterator[Finding]:
    if not fault.shows:
        if fault.seen_by is None:
            yield Finding(
                here,
                f"the fault '{fault.id}' neither says how it shows nor who sees it: add shows = [ … ] or "
                'seen_by = "grader"',
            )
        return
    wrong = list(_change_findings(deck, movement, fault, here))
    yield from wrong
    if wrong:
        return
    if changes_nothing(deck, movement, fault):
        yield Finding(
            (*here, "shows"),
            f"the fault '{fault.id}' changes nothing: what it shows is what the movement is anyway",
        )


def _change_findings(deck: Deck, movement: Movement, fault: Fault, here: Path) -> Iterator[Finding]:
    rows = {"count": len(movement.counts), "word": len(movement.words), "cue": len(movement.cues)}
    for number, change in enumerate(fault.shows):
        path = (*here, "shows", number)
        size = rows.get(change.target)
        if size is not None and change.number is not None and change.number > size:
            has = f"has {size}" if size else "has none"
            yield Finding((*path, change.target), f"there is no {change.target} {change.number}: '{movement.id}' {has}")
            return
        fields = dict(change.fields)
        sword = fields.get("sword")
        yield from _sword(deck, sword if isinstance(sword, str) else None, (*path, "sword"))
        if not fields and not change.drop and not change.later and change.target != "tempo":
            yield Finding(path, f"this change of a {change.target} sets nothing that a {change.target} has")
            return
    stance = deck.stance(movement.from_stances[0])
    at_zero = foot_at_zero(movement, stance)
    try:
        done = apply_fault(right_performance(deck, movement, stance.name, at_zero), fault, at_zero)
    except (ValueError, TypeError):
        yield Finding((*here, "shows"), f"the changes of the fault '{fault.id}' cannot be made one after the other")
        return
    for fall in done.falls:
        if fall.row.beat < 0:
            yield Finding(
                (*here, "shows"),
                f"the fault '{fault.id}' moves a count before beat 0, where the command is not yet given",
            )
            return
