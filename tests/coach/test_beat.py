"""Calls on the beat: what they say of the points, and what is kept of timing."""

import random
from datetime import date
from itertools import pairwise
from pathlib import Path

import pytest

from tests.screens.opened import NOW, someone
from trainer.coach.beat import CALL, BeatPractice, by_day, calls, marked_points, timing_draft
from trainer.coach.standing import Standing, open_standing
from trainer.paths import Home
from trainer.quiz.points import points
from trainer.rhythm.calls import COMMAND, FOOT, Mark, read_call
from trainer.rhythm.exercise import LEVELS, Exercise
from trainer.rhythm.grid import Grid, grid_from
from trainer.rhythm.timing import Strike


@pytest.fixture
def practice(tmp_path: Path) -> BeatPractice:
    candidate = someone(Home(tmp_path / "home"))
    from trainer.authoring.shelf import open_deck

    standing = open_standing(candidate, open_deck(candidate.profile.deck, candidate.home), NOW)
    return BeatPractice(candidate, standing, random.Random(1))


def struck(done: Exercise, off: int = 0, late: float = 0.0) -> tuple[Grid, list[Strike]]:
    """Return a beat and a call whose word of execution falls on a foot that is right, or `off` beats beside it."""
    grid = grid_from(0.0, done.cadence)
    zero = next(beat for beat in range(12, 20) if done.foot_at(beat) == done.dues[-1].foot) + off
    times = [grid.time_of(zero + due.beat) for due in done.dues]
    return grid, [Strike((time or 0.0) + late, due.letter) for time, due in zip(times, done.dues, strict=True)]


def recalled(standing: Standing, point: str) -> float:
    now = standing.now(NOW)
    return float(standing.learner.recall([point], now, now)[0])


def test_a_call_is_an_answer_to_the_foot_of_each_word_and_is_kept_at_once(practice: BeatPractice) -> None:
    halt = practice.standing.deck.movement("halt")
    done = practice.draw(LEVELS[1], NOW, halt)
    point = "harbour-guard/halt/feet/1"
    before = recalled(practice.standing, point)
    practice.record(done, read_call(done, *struck(done)), 3000, NOW)
    kept = [event for event in practice.candidate.log.events() if event.kind == "answer"]
    assert [(event.body["point"], event.body["right"]) for event in kept] == [
        (f"harbour-guard/halt/feet/{number}", True) for number in (1, 2, 3)
    ]
    assert {(event.body["question"], event.body["choices"]) for event in kept} == {(CALL, 2)}
    assert recalled(practice.standing, point) > before


def test_a_call_one_beat_off_marks_every_foot_wrong_and_the_command_right(practice: BeatPractice) -> None:
    done = practice.draw(LEVELS[2], NOW, practice.standing.deck.movement("halt"))
    practice.record(done, read_call(done, *struck(done, off=1)), 3000, NOW)
    marks = {
        str(event.body["point"]): event.body["right"]
        for event in practice.candidate.log.events()
        if event.kind == "answer"
    }
    assert marks.pop("harbour-guard/halt/words/command") is True
    assert set(marks.values()) == {False}


def test_where_the_feet_are_named_nothing_is_an_answer(practice: BeatPractice) -> None:
    done = practice.draw(LEVELS[0], NOW, practice.standing.deck.movement("halt"))
    practice.record(done, read_call(done, *struck(done)), 3000, NOW)
    assert [event.kind for event in practice.candidate.log.events()][-1:] == ["timing"]
    assert all(event.kind != "answer" for event in practice.candidate.log.events())


def test_marks_that_have_no_point_are_passed_over(practice: BeatPractice) -> None:
    marks = (Mark(FOOT, 1, True), Mark(FOOT, 9, True), Mark(COMMAND, 0, False))
    found = marked_points(points(practice.standing.deck), "halt", marks)
    assert [(point.id, right) for point, right in found] == [
        ("harbour-guard/halt/feet/1", True),
        ("harbour-guard/halt/words/command", False),
    ]


def test_timing_is_kept_in_whole_microseconds_and_not_at_all_over_a_remote_link(practice: BeatPractice) -> None:
    done = practice.draw(LEVELS[1], NOW, practice.standing.deck.movement("halt"))
    grid, strikes = struck(done, late=0.040)
    here = timing_draft("harbour-guard", done, read_call(done, grid, strikes, delay=0.010), "s")
    assert here.body["mean_us"] == 30_000
    assert here.body["spread_us"] == 0
    far = timing_draft("harbour-guard", done, read_call(done, grid, strikes, remote=True), "s", remote=True)
    assert far.body["remote"] is True
    assert not {"mean_us", "spread_us", "drift_us"} & far.body.keys()


def test_the_history_of_timing_is_told_by_day(practice: BeatPractice) -> None:
    done = practice.draw(LEVELS[1], NOW, practice.standing.deck.movement("halt"))
    for off in (0, 1):
        practice.record(done, read_call(done, *struck(done, off)), 3000, NOW)
    found = calls(practice.candidate.log.events(), "harbour-guard")
    assert [(one.movement, one.words, one.feet) for one in found] == [("halt", 3, 3), ("halt", 3, 0)]
    assert calls(practice.candidate.log.events(), "another") == []
    days = by_day(found)
    assert [(one.day, one.calls, one.feet) for one in days] == [(date(2026, 11, 24), 2, 0.5)]


def test_every_movement_of_the_deck_comes_up_and_none_twice_in_a_row(practice: BeatPractice) -> None:
    drawn = [practice.draw(LEVELS[1], NOW).movement.id for _ in range(300)]
    assert set(drawn) == {
        movement.id for movement in practice.standing.deck.movements if movement.call or movement.cued_by
    }
    assert all(one != two for one, two in pairwise(drawn))
