"""The first run: who, deck, date, minutes, cautions."""

from datetime import date
from pathlib import Path

import pytest

from tests.screens.opened import ARMY, TEST, name_of, opened, shown, small_deck, someone, twice, typed
from trainer.coach.candidate import find_person, people
from trainer.paths import Home


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


async def test_a_newcomer_gets_to_today_by_keys_alone(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        assert "Who are you?" in shown(app)
        await pilot.press(*"Robin", "enter")
        assert "Which deck?" in shown(app)
        assert "21 movements" in shown(app)
        await pilot.press("enter")
        await typed(pilot, "2026-12-31")
        assert "Thursday 31 December 2026, in 37 days" in shown(app)
        await pilot.press("enter")
        assert "How long a day?" in shown(app)
        await pilot.press("backspace", "backspace", *"20", "enter")
        assert "unit's own standard and qualified instruction come first" in shown(app)
        assert not people(home), "nothing is written before the cautions are read"
        await pilot.press("enter")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"
        assert "37 days to the test" in shown(app)
        assert app.desk.cautions_read()
    profile = find_person(home, "Robin").profile
    assert (profile.deck, profile.test_date, profile.minutes) == (ARMY, TEST, 20)


async def test_help_tells_of_scrolling_where_it_does_not_fit_and_only_there(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 22)) as pilot:
        await pilot.pause()
        await typed(pilot, "Morgan")
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("f1")
        await pilot.pause()
        assert "mouse to copy text" not in shown(app)
        assert "↑↓ scroll" in shown(app)
        await pilot.press("end")
        await pilot.pause()
        assert "mouse to copy text" in shown(app)
        for height, scrolls in ((40, False), (20, True)):
            await pilot.resize_terminal(80, height)
            await pilot.pause()
            assert ("↑↓ scroll" in shown(app)) is scrolls, height


async def test_a_second_enter_that_is_under_way_already_skips_no_step(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin")
        await twice(pilot, "enter")
        assert "2 of 5" in shown(app)
        await pilot.press("enter")
        await typed(pilot, "2026-12-31")
        await pilot.press("enter", "enter")
        assert "5 of 5" in shown(app)
        await twice(pilot, "enter")
        assert name_of(app) != "WelcomeScreen"
    assert [person.profile.handle for person in people(home)] == ["Robin"]


async def test_escape_goes_back_and_keeps_what_was_given(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin", "enter", "down", "enter")
        await typed(pilot, "2026-12-31")
        await pilot.press("enter", "escape")
        assert "2026-12-31" in shown(app)
        await pilot.press("escape", "escape")
        assert "Robin" in shown(app)
        await pilot.press("escape")
    assert app.return_code == 0
    assert not home.root.exists() or not people(home)


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("2026-11-23", "Monday 23 November 2026 has passed"),
        ("2062-12-31", "more than three years away"),
        ("31.12.2026", "A date is written year-month-day"),
        ("2027-02-29", "There is no such day as 2027-02-29"),
        ("2026-13-1", "There is no such day"),
        ("", "Type the day of the test, like 2027-01-23."),
        ("[red]x", "A date is written year-month-day"),
    ],
)
async def test_a_date_that_cannot_be_is_refused_in_a_sentence(home: Home, text: str, sentence: str) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin", "enter", "enter")
        await typed(pilot, text)
        await pilot.press("enter")
        assert sentence in shown(app)
        assert "When is the test?" in shown(app)


async def test_a_month_and_a_day_may_have_one_digit(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin", "enter", "enter")
        assert "like 2027-01-23" in shown(app)
        await typed(pilot, "2026-12-7")
        assert "Monday 7 December 2026, in 13 days" in shown(app)


async def test_the_day_of_the_test_itself_is_taken(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin", "enter", "enter")
        await typed(pilot, "2026-11-24")
        assert "that is today" in shown(app)
        await pilot.press("enter")
        assert "How long a day?" in shown(app)


@pytest.mark.parametrize("text", ["", "0", "241", "a", "1.5", "-3", "９"])
async def test_minutes_are_whole_and_within_a_day(home: Home, text: str) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin", "enter", "enter")
        await typed(pilot, "2026-12-31")
        await pilot.press("enter", "backspace", "backspace")
        if text:
            await typed(pilot, text)
        await pilot.press("enter")
        assert "Give whole minutes from 1 to 240." in shown(app)


@pytest.mark.parametrize(
    ("handle", "sentence"),
    [("", "Give a handle"), ("x" * 41, "too long"), ("morgan", "is called morgan already")],
)
async def test_a_handle_must_be_usable_and_free(home: Home, handle: str, sentence: str) -> None:
    someone(home, "Morgan").close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("w", "down", "enter")
        if handle:
            await typed(pilot, handle)
        await pilot.press("enter")
        assert sentence in shown(app)
        assert "1 of 5" in shown(app)


async def own_file(pilot, path: str) -> None:  # type: ignore[no-untyped-def]
    await pilot.press(*"Robin", "enter", "down", "down", "enter")
    await typed(pilot, path)
    await pilot.press("enter")
    await pilot.pause()


async def test_a_deck_file_is_taken_by_its_path(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "decks" / "pier drill.toml")
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await own_file(pilot, str(path))
        assert "When is the test?" in shown(app)
        await typed(pilot, "2027-01-15")
        await pilot.press("enter", "enter")
        assert "Mind the edge of the pier." in shown(app)
        await pilot.press("enter")
        await pilot.pause()
        assert "Pier drill" in shown(app)
    profile = find_person(home, "Robin").profile
    assert (profile.deck, profile.test_date) == (str(path), date(2027, 1, 15))


async def test_a_missing_deck_is_told_and_leaves_everything_as_it_was(home: Home, tmp_path: Path) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await own_file(pilot, str(tmp_path / "none.toml"))
        assert "Nothing was changed." in shown(app).replace("\n", " ")
        assert "Which deck?" in shown(app)
        await pilot.press("escape")
        assert "Which deck?" in shown(app), "escape goes from the path to the list first"
        await pilot.press("enter")
        assert app.focused is not None
    assert not home.records.is_dir()


async def test_a_bad_deck_shows_every_sentence_by_line_to_scroll_through(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "bad.toml")
    wrong = (
        path.read_text("utf-8").replace('place = "step"', 'place = "stp"').replace('turn = "none"', 'turns = "none"')
    )
    path.write_text(wrong + '\n[oddity]\nx = 1\n[other]\ny = "[red]z"\n', "utf-8")
    app = opened(home)
    async with app.run_test(size=(80, 22)) as pilot:
        await own_file(pilot, str(path))
        first = shown(app)
        assert "problems and cannot be used; nothing was changed" in first.replace("\n", " ")
        assert "line " in first
        await pilot.pause()
        assert "↑↓ scroll" in shown(app)
        await pilot.press("pagedown", "pagedown", "pagedown")
        assert shown(app) != first, "the list of problems scrolls while the path keeps the keys"
        await pilot.press("up")
        assert "↑↓ choose" not in shown(app), "what is wrong scrolls up first"
    assert not home.records.is_dir()


async def test_up_goes_from_the_path_back_to_the_list(home: Home) -> None:
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await own_file(pilot, "no-such-deck.toml")
        await pilot.pause()
        assert "↑ list" in shown(app)
        await pilot.press("up")
        await pilot.pause()
        assert "↑↓ choose" in shown(app)
        await pilot.press("up", "enter")
        await pilot.pause()
        assert "When is the test?" in shown(app)


async def test_control_characters_in_a_deck_never_reach_the_screen(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "escape.toml")
    path.write_bytes(path.read_bytes().replace(b"Pier drill", b"Pier \x1b[31mdrill"))
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await own_file(pilot, str(path))
        assert "cannot be used" in shown(app)
        assert "\x1b" not in shown(app)


async def test_a_record_that_cannot_be_made_says_why_and_stays(home: Home) -> None:
    home.root.parent.mkdir(exist_ok=True)
    home.root.write_text("a file where the folder should be", "utf-8")
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press(*"Robin", "enter", "enter")
        await typed(pilot, "2026-12-31")
        await pilot.press("enter", "enter", "enter")
        assert "cannot be used" in shown(app)
        assert "5 of 5" in shown(app)
