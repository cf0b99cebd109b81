"""What a deck states, in one canonical form: feet settled, lengths in millimetres, prose left out.

A fact is what a point teaches. Two decks that say the same thing in other words, or write it in another
unit, have the same facts.
"""

from collections.abc import Iterator
from hashlib import sha256
from json import dumps
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import Footfall, cycle_row, foot_at_zero, settle_feet, stance_foot
from trainer.drill.length import MILLIMETRES, Length
from trainer.drill.movement import (
    BACK,
    CLOSE,
    FULL,
    LEFT,
    OTHER,
    RIGHT,
    SAME,
    SIDE,
    STEP,
    TEE,
    Change,
    Count,
    Fault,
    Movement,
    Word,
    other_foot,
)
from trainer.drill.score import Score
from trainer.drill.unrolling import score
from trainer.quiz.typed import letters

EITHER, TOGETHER, APART, HALTED = "either", "together", "apart", "halted"


class Start(NamedTuple):
    """One way in which a movement may begin: its stance and the foot of beat 0 (None at the halt)."""

    stance: str
    at_zero: str | None


def starts(deck: Deck, movement: Movement) -> tuple[Start, ...]:
    """Return every way in which a movement may begin: each stance, and each foot where either may have it."""
    found = []
    for name in movement.from_stances:
        stance = deck.stance(name)
        feet = (LEFT, RIGHT) if movement.called_on == EITHER else (LEFT,)
        found += [Start(name, foot_at_zero(movement, stance, foot)) for foot in feet]
    return tuple(dict.fromkeys(found))


def scores(deck: Deck, movement: Movement) -> tuple[tuple[Start, Score], ...]:
    """Return the score of every way in which a movement may begin."""
    return tuple((one, score(deck, movement, one.stance, one.at_zero or LEFT)) for one in starts(deck, movement))


def relative_foot(pairs: list[tuple[str | None, str | None]]) -> str | None:
    """Return one foot for several performances: absolute, else same or other than the foot of beat 0.

    Args:
        pairs: for every performance the foot of beat 0 and the foot in question.
    """
    feet = {foot for _, foot in pairs}
    if len(feet) == 1:
        return feet.pop()
    if any(zero not in (LEFT, RIGHT) for zero, _ in pairs):
        return None
    if all(foot == zero for zero, foot in pairs):
        return SAME
    return OTHER if all(foot == other_foot(zero or LEFT) for zero, foot in pairs) else None


def count_feet(deck: Deck, movement: Movement) -> tuple[str | None, ...]:
    """Return the foot of every count, the same from every stance: left, right, both, same, other or None."""
    performed: list[tuple[str | None, list[Footfall]]] = [
        (one.at_zero, settle_feet(movement, one.at_zero)) for one in starts(deck, movement)
    ]
    return tuple(
        relative_foot([(zero, falls[number].foot) for zero, falls in performed])
        for number in range(len(movement.counts))
    )


def word_foot(deck: Deck, movement: Movement, beat: float, executes: bool) -> str | None:
    """Return what the standard has a word (or cue) fall on.

    Returns:
        left or right; `either` for a word of execution that may fall on both; `same` or `other` (than the word of
        execution) for another word of such a command; `together` or `apart` for heels; None where no foot
        strikes or the foot differs from stance to stance.
    """
    called = movement.called_on
    if called == HALTED:
        return None
    if executes and beat == 0:
        return called
    if called == TOGETHER:
        return _heels(deck, movement, beat)
    if beat > 0:
        struck = [(one.at_zero, _strikes(played, beat)) for one, played in scores(deck, movement)]
    else:
        struck = [(one.at_zero, _stance_foot(deck, movement, one, beat)) for one in starts(deck, movement)]
    foot = relative_foot(struck)
    return foot if foot in (LEFT, RIGHT, SAME, OTHER) else None


def _strikes(played: Score, beat: float) -> str | None:
    return next((entry.strikes for entry in played.beats if entry.beat == beat), None)


def _stance_foot(deck: Deck, movement: Movement, start: Start, beat: float) -> str | None:
    if beat != int(beat):
        return None
    return stance_foot(deck.stance(start.stance), movement, start.at_zero, int(beat))


def _heels(deck: Deck, movement: Movement, beat: float) -> str | None:
    if beat != int(beat):
        return None
    closes = set()
    for one in starts(deck, movement):
        row = cycle_row(deck.stance(one.stance), movement, one.at_zero, int(beat))
        closes.add(row is not None and row.place == CLOSE)
    if len(closes) > 1:
        return None
    return TOGETHER if closes.pop() else APART


def fact_hash(*parts: object) -> str:
    """Return the short name of a fact: 16 hex digits of the SHA-256 of its canonical JSON."""
    return sha256(dumps(parts, ensure_ascii=True, separators=(",", ":")).encode()).hexdigest()[:16]


def number(value: float) -> str:
    """Write a number in one way, so that 2 and 2.0 are one fact."""
    return f"{value + 0.0:.10g}"


def length_fact(place: str | None, length: str | Length | None) -> str | None:
    """Return a length: full, half or millimetres; None where the place has none."""
    if isinstance(length, Length):
        return f"{number(round(length.value * MILLIMETRES[length.unit], 3))} mm"
    return length or (FULL if place in (STEP, BACK, SIDE) else None)


def against_fact(place: str | None, against: str | None) -> str | None:
    """Return what a sole is set against; a T is set across the toe unless the deck says the heel."""
    return against or ("toe" if place == TEE else None)


def count_fact(count: Count, foot: str | None) -> str:
    """Return the fact of one count with its foot settled."""
    return fact_hash(
        "count",
        number(count.beat),
        foot,
        count.place,
        length_fact(count.place, count.length),
        against_fact(count.place, count.against),
        count.contact,
        length_fact(None, count.lift),
        number(count.turn),
        None if count.toes is None else number(count.toes),
        count.left_arm,
        count.right_arm,
        count.sword,
        None if count.cadence is None else number(count.cadence),
    )


def command_fact(call: tuple[Word, ...], halted: bool) -> str:
    """Return the fact of a command: its words in order; their beats too where no foot carries them."""
    said = [(letters(word.say) or word.say, word.executes) for word in call]
    return fact_hash("command", said, [number(word.beat) for word in call] if halted else None)


def cues_fact(movement: Movement) -> str:
    """Return the fact of a pattern of cues."""
    pattern = sorted((cue.beat, cue.sound) for cue in movement.cues)
    return fact_hash("cues", movement.cued_by, [(number(beat), sound) for beat, sound in pattern])


def fault_fact(fault: Fault) -> str:
    """Return the fact of a fault: how it shows, else its id and who sees it."""
    if not fault.shows:
        return fact_hash("fault", fault.id, fault.seen_by)
    return fact_hash("fault", [shown(change) for change in fault.shows])


def shown(change: Change) -> list[object]:
    """Return one change of a fault in canonical form."""
    fields = sorted((name, _field(name, value)) for name, value in change.fields if name != "tell")
    return [change.target, change.number, fields, change.drop, number(change.later), number(change.tempo)]


def _field(name: str, value: object) -> str:
    if isinstance(value, Length):
        return str(length_fact(None, value))
    if isinstance(value, int | float):
        return number(value)
    if isinstance(value, tuple):
        return dumps(list(_plain(value)))
    return letters(str(value)) or str(value) if name == "say" else str(value)


def _plain(values: tuple[object, ...]) -> Iterator[object]:
    for value in values:
        if isinstance(value, Count):
            yield count_fact(value, value.foot)
        else:
            yield _field("", value)
