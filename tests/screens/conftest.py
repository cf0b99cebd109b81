"""Fixtures for the tests of the screens.

`deck` is a small invented standard (`quay_guard.toml` beside this file) with every place of a foot, a half
beat, cues, a sword and a second speaker. `small_app(screen)` is an app in the program's look that shows one screen.

`snapshot` compares what an app shows with a picture stored under `snapshots/`:

    async def test_the_screen(snapshot):
        await snapshot("movement-80x24", lambda: small_app(MyScreen(...)), (80, 24), "right", "down")

The app is made by the function, run at that size, the keys are pressed, and its SVG is compared after the random
ids in it are replaced. `UPDATE_SNAPSHOTS=1 pytest tests/screens` writes the pictures anew; look at them before they
are committed. A picture that differs is left beside the stored one as `NAME.now.svg`. Screens under test must not
show the time, paths or a blinking cursor.
"""

import os
import re
import tomllib
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.app import App
from textual.screen import Screen

from trainer.authoring.building import build
from trainer.drill.deck import Deck
from trainer.screens.themes import ParadeGround

HERE = Path(__file__).parent
STORED = HERE / "snapshots"
Snapshot = Callable[..., Awaitable[None]]


class SmallApp(ParadeGround):
    """An app in the program's look that shows one screen."""

    def __init__(self, screen: Screen[Any], theme: str = "parade") -> None:
        super().__init__(theme=theme)
        self._shown = screen

    def on_mount(self) -> None:
        self.push_screen(self._shown)


def read_deck(path: Path) -> Deck:
    return build(tomllib.loads(path.read_text(encoding="utf-8")))


@pytest.fixture(scope="session")
def deck() -> Deck:
    return read_deck(HERE / "quay_guard.toml")


@pytest.fixture
def small_app() -> Callable[..., SmallApp]:
    return SmallApp


def normalised(svg: str) -> str:
    """Replace the ids that change from picture to picture."""
    return re.sub(r"terminal-[0-9]+", "terminal", svg)


@pytest.fixture
def snapshot() -> Snapshot:
    async def compare(name: str, make: Callable[[], App[Any]], size: tuple[int, int], *keys: str) -> None:
        app = make()
        async with app.run_test(size=size) as pilot:
            await pilot.pause()
            for key in keys:
                await pilot.press(key)
            await pilot.pause()
            now = normalised(app.export_screenshot(title=name))
        stored, differs = STORED / f"{name}.svg", STORED / f"{name}.now.svg"
        if os.environ.get("UPDATE_SNAPSHOTS") == "1":
            stored.write_text(now, encoding="utf-8", newline="\n")
            differs.unlink(missing_ok=True)
            return
        if not stored.exists():
            pytest.fail(f"there is no picture {stored.name} yet: UPDATE_SNAPSHOTS=1 writes it")
        if stored.read_text(encoding="utf-8") != now:
            differs.write_text(now, encoding="utf-8", newline="\n")
            pytest.fail(f"{name} looks different: compare {stored} with {differs.name} beside it")
        differs.unlink(missing_ok=True)

    return compare
