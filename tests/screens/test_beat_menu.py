"""On the beat: reached from Today and from a movement; settings kept; tapping along; the history."""

from pathlib import Path

import pytest

from tests.screens.beating import Hand, page_text
from tests.screens.opened import GUARD, NOW, name_of, opened, shown, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.beat import by_day, calls
from trainer.coach.eye import looks
from trainer.coach.standing import open_standing
from trainer.paths import Home
from trainer.records.drafts import look, timing
from trainer.rhythm.calibration import Calibration
from trainer.screens.beat import BeatScreen
from trainer.screens.beat_history import BeatHistoryScreen, scale_row
from trainer.screens.calibrate import BEATS, CADENCE, CalibrateScreen
from trainer.screens.see import SeeScreen
from trainer.screens.widgets.spans import row_text


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Home:
    for name in ("SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY", "MOSH_IP"):
        monkeypatch.delenv(name, raising=False)
    return Home(tmp_path / "home")


async def test_today_leads_to_calls_and_looks(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b", "enter")
        assert name_of(app) == "BeatScreen"
        await pilot.press("escape", "down", "down", "enter")
        assert name_of(app) == "SeeScreen"
        await pilot.press("escape", "up", "enter")
        assert name_of(app) == "MovementList"
        await pilot.press("down", "enter")
        assert isinstance(app.screen, BeatScreen)
        assert app.screen.movement is not None
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"


async def test_q_goes_back_as_escape_does(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b")
        for name, down in (
            ("BeatScreen", 0),
            ("MovementList", 1),
            ("SeeScreen", 1),
            ("BeatHistoryScreen", 2),
            ("CalibrateScreen", 1),
        ):
            await pilot.press(*["down"] * down, "enter")
            assert name_of(app) == name
            await pilot.press("q")
            assert name_of(app) == "BeatMenuScreen", name
        await pilot.press("q")
        assert name_of(app) == "TodayScreen"


async def test_cautions_come_before_the_first_beat(home: Home) -> None:
    someone(home, cautions=False).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b")
        assert name_of(app) == "CautionsScreen"
        await pilot.press("enter")
        assert name_of(app) == "BeatMenuScreen"


async def test_a_movement_leads_to_its_own_call_and_its_own_faults(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("m", "n", "b")
        assert isinstance(app.screen, BeatScreen)
        movement = app.screen.movement
        await pilot.press("escape", "e")
        assert isinstance(app.screen, SeeScreen)
        assert app.screen.movement is movement is not None


async def test_motion_and_sound_are_settings_of_this_laptop(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert not app.ways.still
        await pilot.press("b", "end", "up", "enter")
        assert app.ways.still
        assert "a word changes in its place" in shown(app)
        assert not app.terminal().sound
        await pilot.press("enter")
        assert not app.ways.still


async def test_taps_along_give_the_delay_of_this_terminal(home: Home) -> None:
    hand, screen = Hand(), CalibrateScreen()
    app = hand.app(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        for beat in range(BEATS):
            assert screen.grid is not None
            due = screen.grid.time_of(float(beat))
            assert due is not None
            hand.go(due + 0.030 + (beat % 2) * 0.010 - hand.now)
            await pilot.press("space")
        hand.go(2 * 60.0 / CADENCE)
        await pilot.pause()
        assert isinstance(screen.found, Calibration)
        assert abs(screen.found.delay - 0.035) < 0.001
        assert "35 ms late" in page_text(screen)
        await pilot.press("space")
        assert isinstance(screen.found, Calibration), "a tap that runs on past the last beat loses nothing"
        hand.go(2 * 60.0 / CADENCE)
        await pilot.press("space")
        assert screen.grid is not None
        await pilot.press("escape")
        assert hand.ticker.due is None


async def test_taps_that_are_few_are_refused_in_a_sentence() -> None:
    hand, screen = Hand(), CalibrateScreen()
    async with hand.app(screen).run_test(size=(80, 24)) as pilot:
        await pilot.press("space")
        hand.go(60.0)
        await pilot.pause()
        assert isinstance(screen.found, str)
        await pilot.press("enter")
        assert screen.is_current, "there is nothing to keep"
        await pilot.press("space")
        assert screen.grid is not None


async def test_a_remote_terminal_is_told_that_only_feet_are_scored(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SSH_CONNECTION", "192.0.2.1 1 192.0.2.2 22")
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("b")
        assert "only the foot of each word is scored" in " ".join(shown(app).split())
        await pilot.press("down", "down", "down", "down", "down", "enter")
        assert name_of(app) == "BeatMenuScreen", "there is nothing to calibrate"
        await pilot.press("home", "enter")
        assert isinstance(app.screen, BeatScreen)
        assert app.screen.remote


async def test_the_history_tells_timing_by_day_and_the_eye(home: Home) -> None:
    candidate = someone(home)
    body = {
        "deck": "harbour-guard",
        "movement": "halt",
        "level": 2,
        "cadence": 108,
        "words": 4,
        "missed": 0,
        "session": "s",
    }
    candidate.log.append_many(
        [
            timing(feet=4, spread_us=40_000, **body),  # type: ignore[arg-type]
            timing(feet=2, spread_us=60_000, **body),  # type: ignore[arg-type]
            look(
                deck="harbour-guard",
                movement="halt",
                shown="",
                said=open_deck(GUARD, home).movement("halt").faults[0].id,
                placed=False,
                speed=100,
                level=1,
                ms=900,
                session="s",
            ),
        ],
        NOW,
    )
    standing = open_standing(candidate, open_deck(GUARD, home), NOW)
    assert by_day(calls(candidate.events(), "harbour-guard"))[0].spread == 50.0
    assert looks(candidate.events(), "harbour-guard")["halt"]
    screen = BeatHistoryScreen(standing, candidate.events())
    async with Hand().app(screen).run_test(size=(80, 24)):
        text = page_text(screen)
    assert "2026-11-24       2           75%     50 ms" in text
    assert "called in 1 of 1 without it; too few to tell yet" in text.replace("\n", " ")
    candidate.close()


def test_the_scale_puts_a_spread_where_it_belongs() -> None:
    assert row_text(scale_row(None, 121)).index("│") == 28
    assert row_text(scale_row(60.0, 121)).index("●") == 60
    assert row_text(scale_row(500.0, 121)).index("●") == 120
