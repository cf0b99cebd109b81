"""Points by name, in the words of the trade, without giving away what they teach."""

from trainer.drill.deck import Deck
from trainer.drill.movement import Movement
from trainer.quiz.points import COMMAND, COUNTS, CUES, FEET, FIRST_CUE, FROM, MINORS, RETEST, SHEET, TRIALS, Point
from trainer.quiz.wording import count_name

_WORDS = {COMMAND: "the words of its command", CUES: "its cues", FROM: "the stance it starts from"}
_SHEET = {
    TRIALS: "the rule on trials",
    MINORS: "how many minors must be GO",
    RETEST: "the wait before a retest",
}


def point_words(deck: Deck, point: Point) -> str:
    """Return what a point is about within its movement, such as `count 2` or `the foot of “MARCH”`."""
    if point.movement == SHEET:
        return _sheet_words(deck, point)
    movement = deck.movement(point.movement)
    if point.family == COUNTS:
        return count_name(movement, int(point.place))
    if point.family == FEET:
        return _foot_words(movement, point.place)
    fault = movement.fault(point.place)
    return f"the fault “{fault.tell}”" if fault else _WORDS.get(point.place, point.place)


def point_title(deck: Deck, point: Point) -> str:
    """Return a point with its movement, such as `Right flank, march: count 2`."""
    where = "Grade sheet" if point.movement == SHEET else deck.movement(point.movement).name
    return f"{where}: {point_words(deck, point)}"


def _foot_words(movement: Movement, place: str) -> str:
    if place == FIRST_CUE:
        return "the foot of the first cue"
    return f"the foot of “{movement.call[int(place) - 1].say}”"


def _sheet_words(deck: Deck, point: Point) -> str:
    majors = deck.grade_sheet.majors if deck.grade_sheet else ()
    major = next((one.text for one in majors if one.id == point.place), None)
    if point.family == COUNTS or major is None:
        return _SHEET.get(point.place, point.place)
    return f"the major “{major}”"
