"""Tapping along on a terminal whose delay is known, and terminals known from their environment."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.rhythm.calling import flank_exercise, struck
from tests.rhythm.tappers import Tapper, strikes
from trainer.rhythm.calibration import TAPS, Calibration, calibrate, kept, remote_link, terminal_name
from trainer.rhythm.calls import read_call
from trainer.rhythm.grid import grid_from
from trainer.rhythm.timing import Strike

GRID = grid_from(100.0, 100.0)


def tapping(delay: float, seed: int, taps: int = TAPS) -> list[Strike]:
    late = Tapper(0.4, 10.0, 5.0, delay).late(taps, random.Random(seed))
    return strikes(GRID, range(4, 4 + taps), late)


@pytest.mark.parametrize("delay", [-60.0, -40.0, 0.0, 35.0, 120.0])
def test_the_delay_of_a_terminal_is_found(delay: float) -> None:
    """One calibration is off by chance; the middle of many is within a millisecond."""
    found = [calibrate(GRID, tapping(delay, seed)) for seed in range(200)]
    assert all(isinstance(one, Calibration) for one in found)
    delays = [one.delay_us / 1000 for one in found if isinstance(one, Calibration)]
    assert sum(delays) / len(delays) == pytest.approx(delay, abs=1.0)
    assert max(abs(one - delay) for one in delays) < 20.0


def test_the_first_taps_do_not_count_and_a_stray_one_hardly() -> None:
    taps = tapping(-40.0, 3)
    early = [Strike(strike.time + 0.2) for strike in taps[:4]]
    stray = [*taps[4:10], Strike(taps[10].time + 0.18), *taps[11:]]
    clean, found = calibrate(GRID, taps), calibrate(GRID, [*early, *stray])
    assert isinstance(clean, Calibration)
    assert isinstance(found, Calibration)
    assert found.delay == pytest.approx(clean.delay, abs=0.006)
    assert found.taps == TAPS - 4


@pytest.mark.parametrize("taps", [0, 1, 15])
def test_too_few_taps_are_refused(taps: int) -> None:
    found = calibrate(GRID, tapping(0.0, 1, taps))
    assert isinstance(found, str)
    assert f"There were {max(taps - 4, 0)} taps" in found


def test_taps_on_one_beat_are_not_many_beats() -> None:
    assert isinstance(calibrate(GRID, [Strike(105.0 + number * 0.15) for number in range(20)]), str)


def test_taps_at_random_are_refused() -> None:
    rng = random.Random(2)
    taps = [Strike(strike.time + rng.uniform(-0.25, 0.25)) for strike in tapping(0.0, 4)]
    found = calibrate(GRID, taps)
    assert isinstance(found, str)
    assert "spread too widely" in found


def test_taps_between_the_beats_are_refused() -> None:
    found = calibrate(GRID, tapping(270.0, 4))
    assert isinstance(found, str)
    assert "after the beat" in found


def test_a_calibrated_mean_is_one_against_the_calibration() -> None:
    """On a terminal that is 80 ms late a person who taps as he did when it was calibrated is neither early nor late."""
    made = flank_exercise()
    grid = grid_from(0.0, made.cadence)
    keys = [strike._replace(time=strike.time + 0.08) for strike in struck(made, grid, 12)]
    found = read_call(made, grid, keys, delay=0.08)
    assert found.timing is not None
    assert found.timing.mean == pytest.approx(0.0, abs=1e-6)
    unknown = read_call(made, grid, keys)
    assert unknown.timing is not None
    assert unknown.timing.mean is None


@given(st.integers(-2_000_000, 2_000_000), st.integers(0, 75_000), st.integers(1, 100))
def test_what_is_kept_is_read_again(delay: int, spread: int, taps: int) -> None:
    made = Calibration(delay, spread, taps)
    assert kept(made.plain) == made


@pytest.mark.parametrize(
    "data",
    [
        None,
        3,
        [],
        {},
        {"delay_us": 1, "spread_us": 2},
        {"delay_us": 1.5, "spread_us": 2, "taps": 16},
        {"delay_us": True, "spread_us": 2, "taps": 16},
        {"delay_us": "1", "spread_us": 2, "taps": 16},
        {"delay_us": 10**9, "spread_us": 2, "taps": 16},
        {"delay_us": 1, "spread_us": -2, "taps": 16},
        {"delay_us": 1, "spread_us": 2, "taps": 0},
    ],
)
def test_what_is_no_calibration_is_none(data: object) -> None:
    assert kept(data) is None


def test_each_terminal_has_a_name_of_its_own() -> None:
    kinds = [
        {},
        {"TERM": "xterm-256color"},
        {"TERM": "xterm-256color", "TERM_PROGRAM": "Terminal One"},
        {"TERM": "xterm-256color", "TERM_PROGRAM": "Terminal One", "TMUX": "/tmp/x,1,0"},
        {"TERM": "xterm-256color", "TERM_PROGRAM": "Terminal One", "STY": "1.pts"},
    ]
    names = [terminal_name(kind) for kind in kinds]
    assert len(set(names)) == len(kinds)
    assert names[0] == "unknown/unknown/direct"
    assert names[2] == "xterm-256color/Terminal_One/direct"


@given(st.text(), st.text())
def test_a_name_is_short_and_plain_whatever_the_environment_says(term: str, program: str) -> None:
    name = terminal_name({"TERM": term, "TERM_PROGRAM": program})
    assert len(name) <= 140
    assert name.isprintable()
    assert name.count("/") == 2


@pytest.mark.parametrize(
    ("environment", "web", "remote"),
    [
        ({}, False, False),
        ({"SSH_CONNECTION": ""}, False, False),
        ({"SSH_CONNECTION": "10.0.0.2 1 10.0.0.1 22"}, False, True),
        ({"SSH_TTY": "/dev/pts/1"}, False, True),
        ({}, True, True),
    ],
)
def test_links_whose_delay_varies_are_recognised(environment: dict[str, str], web: bool, remote: bool) -> None:
    assert (remote_link(environment, web) is not None) == remote
