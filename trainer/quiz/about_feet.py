"""Questions about the foot on which each word falls."""

from collections.abc import Mapping
from random import Random

from trainer.drill.movement import (
    CLOSE,
    IN_PLACE,
    LEFT,
    OTHER,
    RIGHT,
    SAME,
    Movement,
    Word,
    other_foot,
)
from trainer.quiz.facts import APART, EITHER, HALTED, TOGETHER, starts, word_foot
from trainer.quiz.points import FEET, FIRST_CUE, Point
from trainer.quiz.questions import CALLED_ON, NAME, VOICE, WORD_FEET, WORD_FOOT, Question
from trainer.quiz.questions import FEET as EXPECTS_FEET
from trainer.quiz.typed import letters
from trainer.quiz.wording import ordinal, quoted
from trainer.quiz.workbook import Maker, Workbook

ANY_BEAT = "on any beat, heels together or not"
ONLY = {
    RIGHT: "only on the right foot",
    LEFT: "only on the left foot",
    EITHER: "on either foot",
    TOGETHER: "as the heels come together",
    APART: "while the feet are apart",
}
ASKED = {
    RIGHT: "Which of these is called on the right foot?",
    LEFT: "Which of these is called on the left foot?",
    EITHER: "Which of these may be called on either foot?",
    TOGETHER: "Which of these is called as the heels come together?",
}
CUED = {
    RIGHT: "In which of these does the first cue, or the word of execution, fall on the right foot?",
    LEFT: "In which of these does the first cue, or the word of execution, fall on the left foot?",
    EITHER: "In which of these may the first cue, or the word of execution, fall on either foot?",
    TOGETHER: "In which of these does the first cue, or the word of execution, fall as the heels come together?",
}


def word_feet(book: Workbook, point: Point, _rng: Random) -> Question | None:
    """Ask for the foot of every word of a command that is called on the right or the left foot."""
    movement = book.movement(point)
    if movement.called_on not in (LEFT, RIGHT) or point.place == FIRST_CUE:
        return None
    rows = []
    ids = {one.place: one.id for one in book.family(movement.id, FEET)}
    for place, word in enumerate(movement.call, 1):
        foot = word_foot(book.deck, movement, word.beat, word.executes)
        if str(place) in ids and foot in (LEFT, RIGHT):
            rows.append((ids[str(place)], word.say, foot, word.beat))
    points, words, feet, beats = zip(*rows, strict=True)
    said = ", ".join(quoted(word) for word in movement.call)
    return Question(
        WORD_FEET,
        f"{book.title(movement)}: on which foot does each word fall? {said}.",
        EXPECTS_FEET,
        words,
        points,
        feet,
        book.words_why(movement),
        movement.source,
        movement.id,
        beats,
        (NAME, VOICE),
    )


def foot_of_word(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask on which foot one word, or the first cue, falls."""
    movement = book.movement(point)
    if point.place == FIRST_CUE:
        what, beat, foot = "the first cue", 0.0, word_foot(book.deck, movement, 0.0, True)
    else:
        word = movement.call[int(point.place) - 1]
        what, beat = _word_named(movement, word), word.beat
        foot = word_foot(book.deck, movement, word.beat, word.executes)
    zero = next((f"'{word.say}'" for word in movement.call if word.executes), "the first cue")
    relative = {SAME: f"on the same foot as {zero}", OTHER: f"on the other foot than {zero}"}
    texts = ONLY | relative
    wrong = [texts.get(one, one) for one in _wrong_feet(book, movement, foot)]
    return book.choice(
        WORD_FOOT,
        point,
        f"{book.title(movement)}: when may {what} fall?",
        texts[foot or LEFT],
        wrong,
        rng,
        book.words_why(movement),
        movement.source,
        (beat,),
        # Which foot a word shares with another is told by their beats.
        (NAME,) if foot in (SAME, OTHER) else (NAME, VOICE),
    )


def _word_named(movement: Movement, word: Word) -> str:
    """Return a word in quotes, with its place where the command has it twice."""
    said = [letters(one.say) for one in movement.call]
    if said.count(letters(word.say)) == 1:
        return f"'{word.say}'"
    return f"'{word.say}' (the {ordinal(movement.call.index(word) + 1)} part of the command)"


def _wrong_feet(book: Workbook, movement: Movement, foot: str | None) -> list[str]:
    """Return when a word cannot fall, given when it does."""
    if foot in (SAME, OTHER):
        return [OTHER if foot == SAME else SAME]
    if foot in (TOGETHER, APART):
        wrong = [APART if foot == TOGETHER else TOGETHER, ANY_BEAT]
        zeros = {start.at_zero for start in starts(book.deck, movement)}
        if foot == TOGETHER and len(zeros) == 1 and zeros <= {LEFT, RIGHT}:
            wrong.append(other_foot(zeros.pop() or LEFT))
        return wrong
    wrong = [LEFT, RIGHT] if foot == EITHER else [other_foot(foot or LEFT), EITHER]
    has_heels = any(other.called_on == TOGETHER for other in book.movements)
    return [*wrong, TOGETHER] if has_heels and not _heels_meet(book, movement) else wrong


def _heels_meet(book: Workbook, movement: Movement) -> bool:
    """Whether the heels come together while a movement is called: in its stances, or on a count at its first cue."""
    if any(count.place in (CLOSE, IN_PLACE) for count in movement.counts if count.beat <= 0):
        return True
    for name in movement.from_stances:
        stance = book.deck.stance(name)
        places = {row.place for row in stance.cycle} or {stance.steady_place}
        if places & {CLOSE, IN_PLACE}:
            return True
    return False


def called_on(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which movement is called, or cued, on a foot."""
    movement = book.movement(point)
    cued = point.place == FIRST_CUE
    if not cued and (movement.cued_by or not movement.call[int(point.place) - 1].executes):
        return None
    others = [other for other in book.others(movement) if cued or not other.cued_by]
    others = [other for other in others if _cannot(book, movement.called_on, other)]
    wrong = [book.title(other) for other in others]
    notes = {book.title(other): f"{book.title(other)} is {book.called(other)}." for other in others}
    return book.choice(
        CALLED_ON,
        point,
        (CUED if cued else ASKED)[movement.called_on],
        book.title(movement),
        wrong,
        rng,
        book.words_why(movement),
        movement.source,
        notes=notes,
    )


def _cannot(book: Workbook, called: str, other: Movement) -> bool:
    """Whether it is wrong to say of another movement that it is called so."""
    if called in (LEFT, RIGHT):
        return other.called_on in (other_foot(called), HALTED)
    if called == EITHER:
        return other.called_on in (LEFT, RIGHT, HALTED)
    return other.called_on in (LEFT, RIGHT, EITHER) and not _heels_meet(book, other)


MAKERS: Mapping[str, Maker] = {WORD_FEET: word_feet, WORD_FOOT: foot_of_word, CALLED_ON: called_on}
