"""A clock and a ticker that a test moves by hand, and an app that shows one screen by them."""

from typing import Any

from textual.screen import Screen

from tests.screens.conftest import SmallApp
from trainer.screens.ticker import HandTicker, Ways


class Hand:
    """Time that stands still until it is moved; whatever falls due on the way is drawn."""

    def __init__(self, still: bool = False) -> None:
        self.now, self.still = 100.0, still
        self.ticker = HandTicker()

    def ways(self) -> Ways:
        return Ways(lambda: self.now, lambda _: self.ticker, self.still)

    def go(self, seconds: float) -> None:
        end = self.now + seconds
        while self.ticker.due is not None and self.ticker.due <= end:
            self.now = max(self.ticker.due, self.now)
            self.ticker.tick()
        self.now = end

    def app(self, screen: Screen[Any], theme: str = "parade") -> SmallApp:
        app = SmallApp(screen, theme)
        app.ways = self.ways()  # type: ignore[attr-defined]
        return app
