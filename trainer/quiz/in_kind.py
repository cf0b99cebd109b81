"""Whether a fault could be made in another movement in kind, so that somebody could defend naming that one."""

from collections.abc import Iterator

from trainer.drill.gait import gait
from trainer.drill.length import Length
from trainer.drill.movement import BOTH, LEFT, RIGHT, Change, Fault, Movement
from trainer.drill.score import Beat, FootAct, Score
from trainer.quiz.truth import ALIKE, NEAR
from trainer.quiz.workbook import Workbook

STATES = ("left_arm", "right_arm", "sword", "cadence")


def could_be_made(book: Workbook, movement: Movement, fault: Fault, other: Movement) -> bool:
    """Whether another movement has a moment like one that a fault changes, where it is not so by right.

    Feet are compared only if the fault, as it is told, says left or right.
    """
    return any(_could(book, movement, fault, change, other) for change in fault.shows)


def _could(book: Workbook, movement: Movement, fault: Fault, change: Change, other: Movement) -> bool:
    if change.target == "tempo":
        return True
    if change.target == "cue":
        return bool(other.cues)
    if change.target == "word":
        return bool(_said_of(movement, change) & words_of(other))
    if change.target == "stance" and movement.to in (*other.from_stances, other.to):
        return True
    sided = bool({LEFT, RIGHT} & set(fault.tell.casefold().split()))
    return any(
        _like(book, own, theirs, change, sided)
        for played in book.played(movement)
        for own in _moments(played, movement, change)
        for theirs in _others(book, other)
    )


def words_of(movement: Movement) -> set[str]:
    """Return every word of a command in lower case, without the words of other speakers."""
    return {part for word in movement.call for part in word.say.casefold().split()}


def _said_of(movement: Movement, change: Change) -> set[str]:
    rows = [word for number, word in enumerate(movement.words, 1) if change.number in (None, number)]
    said = [word.say for word in rows] + [str(value) for name, value in change.fields if name == "say"]
    return {part for text in said for part in text.casefold().split()}


def _moments(played: Score, movement: Movement, change: Change) -> list[Beat]:
    """Return the beats of a performance that a change touches."""
    if change.target == "stance":
        return [beat for beat in played.beats if beat.beat > movement.counts[-1].beat]
    counts = [count for number, count in enumerate(movement.counts, 1) if change.number in (None, number)]
    return [beat for beat in played.beats if beat.beat in {count.beat for count in counts}]


def _others(book: Workbook, other: Movement) -> Iterator[tuple[Score, Beat]]:
    return ((played, beat) for played in book.played(other) for beat in played.beats)


def _like(book: Workbook, own: Beat, theirs: tuple[Score, Beat], change: Change, sided: bool) -> bool:
    played, beat = theirs
    if any(name == "turn" for name, _ in change.fields) and not any(entry.turn for entry in played.beats):
        return False
    return any(
        _same_kind(mine, act, sided) and not _already(book, played, beat, act, change)
        for mine in own.acts
        for act in beat.acts
    )


def _same_kind(one: FootAct, two: FootAct, sided: bool) -> bool:
    same_foot = not sided or BOTH in (one.foot, two.foot) or one.foot == two.foot
    return same_foot and (one.place == two.place or {one.place, two.place} <= ALIKE)


def _already(book: Workbook, played: Score, beat: Beat, act: FootAct, change: Change) -> bool:
    """Whether everything that a change asks for is so by right."""
    if change.drop or change.later or not change.fields:
        return False
    return all(_so(book, played, beat, act, name, value) for name, value in change.fields)


def _so(book: Workbook, played: Score, beat: Beat, act: FootAct, name: str, value: object) -> bool:
    if name == "sword" and beat.sword is None:
        return True
    if name in STATES:
        known = getattr(beat, name)
        return known == value or value == (known, known)
    if name == "turn":
        return beat.turn == value
    if name in ("length", "step"):
        full = gait(book.deck, book.deck.stance(played.from_stance), book.deck.stance(played.to))
        written = value if isinstance(value, str | Length) else None
        wanted = Length(full.length(act.place, written, book.deck.unit), book.deck.unit)
        return abs(wanted.to("cm") - Length(act.length, book.deck.unit).to("cm")) * 10 < NEAR
    return name in ("place", "contact", "lift", "toes", "against") and getattr(act, name) == value
