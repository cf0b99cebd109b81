"""Questions about the faults of a movement."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from random import Random

from trainer.drill.faults import apply_fault, compare, differences
from trainer.drill.movement import LEFT, Fault, Movement
from trainer.drill.unrolling import right_performance, unroll
from trainer.quiz.facts import starts
from trainer.quiz.in_kind import could_be_made, words_of
from trainer.quiz.plausible import foreign, mentioned, retold
from trainer.quiz.points import Point
from trainer.quiz.questions import FAULT_COUNT, FAULT_OF, HAS_FAULT, NAME, SEEN_BY, VOICE, Question
from trainer.quiz.typed import letters
from trainer.quiz.wording import count_name, describe
from trainer.quiz.workbook import NEAREST, Maker, Workbook, plain

ALIKE_FROM = 0.6
"""Two faults with this share of their words in common may mean the same; common practice, no source."""
LEAST_COUNTS = 3
"""With fewer counts nobody is asked on which one a fault shows; common practice, no source."""
LEAST_WRONG = 2
"""With fewer movements that surely cannot have a fault nobody is asked whose it is; common practice, no source."""
BEATS_AFTER = 8
"""Two faults are set side by side up to this many beats after the last count."""

Effect = frozenset[tuple[float, str, str]]
"""What a fault makes of a performance: beat, part of the score, what is there instead of the right thing."""


def _fault(book: Workbook, point: Point) -> tuple[Movement, Fault]:
    movement = book.movement(point)
    return movement, next(fault for fault in movement.faults if fault.id == point.place)


def effect(book: Workbook, movement: Movement, fault: Fault) -> Effect | None:
    """Return what a fault would make of a movement, its own or another; None if it cannot be made there."""
    key = (movement.id, fault.shows)
    if key not in book.effects:
        book.effects[key] = _effect(book, movement, fault)
    return book.effects[key]


def _effect(book: Workbook, movement: Movement, fault: Fault) -> Effect | None:
    if not fault.shows:
        return None
    start = starts(book.deck, movement)[0]
    done = right_performance(book.deck, movement, start.stance, start.at_zero)
    until = max(count.beat for count in movement.counts) + BEATS_AFTER
    try:
        flawed = unroll(book.deck, movement, apply_fault(done, fault, start.at_zero), start.at_zero, until)
    except (ValueError, TypeError):
        return None
    if movement.id not in book.unrolled:
        book.unrolled[movement.id] = unroll(book.deck, movement, done, start.at_zero, until)
    found = differences(book.unrolled[movement.id], flawed)
    return frozenset((one.beat, one.part, repr(one.flawed)) for one in found)


def surely_no_fault(book: Workbook, movement: Movement, fault: Fault) -> bool:
    """Whether a fault, as it is told, is surely none of those that the deck names for a movement.

    Several movements may tell a fault in the same words, so each of these is looked at.
    """
    return all(_surely_other(book, movement, one) for one in book.told_alike[plain(fault.tell)])


def _surely_other(book: Workbook, movement: Movement, fault: Fault) -> bool:
    """Whether a fault of another movement is surely none of those of this one.

    A fault that cannot be played might be said of any movement. One that reads like a fault of this movement, or
    that would look like one when played, is not held different, unless this movement has it so by right.
    """
    if not fault.shows or any(plain(fault.tell) == plain(own.tell) for own in movement.faults):
        return False
    made = effect(book, movement, fault)
    if made is not None and not made:
        return True
    if any(fault.id == own.id or _reads_like(fault, own) for own in movement.faults):
        return False
    return not any(
        _touches(fault) & _touches(own) and _looks_like(made, effect(book, movement, own)) for own in movement.faults
    )


def _touches(fault: Fault) -> set[str]:
    return {change.target for change in fault.shows}


def _reads_like(one: Fault, two: Fault) -> bool:
    first, second = _words(one.tell), _words(two.tell)
    return len(first & second) >= ALIKE_FROM * len(first | second)


@lru_cache(maxsize=4096)
def _words(text: str) -> frozenset[str]:
    return frozenset(letters(word) or word for word in text.split())


def _looks_like(one: Effect | None, two: Effect | None) -> bool:
    return bool(one) and bool(two) and one is not None and two is not None and (one <= two or two <= one)


def _wrong_faults(book: Workbook, movement: Movement, notes: dict[str, str]) -> Iterator[str]:
    """Give what is no fault of a movement: first what could be one by its words, last what names others' words."""
    unlikely, plainly_others = [], []
    for other in book.others(movement):
        for fault in other.faults:
            if not surely_no_fault(book, movement, fault):
                continue
            if not foreign(book, movement, fault.tell):
                notes[fault.tell] = f"That is named as a fault of {book.title(other)}."
                if could_be_made(book, other, fault, movement):
                    yield fault.tell
                else:
                    unlikely.append(fault.tell)
                continue
            told = retold(fault, other, movement)
            if told and not foreign(book, movement, told.tell) and _is_new(book, movement, told):
                yield told.tell
            else:
                notes[fault.tell] = f"That is named as a fault of {book.title(other)}."
                plainly_others.append(fault.tell)
    yield from (*unlikely, *plainly_others)
    # What a count asks for is no fault: this is left where a deck has too few faults.
    for number, deed in enumerate(book.deeds(movement), 1):
        yield f"{count_name(movement, number).capitalize()}: {describe(deed)}"


def _is_new(book: Workbook, movement: Movement, told: Fault) -> bool:
    """Whether a fault told anew reads like none of a movement's own, nor looks like one."""
    if any(_reads_like(told, own) or plain(told.tell) == plain(own.tell) for own in movement.faults):
        return False
    made = effect(book, movement, told)
    return made is None or not any(
        _touches(told) & _touches(own) and _looks_like(made, effect(book, movement, own)) for own in movement.faults
    )


def fault_of(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which of several faults is one of a movement."""
    movement, fault = _fault(book, point)
    notes: dict[str, str] = {}
    wrong = list(_wrong_faults(book, movement, notes))
    # Where the right one names a word of the command, one of the wrong ones does as well, or it gives itself away.
    own = words_of(movement)
    also = [text for text in wrong if mentioned(text) & own] if mentioned(fault.tell) & own else []
    return book.choice(
        FAULT_OF,
        point,
        f"Which of these is named as a fault of this movement: {book.title(movement)}?",
        fault.tell,
        wrong,
        rng,
        _why(book, movement, fault),
        movement.source,
        (),
        (NAME,),
        tuple(rng.sample(also[:NEAREST], 1)) if also else (),
        notes,
    )


def has_fault(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which movement a fault is one of."""
    movement, fault = _fault(book, point)
    if not fault.shows:
        return None
    wrong = [
        book.title(other)
        for other in book.others(movement)
        if surely_no_fault(book, other, fault) and not could_be_made(book, movement, fault, other)
    ]
    if len(wrong) < LEAST_WRONG:
        return None
    return book.choice(
        HAS_FAULT,
        point,
        f"Of which movement is this named as a fault? {fault.tell}",
        book.title(movement),
        wrong,
        rng,
        _why(book, movement, fault),
        movement.source,
    )


def fault_count(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask on which count a fault first shows."""
    movement, fault = _fault(book, point)
    # Of two counts one is right by the toss of a coin.
    number = _first_count(book, movement, fault) if len(movement.counts) >= LEAST_COUNTS else None
    if number is None:
        return None
    names = [count_name(movement, row) for row in range(1, len(movement.counts) + 1)]
    beat = movement.counts[number - 1].beat
    near = sorted(range(1, len(names) + 1), key=lambda row: abs(row - number))
    asked = book.choice(
        FAULT_COUNT,
        point,
        f"{book.title(movement)}: on which count does this fault first show? {fault.tell}",
        names[number - 1],
        [names[row - 1] for row in near if movement.counts[row - 1].beat != beat],
        rng,
        _why(book, movement, fault),
        movement.source,
        (),
        (NAME,) if {"word", "cue"} & _touches(fault) else (NAME, VOICE),
    )
    return book.in_order(asked, names)


def _first_count(book: Workbook, movement: Movement, fault: Fault) -> int | None:
    """Return the count on whose beat a fault first shows, from every stance and foot, None if there is none."""
    first = set()
    for start in starts(book.deck, movement) if fault.shows else ():
        found = compare(book.deck, movement, fault, start.stance, start.at_zero or LEFT).differences
        first.add(found[0].beat if found else None)
    beats = [count.beat for count in movement.counts]
    beat = first.pop() if len(first) == 1 else None
    return beats.index(beat) + 1 if beat is not None and beats.count(beat) == 1 else None


def seen_by(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask who can tell a fault that the steps do not show."""
    movement, fault = _fault(book, point)
    if fault.seen_by is None:
        return None
    watchers = [one.seen_by for other in book.movements for one in other.faults if one.seen_by]
    return book.choice(
        SEEN_BY,
        point,
        f"{book.title(movement)}: who can tell this fault? {fault.tell}",
        fault.seen_by,
        dict.fromkeys(watchers),
        rng,
        _why(book, movement, fault),
        movement.source,
        (),
        (NAME,),
    )


def _why(book: Workbook, movement: Movement, fault: Fault) -> str:
    told = f"A fault of {book.title(movement)}: {fault.tell}."
    if not fault.shows:
        return book.note(movement, f"{told} It is told by: {fault.seen_by}.")
    deeds = book.deeds(movement)
    rows = {change.number for change in fault.shows if change.target == "count" and change.number}
    right = [f"{count_name(movement, row)}: {describe(deeds[row - 1])}" for row in sorted(rows) if row <= len(deeds)]
    if any(change.target == "word" for change in fault.shows):
        return f"{told} Right is: {book.words_why(movement)}"
    return book.note(movement, f"{told} Right is: {'; '.join(right)}." if right else told)


MAKERS: Mapping[str, Maker] = {
    FAULT_OF: fault_of,
    HAS_FAULT: has_fault,
    FAULT_COUNT: fault_count,
    SEEN_BY: seen_by,
}
