"""A deck's teaching points: the only place where point ids are made."""

from collections.abc import Iterator
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import SHEET_ID
from trainer.drill.movement import Movement
from trainer.quiz.facts import (
    HALTED,
    command_fact,
    count_fact,
    count_feet,
    cues_fact,
    fact_hash,
    fault_fact,
    number,
    word_foot,
)

WORDS, FEET, COUNTS, FAULTS = "words", "feet", "counts", "faults"
SHEET = SHEET_ID
"""Stands in the place of a movement for the points of the grade sheet."""
COMMAND, CUES, FROM, FIRST_CUE = "command", "cues", "from", "first-cue"
TRIALS, MINORS, RETEST = "trials", "minors", "retest"


class Point(NamedTuple):
    """One teaching point.

    `fact` changes when, and only when, what the point teaches changes. `place` is the last part of the id: a
    count's or a word's number from 1, a fault's or a major's id, or a name of this module. Without the points
    that are `essential` a trial cannot succeed.
    """

    id: str
    fact: str
    movement: str
    family: str
    essential: bool
    place: str


def points(deck: Deck) -> tuple[Point, ...]:
    """Return every point of a deck, in an order that holds as long as the deck does.

    Movements come in the order of the grade sheet, then those that are not on it, then the sheet itself.
    """
    found: list[Point] = []
    for movement in test_order(deck):
        found += _movement_points(deck, movement)
    found += _sheet_points(deck)
    return tuple(found)


def test_order(deck: Deck) -> tuple[Movement, ...]:
    """Return the movements in the order of the grade sheet, then the others in the order of the deck."""
    minors = deck.grade_sheet.minors if deck.grade_sheet else ()
    known = {movement.id: movement for movement in deck.movements}
    ordered = [known[minor] for minor in dict.fromkeys(minors) if minor in known]
    return (*ordered, *(movement for movement in deck.movements if movement.id not in minors))


def _point(deck: Deck, movement: str, family: str, place: str, fact: str, essential: bool = False) -> Point:
    return Point(f"{deck.standard}/{movement}/{family}/{place}", fact, movement, family, essential, place)


def _movement_points(deck: Deck, movement: Movement) -> Iterator[Point]:
    name = movement.id
    if movement.cued_by:
        yield _point(deck, name, WORDS, CUES, cues_fact(movement), True)
    if movement.call:
        fact = command_fact(movement.call, movement.called_on == HALTED)
        yield _point(deck, name, WORDS, COMMAND, fact, not movement.cued_by)
    yield _point(deck, name, WORDS, FROM, fact_hash("from", sorted(movement.from_stances)))
    yield from _feet_points(deck, movement)
    for place, (count, foot) in enumerate(zip(movement.counts, count_feet(deck, movement), strict=True), 1):
        yield _point(deck, name, COUNTS, str(place), count_fact(count, foot), True)
    for fault in movement.faults:
        yield _point(deck, name, FAULTS, fault.id, fault_fact(fault))


def _feet_points(deck: Deck, movement: Movement) -> Iterator[Point]:
    if movement.cued_by and movement.called_on != HALTED:
        yield _point(deck, movement.id, FEET, FIRST_CUE, fact_hash("foot", "0", movement.called_on), True)
    for place, word in enumerate(movement.call, 1):
        foot = word_foot(deck, movement, word.beat, word.executes)
        if foot is not None:
            fact = fact_hash("foot", number(word.beat), foot)
            yield _point(deck, movement.id, FEET, str(place), fact, word.executes)


def _sheet_points(deck: Deck) -> Iterator[Point]:
    sheet = deck.grade_sheet
    if sheet is None:
        return
    rule = sheet.rule
    yield _point(deck, SHEET, COUNTS, TRIALS, fact_hash("trials", rule.needed, rule.trials))
    yield _point(deck, SHEET, COUNTS, MINORS, fact_hash("minors", rule.minors_to_pass, len(sheet.minors)))
    if sheet.retest_after_hours is not None:
        yield _point(deck, SHEET, COUNTS, RETEST, fact_hash("retest", sheet.retest_after_hours))
    for major in sheet.majors:
        yield _point(deck, SHEET, FAULTS, major.id, fact_hash("major", major.id))
