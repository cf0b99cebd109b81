"""The readiness screen: every measure, both orders, the curve, the text, decks without a sheet, no history."""

import re
from pathlib import Path

import pytest
from textual.app import App

from tests.coach.sitting import START, candidate_in, later, sit
from tests.screens.conftest import SmallApp, Snapshot
from tests.screens.opened import shown as shown_by_ours
from trainer.coach.candidate import Candidate
from trainer.coach.standing import Standing, open_standing
from trainer.coach.words import HONESTY, percent
from trainer.drill.deck import Deck
from trainer.records.drafts import trial
from trainer.screens.movement import MovementScreen
from trainer.screens.player import PlayerScreen
from trainer.screens.readiness import ReadinessScreen
from trainer.screens.readiness_rows import head_row, lines_of, list_rows, told_rows
from trainer.screens.widgets.spans import row_text

Known = tuple[Candidate, Deck]


def shown(app: App[None]) -> str:
    return shown_by_ours(app)


@pytest.fixture(scope="module")
def practised(tmp_path_factory: pytest.TempPathFactory) -> Known:
    candidate, deck = candidate_in(tmp_path_factory.mktemp("practised"))
    for day in range(3):
        sit(candidate, deck, later(days=day), 25, seed=day)
    candidate.log.append_many(
        [trial(run="r", measure="halt", number=n, go=n > 1) for n in (1, 2, 3, 4)], later(days=2, seconds=4000)
    )
    return candidate, deck


def opened(known: Known, days: float = 3) -> tuple[ReadinessScreen, Standing]:
    candidate, deck = known
    standing = open_standing(candidate, deck, later(days=days))
    return ReadinessScreen(candidate, standing, lambda: later(days=days)), standing


async def curve_drawn(app: App[None], pilot: object) -> None:
    for _ in range(400):
        await pilot.pause(0.05)  # type: ignore[attr-defined]
        if re.search(r"test \d", shown(app)):
            return


async def test_it_tells_the_forecast_of_every_measure(practised: Known) -> None:
    screen, standing = opened(practised)
    outlook = standing.outlook(practised[0], later(days=3))
    app = SmallApp(screen)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause()
        await curve_drawn(app, pilot)
        text = shown(app)
    for one in outlook.measures:
        row = next(line for line in text.splitlines() if one.name[:30] in line and "%" in line)
        assert percent(one.execution) in row
        assert row.count(percent(one.go)) >= 1
        if one.knowledge is not None:
            assert percent(one.knowledge) in row
            assert f"{one.asked} of {one.points}" in row
    assert "3 of 4 GO" in text
    assert "majors, none of which may fail" in text
    assert "23 days to the test" in text
    assert "test 23" in text
    flat = " ".join(text.split())
    assert f"{outlook.asked} of {outlook.total} points asked" in flat
    for word in ("assumed where no trial was seen", "49 of 50", "no person has been measured"):
        assert all(part in text for part in word.split()), word
    assert not re.search(r"(?<![\d>])(0|100) %", text), "nothing is impossible or certain"


async def test_most_at_risk_first_or_as_on_the_sheet(practised: Known) -> None:
    screen, standing = opened(practised)
    sheet = practised[1].grade_sheet
    assert sheet is not None
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        chances = {one.id: one.go for one in standing.outlook(practised[0], later(days=3)).measures}
        listed = [line.movement for line in screen.lines() if line.movement]
        assert [chances[one] for one in listed] == sorted(chances[one] for one in listed)
        await pilot.press("down", "down")
        chosen = screen.lines()[screen.at]
        await pilot.press("s")
        assert [line.movement for line in screen.lines() if line.movement] == list(sheet.minors)
        assert screen.lines()[screen.at] == chosen, "what was chosen stays chosen"
        await pilot.press("s")
        assert [line.movement for line in screen.lines() if line.movement] == listed


async def test_enter_opens_the_movement_and_a_major_has_none(practised: Known) -> None:
    screen, _ = opened(practised)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("down", "enter")
        opened_screen = app.screen
        assert isinstance(opened_screen, MovementScreen)
        assert opened_screen.movement.id == screen.lines()[1].movement
        await pilot.press("escape")
        await pilot.press(*["down"] * 20)
        assert "a major: no movement to open" in shown(app)
        await pilot.press("enter")
        assert app.screen is screen


async def test_v_plays_the_movement_of_the_chosen_measure_and_a_major_has_none(practised: Known) -> None:
    screen, standing = opened(practised)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "v play" in shown(app)
        await pilot.press("down", "v")
        await pilot.pause()
        player = app.screen
        assert isinstance(player, PlayerScreen)
        assert player.shown.title == standing.deck.movement(screen.lines()[1].movement).name
        await pilot.press("v")
        await pilot.pause()
        assert app.screen is screen
        await pilot.press(*["down"] * 20, "v")
        await pilot.pause()
        assert app.screen is screen


async def test_the_text_tells_all_of_it_and_can_be_copied(practised: Known) -> None:
    screen, standing = opened(practised)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await curve_drawn(app, pilot)
        await pilot.press("t")
        assert "Morgan: Marching test, Harbour Guard; 23 days to the test." in shown(app)
        lines = screen.table_lines()
        await pilot.press("c")
        assert app.clipboard == "\n".join(lines)
        await pilot.press("escape")
        assert app.screen is screen
        assert "knowledge" in shown(app)
        await pilot.press("escape")
        assert app.screen is not screen
    text = "\n".join(lines)
    for one in standing.outlook(practised[0], later(days=3)).measures:
        assert one.name in text
    assert HONESTY in text
    days = [line for line in lines if line.startswith("day ")]
    assert len(days) == 13
    assert all("with the sittings planned" in day and "if nothing more is practised" in day for day in days)
    assert any(line.startswith("By your habit") for line in lines)
    assert "Past forecasts against what happened" in lines
    assert any("(test)" in line for line in lines)


async def test_without_answers_and_without_a_date(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path, test_on=None)
    screen, _ = opened((candidate, deck), days=0)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause(0.2)
        text = shown(app)
        assert "Not known yet. Chance of a GO: under 1 %. No test date." in text
        assert "0 of 208 points asked." in " ".join(text.split())
        assert "if nothing more is practised" not in text, "there is no date to draw a curve to"


async def test_a_deck_without_a_grade_sheet_lists_movements(practised: Known) -> None:
    candidate, deck = practised
    screen, standing = opened((candidate, deck._replace(grade_sheet=None)))
    app = SmallApp(screen)
    async with app.run_test(size=(120, 40)) as pilot:
        await pilot.pause(0.2)
        text = shown(app)
        assert "No grade sheet in this deck" in text
        for one in standing.movements(candidate, later(days=3)):
            row = next(line for line in text.splitlines() if line.strip(" ▸").startswith(f"{one.name}  "))
            assert percent(one.recall) in row
            assert f"{one.asked} of {one.points}" in row
        await pilot.press("enter")
        assert isinstance(app.screen, MovementScreen)


@pytest.mark.parametrize("width", [58, 78, 118])
def test_no_row_is_wider_than_its_place(practised: Known, width: int) -> None:
    candidate, deck = practised
    moment = later(days=3)
    for one in (deck, deck._replace(grade_sheet=None)):
        standing = open_standing(candidate, one, moment)
        outlook = standing.outlook(candidate, moment)
        lines = lines_of(outlook, standing.movements(candidate, moment), True, width >= 100)
        rows = [head_row(outlook, width), *list_rows(outlook, lines, 3, width, 50), *told_rows(outlook, 38)]
        assert max(len(row_text(row)) for row in rows) <= width
        assert len(told_rows(outlook, 38)) <= 8, "as many rows as it has beside the curve"


@pytest.mark.parametrize("at", range(0, 17, 4))
def test_what_is_chosen_is_in_sight(practised: Known, at: int) -> None:
    candidate, deck = practised
    outlook = open_standing(candidate, deck, START).outlook(candidate, START)
    lines = lines_of(outlook, (), True, False)
    rows = [row_text(row) for row in list_rows(outlook, lines, at, 78, 6)]
    assert len(rows) == 6
    assert sum(row.startswith("▸ ") for row in rows) == (not lines[at].heading)


async def test_pictures(snapshot: Snapshot, practised: Known) -> None:
    # After the test date nothing is planned, so that no picture hangs on when a plan is made.
    await snapshot("readiness-text-80x24", lambda: SmallApp(opened(practised, days=40)[0]), (80, 24), "t")
    await snapshot("readiness-none-80x24", lambda: SmallApp(opened(practised, days=40)[0]), (80, 24), "down")
