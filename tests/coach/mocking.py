"""A mock test taken by someone who knows some points and not others, asked or called on the beat alike."""

from collections.abc import Collection

from tests.coach.sitting import START, later
from trainer.coach.mock import MockTest
from trainer.drill.movement import other_foot
from trainer.quiz.points import FEET as FEET_POINTS
from trainer.quiz.questions import FEET, Answer, Question, not_known
from trainer.rhythm.calls import Called, call_ms, read_call
from trainer.rhythm.exercise import EITHER, OTHER, SAME, Due, Exercise
from trainer.rhythm.grid import grid_from
from trainer.rhythm.timing import Strike

Off = dict[int, float]
"""Words by number, and by how many beats each is called beside where it belongs."""


def zero_of(done: Exercise, earliest: int = 12) -> int:
    """Return a beat of the grid on which the word of execution is right."""
    word = next(due for due in done.dues if due.executes)
    feet = {beat: done.foot_at(beat) for beat in range(earliest, earliest + 8)}
    heels = {beat: done.heels_at(beat) for beat in feet}
    return next(beat for beat in feet if word.foot in (EITHER, feet[beat], heels[beat]))


def struck(done: Exercise, off: Off | None = None, zero: int | None = None, missed: Collection[int] = ()) -> Called:
    """Call each word where it belongs but for those that are off, and those that are missed."""
    grid, at = grid_from(0.0, done.cadence), zero_of(done) if zero is None else zero
    strikes = []
    for due in done.dues:
        time = grid.time_of(at + due.beat + (off or {}).get(due.number, 0.0))
        if due.number not in missed and time is not None:
            strikes.append(Strike(time, due.letter))
    return read_call(done, grid, strikes, delay=0.0)


def beside(done: Exercise, due: Due) -> float:
    """Return by how many beats a word can fall on the wrong foot and still be struck in its place among the others."""
    taken = {one.beat for one in done.dues}
    after = min([one.beat for one in done.dues if one.beat > due.beat], default=99.0)
    return 1.0 if due.beat + 1 < after and due.beat + 1 not in taken else -1.0


def point_of(test: MockTest, done: Exercise, due: Due) -> str:
    """Return the id of the point of a word's foot."""
    places = ((one.movement, one.family, one.place) for one in test.standing.points)
    wanted = (done.movement.id, FEET_POINTS, str(due.number))
    return next((one.id for one, key in zip(test.standing.points, places, strict=True) if key == wanted), "")


def called_by(test: MockTest, done: Exercise, unknown: Collection[str]) -> Called:
    """Call as someone does who knows the foot of every word but some."""
    return struck(
        done,
        {due.number: beside(done, due) for due in done.dues if point_of(test, done, due) in unknown},
    )


def answer_by(question: Question, unknown: Collection[str]) -> Answer:
    """Answer as someone does who knows every point but some."""
    lost = [point in unknown for point in question.points]
    if question.expects == FEET and isinstance(question.answer, tuple):
        feet = zip(map(str, question.answer), lost, strict=True)
        return tuple(other_foot(foot) if is_lost else foot for foot, is_lost in feet)
    return not_known(question.expects) if any(lost) else question.answer


def sit(test: MockTest, unknown: Collection[str] = (), most: int = 10_000) -> int:
    """Take a mock test, or so many tasks of it; return how many it were."""
    moment, given = START, 0
    while given < most and (task := test.next_task()) is not None:
        moment = later(moment, seconds=10)
        if isinstance(task, Exercise):
            called = called_by(test, task, unknown)
            test.call(called, call_ms(grid_from(0.0, task.cadence), []), moment)
        else:
            test.answer(answer_by(task, unknown), 8_000, moment)
        given += 1
    return given


RELATIVE = (EITHER, SAME, OTHER)
"""Feet of words that only the word of execution fixes."""
