"""The laws of a beat grid: time and beat are each other's inverse, nothing jumps back, nothing adds up."""

import itertools
import math
from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.decks.measured import SHIPPED, read
from tests.drill.conftest import load
from trainer.drill.unrolling import score
from trainer.rhythm.grid import Grid, cadences, following, grid_from, slowed

cadence = st.floats(30, 240)
starts = st.floats(-1000, 1e6)


@st.composite
def grids(draw: st.DrawFn) -> tuple[Grid, list[float]]:
    """A grid with changes of cadence, pauses and goings on at any moment, and those moments in order."""
    grid = grid_from(draw(st.floats(0, 1000)), draw(cadence), draw(st.integers(-5, 5)))
    now = grid.stretches[0].since
    moments = [now]
    for what in draw(st.lists(st.sampled_from(["change", "pause", "resume"]), max_size=8)):
        now += draw(st.floats(0, 20))
        moments.append(now)
        if what == "pause":
            grid = grid.pause(now)
        elif what == "resume":
            grid = grid.resume(now)
        elif grid.running:
            ahead = math.floor(max(grid.beat_at(now), grid.stretches[-1].beat)) + draw(st.integers(1, 6))
            grid = grid.at_cadence(ahead, draw(cadence))
    return grid, moments


@given(starts, cadence, st.integers(0, 100_000))
def test_no_beat_drifts_however_far(start: float, beats_a_minute: float, beat: int) -> None:
    """A beat is due at start + beat * 60 / cadence, worked out in exact fractions."""
    due = grid_from(start, beats_a_minute).time_of(beat)
    exact = Fraction(start) + beat * Fraction(60) / Fraction(beats_a_minute)
    assert due is not None
    assert abs(Fraction(due) - exact) < Fraction(1, 10**8)


@given(grids(), st.lists(st.floats(-5, 200), min_size=2))
def test_the_beat_never_falls_as_time_goes_on(made: tuple[Grid, list[float]], times: list[float]) -> None:
    grid, moments = made
    readings = sorted([*(moments[0] + time for time in times), *moments])
    beats = [grid.beat_at(time) for time in readings]
    assert all(two >= one - 1e-9 for one, two in itertools.pairwise(beats))


@given(grids(), st.floats(-5, 300))
def test_time_and_beat_are_each_others_inverse(made: tuple[Grid, list[float]], ahead: float) -> None:
    grid, moments = made
    beat = grid.beat_at(moments[0]) + ahead
    due = grid.time_of(beat)
    if due is None:
        assert not grid.running
    else:
        assert grid.beat_at(due) == pytest.approx(beat, abs=1e-6)


@given(grids(), st.floats(0, 100))
def test_a_time_comes_back_from_its_beat_unless_the_beat_stood(made: tuple[Grid, list[float]], ahead: float) -> None:
    grid, moments = made
    time = moments[0] + ahead
    beat = grid.beat_at(time)
    due = grid.time_of(beat)
    assert due is not None
    assert due <= time + 1e-6
    if due < time - 1e-6:
        # The beat was the same all the while: it stood, or went again over the part of a beat that was broken off.
        assert grid.beat_at((due + time) / 2) == pytest.approx(beat, abs=1e-6)


@given(grids(), st.floats(0, 100), cadence, st.integers(1, 8))
def test_a_change_leaves_every_beat_up_to_it_where_it_was(
    made: tuple[Grid, list[float]], ahead: float, new: float, further: int
) -> None:
    grid, moments = made
    assume(grid.running)
    beat = math.ceil(grid.stretches[-1].beat) + further
    changed = grid.at_cadence(beat, new)
    last = grid.time_of(beat)
    assert last is not None
    for time in (moments[0] + ahead, last):
        if time <= last:
            assert changed.beat_at(time) == pytest.approx(grid.beat_at(time), abs=1e-9)
    for number in range(4):
        assert changed.time_of(beat + number) == pytest.approx(last + number * 60 / new, abs=1e-6)


@given(grids(), st.floats(0, 30), st.floats(0, 3600))
def test_after_a_pause_the_next_whole_beat_comes_a_full_beat_after(
    made: tuple[Grid, list[float]], ahead: float, waited: float
) -> None:
    grid, moments = made
    assume(grid.running)
    now = moments[-1] + ahead
    standing = grid.pause(now)
    assert not standing.running
    assert standing.next_beat(now + 1) is None
    stood = standing.beat_at(now)
    assert standing.beat_at(now + waited) == stood
    again = standing.resume(now + waited)
    assert again.running
    assert again.beat_at(now + waited) == stood
    # A beat that has just been struck is not struck again.
    wanted = math.floor(standing.stretches[-1].last) + 1
    due = again.time_of(wanted)
    period = standing.stretches[-1].period
    assert due == pytest.approx(now + waited + period, abs=1e-6)
    assert again.next_beat(now + waited) == pytest.approx(due, abs=1e-6)
    for number in range(1, 4):
        beat = standing.stretches[-1].beat + number
        if beat <= stood:
            assert again.time_of(beat) == grid.time_of(beat)


@given(grids(), st.floats(0, 100))
def test_the_next_beat_is_ahead_and_less_than_a_beat_away(made: tuple[Grid, list[float]], ahead: float) -> None:
    grid, moments = made
    time = moments[0] + ahead
    due = grid.next_beat(time)
    if due is None:
        assert not grid.running
        return
    assert due > time
    assert grid.beat_at(due) - grid.beat_at(time) <= 1 + 1e-6


@given(grids(), st.floats(0, 100))
def test_no_other_beat_is_nearer_than_the_nearest(made: tuple[Grid, list[float]], ahead: float) -> None:
    grid, moments = made
    time = moments[0] + ahead
    near = grid.nearest(time)
    dues = [grid.time_of(near.beat + other) for other in (-1, 0, 1)]
    away = [abs(time - due) for due in dues if due is not None]
    assert abs(near.late) <= min(away) + 1e-9


def test_a_change_to_come_is_as_many_beats_ahead_after_a_pause() -> None:
    grid = grid_from(0.0, 60.0).at_cadence(4, 120.0).at_cadence(6, 240.0)
    again = grid.pause(2.25).resume(10.0)
    assert [again.time_of(beat) for beat in range(2, 8)] == [2.0, 11.0, 12.0, 12.5, 13.0, 13.25]
    assert again.beat_at(10.5) == 2.5
    assert again.stands(5.0)
    assert not again.stands(11.5)


def test_a_pause_before_the_first_beat_loses_nothing() -> None:
    grid = grid_from(10.0, 60.0).pause(8.5)
    assert grid.beat_at(9.9) == -1.5
    assert grid.time_of(0) is None
    assert [grid.resume(20.0).time_of(beat) for beat in (-1, 0, 1)] == [21.0, 22.0, 23.0]


def test_a_cadence_cannot_change_in_the_past() -> None:
    grid = grid_from(0.0, 60.0).at_cadence(4, 120.0)
    with pytest.raises(ValueError, match="still to come"):
        grid.at_cadence(3, 60.0)
    with pytest.raises(ValueError, match="still to come"):
        grid.pause(1.0).at_cadence(9, 60.0)


def test_an_execution_takes_the_cadences_of_its_score() -> None:
    """TC 3-21.5, 2012, 4-5: quick time 120, double time 180; two more steps in double time, then quick time."""
    deck = read(SHIPPED / "us_army_individual_drill.toml")
    played = score(deck, deck.movement("quick-time"))
    grid = following(grid_from(0.0, 180.0), played, 9.0)
    third = 1 / 3
    expected = [3.0, 3 + third, 3 + 2 * third, 4.0, 4.5, 5.0]
    assert [grid.time_of(beat) for beat in range(9, 15)] == pytest.approx(expected)
    slow = following(grid_from(0.0, 90.0), played, 9.0, speed=0.5)
    assert [slow.time_of(beat) for beat in range(9, 15)] == pytest.approx([2 * time for time in expected])


def test_cadences_of_a_range_and_of_slow_time() -> None:
    deck = load(
        """
[deck]
id = "paces"
title = "Paces"
unit = "in"
[stance.halted]
[stance.marching]
cadence = [100, 120]
step = "30 in"
[stance."slow time"]
cadence = 60
step = "30 in"
[[movement]]
id = "slow"
name = "Slow"
from = ["marching"]
to = "slow time"
called_on = "right"
turn = "none"
words = [ { say = "SLOW", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "left", place = "step" } ]
"""
    )
    assert cadences(deck.stance("marching")) == (100, 110, 120)
    assert cadences(deck.stance("slow time")) == (60,)
    assert cadences(deck.stance("halted")) == (120,)
    assert (slowed(120), slowed(60), slowed(50), slowed(180)) == (72, 60, 50, 108)
