"""What is kept of a terminal, and for which."""

from pathlib import Path

import pytest

from trainer.coach.terminal import (
    Terminal,
    keep_calibration,
    keep_motion,
    keep_sound,
    terminal_here,
    why_not_called,
)
from trainer.paths import Home
from trainer.rhythm.calibration import Calibration

HERE = {"TERM": "xterm-256color", "TERM_PROGRAM": "someterm"}
FOUND = Calibration(-31_000, 22_000, 18)


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def test_nothing_is_known_at_first_and_nothing_is_heard(home: Home) -> None:
    found = terminal_here(home, HERE)
    assert (found.calibration, found.delay, found.still, found.sound, found.remote) == (None, None, False, False, None)


def test_a_calibration_holds_for_its_terminal_alone(home: Home) -> None:
    keep_calibration(home, terminal_here(home, HERE), FOUND)
    assert terminal_here(home, HERE).calibration == FOUND
    assert terminal_here(home, HERE).delay == -0.031
    for other in ({"TERM": "linux"}, HERE | {"TMUX": "/tmp/tmux-0/x"}):
        assert terminal_here(home, other).calibration is None


def test_over_a_remote_link_no_delay_is_used(home: Home) -> None:
    keep_calibration(home, terminal_here(home, HERE), FOUND)
    far = terminal_here(home, HERE | {"SSH_CONNECTION": "192.0.2.1 1 192.0.2.2 22"})
    assert far.remote is not None
    assert far.delay is None
    assert terminal_here(home, HERE, web=True).remote is not None


def test_motion_and_sound_are_kept_on_this_laptop(home: Home) -> None:
    keep_motion(home, True)
    keep_sound(home, True)
    assert terminal_here(home, HERE)[3:] == (True, True)
    keep_motion(home, False)
    keep_sound(home, False)
    assert terminal_here(home, HERE) == Terminal(terminal_here(home, HERE).name)


@pytest.mark.parametrize("text", ["", "[1, 2]", '{"delay_us": "1", "spread_us": 2, "taps": 3}', "{"])
def test_notes_that_cannot_be_read_are_passed_over(home: Home, text: str) -> None:
    from trainer.coach.here import keep_here

    keep_here(home, f"calibration {terminal_here(home, HERE).name}", text)
    assert terminal_here(home, HERE).calibration is None


@pytest.mark.parametrize(
    ("terminal", "cadence", "says"),
    [
        (Terminal("x", "far away"), 120.0, "over a link"),
        (Terminal("x", "far away", FOUND), 120.0, "over a link"),
        (Terminal("x"), 120.0, "nobody has tapped along"),
        (Terminal("x", None, Calibration(260_000, 20_000, 18)), 120.0, "260 ms after the beat"),
        (Terminal("x", None, Calibration(-180_000, 20_000, 18)), 180.0, "180 ms before the beat"),
        (Terminal("x", None, Calibration(0, 60_000, 18)), 180.0, "spread by 60 ms"),
    ],
)
def test_where_no_word_can_be_told_by_its_beat_it_says_why(terminal: Terminal, cadence: float, says: str) -> None:
    assert says in (why_not_called(terminal, cadence) or "")


def test_a_terminal_that_was_set_can_tell_words_by_their_beat_at_any_usual_cadence() -> None:
    """Half a beat is 250 ms at 120 a minute and 167 ms at 180: three spreads of 22 ms, and a delay of 31 ms, fit."""
    for cadence in (60.0, 120.0, 180.0):
        assert why_not_called(Terminal("x", None, FOUND), cadence) is None
    assert why_not_called(Terminal("x", None, Calibration(0, 60_000, 18)), 120.0) is None
