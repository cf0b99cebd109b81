"""A run graded on the screen: the gate, one key a trial, undo, a major, and whatever interrupts it."""

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screens.conftest import Snapshot
from tests.screens.opened import name_of, opened, shown, small_deck, someone, typed
from trainer.coach.here import keep_here
from trainer.paths import Home
from trainer.records.log import Log
from trainer.screens.app import StepcallApp
from trainer.screens.run import RunScreen
from trainer.sponsor.graders import keep_grader, sponsored_by


@pytest.fixture
def home(tmp_path: Path) -> Home:
    place = Home(tmp_path / "home")
    someone(place, deck=str(small_deck(tmp_path / "pier.toml"))).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    return place


@pytest.fixture
def app(home: Home) -> StepcallApp:
    return opened(home)


def events_of(home: Home, kind: str) -> list[dict[str, object]]:
    (path,) = home.records.glob("*.db")
    with Log.open(path) as log:
        return [dict(event.body) for event in log.events() if event.kind == kind]


async def begun(app: StepcallApp, pilot: Pilot[None]) -> RunScreen:
    await pilot.pause()
    await pilot.press("d")
    await pilot.pause()
    await pilot.press("enter")
    await pilot.pause()
    await pilot.press("1", "2", "3", "enter")
    await pilot.pause()
    screen = app.screen
    assert isinstance(screen, RunScreen), shown(app)
    return screen


async def test_nothing_begins_before_all_is_checked(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        assert "Sgt Reed, qualified until" in shown(app)
        await pilot.press("enter")
        await pilot.pause()
        assert "Mind the edge of the pier." in shown(app)
        await pilot.press("1", "2", "enter")
        await pilot.pause()
        assert "cautions not checked yet" in shown(app)
        await pilot.press("2", "3", "enter")
        await pilot.pause()
        assert "equipment not checked yet" in shown(app), "a second press takes a check back"
    assert events_of(home, "run") == []


async def test_a_run_to_its_verdict(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        assert "Minors: 0 GO, 2 open. Of the open ones 1 must still be GO, 1 may be NO-GO." in shown(app)
        first = screen.at
        await pilot.press("g", "g")
        await pilot.pause()
        marks = events_of(home, "trial")
        assert [(one["measure"], one["go"], one["grader"]) for one in marks] == [(first, True, "Sgt Reed")] * 2
        for _ in range(4):
            if screen.run_graded.sheet.complete:
                break
            await pilot.press("n")
            await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert "Verdict: GO" in shown(app)
        await pilot.press("escape")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"
    assert events_of(home, "verdict")[0]["go"] is True


async def test_a_fault_by_part_of_its_words_comes_with_the_mark(tmp_path: Path) -> None:
    place = Home(tmp_path / "guard")
    someone(place).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    app = opened(place)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1", "2", "3", "4", "enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, RunScreen), shown(app)
        faults = screen.run_graded.deck.movement(screen.at).faults
        await pilot.press("f")
        await typed(pilot, faults[0].tell[:25])
        await pilot.press("enter")
        await pilot.press("f")
        await typed(pilot, "2")
        await pilot.press("enter")
        await pilot.press("f")
        await typed(pilot, "no such thing")
        await pilot.press("enter")
        await pilot.pause()
        assert "No fault of this measure reads like" in shown(app)
        for _ in "no such thing":
            await pilot.press("backspace")
        await typed(pilot, "99")
        await pilot.press("enter")
        await pilot.pause()
        assert f"There is no fault number 99; the list ends with {len(faults)}." in shown(app)
        assert screen.asking, "what cannot be taken stays to be put right"
        await pilot.press("escape")
        await pilot.pause()
        assert shown(app).count("seen ") == 2
        assert "✓" not in shown(app)
        await pilot.press("n")
        await pilot.pause()
    assert events_of(place, "trial")[0]["faults"] == [faults[0].id, faults[1].id]


async def guard_run(pilot_app: StepcallApp, pilot: Pilot[None]) -> RunScreen:
    """Begin a run by the guard's deck, whose lists are longer than a small window."""
    await pilot.pause()
    for keys in (("d",), ("enter",), ("1", "2", "3", "4", "enter")):
        await pilot.press(*keys)
        await pilot.pause()
    screen = pilot_app.screen
    assert isinstance(screen, RunScreen), shown(pilot_app)
    return screen


@pytest.mark.parametrize("key", ["f", "m"])
async def test_the_list_asked_for_and_the_line_are_both_in_sight(tmp_path: Path, key: str) -> None:
    place = Home(tmp_path / "guard")
    someone(place).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    app = opened(place)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await guard_run(app, pilot)
        sheet = screen.run_graded.deck.grade_sheet
        assert sheet is not None
        measure = max(sheet.minors, key=lambda minor: len(screen.run_graded.deck.movement(minor).faults))
        while screen.at != measure:
            await pilot.press("down")
        await pilot.press(key)
        await pilot.pause()
        listed = screen.query_one("#faults")
        typed_line = screen.query_one("#typed")
        assert typed_line.region.height > 0
        assert typed_line.region.bottom <= 24
        for _ in range(30):
            await pilot.press("down")
        await pilot.pause()
        assert listed.scroll_y == listed.max_scroll_y, "the last number can be reached"
        last = len(sheet.majors) if key == "m" else len(screen.run_graded.deck.movement(measure).faults)
        assert any(row.split()[:1] == [str(last)] for row in shown(app).splitlines()), shown(app)
        assert screen.at == measure, "the measure stays while something is typed"
        await pilot.press("escape", "pagedown")
        await pilot.pause()
        assert listed.scroll_y > 0


@pytest.mark.parametrize("key", ["f", "t", "p", "m"])
async def test_the_measure_stays_while_something_is_typed_for_it(app: StepcallApp, key: str) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        first = screen.at
        await pilot.press(key, "down")
        await pilot.pause()
        assert screen.at == first
        await pilot.press("escape", "down")
        await pilot.pause()
        after = screen.at
        assert after != first
        await pilot.press(key, "up")
        await pilot.pause()
        assert screen.at == after


async def test_undo_takes_the_last_mark_back_by_another_event(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        first = screen.at
        await pilot.press("n", "u")
        await pilot.pause()
        assert screen.at == first
        assert screen.run_graded.sheet.row(first).trials == ()
        await pilot.press("u")
        await pilot.pause()
        assert "There is no mark to take back." in shown(app)
    assert len(events_of(home, "trial")) == 1
    assert len(events_of(home, "correction")) == 1


async def test_an_earlier_mark_is_corrected_by_another_event(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        first = screen.at
        await pilot.press("c")
        await pilot.pause()
        assert "no trial yet that could be corrected" in shown(app)
        await pilot.press("g", "g")
        await pilot.pause()
        assert screen.at != first
        screen.at = first
        await pilot.press("c")
        await pilot.pause()
        assert [trial.go for trial in screen.run_graded.sheet.row(first).trials] == [True, False]
    assert [one["go"] for one in events_of(home, "trial")] == [True, True], "what was marked first stays in the record"
    assert len(events_of(home, "correction")) == 1


async def test_an_interrupted_run_goes_on_where_it_stood(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        await pilot.press("g", "n", "t")
        await typed(pilot, "gusts from the left")
        await pilot.press("enter")
        await pilot.pause()
        before = screen.run_graded.sheet
    again = opened(home)
    async with again.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        assert "Go on with the run of" in shown(again)
        await pilot.press("enter")
        await pilot.pause()
        screen = again.screen  # type: ignore[assignment]
        assert isinstance(screen, RunScreen)
        assert screen.run_graded.sheet.rows == before.rows
        assert "Note: gusts from the left" in shown(again)


async def test_a_major_ends_the_run_at_once_and_training_goes_on(tmp_path: Path) -> None:
    place = Home(tmp_path / "guard")
    someone(place).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    app = opened(place)
    async with app.run_test(size=(80, 40)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1", "2", "3", "4", "enter")
        await pilot.pause()
        await pilot.press("g", "m")
        await typed(pilot, "9")
        await pilot.press("enter")
        await pilot.pause()
        assert "There is no major number 9" in shown(app)
        await pilot.press("backspace")
        await typed(pilot, "1")
        await pilot.press("enter")
        await pilot.pause()
        text = shown(app)
        assert "Verdict: NO-GO" in text
        assert "Major failed: " in text
        await pilot.press("g")
        await pilot.pause()
        assert "1 so far" in " ".join(shown(app).split())
    assert [one["go"] for one in events_of(place, "verdict")] == [False]


async def test_a_sponsor_grades_his_own_only_when_told_to(app: StepcallApp, home: Home) -> None:
    (path,) = home.records.glob("*.db")
    candidate = path.stem
    from tests.screens.opened import NOW
    from trainer.coach.candidate import open_candidate

    record = open_candidate(home, candidate)
    record.set([sponsored_by("Sgt Reed")], NOW)
    record.close()
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert "unless told to" in " ".join(shown(app).split())
        await pilot.press("enter")
        await pilot.pause()
        assert "Give a name; the sheet shows it." in shown(app)
        await typed(pilot, "Lt Marsh")
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1", "2", "3", "enter")
        await pilot.pause()
        assert "told to by Lt Marsh" in shown(app)


async def test_a_grader_whose_qualification_has_ended_is_told_so_at_once(app: StepcallApp, home: Home) -> None:
    keep_grader(home, "Sgt Reed", "2026-01-31")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        assert "Sgt Reed, qualification ended on Saturday 31 January 2026" in shown(app)
        await pilot.press("enter")
        await pilot.pause()
        assert "Sgt Reed's qualification as a grader ended on Saturday 31 January 2026." in " ".join(shown(app).split())
        await typed(pilot, "2026-02-28")
        await pilot.press("enter")
        await pilot.pause()
        assert "ended on Saturday 28 February 2026." in " ".join(shown(app).split()), "a new end that has passed too"
        await typed(pilot, "2027-02-28")
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1", "2", "3", "enter")
        await pilot.pause()
        assert isinstance(app.screen, RunScreen)
    assert len(events_of(home, "run")) == 1


async def test_escape_goes_one_step_back_and_keeps_the_name(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("down", "enter")
        await pilot.pause()
        await typed(pilot, "Lt Quay")
        await pilot.press("enter")
        await pilot.pause()
        assert "Until which day" in shown(app)
        await pilot.press("escape")
        await pilot.pause()
        assert "Lt Quay" in shown(app)
        await pilot.press("escape")
        await pilot.pause()
        assert "Who grades?" in shown(app)
        await pilot.press("q")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"


async def test_what_was_not_checked_is_told_no_longer_than_it_is_so(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1", "enter")
        await pilot.pause()
        assert "not checked yet" in shown(app)
        await pilot.press("2", "3")
        await pilot.pause()
        assert "not checked yet" not in shown(app)


async def test_its_look(app: StepcallApp, snapshot: Snapshot) -> None:
    keys = ("d", "enter", "1", "2", "3", "enter", "g", "n")
    await snapshot("run-80x24", lambda: app, (80, 24), *keys)


async def test_measures_come_in_the_order_of_the_lane_where_one_was_planned(app: StepcallApp, home: Home) -> None:
    keep_here(home, "order pier-drill", "halt,forward,forward,halt,halt,forward")
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert "As the lane planned last, 6 trials in its order" in shown(app)
        await pilot.press("enter")
        await pilot.pause()
        await pilot.press("1", "2", "3", "enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, RunScreen)
        due = [screen.at]
        for _ in range(2):
            await pilot.press("g")
            await pilot.pause()
            due.append(screen.at)
    assert due == ["halt", "forward", "forward"]


async def test_a_run_broken_off_is_told_as_no_no_go_and_can_go_on(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        await pilot.press("g", "b")
        await pilot.pause()
        assert "the weather" in shown(app)
        await pilot.press("9", "enter")
        await pilot.pause()
        assert "There is no reason number 9" in shown(app)
        await pilot.press("backspace", "2", "enter")
        await pilot.pause()
        assert "Broken off (the weather)" in shown(app)
        assert "This is no NO-GO" in shown(app)
        assert [one["why"] for one in events_of(home, "broken off")] == ["weather"]
        assert events_of(home, "verdict") == []
        await pilot.press("u")
        await pilot.pause()
        assert not screen.run_graded.sheet.over
        assert "Broken off" not in shown(app)
        await pilot.press("b", "enter")
        await pilot.pause()
        assert not screen.run_graded.sheet.over, "an empty line goes on with the run"


async def test_nothing_is_asked_for_a_run_that_is_over(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await begun(app, pilot)
        await pilot.press("b", "2", "enter")
        for key in "bpmf":
            await pilot.press(key)
            await pilot.pause()
            assert not screen.asking, key
            assert "This run was broken off; undo that first" in " ".join(shown(app).split())
        assert "f adds one" not in shown(app)
        await pilot.press("t")
        assert screen.asking, "a note can be written afterwards"


async def test_what_is_asked_stands_whole_and_says_no_key_that_only_types(tmp_path: Path) -> None:
    place = Home(tmp_path / "guard")
    someone(place).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    app = opened(place)
    async with app.run_test(size=(80, 24)) as pilot:
        await guard_run(app, pilot)
        assert "f adds one" in shown(app)
        await pilot.press("b")
        await pilot.pause()
        assert "enter on an empty line goes on with it" in " ".join(shown(app).split())
        await pilot.press("escape", "f")
        await pilot.pause()
        assert "f adds one" not in shown(app)


async def test_a_fault_that_is_noted_is_told_by_its_number_and_the_next_list_begins_at_its_head(tmp_path: Path) -> None:
    place = Home(tmp_path / "guard")
    someone(place).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    app = opened(place)
    async with app.run_test(size=(80, 24)) as pilot:
        screen = await guard_run(app, pilot)
        last = len(screen.run_graded.deck.movement(screen.at).faults)
        await pilot.press("f", *str(last), "enter")
        await pilot.pause()
        assert f"with the next mark: {last}" in shown(app), "also where its row is out of sight"
        await pilot.press("pagedown", "down")
        await pilot.pause()
        assert screen.query_one("#faults").scroll_y == 0
        assert "with the next mark" not in shown(app), "the fault was one of the other measure"


async def test_every_caution_can_be_read_before_a_run(tmp_path: Path) -> None:
    place = Home(tmp_path / "guard")
    someone(place).close()
    keep_grader(place, "Sgt Reed", "2027-03-31")
    app = opened(place)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert "↑↓ scroll" in shown(app)
        step = app.screen.query_one("#step")
        await pilot.press(*["down"] * 20)
        await pilot.pause()
        assert step.scroll_y == step.max_scroll_y > 0
        await pilot.press("pageup")
        await pilot.pause()
        assert step.scroll_y < step.max_scroll_y
    app = opened(place)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await pilot.press("d")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert "1 to 4 checked" in shown(app)
        assert "scroll" not in shown(app), "there is nothing to scroll"
