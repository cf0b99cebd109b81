"""What a mock test came to."""

from collections.abc import Iterable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.geometry import Region

from trainer.coach.mock import MockCall, MockMeasure, MockResult
from trainer.drill.deck import Deck
from trainer.quiz.points import Point
from trainer.screens.feedback import head_rows
from trainer.screens.flow import Flow
from trainer.screens.mock_rows import HERE, Failed, failures, result_rows
from trainer.screens.page import ScrolledPage
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import Row

READING = 96


class MockEndScreen(ScrolledPage):
    """The verdict of a mock test, its measures, what was not right, which can be played.

    Args:
        deck: the deck.
        result: what the test came to.
        points: the points of the deck.
    """

    CSS_PATH = "mock.tcss"
    HELP = (
        "What the mock test came to by the deck's own rule, over the minor measures alone; what the forecast had said "
        "before it; every call with what was wrong about it, its timing beside it, which is never a fault; every "
        "question that was not right, with what is. ← and → choose what was not right; v plays the movement, beside it "
        "the fault that was asked about, or what came of the call."
    )
    KEYS: ClassVar[Keys] = (("enter q", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "close", "Back", id="mock-end.back", show=False, tooltip="Back to Today"),
        Binding("left", "choose(-1)", "Before", id="mock-end.before", show=False, tooltip="What was not right before"),
        Binding("right", "choose(1)", "Next", id="mock-end.next", show=False, tooltip="The next that was not right"),
        Binding("v", "play", "Play", id="mock-end.play", show=False, tooltip="See the chosen one played"),
    ]

    def __init__(self, deck: Deck, result: MockResult, points: Iterable[Point]) -> None:
        super().__init__()
        self._deck, self.result = deck, result
        self._points = {point.id: point for point in points}
        self._failed = failures(result)
        self._at = 0

    @property
    def chosen(self) -> Failed | None:
        """What is chosen of all that was not right; None if everything was."""
        return self._failed[self._at] if self._failed else None

    def head(self) -> Flow:
        """Return how many questions and calls there were."""
        result = self.result
        told = f"Mock test   {_many(result.questions, 'question')}, {result.all_right} wholly right"
        if result.calls:
            right = sum(one.called.right for one in result.calls)
            told += f"; {_many(len(result.calls), 'call')}, {right} right"
        return Flow(lambda width: head_rows(told, "", self._deck.title, 1.0, width), id="head")

    def rows(self, width: int) -> list[Row]:
        """Return what it came to."""
        return result_rows(self._deck, self.result, min(width, READING), self.chosen)

    @property
    def keys(self) -> Keys:
        """The keys of the page besides those that scroll."""
        return (("←→", "choose"), ("v", "play"), *self.KEYS) if self._failed else self.KEYS

    def action_choose(self, by: int) -> None:
        """Choose another one of all that was not right, and bring it into sight."""
        if not self._failed:
            return
        self._at = min(max(self._at + by, 0), len(self._failed) - 1)
        self.redraw()
        page, flow = self.query_one("#page", VerticalScroll), self.query_one("#rows", Flow)
        rows = flow.rows(flow.content_size.width)
        at = next((number for number, row in enumerate(rows) if row and row[0].text.startswith(HERE)), 0)
        top = flow.virtual_region.y + at
        page.scroll_to_region(Region(0, top, 1, 2), animate=False, force=True)

    def action_play(self) -> None:
        """See the chosen one played."""
        chosen, deck = self.chosen, self._deck
        if chosen is None:
            return
        from trainer.screens.beside import to_play
        from trainer.screens.called import call_outcome, call_showing
        from trainer.screens.player import PlayerScreen
        from trainer.screens.showing import showing

        if isinstance(chosen, MockMeasure):
            shown = showing(deck, deck.movement(chosen.id))
        elif isinstance(chosen, MockCall):
            shown = call_showing(chosen.done, call_outcome(chosen.done, chosen.called))
        else:
            question, marked = chosen
            shown = to_play(deck, question, [self._points[point] for point, _ in marked.marks])
        self.app.push_screen(PlayerScreen(deck, shown))


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
