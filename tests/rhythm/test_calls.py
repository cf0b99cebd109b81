"""Calls struck by hand and by simulated people: which word fell on which foot, with how many steps, how regularly."""

import random
from statistics import fmean, stdev

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from tests.rhythm.calling import flank_exercise, made, struck
from tests.rhythm.tappers import Tapper
from trainer.rhythm.calls import COMMAND, FOOT, Called, Mark, Steps, is_over, last_beat, read_call
from trainer.rhythm.exercise import Exercise
from trainer.rhythm.grid import Grid, grid_from
from trainer.rhythm.timing import Strike

ALL = [("flank", "marching"), ("halt", "marching"), ("halt", "double time"), ("off", "halted")]
ALL += [("side-halt", "side step"), ("drum", "half step")]


def zero_of(done: Exercise, near: int = 20) -> int:
    """Return a beat on which the word of execution may fall, found from the feet alone."""
    if done.cue_at is not None:
        return done.cue_at
    called_on = done.movement.called_on
    for beat in (near, near + 1):
        if called_on in ("either", "halted") or called_on in (done.foot_at(beat), done.heels_at(beat)):
            return beat
    raise AssertionError(called_on)


def call(done: Exercise, keys: list[Strike], grid: Grid, **how: object) -> Called:
    return read_call(done, grid, keys, **how)  # type: ignore[arg-type]


@pytest.mark.parametrize(("movement", "stance"), ALL)
@pytest.mark.parametrize("level", [1, 2, 3, 4])
@pytest.mark.parametrize("late", [-0.09, 0.0, 0.07])
def test_a_right_call_is_right_though_early_or_late(movement: str, stance: str, level: int, late: float) -> None:
    done = made(movement, stance, level)
    grid = grid_from(500.0, done.cadence)
    found = call(done, struck(done, grid, zero_of(done), late), grid)
    assert found.right
    assert found.extra == 0
    assert found.missed == ()
    assert found.zero == zero_of(done)
    assert all(mark.right for mark in found.marks)
    assert found.timing is not None
    assert found.timing.spread == pytest.approx(0.0, abs=1e-6)
    assert found.timing.mean is None


def test_a_call_on_the_wrong_foot_is_wrong_in_every_word() -> None:
    done = flank_exercise()
    grid = grid_from(0.0, done.cadence)
    found = call(done, struck(done, grid, 12), grid)
    assert [one.foot for one in found.shown] == ["left"] * 3
    assert found.marks == tuple(Mark(FOOT, number, False) for number in (1, 2, 3))
    assert (found.feet_right, found.right) == (0, False)
    assert found.steps == (Steps(2, 2), Steps(2, 2))


def test_one_word_a_step_late_is_wrong_by_itself() -> None:
    """The middle word of a right flank comes on the left foot, a step after its own."""
    done = flank_exercise(3)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    keys[1] = keys[1]._replace(time=keys[1].time + 0.5)
    found = call(done, keys, grid)
    assert [one.foot_right for one in found.shown] == [True, False, True]
    assert found.steps == (Steps(2, 3), Steps(2, 1))
    assert found.marks == (Mark(FOOT, 1, True), Mark(FOOT, 2, False), Mark(FOOT, 3, True), Mark(COMMAND, 0, True))
    assert not found.right


def test_two_steps_too_many_are_told_though_every_foot_is_right() -> None:
    done = flank_exercise()
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    keys[2] = keys[2]._replace(time=keys[2].time + 1.0)
    found = call(done, keys, grid)
    assert found.feet_right == 3
    assert found.steps == (Steps(2, 2), Steps(2, 4))
    assert not found.right


@pytest.mark.parametrize(
    ("letters", "right"), [("grm", True), ("GRM", True), ("glm", False), ("grx", False), ("rgm", False)]
)
def test_letters_show_the_words(letters: str, right: bool) -> None:
    done = flank_exercise(3)
    grid = grid_from(0.0, done.cadence)
    keys = [strike._replace(key=key) for strike, key in zip(struck(done, grid, 13), letters, strict=True)]
    found = call(done, keys, grid)
    assert found.marks[-1] == Mark(COMMAND, 0, right)
    assert [mark.right for mark in found.marks[:-1]] == [True] * 3


@pytest.mark.parametrize("missing", [0, 1, 2])
def test_a_word_left_out_is_found_by_the_letters(missing: int) -> None:
    done = flank_exercise(3)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    del keys[missing]
    found = call(done, keys, grid)
    assert [one.number for one in found.missed] == [missing + 1]
    assert found.marks[-1] == Mark(COMMAND, 0, False)
    assert (found.zero is None) == (missing == 2)
    assert found.timing is not None
    assert found.timing.missed == 1
    # What was called is still right, what was not called shows nothing of its foot.
    assert [mark.number for mark in found.marks[:-1]] == [n for n in (1, 2, 3) if n != missing + 1]
    assert all(mark.right for mark in found.marks[:-1])


def test_a_word_left_out_is_found_by_the_steps_where_no_letters_are() -> None:
    done = flank_exercise(2)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    found = call(done, [keys[0], keys[2]], grid)
    assert [one.number for one in found.missed] == [2]


def test_a_word_too_many_is_extra() -> None:
    done = flank_exercise(3)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    found = call(done, [*keys[:2], Strike(keys[1].time + 0.5, "x"), keys[2]], grid)
    assert (found.extra, found.missed, found.right) == (1, (), False)
    assert found.marks[-1] == Mark(COMMAND, 0, False)


def test_nothing_struck_is_nothing_called() -> None:
    done = flank_exercise(3)
    found = call(done, [], grid_from(0.0, 120.0))
    assert len(found.missed) == 3
    assert (found.zero, last_beat(found), found.words(done)) == (None, None, ())
    assert found.marks == (Mark(COMMAND, 0, False),)


def test_where_the_foot_is_named_nothing_is_marked() -> None:
    done = flank_exercise(1)
    grid = grid_from(0.0, done.cadence)
    assert call(done, struck(done, grid, 13), grid).marks == ()


def test_a_word_that_either_foot_may_have_marks_nothing() -> None:
    done = made("halt", "marching", 2)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 12)
    assert call(done, keys, grid).marks == (Mark(FOOT, 1, True),)
    keys[0] = keys[0]._replace(time=keys[0].time + 0.5)
    assert call(done, keys, grid).marks == (Mark(FOOT, 1, False),)


@given(st.floats(0.0, 0.999))
def test_at_the_halt_he_may_begin_at_any_moment(phase: float) -> None:
    """No foot strikes there, so the first word gives the beat, and only the steps from it count."""
    done = made("off", "halted", 2)
    grid = grid_from(0.0, done.cadence)
    found = call(done, [Strike(5.0 + phase), Strike(5.0 + phase + 2 * 60 / done.cadence)], grid)
    assert found.steps == (Steps(2, 2),)
    assert found.right
    assert found.marks == ()


def test_heels_are_told_where_heels_count() -> None:
    done = made("side-halt", "side step", 2)
    grid = grid_from(0.0, done.cadence)
    zero = zero_of(done)
    assert [one.foot for one in call(done, struck(done, grid, zero), grid).shown] == ["apart", "together"]
    wrong = call(done, struck(done, grid, zero + 1), grid)
    assert [(one.foot, one.foot_right) for one in wrong.shown] == [("together", False), ("apart", False)]


def test_steps_by_a_drum_are_struck_on_their_own_beats() -> None:
    done = made("drum", "half step", 3)
    grid = grid_from(0.0, done.cadence)
    assert done.cue_at is not None
    late = call(done, struck(done, grid, done.cue_at + 1), grid)
    # The letters name the right feet, but every step is one beat late on the beat that the drum gives.
    assert [one.beat for one in late.shown] == [done.cue_at + 3, done.cue_at + 4]
    swapped = [strike._replace(key=key) for strike, key in zip(struck(done, grid, done.cue_at), "lr", strict=True)]
    assert [one.foot_right for one in call(done, swapped, grid).shown] == [False, False]
    assert late.marks == ()


def test_a_remote_link_is_scored_by_foot_only() -> None:
    done = flank_exercise()
    grid = grid_from(0.0, done.cadence)
    found = call(done, struck(done, grid, 13), grid, remote=True)
    assert found.timing is None
    assert found.feet_right == 3


def test_keys_while_the_beat_stood_are_no_words() -> None:
    done = flank_exercise()
    grid = grid_from(0.0, done.cadence).pause(3.2).resume(50.0)
    found = call(done, [Strike(20.0), *struck(done, grid, 13)], grid)
    assert found.right
    assert found.extra == 0


@pytest.mark.parametrize("seed", range(40))
def test_simulated_callers_are_scored_within_a_millisecond(seed: int) -> None:
    """Spread, drift and mean of a call are those of its own strikes; scipy's slope is the reference."""
    rng = random.Random(seed)
    done = made("flank", "marching", rng.choice([2, 3, 4]), seed)
    grid = grid_from(rng.uniform(0, 1e5), done.cadence)
    zero = zero_of(done, 30)
    late = Tapper(0.25, 10.0, 5.0, rng.uniform(-60, 20)).late(3, rng)
    keys = [
        strike._replace(time=strike.time + by / 1000) for strike, by in zip(struck(done, grid, zero), late, strict=True)
    ]
    found = call(done, keys, grid, delay=0.0)
    assert found.right
    assert found.timing is not None
    assert found.timing.spread == pytest.approx(stdev(late), abs=1e-3)
    assert found.timing.mean == pytest.approx(fmean(late), abs=1e-3)
    assert found.timing.drift == pytest.approx(linregress([-4, -2, 0], late).slope, abs=1e-3)


def test_a_change_of_cadence_after_the_call_leaves_the_call_as_it_was() -> None:
    done = flank_exercise()
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    before = call(done, keys, grid)
    assert call(done, keys, grid.at_cadence(15, 180.0).at_cadence(20, 60.0)) == before


@given(
    st.lists(st.tuples(st.floats(0, 30), st.sampled_from("grm x")), max_size=12),
    st.sampled_from(ALL),
    st.integers(1, 4),
)
def test_whatever_is_struck_is_read_and_accounted_for(
    struck_keys: list[tuple[float, str]], which: tuple[str, str], level: int
) -> None:
    done = made(*which, level)
    grid = grid_from(0.0, done.cadence)
    found = call(done, [Strike(*one) for one in struck_keys], grid)
    assert [one.due for one in found.shown] == list(done.dues)
    beats = [one.beat for one in found.shown if one.beat is not None]
    assert beats == sorted(beats)
    assert len(beats) + len(found.missed) == len(done.dues)
    assert all(mark.of in (FOOT, COMMAND) for mark in found.marks)
    words = found.words(done)
    assert not words or max(word.beat for word in words) >= 0


def test_a_call_is_over_when_every_word_was_struck() -> None:
    done = flank_exercise(2)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    assert [is_over(done, grid, keys[:number], keys[number - 1].time) for number in (1, 2, 3)] == [False, False, True]
    assert not is_over(done, grid, [], 1e6)


def test_a_call_is_over_when_its_last_word_was_typed_or_it_was_broken_off() -> None:
    done = flank_exercise(3)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    assert is_over(done, grid, [keys[0], keys[2]], keys[2].time)
    # The longest gap of this command is two beats; four more in silence end it.
    assert not is_over(done, grid, keys[:1], keys[0].time + 2.9)
    assert is_over(done, grid, keys[:1], keys[0].time + 3.1)


def test_a_movement_by_the_drum_is_over_after_its_last_step() -> None:
    done = made("drum", "half step", 2)
    grid = grid_from(0.0, done.cadence)
    assert done.cue_at is not None
    last = grid.time_of(done.cue_at + 3)
    assert last is not None
    assert not is_over(done, grid, struck(done, grid, done.cue_at), last + 0.4)
    assert is_over(done, grid, [], last + 0.6)


def test_words_are_counted_from_the_word_of_execution() -> None:
    done = flank_exercise(3)
    grid = grid_from(0.0, done.cadence)
    keys = struck(done, grid, 13)
    keys[0] = keys[0]._replace(time=keys[0].time - 0.5)
    words = call(done, keys, grid).words(done)
    assert [(word.say, word.beat) for word in words] == [("Guard", -5), ("right flank", -2), ("MARCH", 0)]
