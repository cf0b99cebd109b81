"""An evening's page: whose turn it is, the question, the hands, what came out; what the keys do at each stage."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.widgets import Input

from trainer.drill.movement import Fault
from trainer.group.evening import Evening
from trainer.group.hands import Hands
from trainer.group.turns import LIVE, PLAYED, QUESTION, Graded
from trainer.plain import visible
from trainer.records.clock import Moment, read_clock
from trainer.screens.asking import AskingScreen
from trainer.screens.evening_rows import (
    MOST_FAULTS,
    READING,
    fault_choice_rows,
    graded_rows,
    hand_keys,
    hands_rows,
    outcome_rows,
    turn_rows,
)
from trainer.screens.feedback import head_rows, prompt_rows
from trainer.screens.flow import Flow
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.screens.widgets.spans import FAINT, INK, STRONG, WRONG, Row, Span

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

TURN, ANSWERING, HANDS, OUTCOME, STUCK = "turn", "answering", "hands", "outcome", "stuck"


class EveningPage(AskingScreen[None]):
    """Shows an evening as it stands.

    Args:
        evening: the evening, just begun or gone on with.
        desk: whose records answers may go to at the end.
        clock: reads the calendar clock.
        monotonic: reads the clock that answers are timed with, seconds.
    """

    def __init__(
        self,
        evening: Evening,
        desk: "Desk",
        clock: Callable[[], Moment] = read_clock,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__()
        self.evening, self.desk, self.clock, self.monotonic = evening, desk, clock, monotonic
        self.stage = TURN
        self.hands: Hands | None = None
        self.last: Graded | None = None
        self.trouble = ""
        self.right = ""
        self.said = ""

    def compose(self) -> ComposeResult:
        """Lay out head, page and keys."""
        yield Flow(self._head, id="head")
        with VerticalScroll(id="words", can_focus=False):
            yield Flow(self._page, id="prompt")
            yield Input(id="typed", select_on_focus=False)
            yield Flow(self._answer, id="answer")
            yield Flow(self._note, id="note")
        yield KeyLine()

    def seconds(self) -> float:
        """Return the clock that answers are timed with."""
        return self.monotonic()

    @property
    def waits(self) -> bool:
        """Whether keys belong to the form of a question."""
        return self.stage == ANSWERING and super().waits

    def redraw(self) -> None:
        """Show everything as it is now."""
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        self._show_keys()
        self.call_after_refresh(self._show_keys)

    def on_resize(self) -> None:
        """Tell of scrolling where the page no longer fits."""
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        self.query_one(KeyLine).show(self._keys())

    def _head(self, width: int) -> list[Row]:
        evening = self.evening
        number = len(evening.graded) + (self.stage != OUTCOME)
        told = f"Turn {number}   {len(evening.present)} people"
        return head_rows(told, "", evening.deck.title, 0.0, width)

    def _page(self, width: int) -> list[Row]:
        width = min(width, READING)
        turn = self.evening.turn
        if self.stage == OUTCOME and self.last is not None:
            movement = self.evening.deck.movement(self.last.turn.measure)
            rows = outcome_rows(self.last, movement, self.said, self.right, width)
            if self._floor_faults():
                rows += [(), *fault_choice_rows(movement, self.last.faults, width)]
            return rows
        if turn is None:
            return []
        movement = self.evening.deck.movement(turn.measure)
        if self.stage == TURN:
            return turn_rows(turn, movement, self.evening.graders, self.evening.told is not None, width)
        if self.stage == ANSWERING and self.question is not None:
            return prompt_rows(f"{visible(turn.performer)}: {self.question.prompt}", width, STRONG)
        if self.stage == HANDS and self.hands is not None:
            asked = prompt_rows(self.question.prompt, width, FAINT) if self.question is not None else []
            what = graded_rows(turn, movement, self.said, width)
            return [*asked, *what, (), *hands_rows(self.hands, width, not self.evening.graded)]
        return []

    def _answer(self, width: int) -> list[Row]:
        return self.form.rows(min(width, READING)) if self.stage == ANSWERING and self.form else []

    def _note(self, width: int) -> list[Row]:
        width = min(width, READING)
        if self.trouble:
            return [(Span(line, WRONG),) for line in wrapped(visible(self.trouble), width)]
        if self.stage == ANSWERING and self.form and self.form.note:
            return [(Span(line, INK),) for line in wrapped(self.form.note, width)]
        return []

    def graders_keys(self) -> Keys:
        """Return each grader's keys with his name, while hands are waited for."""
        return hand_keys(self.hands) if self.stage == HANDS and self.hands is not None else ()

    def _keys(self) -> Keys:
        scrolls = self.query_one("#words", VerticalScroll).max_scroll_y > 0 and self.stage != ANSWERING
        end = (*((("↑↓", "scroll"),) if scrolls else ()), ("esc", "evening"), ("F1", "help"))
        if self.stage == STUCK:
            return (("enter", "try again"), *end)
        if self.stage == ANSWERING:
            return (*(self.form.keys() if self.form else ()), *end)
        if self.stage == HANDS:
            waiting = len(self.hands.waiting_for) if self.hands else 0
            return (("your two keys", f"{waiting} still to choose"), *end)
        if self.stage == OUTCOME:
            faults = min(len(self._floor_faults()), MOST_FAULTS)
            numbers = "1" if faults == 1 else f"1 to {faults}"
            return (("enter", "next turn"), ("v", "play"), *(((numbers, "its faults"),) if faults else ()), *end)
        turn = self.evening.turn
        what = {QUESTION: "ask", PLAYED: "play", LIVE: "performed: grade it"}
        if self.evening.told is not None:
            return (("enter", "grade it"), *end)
        return (("enter", what[turn.kind] if turn else "go on"), *end)

    def _floor_faults(self) -> tuple[Fault, ...]:
        """Return the faults that can be settled on: those of a movement that was just performed on the floor."""
        if self.stage != OUTCOME or self.last is None or self.last.turn.kind != LIVE:
            return ()
        return self.evening.deck.movement(self.last.turn.measure).faults
