"""Today: what it shows, and what it opens."""

from datetime import date
from pathlib import Path

import pytest

from tests.screens.opened import NOW, name_of, opened, sat, shown, small_deck, someone
from trainer.paths import Home
from trainer.plain import columns
from trainer.records.clock import Moment
from trainer.screens.today import KEYS
from trainer.screens.today_rows import band_rows, whole_reasons, wrapped
from trainer.screens.widgets.spans import row_text


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


async def test_it_says_date_readiness_weakest_and_how_to_start(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        text = shown(app)
    for told in (
        "37 days to the test   Thursday 31 December 2026",
        "Not known yet   chance of a GO under 1 %",
        "Forecast from a model tried on synthetic learners only",
        "Execution",
        "Weakest measures",
        "none of its 7 points asked yet",
        "Nothing practised yet today; 0 of 208 points asked so far.",
        "start: 41 questions, as fit 15 minutes",
    ):
        assert told in text
    assert " ".join(f"{key} {does}" for key, does in KEYS) in " ".join(text.split()), "every key of the screen is told"


async def test_every_size_that_is_allowed_holds_how_to_start(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml", title="A long title " * 20)
    candidate = someone(home, "x" * 40, str(path), date(2026, 11, 1))
    sat(candidate, 12, 2)
    candidate.close()
    small_deck(path, call="Forwards")
    app = opened(home)
    async with app.run_test(size=(60, 20)) as pilot:
        for size in ((60, 20), (61, 23), (80, 24), (100, 30), (140, 50)):
            await pilot.resize_terminal(*size)
            await pilot.pause()
            text = shown(app)
            assert "start: " in text, size
            assert "q quit" in text, size
            assert "has passed" in text, size
            assert "The standard changed" in text, size


async def test_markup_in_a_deck_and_a_handle_is_shown_as_it_is(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml", title="[red]x[/red] [@click=app.quit]y[/]")
    someone(home, "[b]Al[/b]", str(path)).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "[red]x[/red] [@click=app.quit]y[/]" in shown(app)
        assert "[b]Al[/b]" in shown(app)
        await pilot.press("c")
        assert "[b]Al[/b]" in shown(app)
        assert "[red]x[/red]" in shown(app)
        await pilot.press("escape", "x")
        assert "[red]x[/red]" in shown(app)


async def test_a_changed_standard_is_told(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml")
    candidate = someone(home, deck=str(path))
    sat(candidate, 12, 1)
    candidate.close()
    small_deck(path, call="Forwards")
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "The standard changed on a point since you answered; asked anew" in shown(app)
        assert "Forward, march: the words of its command" in shown(app)


async def test_a_deck_without_a_grade_sheet_shows_mean_recall(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml", grade_sheet=False)
    someone(home, deck=str(path)).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Mean recall on the day" in shown(app)
        assert "Weakest movements" in shown(app)
        assert "chance of a GO under" not in shown(app)


async def test_a_deck_that_has_gone_is_told_and_another_can_be_chosen(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml")
    someone(home, deck=str(path)).close()
    path.unlink()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "The deck cannot be used" in shown(app)
        assert "s start" not in shown(app)
        await pilot.press("s", "m", "r", "x")
        assert name_of(app) == "TodayScreen"
        await pilot.press("c", "down", "enter", "up", "up", "enter", "enter")
        await pilot.press("escape")
        await pilot.pause()
        assert "Weakest measures" in shown(app)


async def test_another_day_is_another_today(home: Home) -> None:
    someone(home).close()
    moments = [NOW]
    app = opened(home)
    app.clock = app.desk.clock = lambda: moments[-1]
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        moments.append(Moment(NOW.at_ms + 86_400_000, NOW.offset))
        await pilot.press("x", "escape")
        await pilot.pause()
        assert "Wednesday 25 November 2026" in shown(app)
        assert "36 days to the test" in shown(app)


async def test_cautions_stand_before_the_first_sitting_and_only_then(home: Home) -> None:
    someone(home, cautions=False).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("s")
        assert name_of(app) == "CautionsScreen"
        assert "I have read them" in shown(app)
        await pilot.press("escape")
        assert name_of(app) == "TodayScreen"
        await pilot.press("enter", "enter")
        await pilot.pause()
        assert name_of(app) == "SessionScreen"


async def test_numbers_move_after_a_sitting(home: Home) -> None:
    candidate = someone(home)
    sat(candidate, 10, 1)
    candidate.close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        before = shown(app)
        await pilot.press("s")
        await pilot.pause()
        assert app.desk.candidate is not None
        sat(app.desk.candidate, 5, 0)
        app.pop_screen()
        await pilot.pause()
        await pilot.pause()
        assert "Practised today: 5 questions" in shown(app)
        assert "Practised today" not in before


@pytest.mark.parametrize("width", [60, 78, 96])
def test_the_band_stands_where_its_numbers_say(width: int) -> None:
    line, rule = band_rows(0.25, 0.5, 0.75, width)
    text = row_text(line)
    last = width - 1
    assert len(text) == width
    assert text.index("●") == round(0.5 * last)
    assert (text.index("━"), text.rindex("━")) == (round(0.25 * last), round(0.75 * last))
    assert row_text(rule).split() == ["0", "25", "50", "75", "100", "%"]


def test_the_ends_of_the_band_stay_on_the_line() -> None:
    assert row_text(band_rows(0.0, 0.0, 0.0, 40)[0])[0] == "●"
    assert row_text(band_rows(1.0, 1.0, 1.0, 40)[0])[-1] == "●"


@pytest.mark.parametrize("text", ["one two three four", "x" * 95, "a " + "y" * 50 + " b", "日本語の文字列です" * 5, ""])
@pytest.mark.parametrize("width", [5, 10, 31])
def test_wrapping_loses_nothing_and_keeps_the_width(text: str, width: int) -> None:
    lines = wrapped(text, width)
    assert "".join("".join(lines).split()) == "".join(text.split())
    assert all(columns(line) <= width for line in lines)


def test_reasons_are_told_whole_or_not_at_all() -> None:
    reasons = ["4 of 5 points never asked", "weakest: the words of its command, recall 21 %"]
    both = "; ".join(reasons)
    assert whole_reasons(reasons, columns(both)) == both
    assert whole_reasons(reasons, columns(both) - 1) == reasons[0]
    assert columns(whole_reasons(reasons, 12)) <= 12
    assert whole_reasons(reasons, 12).startswith("4 of 5"), "one that is too long alone is cut"
    assert whole_reasons([], 12) == ""


async def test_it_says_what_tonight_is_for_once_that_is_planned(home: Home) -> None:
    someone(home).close()
    app = opened(home)
    app.looks_ahead = True
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(400):
            await pilot.pause(0.05)
            if "For " in shown(app):
                break
        text, deck = shown(app), app.desk.deck
    assert deck is not None
    line = next(line for line in text.splitlines() if line.strip().startswith("For "))
    names = [movement.name for movement in deck.movements]
    assert any(name in line for name in names)
