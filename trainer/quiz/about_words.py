"""Questions about the command, the cues, and the stance that a movement starts from."""

from collections.abc import Iterator, Mapping
from random import Random

from trainer.drill.movement import LEFT, RIGHT, Cue, Movement
from trainer.quiz.misheard import misheard
from trainer.quiz.points import Point
from trainer.quiz.questions import (
    CALLED_FROM,
    CUE_COUNT,
    CUE_PATTERN,
    CUED_MOVEMENT,
    NAME,
    NAME_STANCE,
    PICK_COMMAND,
    SAY,
    STARTS_FROM,
    STEPS,
    TEXT,
    VOICE,
    Question,
)
from trainer.quiz.wording import beat_name, count_name, listed, ordinal
from trainer.quiz.workbook import Maker, Workbook, plain


def _meant(book: Workbook, movement: Movement) -> tuple[str, bool] | None:
    """Return how to point at a movement without telling its command, so that no other command is meant.

    Returns:
        The words, and whether they are an outline; None where an outline fits a movement with another command
        as well.
    """
    if not book.gives_away(movement):
        return book.title(movement), False
    for foot in (False, True) if movement.called_on in (LEFT, RIGHT) else (False,):
        fits = [other for other in book.others(movement) if not book.outline_false(movement, other, foot)]
        if all(plain(other.command) == plain(movement.command) for other in fits):
            return book.outline(movement, foot), True
    return None


def say_command(book: Workbook, point: Point, _rng: Random) -> Question | None:
    """Ask for the whole command, typed."""
    movement = book.movement(point)
    meant = _meant(book, movement)
    # A name that tells the command is still better than two movements to choose from.
    words, outlined = meant or (book.title(movement), False)
    if any(word.speaker for word in movement.words):
        speakers = listed(tuple(dict.fromkeys(word.speaker for word in movement.words if word.speaker)), "and")
        what = f"say your own words, after those of the {speakers},"
    else:
        what = "say the whole command"
    prompt = f"{what[0].upper()}{what[1:]} for this. {words}" if outlined else f"{words}: {what.removesuffix(',')}."
    return Question(
        SAY,
        prompt,
        TEXT,
        (),
        (point.id,),
        movement.command,
        book.words_why(movement),
        movement.source,
        movement.id,
        tuple(word.beat for word in movement.call),
        (STEPS,) if outlined else (NAME, STEPS),
    )


def pick_command(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which command belongs to a movement."""
    movement = book.movement(point)
    meant = _meant(book, movement)
    if meant is None:
        return None
    words, outlined = meant
    notes: dict[str, str] = {}
    for other in book.others(movement):
        if other.command and plain(other.command) != plain(movement.command):
            notes.setdefault(other.command, f"That is the command of {book.title(other)}.")
    foreign = list(notes)
    # One whole command of the likest movement; the others sound like the right one, or its name would tell it.
    wrong = [text for text in misheard(book, movement) if text not in notes]
    return book.choice(
        PICK_COMMAND,
        point,
        f"Which command is this? {words}" if outlined else f"{words}: which command is it?",
        movement.command,
        [*wrong, *foreign[1:]],
        rng,
        book.words_why(movement),
        movement.source,
        tuple(word.beat for word in movement.call),
        (STEPS,) if outlined else (NAME, STEPS),
        tuple(foreign[:1]),
        notes,
    )


def _stances_of(book: Workbook, movement: Movement) -> set[str]:
    """Return the stances from which anything of this name or this command may be called."""
    return {plain(name) for other in book.namesakes(movement) for name in other.from_stances}


def _wrong_stances(book: Workbook, movement: Movement) -> list[str]:
    """Return stances that nothing of this name is called from, those of similar movements first."""
    taken = _stances_of(book, movement)
    names = [name for other in book.others(movement) for name in other.from_stances]
    names += [movement.to, *(stance.name for stance in book.deck.stances)]
    return [name for name in dict.fromkeys(names) if plain(name) not in taken]


def starts_from(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for the stance that a movement starts from."""
    movement = book.movement(point)
    stance = rng.choice(movement.from_stances)
    return book.choice(
        STARTS_FROM,
        point,
        f"{movement.name}: from which stance may it be called?",
        stance,
        _wrong_stances(book, movement),
        rng,
        _stance_why(book, movement),
        movement.source,
        (),
        (NAME, VOICE),
    )


def called_from(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for a movement that may be called from a stance."""
    movement = book.movement(point)
    asked = []
    for stance in movement.from_stances:
        others = [other for other in book.others(movement) if plain(stance) not in _stances_of(book, other)]
        wrong = [other.name for other in others]
        notes = {other.name: _called_from_note(book, other) for other in reversed(others)}
        question = book.choice(
            CALLED_FROM,
            point,
            f"Which of these may be called from this stance: {stance}?",
            movement.name,
            wrong,
            rng,
            _stance_why(book, movement),
            movement.source,
            notes=notes,
        )
        if question:
            asked.append(question)
    return rng.choice(asked) if asked else None


def _called_from_note(book: Workbook, movement: Movement) -> str:
    stances = [name for other in book.namesakes(movement) for name in other.from_stances]
    return f"{movement.name} is called from {listed(tuple(dict.fromkeys(stances)))}."


def name_stance(book: Workbook, point: Point, _rng: Random) -> Question | None:
    """Ask for the stance, typed, where the deck has no wrong one to choose."""
    movement = book.movement(point)
    if _wrong_stances(book, movement):
        return None
    first, *more = movement.from_stances
    return Question(
        NAME_STANCE,
        f"{movement.name}: name a stance from which it may be called.",
        TEXT,
        (),
        (point.id,),
        first,
        _stance_why(book, movement),
        movement.source,
        movement.id,
        (),
        (NAME, VOICE),
        tuple(more),
    )


def _stance_why(book: Workbook, movement: Movement) -> str:
    return book.note(movement, f"{movement.name} is called from {listed(movement.from_stances)}.")


def _pattern(cues: tuple[Cue, ...]) -> str:
    ordered = sorted(cues, key=lambda cue: cue.beat)
    return ", ".join(f"{cue.sound} ({beat_name(cue.beat)})" for cue in ordered)


def cue_pattern(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which cues give a movement."""
    movement = book.movement(point)
    cued = [other for other in book.others(movement) if other.cues]
    wrong = [_pattern(other.cues) for other in cued]
    notes = {_pattern(other.cues): f"These give {book.title(other)}." for other in reversed(cued)}
    wrong += [_pattern(cues) for cues in _other_patterns(movement.cues)]
    return book.choice(
        CUE_PATTERN,
        point,
        f"{book.title(movement)}: which cues does the {movement.cued_by} give?",
        _pattern(movement.cues),
        wrong,
        rng,
        book.words_why(movement),
        movement.source,
        tuple(cue.beat for cue in movement.cues),
        (NAME, STEPS),
        notes=notes,
    )


def _other_patterns(cues: tuple[Cue, ...]) -> Iterator[tuple[Cue, ...]]:
    """Give a pattern with a cue less, a cue more, the last one a beat later, every second beat."""
    ordered = tuple(sorted(cues, key=lambda cue: cue.beat))
    last = ordered[-1]
    if len(ordered) > 1:
        yield ordered[:-1]
    yield (*ordered, last._replace(beat=last.beat + 1))
    yield (*ordered[:-1], last._replace(beat=last.beat + 1))
    yield tuple(cue._replace(beat=2 * cue.beat) for cue in ordered)


def cued_movement(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which movement a pattern of cues gives."""
    movement = book.movement(point)
    own = _pattern(movement.cues)
    wrong = [book.title(other) for other in book.others(movement) if _pattern(other.cues) != own]
    return book.choice(
        CUED_MOVEMENT,
        point,
        f"The {movement.cued_by} gives: {own}. Which movement is that?",
        book.title(movement),
        wrong,
        rng,
        book.words_why(movement),
        movement.source,
        tuple(cue.beat for cue in movement.cues),
        (VOICE,),
    )


def cue_count(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask on which count a cue falls."""
    movement = book.movement(point)
    beats = [count.beat for count in movement.counts]
    cues = sorted(movement.cues, key=lambda cue: cue.beat)
    falling = [(place, cue) for place, cue in enumerate(cues, 1) if beats.count(cue.beat) == 1]
    if not falling:
        return None
    place, cue = rng.choice(falling)
    number = beats.index(cue.beat) + 1
    names = [count_name(movement, row) for row in range(1, len(beats) + 1)]
    near = sorted(range(1, len(beats) + 1), key=lambda row: abs(row - number))
    asked = book.choice(
        CUE_COUNT,
        point,
        f"{book.title(movement)}: on which count does the {ordinal(place)} cue ({cue.sound}) fall?",
        names[number - 1],
        [names[row - 1] for row in near if row != number],
        rng,
        book.words_why(movement),
        movement.source,
        (),
        (NAME, STEPS),
    )
    return book.in_order(asked, names)


COMMAND_MAKERS: Mapping[str, Maker] = {SAY: say_command, PICK_COMMAND: pick_command}
FROM_MAKERS: Mapping[str, Maker] = {STARTS_FROM: starts_from, CALLED_FROM: called_from, NAME_STANCE: name_stance}
CUE_MAKERS: Mapping[str, Maker] = {CUE_PATTERN: cue_pattern, CUED_MOVEMENT: cued_movement, CUE_COUNT: cue_count}
