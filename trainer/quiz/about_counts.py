"""Questions about what happens on which count."""

from collections.abc import Iterator, Mapping
from random import Random

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
    STEP,
    TEE,
    Movement,
)
from trainer.quiz.points import COUNTS, Point
from trainer.quiz.questions import (
    COUNT_OF,
    NAME,
    ON_COUNT,
    ORDER,
    PUT_IN_ORDER,
    VOICE,
    WHICH_COUNT,
    Question,
)
from trainer.quiz.truth import false_of
from trainer.quiz.wording import NO_CHANGE, Deed, count_name, describe, flipped_foot, mirrored, without_word
from trainer.quiz.workbook import Maker, Workbook, same_text

MOST_IN_ORDER = 8
"""More counts than this are put in order a part at a time; common practice, no source."""


def on_count(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask what happens on a count."""
    movement, number = book.movement(point), int(point.place)
    beat = movement.counts[number - 1].beat
    notes = {
        describe(deed): f"That is {count_name(movement, row)}."
        for row, deed in reversed(list(enumerate(book.deeds(movement), 1)))
    }
    return book.choice(
        ON_COUNT,
        point,
        f"{book.title(movement)}: what happens on {count_name(movement, number)}?",
        describe(book.deeds(movement)[number - 1]),
        _wrong_deeds(book, movement, number),
        rng,
        book.count_why(movement, number),
        movement.source,
        (beat,),
        (NAME, VOICE),
        notes=notes,
    )


def _wrong_deeds(book: Workbook, movement: Movement, number: int) -> Iterator[str]:
    """Give descriptions that are false of a count: those that are most easily confused with it first."""
    views = book.views(movement, movement.counts[number - 1].beat)
    for deed in _confused(book, movement, number):
        if describe(deed) != NO_CHANGE and false_of(deed, views):
            yield describe(deed)


def _confused(book: Workbook, movement: Movement, number: int) -> Iterator[Deed]:
    deeds = book.deeds(movement)
    own = deeds[number - 1]
    if number < len(deeds):
        yield deeds[number]
    if number > 1:
        yield deeds[number - 2]
    yield mirrored(own)
    yield own._replace(foot=flipped_foot(own.foot))
    for other in book.others(movement):
        theirs = book.deeds(other)
        deed = book.translated(theirs[number - 1], other, movement) if number <= len(theirs) else None
        if deed is not None:
            yield deed
    yield from _variants(book, own)
    yield from deeds
    relative = any(deed.foot in (SAME, OTHER) for deed in deeds)
    yield from (deed._replace(called=own.called) for deed in _usual(relative))


def _variants(book: Workbook, own: Deed) -> Iterator[Deed]:
    """Give a deed with one thing changed."""
    yield own._replace(turn=-own.turn)
    if own.place in (STEP, BACK, SIDE):
        yield own._replace(length=FULL if own.length == HALF else HALF)
    if own.place == TEE:
        yield own._replace(against="toe" if own.against == "heel" else "heel")
    swaps = {STEP: CLOSE, CLOSE: STEP, SIDE: CLOSE, IN_PLACE: STEP, BACK: STEP}
    if own.place in swaps:
        place = swaps[own.place]
        yield own._replace(place=place, length=FULL if place == STEP else None, against=None)
    for arms in ("pinned", "swing", "still"):
        yield own._replace(left_arm=arms, right_arm=arms)
    for sword in book.deck.sword if own.sword else ():
        yield own._replace(sword=sword)
    if own.cadence:
        yield from (own._replace(cadence=own.cadence + step) for step in (-20, 20))


def _usual(relative: bool) -> Iterator[Deed]:
    """Give the commonest deeds, for a deck that has few of its own."""
    feet = (SAME, OTHER) if relative else (LEFT, RIGHT)
    for foot in feet:
        yield Deed(foot, STEP, FULL)
    for foot in feet:
        yield Deed(foot, CLOSE)
    yield Deed(BOTH, PIVOT, turn=180.0)
    yield from (Deed(turn=turn) for turn in (90.0, -90.0))


def which_count(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for the count on which something happens; not asked where two counts do the same."""
    movement, number = book.movement(point), int(point.place)
    deeds, counts = book.deeds(movement), movement.counts
    own = deeds[number - 1]
    text = describe(own)
    if text == NO_CHANGE or [describe(deed) for deed in deeds].count(text) > 1:
        return None
    rows = [
        row for row in range(1, len(counts) + 1) if row != number and counts[row - 1].beat != counts[number - 1].beat
    ]
    wrong = [row for row in rows if false_of(own, book.views(movement, counts[row - 1].beat))]
    wrong.sort(key=lambda row: abs(row - number))
    names = [count_name(movement, row) for row in range(1, len(counts) + 1)]
    asked = book.choice(
        WHICH_COUNT,
        point,
        f"{book.title(movement)}: on which count does this happen? {_sentence(text)}",
        names[number - 1],
        [names[row - 1] for row in wrong],
        rng,
        book.count_why(movement, number),
        movement.source,
        (),
        (NAME, VOICE),
        notes={names[row - 1]: f"On {names[row - 1]}: {describe(deeds[row - 1])}." for row in wrong},
    )
    return book.in_order(asked, names)


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:]}."


def put_in_order(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for the order of the counts; counts on one beat are one step of it."""
    movement, number = book.movement(point), int(point.place)
    groups = _groups(book, movement)
    at = next(place for place, (rows, _) in enumerate(groups) if number in rows)
    parts = [part for part in _parts(groups, at) if len({same_text(text) for _, text in part}) > 1]
    if not parts:
        return None
    part = rng.choice(parts)
    texts = [text for _, text in part]
    shown = list(range(len(texts)))
    while [same_text(texts[row]) for row in shown] == [same_text(text) for text in texts]:
        rng.shuffle(shown)
    rows = [row for group, _ in part for row in group]
    ids = {one.place: one.id for one in book.family(movement.id, COUNTS)}
    whole = len(part) == len(groups)
    return Question(
        PUT_IN_ORDER,
        f"{book.title(movement)}: put {'the counts' if whole else f'counts {rows[0]} to {rows[-1]}'} in order.",
        ORDER,
        tuple(texts[row] for row in shown),
        tuple(ids[str(row)] for row in rows),
        tuple(shown.index(row) for row in range(len(texts))),
        book.note(movement, f"{book.title(movement)}: {'; '.join(texts)}."),
        movement.source,
        movement.id,
        (),
        (NAME, VOICE),
        steps=tuple(len(group) for group, _ in part),
    )


Group = tuple[tuple[int, ...], str]


def _groups(book: Workbook, movement: Movement) -> list[Group]:
    beats = list(dict.fromkeys(count.beat for count in movement.counts))
    deeds = book.deeds(movement)
    groups = []
    for beat in beats:
        rows = tuple(row for row, count in enumerate(movement.counts, 1) if count.beat == beat)
        groups.append((rows, "; ".join(describe(deeds[row - 1]) for row in rows)))
    return groups


def _parts(groups: list[Group], at: int) -> list[list[Group]]:
    size = min(len(groups), MOST_IN_ORDER)
    first = range(max(0, at - size + 1), min(at, len(groups) - size) + 1)
    return [groups[start : start + size] for start in first]


def count_of(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for the movement that does something on a count."""
    movement, number = book.movement(point), int(point.place)
    deed, beat = book.deeds(movement)[number - 1], movement.counts[number - 1].beat
    if describe(deed) == NO_CHANGE:
        return None
    wrong = []
    notes = {}
    for other in book.others(movement):
        if number > len(other.counts):
            continue
        beats = {other.counts[number - 1].beat, beat} & {entry.beat for entry in other.counts}
        if all(false_of(deed, book.views(other, one)) for one in beats):
            wrong.append(book.title(other))
            notes[wrong[-1]] = f"{wrong[-1]}, count {number}: {describe(book.deeds(other)[number - 1])}."
    return book.choice(
        COUNT_OF,
        point,
        f"Which movement has this on count {number}? {_sentence(describe(without_word(deed)))}",
        book.title(movement),
        wrong,
        rng,
        book.count_why(movement, number),
        movement.source,
        (beat,),
        notes=notes,
    )


MAKERS: Mapping[str, Maker] = {
    ON_COUNT: on_count,
    WHICH_COUNT: which_count,
    PUT_IN_ORDER: put_in_order,
    COUNT_OF: count_of,
}
