"""Timing of simulated tappers whose truth is known, and of held and bouncing keys."""

import random
from itertools import pairwise
from statistics import fmean, stdev

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import linregress

from tests.rhythm.tappers import Tapper, lag_one, strikes
from trainer.rhythm.grid import Grid, grid_from
from trainer.rhythm.timing import Strike, Timing, on_beats, presses, timing


def tapped(grid: Grid, struck: list[Strike], beats: range, calibrated: float | None = None) -> Timing:
    """Score taps along with a beat on which one was due on each of these beats."""
    late = on_beats(grid, struck)
    assert set(dict(late)) <= set(beats)
    return timing([(float(beat), by) for beat, by in late], len(beats) - len(late), calibrated)


# (sT^2 + 2 alpha sM^2) / (alpha (2 - alpha)) and its lag-1 correlation, for sT 10 and sM 5, worked out by hand.
CHECKED = [(0.25, 16.0357, 0.6528), (0.5, 12.9099, 0.3500)]


@pytest.mark.parametrize(("alpha", "spread", "correlation"), CHECKED)
def test_the_simulation_has_the_spread_that_theory_gives(alpha: float, spread: float, correlation: float) -> None:
    tapper = Tapper(alpha, 10.0, 5.0)
    assert tapper.spread == pytest.approx(spread, abs=5e-5)
    assert tapper.lag_one == pytest.approx(correlation, abs=5e-5)


@pytest.mark.parametrize(("alpha", "spread", "correlation"), CHECKED)
@pytest.mark.parametrize("mean", [-56.0, -40.0, 12.0])
@pytest.mark.parametrize("cadence", [60.0, 180.0])
def test_tapper_is_scored_within_a_millisecond_of_the_truth(
    alpha: float, spread: float, correlation: float, mean: float, cadence: float
) -> None:
    grid = grid_from(1000.0, cadence)
    late = Tapper(alpha, 10.0, 5.0, mean).late(8_000, random.Random(5))
    found = tapped(grid, strikes(grid, range(8_000), late), range(8_000), calibrated=0.0)
    assert found.spread == pytest.approx(spread, abs=1.0)
    assert found.mean == pytest.approx(mean, abs=1.0)
    assert found.drift == pytest.approx(0.0, abs=1e-3)
    assert found.missed == 0
    assert lag_one(late) == pytest.approx(correlation, abs=0.02)


@given(st.integers(0, 2**32), st.integers(3, 60), st.floats(-3.0, 3.0), st.sampled_from([60.0, 108.0, 120.0]))
def test_each_row_of_taps_is_scored_as_it_is(seed: int, taps: int, drift: float, cadence: float) -> None:
    """However short the row: what is told is that row's own mean, spread and slope."""
    grid = grid_from(50.0, cadence)
    late = [by + drift * beat for beat, by in enumerate(Tapper(0.4, 10.0, 5.0, -30.0).late(taps, random.Random(seed)))]
    if max(map(abs, late)) > 0.45 * 60_000 / cadence:
        return
    found = tapped(grid, strikes(grid, range(taps), late), range(taps), calibrated=0.0)
    assert found.strikes == taps
    assert found.mean == pytest.approx(fmean(late), abs=1e-6)
    assert found.spread == pytest.approx(stdev(late), abs=1e-6)
    assert found.drift == pytest.approx(linregress(range(taps), late).slope, abs=1e-6)


def test_missed_beats_are_counted_and_the_spread_is_of_those_that_were_struck() -> None:
    grid = grid_from(10.0, 120.0)
    late = Tapper(0.25, 10.0, 5.0, -40.0).late(40, random.Random(1))
    struck = strikes(grid, range(40), late)
    gaps = {5, 6, 20}
    found = tapped(grid, [strike for beat, strike in enumerate(struck) if beat not in gaps], range(40))
    assert found.missed == 3
    assert found.strikes == 37
    assert found.spread == pytest.approx(stdev(by for beat, by in enumerate(late) if beat not in gaps), abs=1e-6)


def test_taps_while_the_beat_stood_belong_to_no_beat() -> None:
    grid = grid_from(0.0, 60.0).pause(3.5).resume(10.0)
    taps = [Strike(time) for time in (1.0, 2.0, 3.0, 6.0, 11.0, 12.0)]
    found = tapped(grid, taps, range(1, 6))
    assert (found.strikes, found.missed) == (5, 0)
    assert found.spread == pytest.approx(0.0, abs=1e-9)


def test_mean_is_told_only_of_a_calibrated_terminal() -> None:
    late = [(0.0, -0.03), (1.0, -0.05), (2.0, -0.04)]
    assert timing(late).mean is None
    assert timing(late, calibrated=-0.04).mean == pytest.approx(0.0, abs=1e-9)
    assert timing([(0.0, 0.01)]) == (1, None, None, None, 0)
    assert timing([(0.0, 0.01), (2.0, 0.03)]).drift is None


@given(st.lists(st.tuples(st.integers(-50, 50), st.floats(-0.2, 0.2)), min_size=3, unique_by=lambda pair: pair[0]))
def test_drift_and_spread_agree_with_scipy_and_numpy(late: list[tuple[int, float]]) -> None:
    found = timing([(float(beat), by) for beat, by in late])
    beats, by = [beat for beat, _ in late], [seconds * 1000 for _, seconds in late]
    assert found.drift == pytest.approx(linregress(beats, by).slope, abs=1e-9)
    assert found.spread == pytest.approx(float(np.std(by, ddof=1)), abs=1e-9)


def held(down: float, wait: float, apart: float, repeats: int, key: str = " ") -> list[Strike]:
    return [Strike(down, key), *(Strike(down + wait + number * apart, key) for number in range(repeats))]


@pytest.mark.parametrize("apart", [0.015, 0.033, 0.040, 0.110])
@pytest.mark.parametrize("wait", [0.25, 0.5, 0.66])
def test_a_key_that_is_held_down_is_one_strike(wait: float, apart: float) -> None:
    assert presses(held(5.0, wait, apart, 12)) == (Strike(5.0),)


def test_a_key_that_bounces_is_one_strike() -> None:
    assert presses([Strike(1.0), Strike(1.02), Strike(2.0)]) == (Strike(1.0), Strike(2.0))


def test_fast_words_are_not_taken_for_repeats() -> None:
    """Words a beat apart in double time, 180 a minute, by different and by the same key."""
    fast = [Strike(number / 3, key) for number, key in enumerate("sssgh")]
    assert presses(fast) == tuple(fast)


def test_a_hand_on_several_keys_is_not_a_held_key() -> None:
    assert presses([Strike(1.0, "a"), Strike(1.5, "f"), Strike(1.51, "g"), Strike(1.52, "h")]) == (
        Strike(1.0, "a"),
        Strike(1.5, "f"),
    )


@given(st.lists(st.floats(0, 20), max_size=40))
def test_what_is_kept_is_far_enough_apart_and_was_struck(times: list[float]) -> None:
    struck = [Strike(time) for time in times]
    kept = presses(struck)
    assert set(kept) <= set(struck)
    assert all(two.time - one.time >= 0.12 for one, two in pairwise(kept))
    assert presses(kept) == kept
