"""The mock test on the screen: test rules, one question or call after another, and nothing told before the end."""

import time
from collections.abc import Callable
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Key
from textual.widgets import Input

from trainer.coach.mock import CHOSEN, MockTest
from trainer.coach.terminal import Terminal, why_not_called
from trainer.quiz.questions import NAME, Answer, Question
from trainer.records.clock import Moment, read_clock
from trainer.records.errors import LogError
from trainer.rhythm.calibration import Calibration
from trainer.rhythm.exercise import Exercise
from trainer.screens.asking import AskingScreen
from trainer.screens.feedback import head_rows, prompt_rows
from trainer.screens.flow import Flow
from trainer.screens.march import CUT, MARCHING, OVER, READY, March
from trainer.screens.mock_rows import attempt_rows, feet_told, rule_rows, under_way_rows
from trainer.screens.today_rows import hanging
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.spans import BRASS, INK, STRONG, WRONG, Row, Span

READING = 96
UNKNOWN = Terminal("unknown")
LEAVES = "That ends the test without a verdict; what was answered stays. Esc once more leaves, an answer goes on."
KEPT_BACK = "The call stays as it was; space tries again to keep it, or leave with esc."


class MockScreen(AskingScreen[bool]):
    """A mock test; closes with whether anything was answered.

    Args:
        test: the test.
        clock: reads the calendar clock.
        monotonic: reads the clock that answers are timed with, seconds.
        terminal: what is known of the terminal at hand; it decides whether feet can be called on the beat.
        set_terminal: keeps a calibration and returns what is then known; None where there is no place to keep one.
    """

    CSS_PATH = "mock.tcss"
    HELP = (
        "A mock test is held by the deck's own grade sheet under test rules: measures come by lot, each trial is a few "
        "questions that touch all that the trial cannot succeed without, nothing is told between them and none comes "
        "back. Once this terminal was set by tapping along, words are called on the beat as in Call the step, once a "
        "trial, neither words nor feet shown: foot and words decide, early or late is told at the end and never a "
        "fault; c before the test has feet asked instead. A trial is GO when everything essential in it is right. "
        "Majors are for eyes on the ground and stay not seen. The result goes into the record as a mock; it counts as "
        "knowledge and never as a graded run. Escape twice leaves the test: what was answered stays, the test then has "
        "no verdict."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("c", "feet", "Feet", id="mock.feet", show=False, tooltip="Before the test: feet called, or asked"),
        Binding("space", "go", "Go", id="mock.go", show=False, tooltip="Start the beat of a call; go on after a cut"),
        Binding(
            "escape,q", "leave", "Leave", id="mock.leave", show=False, tooltip="Leave the test, with its result so far"
        ),
    ]

    def __init__(
        self,
        test: MockTest,
        clock: Callable[[], Moment] = read_clock,
        monotonic: Callable[[], float] = time.monotonic,
        terminal: Terminal = UNKNOWN,
        set_terminal: Callable[[Calibration], Terminal] | None = None,
    ) -> None:
        super().__init__()
        self.test, self.clock, self.monotonic = test, clock, monotonic
        self.terminal, self.set_terminal = terminal, set_terminal
        self.trouble = ""
        self._begun = self._leaving = False
        self._unkept: March.Over | None = None
        self._march = March(terminal.delay, id="march")
        if test.quickest is not None:
            test.asked_why = why_not_called(terminal, test.quickest)

    def compose(self) -> ComposeResult:
        """Lay out head, question and keys."""
        yield Flow(self._head, id="head")
        with VerticalScroll(id="words", can_focus=False):
            yield Flow(self._prompt, id="prompt")
            yield Input(id="typed", select_on_focus=False)
            yield Flow(self._answer, id="answer")
            yield Flow(self._note, id="note")
        yield self._march
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
        self.set_class(self._march.phase == MARCHING, "-marching")
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        self.query_one(KeyLine).show(self._keys())

    @property
    def call(self) -> Exercise | None:
        """The call that waits, or None."""
        return self.test.task if isinstance(self.test.task, Exercise) else None

    @property
    def _can_set(self) -> bool:
        """Whether tapping along may let feet be called that are asked now."""
        return self.set_terminal is not None and not self.terminal.remote

    @property
    def _choosable(self) -> bool:
        """Whether it can be chosen how feet are tested."""
        return self.test.quickest is not None and (self._can_set or self.test.asked_why in (None, CHOSEN))

    def _head(self, width: int) -> list[Row]:
        given = sum(map(len, self.test.trials.values()))
        done = given / max(given + self.test.trials_left, 1)
        deck, name, place = self.test.standing.deck, "", "Mock test"
        if self.question is not None and NAME in self.question.reveals:
            name = deck.movement(self.question.movement).name
        if self._begun:
            place += f"   trial {given + 1}, at most {self.test.trials_left} to come"
        if self.test.quickest is not None:
            place += f"   feet {'called' if self.test.asked_why is None else 'asked'}"
        return head_rows(place, name, deck.title, done, width)

    def _prompt(self, width: int) -> list[Row]:
        width = min(width, READING)
        if not self._begun:
            return rule_rows(self.test, feet_told(self.test, self._can_set), width)
        if self.call is not None:
            if self._march.phase == READY:
                return attempt_rows(self.call, self._march.begins_anew, width)
            return under_way_rows(self.call, self._march.phase == CUT, width)
        return prompt_rows(self.question.prompt, width, STRONG) if self.question else []

    def _answer(self, width: int) -> list[Row]:
        return self.form.rows(min(width, READING)) if self.form else []

    def _note(self, width: int) -> list[Row]:
        if self.trouble:
            stays = KEPT_BACK if self.call else "The question stays; give the answer again, or leave with esc."
            told = f"{self.trouble} {stays}"
            return hanging((Span("Not kept. ", WRONG),), told, min(width, READING), INK)
        if self._leaving:
            return hanging((Span("Leave? ", WRONG),), LEAVES, min(width, READING), INK)
        return hanging((), self.form.note, min(width, READING), BRASS) if self.form and self.form.note else []

    def _keys(self) -> tuple[tuple[str, str], ...]:
        if not self._begun:
            return (("enter", "begin"), *self._feet_keys(), ("q esc", "back"), ("?", "help"))
        if self.call is not None:
            return self._call_keys()
        keys = self.form.keys() if self.form else ()
        return (*keys, ("esc" if self.typing else "q esc", "leave"), ("F1" if self.typing else "?", "help"))

    def _feet_keys(self) -> tuple[tuple[str, str], ...]:
        if not self._choosable:
            return ()
        does = {None: "ask the feet", CHOSEN: "call the feet"}.get(self.test.asked_why, "tap along to call the feet")
        return (("c", does),)

    def _call_keys(self) -> tuple[tuple[str, str], ...]:
        end = (("q esc", "leave"), ("?", "help"))
        return {
            READY: (("space", "start the beat"), ("0", "do not know"), *end),
            MARCHING: (("letters", "call"), ("enter", "end the call"), ("esc", "leave")),
            CUT: (("space", "go on"), *end),
            OVER: (("space", "keep it"), *end) if self.trouble else (),
        }[self._march.phase]

    # ------------------------------------------------------------ keys

    def on_key(self, event: Key) -> None:
        """Let a call take its keys while the beat runs: letters are words then; none counts for what comes after."""
        passing = self.call is not None and self._march.phase == OVER and not self.trouble
        if self._march.take(event) or passing:
            event.stop()
            event.prevent_default()

    def action_enter(self) -> None:
        """Begin, or give the answer."""
        if self._begun:
            self.press()
        else:
            self._begun = True
            self._next()

    def action_feet(self) -> None:
        """Before the test choose whether feet are called or asked; where the terminal is not set, set it first."""
        if self._begun or not self._choosable:
            return
        if self.test.asked_why in (None, CHOSEN):
            self.test.asked_why = CHOSEN if self.test.asked_why is None else None
            self.redraw()
            return
        from trainer.screens.calibrate import CalibrateScreen

        self.app.push_screen(CalibrateScreen(), self._tapped)

    def _tapped(self, found: Calibration | None) -> None:
        if found is not None and self.set_terminal is not None and self.test.quickest is not None:
            self.terminal = self.set_terminal(found)
            self._march.delay = self.terminal.delay
            self.test.asked_why = why_not_called(self.terminal, self.test.quickest)
            self.redraw()

    # ------------------------------------------------------------ calls

    def action_go(self) -> None:
        """Start the beat of a call; after it was cut off, or could not be kept, go on."""
        if self.call is None:
            return
        if self._march.phase == READY:
            self._march.start()
        elif self._march.phase == CUT:
            self._march.end()
        elif self._unkept is not None:
            self._keep(self._unkept)

    def action_unknown(self) -> None:
        """Say that the answer, or the call, is not known."""
        if self.call is not None and self._march.phase == READY:
            self._march.end()
        else:
            self.press()

    @on(March.Changed)
    def _march_changed(self) -> None:
        self._leaving = self._leaving and self._march.phase != MARCHING
        self.redraw()

    @on(March.Over)
    def _keep(self, over: March.Over) -> None:
        """Record a call and go on at once; one that cannot be recorded waits, and is not called again."""
        if self.call is None:
            return
        try:
            self.test.call(over.called, over.ms, self.clock())
        except LogError as error:
            self.trouble, self._unkept = str(error), over
            self.redraw()
            return
        self.trouble, self._unkept = "", None
        self._next()

    def on_app_blur(self) -> None:
        """Let the beat stand when the window loses the keys."""
        self._march.interrupt()

    def on_screen_suspend(self) -> None:
        """Let the beat stand when another screen takes over."""
        self._march.interrupt()

    # ------------------------------------------------------------ answers

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
        self._leaving = False
        task = self.test.next_task()
        self.put(task if isinstance(task, Question) else None)
        if isinstance(task, Exercise):
            self._march.ready(task)
        if task is None:
            self._finish()
        else:
            self.query_one("#words", VerticalScroll).scroll_home(animate=False)
            self.redraw()

    def action_leave(self) -> None:
        """Leave; with something answered, ask once, since the test cannot go on, and show what it came to."""
        if self.test.begun and not self._leaving and not self.trouble:
            self._leaving = True
            self._march.interrupt()
            self.redraw()
            return
        self._march.stop()
        if self.test.begun:
            self._finish()
        else:
            self.dismiss(False)

    def _finish(self) -> None:
        from trainer.screens.mock_end import MockEndScreen

        self.hide_typed()
        standing = self.test.standing
        end = MockEndScreen(standing.deck, self.test.result(), standing.points)
        self.app.push_screen(end, lambda _: self.dismiss(True))
