"""A clock and a ticker that a test moves by hand, and an app that shows one screen by them."""

from collections.abc import Iterable
from typing import Any

from textual.screen import Screen
from textual.widget import Widget

from tests.screens.conftest import SmallApp
from trainer.rhythm.sound import Due
from trainer.screens.flow import Flow
from trainer.screens.ticker import Step, Ways
from trainer.screens.widgets.spans import row_text


def page_text(screen: Screen[Any]) -> str:
    """Return what the flowing texts of a screen say, line by line."""
    rows = [row for flow in screen.query(Flow) for row in flow.rows(78)]
    return "\n".join(row_text(row) for row in rows)


class Heard:
    """A sound that notes what is to be heard, and when."""

    trouble = ""

    def __init__(self) -> None:
        self.dues: list[Due] = []

    def play(self, sounds: Iterable[Due]) -> None:
        self.dues += sounds

    def forget(self) -> None:
        self.dues.clear()

    def close(self) -> None:
        self.dues.clear()


class HandTicker:
    """A ticker that waits to be told."""

    lead = 0.0

    def __init__(self) -> None:
        self.step: Step | None = None
        self.due: float | None = None

    def start(self, owner: Widget, step: Step) -> None:
        """Call a step once; further calls are up to who holds this ticker."""
        self.step = step
        self.tick()

    def stop(self) -> None:
        """Call nothing more."""
        self.step = self.due = None

    def tick(self) -> float | None:
        """Call the step and return when it wants to be called again."""
        self.due = self.step() if self.step is not None else None
        return self.due


class Hand:
    """Time that stands still until it is moved; whatever falls due on the way is drawn."""

    def __init__(self, still: bool = False) -> None:
        self.now, self.still = 100.0, still
        self.ticker = HandTicker()
        self.sound = Heard()

    def ways(self, late: float = 0.0) -> Ways:
        """Return ways of this hand; keys arrive `late` seconds after they were struck."""
        return Ways(lambda: self.now, lambda _: self.now - late, lambda _: self.ticker, self.still, self.sound)

    def go(self, seconds: float) -> None:
        end = self.now + seconds
        while self.ticker.due is not None and self.ticker.due <= end:
            self.now = max(self.ticker.due, self.now)
            self.ticker.tick()
        self.now = end

    def app(self, screen: Screen[Any], theme: str = "parade", late: float = 0.0) -> SmallApp:
        app = SmallApp(screen, theme)
        app.ways = self.ways(late)  # type: ignore[attr-defined]
        return app
