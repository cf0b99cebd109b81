"""Change: handle, deck, date, minutes at any time; every change is an event."""

from datetime import date
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.screens.opened import ARMY, GUARD, TEST, name_of, opened, sat, shown, small_deck, someone, twice, typed
from trainer.coach.candidate import Profile, find_person
from trainer.paths import Home


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


async def emptied(pilot: Pilot[None]) -> None:
    await pilot.press("end", "ctrl+u")


@pytest.mark.parametrize("keys", [(), ("enter",), ("down", "enter"), ("end", "enter")])
async def test_q_goes_back_where_it_is_not_typed(home: Home, keys: tuple[str, ...]) -> None:
    someone(home, "Morgan").close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", *keys)
        await pilot.pause()
        typing = isinstance(app.focused, Input)
        await pilot.press("escape" if typing else "q")
        await pilot.pause()
        assert name_of(app) == ("ChangeScreen" if keys else "TodayScreen")
        assert app.is_running


async def test_handle_date_and_minutes_change(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", "enter")
        await emptied(pilot)
        await typed(pilot, "Robin")
        await pilot.press("enter", "down", "down", "enter")
        await emptied(pilot)
        await typed(pilot, "2027-01-15")
        await pilot.press("enter", "down", "enter")
        await emptied(pilot)
        await typed(pilot, "30")
        await pilot.press("enter")
        for told in ("Robin", "Friday 15 January 2027", "30"):
            assert told in shown(app)
        await pilot.press("escape")
        await pilot.pause()
        assert "52 days to the test" in shown(app)
        assert "as fit 30 minutes" in shown(app)
    assert find_person(home, "Robin").profile == Profile("Robin", GUARD, date(2027, 1, 15), 30)


async def test_a_second_enter_that_is_under_way_already_closes_nothing_else(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", "enter")
        await emptied(pilot)
        await typed(pilot, "Robin")
        await twice(pilot, "enter")
        assert app.is_running
        assert "Robin" in shown(app)
    assert find_person(home, "Robin").profile.handle == "Robin"


async def test_a_new_date_that_has_passed_leaves_the_old_one(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", "down", "down", "enter")
        await emptied(pilot)
        await typed(pilot, "2026-11-01")
        await pilot.press("enter")
        assert "has passed" in shown(app)
        await pilot.press("escape")
        assert "Thursday 31 December 2026" in shown(app)
    assert find_person(home, "Morgan").profile.test_date == TEST


async def test_another_deck_asks_for_its_cautions_once(home: Home) -> None:
    candidate = someone(home)
    sat(candidate, 5, 1)
    candidate.close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", "down", "enter", "up", "enter")
        assert name_of(app) == "CautionsScreen"
        await pilot.press("escape")
        assert "were not acknowledged" in shown(app)
        assert app.desk.deck is not None
        assert app.desk.deck.id == GUARD
        await pilot.press("enter", "up", "enter", "enter")
        await pilot.pause()
        assert "Individual drill, US Army" in shown(app)
        await pilot.press("enter", "down", "enter")
        await pilot.pause()
        assert name_of(app) == "ChangeScreen", "going back to the first deck asks nothing"
        await pilot.press("escape")
        await pilot.pause()
        assert "0 of 208 points asked" not in shown(app), "answers on a deck come back with it"
        assert "of 208 points asked" in shown(app)


async def test_a_bad_deck_leaves_the_old_one(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "bad.toml")
    text = path.read_text("utf-8").replace('place = "step"', 'place = "stp"', 1)
    path.write_text(text, "utf-8")
    line = text[: text.index("stp")].count("\n") + 1
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("c", "down", "enter", "end", "enter")
        await typed(pilot, str(path))
        await pilot.press("enter")
        assert "cannot be used; nothing was changed" in shown(app).replace("\n", " ")
        assert f"line {line}, column" in shown(app)
        await pilot.press("escape", "escape", "escape")
        await pilot.pause()
        assert "Marching test, Harbour Guard" in shown(app)
    assert find_person(home, "Morgan").profile.deck == GUARD


async def test_a_record_that_cannot_be_written_says_so(home: Home) -> None:
    candidate = someone(home, deck=ARMY)
    candidate.close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        home.record(candidate.id).unlink()
        await pilot.press("c", "down", "down", "down", "enter")
        await emptied(pilot)
        await typed(pilot, "30")
        await pilot.press("enter")
        assert candidate.id[:8] in "".join(shown(app).split()), "however the path is broken into lines"
        assert "15" in shown(app)
