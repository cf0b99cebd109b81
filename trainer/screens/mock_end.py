"""What a mock test came to."""

from typing import ClassVar

from textual.binding import Binding, BindingType

from trainer.coach.mock import MockResult
from trainer.drill.deck import Deck
from trainer.screens.feedback import head_rows
from trainer.screens.flow import Flow
from trainer.screens.mock_rows import result_rows
from trainer.screens.page import ScrolledPage
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import Row

READING = 96


class MockEndScreen(ScrolledPage):
    """The verdict of a mock test, its measures, what was not right; any of its keys closes it."""

    CSS_PATH = "mock.tcss"
    HELP = (
        "What the mock test came to by the deck's own rule, over the minor measures alone; what the forecast had said "
        "before it; every question that was not right, with what is."
    )
    KEYS: ClassVar[Keys] = (("enter q", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "close", "Back", id="mock-end.back", show=False, tooltip="Back to Today")
    ]

    def __init__(self, deck: Deck, result: MockResult) -> None:
        super().__init__()
        self._deck, self.result = deck, result

    def head(self) -> Flow:
        """Return how many questions there were."""
        told = f"Mock test   {self.result.questions} questions, {self.result.all_right} wholly right"
        return Flow(lambda width: head_rows(told, "", self._deck.title, 1.0, width), id="head")

    def rows(self, width: int) -> list[Row]:
        """Return what it came to."""
        return result_rows(self._deck, self.result, min(width, READING))
