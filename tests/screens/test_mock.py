"""The mock test on the screen: rules first, nothing told between questions, the result at the end."""

from pathlib import Path

import pytest

from tests.screens.conftest import Snapshot
from tests.screens.opened import name_of, opened, shown, small_deck, someone, twice
from trainer.paths import Home
from trainer.quiz.marking import mark
from trainer.quiz.questions import TEXT
from trainer.records.log import Log
from trainer.screens.app import StepcallApp
from trainer.screens.mock import MockScreen


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


@pytest.fixture
def app(tmp_path: Path, home: Home) -> StepcallApp:
    someone(home, deck=str(small_deck(tmp_path / "pier.toml"))).close()
    return opened(home)


def verdicts(home: Home) -> list[object]:
    (path,) = home.records.glob("*.db")
    with Log.open(path) as log:
        return [(event.body["go"], event.body["held"]) for event in log.events() if event.kind == "verdict"]


async def answered(app: StepcallApp, pilot: object, right: bool = True) -> int:
    """Answer to the end; return how many questions it took."""
    asked = 0
    while isinstance(screen := app.screen, MockScreen) and screen.question is not None:
        screen.give(screen.question.answer if right else -1, 2_000)
        asked += 1
        await pilot.pause()  # type: ignore[attr-defined]
        assert asked < 200
    return asked


async def test_who_knows_it_all_is_go(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t")
        await pilot.pause()
        assert "Under test rules" in shown(app)
        assert "2 measures, each tried up to 3 times; 2 right trials make it a GO" in " ".join(shown(app).split())
        await pilot.press("enter")
        await answered(app, pilot)
        assert name_of(app) == "MockEndScreen"
        text = shown(app)
        assert "GO   2 of 2 measures GO, 1 needed" in text
        assert "What was not right" not in text
        await pilot.press("enter")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"
    assert verdicts(home) == [(True, "mock")]


async def test_nothing_is_told_between_the_questions(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, MockScreen)
        for _ in range(3):
            question = screen.question
            assert question is not None
            screen.give(-1, 1_000)
            await pilot.pause()
            text = shown(app)
            assert "Not right" not in text
            assert "Right." not in text
            assert screen.question is not question


async def test_who_misses_all_is_told_what_was_right(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(100, 60)) as pilot:
        await pilot.pause()
        await pilot.press("t", "enter")
        await answered(app, pilot, right=False)
        text = " ".join(shown(app).split())
        assert "NO-GO 0 of 2 measures GO" in text
        assert "What was not right" in text
        assert "right is Forward MARCH" in text
        assert "The next sittings bring back what was missed." in text
    assert verdicts(home) == [(False, "mock")]


async def test_keys_answer_and_a_double_enter_skips_nothing(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, MockScreen)
        while screen.question is not None and screen.question.expects != TEXT:
            screen.give(screen.question.answer, 1_000)
            await pilot.pause()
        before = len(screen.test.answered)
        question = screen.question
        assert question is not None
        await pilot.press(*"forward")
        await twice(pilot, "enter")
        given = screen.test.answered[before]
        assert given == (question, mark(question, "forward"))
        assert len(screen.test.answered) <= before + 1 or screen.test.answered[before + 1][0] is not question


async def test_leaving_gives_no_verdict(app: StepcallApp, home: Home) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, MockScreen)
        screen.give(-1, 1_000)
        await pilot.pause()
        await pilot.press("escape")
        await pilot.pause()
        assert name_of(app) == "MockScreen", "one key does not end a test that cannot go on"
        assert "That ends the test without a verdict" in shown(app)
        screen.give(-1, 1_000)
        await pilot.pause()
        assert "That ends the test" not in shown(app)
        await pilot.press("escape", "escape")
        await pilot.pause()
        assert "No verdict   0 of 2 measures GO" in shown(app)
    assert verdicts(home) == []


async def test_the_first_test_after_the_cautions_counts_on_today_as_well(tmp_path: Path, home: Home) -> None:
    someone(home, deck=str(small_deck(tmp_path / "pier.toml")), cautions=False).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "enter")
        await pilot.pause()
        assert name_of(app) == "MockScreen"
        await pilot.press("enter")
        await pilot.pause()
        screen = app.screen
        assert isinstance(screen, MockScreen)
        screen.give(-1, 1_000)
        await pilot.pause()
        await pilot.press("escape", "escape")
        await pilot.pause()
        await pilot.press("enter")
        await pilot.pause()
        assert "Practised today: 1 question" in shown(app)


async def test_leaving_before_anything_was_answered_goes_straight_back(app: StepcallApp) -> None:
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("t", "escape")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"


async def test_without_a_grade_sheet_no_mock_is_offered(tmp_path: Path, home: Home) -> None:
    someone(home, deck=str(small_deck(tmp_path / "bare.toml", grade_sheet=False))).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "mock test" not in shown(app)
        await pilot.press("t")
        await pilot.pause()
        assert name_of(app) == "TodayScreen"


async def test_its_look(app: StepcallApp, snapshot: Snapshot) -> None:
    await snapshot("mock-rules-80x24", lambda: app, (80, 24), "t")
