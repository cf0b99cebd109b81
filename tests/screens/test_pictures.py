"""Pictures of the screens that the program opens with, on a deck and a clock of the tests' own."""

from datetime import date
from pathlib import Path

import pytest

from tests.screens.conftest import Snapshot
from tests.screens.opened import NOW, TEST, opened, sat, small_deck, someone
from trainer.coach.here import keep_here
from trainer.paths import Home
from trainer.screens.app import StepcallApp


@pytest.fixture
def home(tmp_path: Path) -> Home:
    """A candidate who sat twice and got some wrong, on a deck of two movements."""
    home = Home(tmp_path / "home")
    candidate = someone(home, "Morgan", str(small_deck(tmp_path / "pier.toml")), TEST, moment=NOW)
    sat(candidate, 10, 2, wrong_every=3)
    sat(candidate, 10, 1)
    candidate.close()
    return home


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (60, 20)])
async def test_today(home: Home, snapshot: Snapshot, size: tuple[int, int]) -> None:
    await snapshot(f"today-{size[0]}x{size[1]}", lambda: opened(home), size)


async def test_today_in_daylight_with_a_test_that_has_passed(home: Home, tmp_path: Path, snapshot: Snapshot) -> None:
    passed = Home(tmp_path / "passed")
    someone(passed, "x" * 40, str(tmp_path / "pier.toml"), date(2026, 11, 20)).close()
    small_deck(tmp_path / "pier.toml", title="[b]A title[/b] that is longer than it should be, " * 3)
    keep_here(passed, "theme", "daylight")
    await snapshot("today-daylight-80x24", lambda: opened(passed), (80, 24))


async def test_no_colour_keeps_everything_legible(
    home: Home, snapshot: Snapshot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    await snapshot("change-no-colour-80x24", lambda: opened(home), (80, 24), "c")


@pytest.mark.parametrize(("name", "key"), [("cautions", "x"), ("help", "question_mark"), ("who", "w")])
async def test_what_today_opens(home: Home, snapshot: Snapshot, name: str, key: str) -> None:
    def make() -> StepcallApp:
        return opened(home)

    await snapshot(f"{name}-80x24", make, (80, 24), key)
