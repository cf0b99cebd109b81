"""The roster on the screen: who comes first, what is told of each, the group, and taskings given from it."""

from datetime import date, timedelta
from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.conftest import SmallApp, Snapshot
from tests.screens.opened import GUARD, NOW, TODAY, name_of, opened, sat, shown, small_deck, someone, typed
from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import find_person, open_candidate
from trainer.coach.taskings import Tasking, open_taskings
from trainer.paths import Home
from trainer.quiz.points import points
from trainer.records.clock import Moment
from trainer.records.drafts import trial, verdict
from trainer.screens.app import StepcallApp
from trainer.screens.roster import RosterScreen
from trainer.screens.roster_rows import list_rows
from trainer.screens.widgets.spans import row_text
from trainer.sponsor.advice import GO, WAIT, advice
from trainer.sponsor.kept_rows import rows
from trainer.sponsor.roster import Row


@pytest.fixture
def home(tmp_path: Path) -> Home:
    """Three candidates on a deck of two movements: one graded, one who sat, one who has not begun."""
    home = Home(tmp_path / "home")
    deck = str(small_deck(tmp_path / "pier.toml"))
    ash = someone(home, "Ash", deck, TODAY + timedelta(days=3))
    sat(ash, 12, 2, wrong_every=3)
    yesterday = Moment(NOW.at_ms - 86_400_000, NOW.offset)
    marks = [trial(run="r", measure="halt", number=number, go=go) for number, go in enumerate((True, False, False), 1)]
    ash.log.append_many([*marks, verdict(run="r", go=False)], yesterday)
    ash.close()
    birch = someone(home, "Birch", deck, TODAY + timedelta(days=30))
    sat(birch, 8, 1)
    birch.close()
    someone(home, "Cedar [b]", deck, None).close()
    return home


def id_of(home: Home, handle: str) -> str:
    return find_person(home, handle).id


def held(home: Home, handle: str) -> tuple[Tasking, ...]:
    candidate = open_candidate(home, id_of(home, handle))
    deck = open_deck(candidate.profile.deck, home)
    found = open_taskings(candidate.events(), points(deck), TODAY, deck.id)
    candidate.close()
    return found


def app_of(home: Home) -> StepcallApp:
    app = opened(home, id_of(home, "Birch"))
    app.looks_ahead = False
    return app


async def to_the_roster(pilot: Pilot[None]) -> None:
    await pilot.pause()
    await pilot.press("o")
    await settled(pilot)


async def settled(pilot: Pilot[None]) -> None:
    await pilot.app.workers.wait_for_complete()
    await pilot.pause()
    await pilot.pause()


async def test_who_needs_most_comes_first(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_roster(pilot)
        text = shown(app)
        assert text.index("Ash") < text.index("Birch") < text.index("Cedar [b]")
        screen = app.screen
        assert isinstance(screen, RosterScreen)
        first = screen.advised[0]
        assert (
            f"At 80 % asked for: {int(first.what == GO)} should go this week, {int(first.what == WAIT)} should " in text
        )
        assert "NO-GO 1 d" in text
        assert f"Ash: {first.what}; " in text
        assert "Tuesday 24 November 2026" in text
        await pilot.press("end")
        assert "Cedar [b]: not this week; nothing was asked of him yet." in shown(app)
        await pilot.press("escape")
        assert name_of(app) == "TodayScreen"


async def test_another_chance_asked_for(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_roster(pilot)
        await pilot.press("a")
        await pilot.press("backspace", "backspace")
        await typed(pilot, "1")
        await pilot.press("enter")
        await pilot.pause()
        assert "At 1 % asked for: " in shown(app)
        await pilot.press("a", "0", "0")
        await pilot.press("enter")
        assert "Give the chance in whole percent from 1 to 99" in shown(app)


async def test_one_candidate_in_full_is_read_by_all_models(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(120, 40)) as pilot:
        await to_the_roster(pilot)
        screen = app.screen
        assert isinstance(screen, RosterScreen)
        assert not screen.rows[id_of(home, "Ash")].quick, "his test is this week, so he was read already"
        assert screen.rows[id_of(home, "Birch")].quick
        await pilot.press("down", "enter")
        await settled(pilot)
        text = shown(app)
        assert name_of(app) == "SomeoneScreen"
        assert "Birch" in text
        assert "Pier drill" in text
        assert "pier-drill" not in text
        assert "one model of memory alone so far" not in text
        await pilot.press("escape")
        assert not screen.rows[id_of(home, "Birch")].quick
        await pilot.press("up", "enter")
        await settled(pilot)
        assert "2 of 3 trials NO-GO" in shown(app)
        assert "2026-11-23, on the ground: NO-GO." in shown(app)


async def test_the_group_page(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(120, 40)) as pilot:
        await to_the_roster(pilot)
        await pilot.press("g")
        await pilot.pause()
        text = shown(app)
        assert "2 candidates, 1 with a graded run; 1 not begun yet, left out." in text
        assert "Next drill period, first: " in text
        assert "2 of 3 trials NO-GO" in text


async def test_a_tasking_for_the_marked_ones(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_roster(pilot)
        await pilot.press("space", "space", "t")
        await pilot.pause()
        assert "For Ash, Birch." in shown(app)
        await pilot.press("home", "down", "right", "enter")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await typed(pilot, "Slowly.")
        await pilot.press("enter")
        await pilot.pause()
        assert "Given." in shown(app)
        await pilot.press("enter")
        await settled(pilot)
        assert name_of(app) == "RosterScreen"
        await pilot.press("home")
        assert "Tasking, 3 days left; 0 of " in shown(app)
    for handle in ("Ash", "Birch"):
        (one,) = held(home, handle)
        assert (one.until, one.note) == (date(2026, 11, 27), "Slowly.")
        assert one.work[0].endswith("/words")
    assert not held(home, "Cedar [b]")


async def test_what_cannot_be_given_is_told_and_the_marks_stay(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_roster(pilot)
        await pilot.press("down", "t")
        await pilot.pause()
        await pilot.press("home", "enter")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert name_of(app) == "TaskingScreen"
        assert "Birch: no fault was noted in his last run" in shown(app)
        await pilot.press("escape")
        await pilot.pause()
        assert name_of(app) == "RosterScreen"
    assert not held(home, "Birch")


async def test_a_tasking_shows_on_today_and_is_taken_back(home: Home) -> None:
    app = app_of(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_roster(pilot)
        await pilot.press("down", "enter")
        await settled(pilot)
        await pilot.press("t")
        await pilot.pause()
        for _ in range(3):
            await pilot.press("enter")
            await pilot.pause()
        await pilot.press("enter")
        await settled(pilot)
        assert name_of(app) == "SomeoneScreen"
        assert len(held(home, "Birch")) == 1
        await pilot.press("escape", "escape")
        await settled(pilot)
        assert name_of(app) == "TodayScreen"
        assert "Tasking   3 days left; 0 of " in shown(app)
        await pilot.press("o")
        await settled(pilot)
        await pilot.press("down", "enter")
        await settled(pilot)
        await pilot.press("v")
        await settled(pilot)
        assert not held(home, "Birch")
        await pilot.press("pagedown", "pagedown", "pagedown")
        await pilot.pause()
        assert "None is open; t gives one." in shown(app)


async def test_a_record_that_cannot_be_read_says_so(home: Home) -> None:
    home.record(id_of(home, "Ash")).write_bytes(b"no record at all")
    app = app_of(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await to_the_roster(pilot)
        text = shown(app)
        assert "cannot be read" in text
        assert text.index("Birch") < text.index("cannot be read")
        await pilot.press("end", "space", "t")
        await pilot.pause()
        assert name_of(app) == "RosterScreen", "a record that cannot be read gets no tasking"


@pytest.mark.parametrize("width", [60, 78, 100, 118, 200])
def test_every_row_keeps_to_the_width(width: int) -> None:
    long = Row("id", "A handle that is rather longer than it should be", GUARD, deck_name=GUARD)
    told = [advice(long, 80, TODAY, 60), advice(long._replace(trouble="It is broken. " * 20), 80, TODAY, 60)]
    for row in list_rows(told, 0, {"id"}, TODAY, width, 5)[1:]:
        assert len(row_text(row)) <= width
    if width >= 78:
        assert len(row_text(list_rows(told, 0, {"id"}, TODAY, width, 5)[0])) <= width


def test_a_date_that_is_over_is_not_told_like_a_test_that_was_passed() -> None:
    row = Row("id", "Gull", GUARD, deck_name=GUARD, days=-2)
    (told,) = list_rows([advice(row, 80, TODAY, 60)], 0, set(), TODAY, 80, 5)
    assert "is over" in row_text(told)
    assert "passed" not in row_text(told)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
@pytest.mark.parametrize(("name", "keys"), [("roster", ()), ("roster-group", ("g",)), ("roster-tasking", ("t",))])
async def test_pictures(
    home: Home,
    snapshot: Snapshot,
    monkeypatch: pytest.MonkeyPatch,
    size: tuple[int, int],
    name: str,
    keys: tuple[str, ...],
) -> None:
    """With the records read before the picture is taken, and not beside it."""
    found = rows(home, NOW, processes=1)
    monkeypatch.setattr(RosterScreen, "_sharpen", lambda *_: None)
    monkeypatch.setattr(RosterScreen, "_read", lambda screen: screen._came(found))
    await snapshot(f"{name}-{size[0]}x{size[1]}", lambda: SmallApp(RosterScreen(home, lambda: NOW)), size, *keys)
