"""The mock test on the screen: test rules, one question after another, and nothing told before the end."""

import time
from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.widgets import Input

from trainer.coach.mock import MockTest
from trainer.quiz.questions import NAME, Answer
from trainer.records.clock import Moment, read_clock
from trainer.records.errors import LogError
from trainer.screens.answers import hanging
from trainer.screens.asking import AskingScreen
from trainer.screens.feedback import head_rows, prompt_rows
from trainer.screens.flow import Flow
from trainer.screens.mock_rows import rule_rows
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.spans import BRASS, INK, STRONG, WRONG, Row, Span

READING = 96


class MockScreen(AskingScreen[bool]):
    """A mock test; closes with whether anything was answered.

    Args:
        test: the test.
        clock: reads the calendar clock.
        monotonic: reads the clock that answers are timed with, seconds.
    """

    CSS_PATH = "mock.tcss"
    HELP = (
        "A mock test is held by the deck's own grade sheet under test rules: measures come by lot, each trial is a few "
        "questions that touch all that the trial cannot succeed without, nothing is told between them and none comes "
        "back. A trial is GO when everything essential in it is right. Majors are for eyes on the ground and stay not "
        "seen. The result goes into the record as a mock; it counts as knowledge and never as a graded run. Escape "
        "leaves the test: what was answered stays, the test then has no verdict."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "escape,q", "leave", "Leave", id="mock.leave", show=False, tooltip="Leave the test, with its result so far"
        ),
    ]

    def __init__(
        self,
        test: MockTest,
        clock: Callable[[], Moment] = read_clock,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__()
        self.test, self.clock, self.monotonic = test, clock, monotonic
        self.trouble = ""
        self._begun = False

    def compose(self) -> ComposeResult:
        """Lay out head, question and keys."""
        yield Flow(self._head, id="head")
        with VerticalScroll(id="words", can_focus=False):
            yield Flow(self._prompt, id="prompt")
            yield Input(id="typed", select_on_focus=False)
            yield Flow(self._answer, id="answer")
            yield Flow(self._note, id="note")
        yield KeyLine()

    def on_mount(self) -> None:
        """Tell the rules first."""
        self.hide_typed()
        self.redraw()

    def seconds(self) -> float:
        """Return the clock that answers are timed with."""
        return self.monotonic()

    def redraw(self) -> None:
        """Show everything as it is now."""
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        self.query_one(KeyLine).show(self._keys())

    def _head(self, width: int) -> list[Row]:
        given = sum(map(len, self.test.trials.values()))
        done = given / max(given + self.test.trials_left, 1)
        name = ""
        if self.question is not None and NAME in self.question.reveals:
            name = self.test.standing.deck.movement(self.question.movement).name
        place = (
            f"Mock test   trial {given + 1}, at most {self.test.trials_left} to come" if self._begun else "Mock test"
        )
        return head_rows(place, name, self.test.standing.deck.title, done, width)

    def _prompt(self, width: int) -> list[Row]:
        if self.question is None:
            return rule_rows(self.test, min(width, READING))
        return prompt_rows(self.question.prompt, min(width, READING), STRONG)

    def _answer(self, width: int) -> list[Row]:
        return self.form.rows(min(width, READING)) if self.form else []

    def _note(self, width: int) -> list[Row]:
        if self.trouble:
            told = f"{self.trouble} The question stays; give the answer again, or leave with esc."
            return hanging((Span("Not kept. ", WRONG),), told, min(width, READING), INK)
        return hanging((), self.form.note, min(width, READING), BRASS) if self.form and self.form.note else []

    def _keys(self) -> tuple[tuple[str, str], ...]:
        if not self._begun:
            return (("enter", "begin"), ("q esc", "back"), ("?", "help"))
        keys = self.form.keys() if self.form else ()
        return (*keys, ("esc" if self.typing else "q esc", "leave"), ("F1" if self.typing else "?", "help"))

    # ------------------------------------------------------------ keys

    def action_enter(self) -> None:
        """Begin, or give the answer."""
        if self._begun:
            self.press()
        else:
            self._begun = True
            self._next()

    def give(self, answer: Answer, ms: int) -> None:
        """Record an answer and go on at once; one that cannot be recorded leaves the question as it is."""
        try:
            self.test.answer(answer, ms, self.clock())
        except LogError as error:
            self.trouble = str(error)
            self.redraw()
            return
        self.trouble = ""
        self._next()

    def _next(self) -> None:
        self.put(self.test.next_question())
        if self.question is None:
            self._finish()
        else:
            self.query_one("#words", VerticalScroll).scroll_home(animate=False)
            self.redraw()

    def action_leave(self) -> None:
        """Leave; with something answered, show what it came to."""
        if self.test.answered:
            self._finish()
        else:
            self.dismiss(False)

    def _finish(self) -> None:
        from trainer.screens.mock_end import MockEndScreen

        self.hide_typed()
        end = MockEndScreen(self.test.standing.deck, self.test.result())
        self.app.push_screen(end, lambda _: self.dismiss(True))
