"""What a count says to do, in plain trade words computed from its facts, never from the author's prose."""

from typing import NamedTuple

from trainer.drill.describe import CONTACTS, FEET
from trainer.drill.length import Length
from trainer.drill.movement import (
    BACK,
    BOTH,
    CLOSE,
    FULL,
    HALF,
    IN_PLACE,
    LEFT,
    OTHER,
    PIVOT,
    RIGHT,
    SAME,
    SIDE,
    STAYS,
    STEP,
    TEE,
    TOE_TO_HEEL,
    Count,
    Movement,
    Word,
    turn_words,
)
from trainer.quiz.facts import TOGETHER, against_fact

FIRST_CUE = "the first cue"
NO_CHANGE = "nothing new, the feet go on as before"
WHERE = {STEP: "", BACK: " back", SIDE: " to the side"}
ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


class Deed(NamedTuple):
    """What one count states; what it leaves open is None (a turn: 0).

    `foot` is left, right, both, or same and other than the foot of beat 0. `called` tells how that foot is spoken of:
    by the word that falls on it, by `FIRST_CUE`, as `TOGETHER` (where it is the one that trails), without a word if
    empty.
    """

    foot: str | None = None
    place: str | None = None
    length: str | Length | None = None
    against: str | None = None
    contact: str | None = None
    lift: Length | None = None
    turn: float = 0.0
    toes: float | None = None
    left_arm: str | None = None
    right_arm: str | None = None
    sword: str | None = None
    cadence: float | None = None
    called: str = ""

    @property
    def footwork(self) -> bool:
        """Whether it says anything of the feet."""
        return self.place is not None


def called_by(movement: Movement) -> str:
    """Return how the foot of beat 0 is spoken of in a movement, see `Deed`."""
    if movement.called_on == TOGETHER:
        return TOGETHER
    word = next((word.say for word in movement.call if word.executes), "")
    return FIRST_CUE if movement.cued_by else word


def without_word(deed: Deed) -> Deed:
    """Return a deed in which no word of a command is spoken of, for a question that asks for the movement."""
    return deed if deed.called in (TOGETHER, FIRST_CUE) else deed._replace(called="")


def foot_words(deed: Deed) -> str:
    """Return the foot of a deed: `left foot`, or where it stays open `foot that HALT was called on` and its other."""
    if deed.foot not in (SAME, OTHER):
        return FEET.get(deed.foot or "", "foot")
    if deed.called == TOGETHER:
        return "trailing foot" if deed.foot == SAME else "leading foot"
    falls = "foot that" if deed.foot == SAME else "other foot than the one"
    if deed.called == FIRST_CUE:
        return f"{falls} {FIRST_CUE} fell on"
    return f"{falls} {deed.called or 'the word of execution'} was called on"


def deed_of(count: Count, foot: str | None) -> Deed:
    """Return what a count states, with its foot settled."""
    steps = count.place in WHERE
    return Deed(
        foot if count.place else None,
        count.place,
        (count.length or FULL) if steps else None,
        against_fact(count.place, count.against) if count.place == TEE else None,
        count.contact,
        count.lift,
        count.turn,
        count.toes,
        count.left_arm,
        count.right_arm,
        count.sword,
        count.cadence,
    )


def describe(deed: Deed) -> str:
    """Return a deed in one line, such as `left foot, full step, arms pinned`."""
    parts = [_footwork(deed)] if deed.place else []
    if deed.contact:
        parts.append(CONTACTS.get(deed.contact, deed.contact))
    if deed.lift:
        parts.append(f"lifted {deed.lift}")
    if deed.turn and deed.place != PIVOT:
        parts.append(f"body turned {turn_words(deed.turn)}")
    if deed.toes is not None:
        parts.append(f"toes turned {turn_words(deed.toes)}" if deed.toes else "toes straight")
    parts += _arms(deed)
    if deed.cadence:
        parts.append(f"cadence {deed.cadence:g}")
    if deed.sword:
        parts.append(f"sword to {deed.sword}")
    return ", ".join(parts) or NO_CHANGE


def _arms(deed: Deed) -> list[str]:
    if deed.left_arm and deed.left_arm == deed.right_arm:
        return [f"arms {deed.left_arm}"]
    sides = (("left", deed.left_arm), ("right", deed.right_arm))
    return [f"{side} arm {arm}" for side, arm in sides if arm]


def _footwork(deed: Deed) -> str:
    foot = foot_words(deed)
    verb = "" if deed.foot == BOTH else "s"
    if deed.place in WHERE:
        return f"{foot}, {_stride(deed)}"
    if deed.place == PIVOT:
        turn = f" {turn_words(deed.turn)}" if deed.turn else ""
        balls = "balls of both feet" if deed.foot in (BOTH, None) else f"ball of the {foot}"
        return f"pivot{turn} on the {balls}"
    return {
        IN_PLACE: f"{foot} down in place",
        CLOSE: f"{foot} close{verb}",
        TEE: f"{foot} {_tee(deed)}",
        TOE_TO_HEEL: f"{foot}, toe to the other heel",
        STAYS: f"{foot} stay{verb}",
    }.get(deed.place or "", f"{foot} {deed.place}")


def _tee(deed: Deed) -> str:
    if deed.against == "heel":
        return "turned in a T, its heel at the middle of the other sole"
    return "set in a T across the other toe"


def _stride(deed: Deed) -> str:
    where = WHERE.get(deed.place or STEP, "")
    if isinstance(deed.length, Length):
        return f"step of {deed.length}{where}"
    if deed.length == HALF:
        return f"half step{where}"
    return f"full step{where}" if deed.place == STEP else f"step{where}"


def flipped_foot(foot: str | None) -> str | None:
    """Return the opposite of a foot, absolute or relative."""
    return {LEFT: RIGHT, RIGHT: LEFT, SAME: OTHER, OTHER: SAME}.get(foot or "", foot)


def mirrored(deed: Deed) -> Deed:
    """Return a deed with left and right swapped in feet, turns and arms."""
    return deed._replace(
        foot=flipped_foot(deed.foot),
        turn=-deed.turn,
        toes=None if deed.toes is None else -deed.toes,
        left_arm=deed.right_arm,
        right_arm=deed.left_arm,
    )


def beat_name(beat: float) -> str:
    """Return `beat 1.5`."""
    return f"beat {beat:g}"


def count_name(movement: Movement, number: int) -> str:
    """Return `count 2`, with its beat where that is another number."""
    beat = movement.counts[number - 1].beat
    return f"count {number}" if beat == number else f"count {number}, {beat_name(beat)}"


def ordinal(number: int) -> str:
    """Return `first` for 1; `number 11` beyond the tenth."""
    return ORDINALS[number - 1] if 0 < number <= len(ORDINALS) else f"number {number}"


def quoted(word: Word) -> str:
    """Return a word as it is shown in a question, with its beat."""
    return f"'{word.say}' ({beat_name(word.beat)})"


def listed(names: tuple[str, ...], last: str = "or") -> str:
    """Return `a, b or c`."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} {last} {names[-1]}"
