"""The Lane screen: the plan stepped through, another surface, one too small, deck text shown as it is."""

import inspect
import tomllib
from pathlib import Path

import pytest

from tests.screens.conftest import SmallApp, Snapshot
from tests.screens.opened import shown, typed
from trainer.authoring.building import build
from trainer.coach.here import here, keep_here
from trainer.drill.deck import Deck
from trainer.drill.lane.asked import Asked
from trainer.drill.lane.path import treads
from trainer.drill.lane.plan import Plan, plan
from trainer.drill.lane.surface import Place, Surface
from trainer.paths import Home, shipped_decks
from trainer.screens.help import screen_keys
from trainer.screens.lane import LaneScreen
from trainer.screens.lane_rows import command_rows, draw_lane, lane_title
from trainer.screens.notes import Notes
from trainer.screens.widgets.spans import BRASS, row_text

WANTED = {"turn-starboard": 1, "turn-port": 1, "come-about": 1, "halt": 1}


@pytest.fixture(scope="module")
def guard() -> Deck:
    return build(tomllib.loads((shipped_decks() / "harbour_guard_marching.toml").read_text("utf-8")))


@pytest.fixture(scope="module")
def planned(guard: Deck) -> Plan:
    found = plan(guard, Asked(WANTED, Surface(1200.0, 720.0, 6.0), Place(60.0, 360.0, 90.0)))
    assert found is not None
    return found


async def opened(deck: Deck, home: Home, *keys: str, wanted: dict[str, int] | None = None) -> tuple[LaneScreen, str]:
    """Return the screen and its text after some keys; the app has ended."""
    screen = LaneScreen(deck, home, wanted or WANTED)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        for key in keys:
            await pilot.press(key)
        await pilot.pause()
        return screen, shown(app)


@pytest.fixture
def home(tmp_path: Path) -> Home:
    place = Home(tmp_path)
    keep_here(place, "lane", "100 ft x 60 ft")
    return place


async def test_arrows_go_from_command_to_command(guard: Deck, home: Home) -> None:
    screen, text = await opened(guard, home, "right", "right")
    assert screen.plan is not None
    assert screen.number == 2
    assert f"3 of {len(screen.plan.commands)}" in text
    assert guard.movement(screen.plan.commands[2].movement).name in text
    assert (await opened(guard, home, "left"))[0].number == 0
    last, text = await opened(guard, home, "end", "right")
    assert last.plan is not None
    assert last.number == len(last.plan.commands) - 1
    assert (await opened(guard, home, "end", "home"))[0].number == 0


async def test_another_surface_is_typed_and_kept(guard: Deck, home: Home) -> None:
    screen = LaneScreen(guard, home, WANTED)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press("s")
        await pilot.press(*["backspace"] * 20)
        await typed(pilot, "90 ft")
        await pilot.press("enter")
        await pilot.pause()
        assert "two sides" in shown(app)
        await typed(pilot, " x 70 ft")
        await pilot.pause()
        assert "90 ft to the right, 70 ft forward" in shown(app)
        await pilot.press("enter")
        await pilot.pause()
        await app.workers.wait_for_complete()
        await pilot.pause()
        assert screen.plan is not None
        assert (screen.plan.asked.surface.x, screen.plan.asked.surface.y) == pytest.approx((1080, 840))
    assert here(home)["lane"] == "90 ft x 70 ft"


async def test_a_surface_in_metres_is_shown_in_metres(guard: Deck, home: Home) -> None:
    keep_here(home, "lane", "40 m x 20 m")
    _, text = await opened(guard, home)
    assert "40 m x 20 m, margin 0.16 m" in text, "6 in are 0.1524 m, told as no less than they are"
    assert lane_title(guard, Surface(1200.0, 720.0, 6.0), "ft") == "100 ft x 60 ft, margin 6 in"


async def test_a_surface_too_small_says_what_does_not_fit(guard: Deck, home: Home) -> None:
    keep_here(home, "lane", "30 ft x 12 ft")
    screen, text = await opened(guard, home, "right", wanted={"turn-port": 1})
    assert screen.plan is None
    assert "No order was found" in text
    assert "turn-port" in text
    assert "least surface" in text


async def test_a_kept_surface_that_cannot_be_read_is_told(guard: Deck, home: Home) -> None:
    keep_here(home, "lane", "as large as [bold]this[/]")
    _, text = await opened(guard, home)
    assert 'not "as large as [bold]this[/]"' in text


async def test_a_deck_without_a_grade_sheet_is_told(guard: Deck, home: Home) -> None:
    screen = LaneScreen(guard._replace(grade_sheet=None), home)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "has no grade sheet" in shown(app)


async def test_the_script_and_the_cautions_are_shown(guard: Deck, home: Home) -> None:
    screen = LaneScreen(guard, home, WANTED)
    app = SmallApp(screen)
    async with app.run_test(size=(80, 24)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.press("t")
        await pilot.pause()
        assert isinstance(app.screen, Notes)
        text = shown(app)
        assert "grader: Step off" in text
        assert "U+000A" not in text
        first = next(line for line in text.splitlines() if "1. " in line)
        assert "grader" not in first, "what is said stands on lines of its own"
        await pilot.press("escape", "c")
        await pilot.pause()
        assert "blunt sword" in shown(app)


async def test_every_key_of_the_screen_is_told(guard: Deck, home: Home) -> None:
    screen = LaneScreen(guard, home, WANTED)
    async with SmallApp(screen).run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert {does for _, does in screen_keys(screen)} >= {"Next command", "Another surface", "Cautions", "Back"}


def test_the_path_lies_where_the_plan_is(guard: Deck, planned: Plan) -> None:
    """A surface 100 by 60 ft in 100 columns: the start is left of the middle, the command in hand stands out."""
    rows = draw_lane(planned.asked.surface, planned, treads(guard, planned), 1, 100, 30)
    text = [row_text(row) for row in rows]
    (row,) = [number for number, line in enumerate(text) if "S" in line]
    assert row == 15, "60 of 120 dots down"
    assert text[row].index("S") == pytest.approx(5, abs=1), "5 of 100 ft to the right"
    assert any(span.role == BRASS for row in rows for span in row)
    assert {len(line) for line in text} == {100}


def test_a_command_tells_its_words_and_feet(guard: Deck, planned: Plan) -> None:
    number = next(n for n, one in enumerate(planned.commands) if one.movement == "turn-starboard")
    text = "\n".join(row_text(row) for row in command_rows(guard, planned, number, 44, 30))
    assert "trial 1 of 1" in text
    assert "left   TURN" in text
    assert "grader Turn to starboard" in text
    short = command_rows(guard, planned, number, 44, 10)
    assert all(short)


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)], ids=lambda size: "x".join(map(str, size)))
async def test_pictures(guard: Deck, planned: Plan, snapshot: Snapshot, size: tuple[int, int]) -> None:
    class Planned(LaneScreen):
        """The screen with its plan made before, so that the picture waits for nothing."""

        CSS_PATH = str(Path(inspect.getfile(LaneScreen)).with_name("lane.tcss"))

        def _plan(self, text: str) -> None:
            self._planned(planned, treads(guard, planned))

    await snapshot(f"lane-{size[0]}x{size[1]}", lambda: SmallApp(Planned(guard)), size, "right", "right", "right")
