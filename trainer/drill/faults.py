"""A Fault applied to a Score: the flawed performance, and what differs from the right one."""

from collections.abc import Sequence
from typing import Any, NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import Footfall, foot_at_zero
from trainer.drill.movement import BOTH, LEFT, RIGHT, STAYS, Change, Fault, Movement, other_foot
from trainer.drill.score import Beat, Performance, Score
from trainer.drill.unrolling import right_performance, unroll


class Difference(NamedTuple):
    """One thing that differs on one beat: its part of the score, the right value and the flawed one."""

    beat: float
    part: str
    right: object
    flawed: object


class Comparison(NamedTuple):
    """The right performance, the flawed one, both up to the same beat, and what differs."""

    right: Score
    flawed: Score
    differences: tuple[Difference, ...]


def flawed_score(
    deck: Deck, movement: Movement, fault: Fault, from_stance: str | None = None, foot: str = LEFT
) -> Score:
    """Unroll a movement with a fault in it; arguments as for `score`.

    Raises:
        KeyError: if the movement does not start from that stance.
        ValueError: if a change names a row that the movement does not have.
    """
    at_zero, right = _start(deck, movement, from_stance, foot)
    return unroll(deck, movement, apply_fault(right, fault, at_zero), at_zero)


def compare(
    deck: Deck, movement: Movement, fault: Fault, from_stance: str | None = None, foot: str = LEFT
) -> Comparison:
    """Set a flawed performance beside the right one; arguments and errors as for `flawed_score`."""
    at_zero, right = _start(deck, movement, from_stance, foot)
    flawed = apply_fault(right, fault, at_zero)
    beats = [unroll(deck, movement, done, at_zero).beats for done in (right, flawed)]
    since, until = min(row[0].beat for row in beats), max(row[-1].beat for row in beats)
    one, two = (unroll(deck, movement, done, at_zero, until, since) for done in (right, flawed))
    return Comparison(one, two, tuple(differences(one, two)))


def _start(deck: Deck, movement: Movement, from_stance: str | None, foot: str) -> tuple[str | None, Performance]:
    name = from_stance or movement.from_stances[0]
    if name not in movement.from_stances:
        raise KeyError(name)
    at_zero = foot_at_zero(movement, deck.stance(name), foot)
    return at_zero, right_performance(deck, movement, name, at_zero)


def apply_fault(done: Performance, fault: Fault, at_zero: str | None) -> Performance:
    """Return a performance with every change of a fault made, in the order in which they are written."""
    numbered = [(number, fall) for number, fall in enumerate(done.falls, 1)]
    for change in fault.shows:
        if change.target == "tempo":
            done = done._replace(tempo=done.tempo * change.tempo)
        elif change.target == "stance":
            fields: dict[str, Any] = dict(change.fields)
            done = done._replace(after=done.after._replace(**fields))
        elif change.target == "word":
            done = done._replace(words=tuple(_changed_rows(list(done.words), change)))
        elif change.target == "cue":
            done = done._replace(cues=tuple(_changed_rows(list(done.cues), change)))
        else:
            silent, numbered = _changed_counts(numbered, change, at_zero)
            done = done._replace(silent=done.silent | silent)
    falls = tuple(fall for _, fall in sorted(numbered, key=lambda row: (row[1].row.beat, row[0])))
    return done._replace(falls=falls, silent=done.silent - {fall.row.beat for fall in falls})


def _hit(change: Change, number: int) -> bool:
    if change.number is None:
        return True
    return number >= change.number if change.later else number == change.number


def _changed_rows(rows: list[Any], change: Change) -> list[Any]:
    """Change words or cues; rows keep their numbers, so a dropped one must be written last."""
    if change.number is not None and change.number > len(rows):
        raise ValueError(f"there is no {change.target} {change.number}")
    changed = []
    for number, row in enumerate(rows, 1):
        if not _hit(change, number):
            changed.append(row)
        elif not change.drop:
            changed.append(row._replace(**{"beat": row.beat + change.later, **dict(change.fields)}))
    return changed


def _changed_counts(
    numbered: list[tuple[int, Footfall]], change: Change, at_zero: str | None
) -> tuple[frozenset[float], list[tuple[int, Footfall]]]:
    if change.number is not None and all(number != change.number for number, _ in numbered):
        raise ValueError(f"there is no count {change.number}")
    silent = set()
    changed = []
    for number, fall in numbered:
        if not _hit(change, number):
            changed.append((number, fall))
        elif change.drop:
            silent.add(fall.row.beat)
        else:
            changed.append((number, _changed_fall(fall, change, at_zero)))
    return frozenset(silent), changed


def _changed_fall(fall: Footfall, change: Change, at_zero: str | None) -> Footfall:
    fields: dict[str, Any] = dict(change.fields)
    row = fall.row
    if fields.get("place", row.place) != row.place:
        # How high a foot is lifted and what it is set against belong to its place, and go with it.
        row = row._replace(lift=None, against=None)
    count = row._replace(**{"beat": row.beat + change.later, **fields})
    foot = fall.foot
    if "foot" in fields:
        written = fields["foot"]
        relative = {"same": at_zero, "other": other_foot(at_zero) if at_zero in (LEFT, RIGHT) else None}
        foot = relative.get(written, written)
    return fall._replace(row=count, foot=foot)


def _parts(beat: Beat) -> dict[str, object]:
    def acts_of(foot: str) -> tuple[object, ...]:
        moving = [act for act in beat.acts if act.place != STAYS or act.toes is not None]
        return tuple(act._replace(foot=foot, steady=False) for act in moving if act.foot in (foot, BOTH))

    return {
        "voice": tuple((word.say, word.speaker) for word in beat.said),
        "cue": beat.cues,
        "left foot": acts_of(LEFT),
        "right foot": acts_of(RIGHT),
        "left arm": beat.left_arm,
        "right arm": beat.right_arm,
        "sword": beat.sword,
        "body": beat.turn,
        "cadence": beat.cadence,
    }


def differences(right: Score, flawed: Score) -> list[Difference]:
    """Return everything that differs between two scores, in the order of the beats.

    A beat that only one of them has (a half beat) shows nothing new in the other: its arms, sword and
    cadence are as they were.
    """
    of_right = {beat.beat: beat for beat in right.beats}
    of_flawed = {beat.beat: beat for beat in flawed.beats}
    found = []
    last_right, last_flawed = right.beats[0], flawed.beats[0]
    for beat in sorted(of_right.keys() | of_flawed.keys()):
        last_right = of_right.get(beat) or _rest(last_right, beat)
        last_flawed = of_flawed.get(beat) or _rest(last_flawed, beat)
        one, two = _parts(last_right), _parts(last_flawed)
        found += [Difference(beat, part, one[part], two[part]) for part in one if one[part] != two[part]]
    return found


def _rest(beat: Beat, at: float) -> Beat:
    return beat._replace(beat=at, said=(), cues=(), acts=(), turn=0.0, counts=())


def changes_nothing(deck: Deck, movement: Movement, fault: Fault) -> bool:
    """Whether a fault that says how it shows leaves the performance as it is, from any stance and foot."""
    return not any(
        compare(deck, movement, fault, name, foot).differences
        for name in movement.from_stances
        for foot in (LEFT, RIGHT)
    )


def find_fault(faults: Sequence[Fault], typed: str) -> list[Fault]:
    """Return the faults that a grader may mean: by number from 1, by id, or by a part of what they tell."""
    wanted = " ".join(typed.casefold().split())
    if wanted.isascii() and wanted.isdigit():
        return [fault for number, fault in enumerate(faults, 1) if number == int(wanted)]
    exact = [fault for fault in faults if fault.id == wanted]
    return exact or [fault for fault in faults if wanted and (wanted in fault.id or wanted in fault.tell.casefold())]
