"""The session: one question at a time, its answer kept at once, then what is right and why."""

import time
from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.widgets import Input

from trainer.coach.session import Session, Summary
from trainer.drill.gait import full_step
from trainer.quiz.marking import Marked
from trainer.quiz.points import SHEET, Point
from trainer.quiz.questions import NAME, Answer
from trainer.records.clock import Moment, read_clock
from trainer.records.errors import LogError
from trainer.screens.answers import ChoiceForm
from trainer.screens.asking import AskingScreen, struck
from trainer.screens.beside import Beside, BesideStrip, after_answer, before_answer, to_play
from trainer.screens.feedback import feedback_rows, head_rows, prompt_rows
from trainer.screens.flow import Flow
from trainer.screens.session_end import SummaryScreen
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.soles import Soles
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

NOTHING = (
    "Nothing is worth asking now: what is open was answered right today, and practice spaced over days counts more. "
    "Come back tomorrow."
)


def _key(keys: str, action: str, tells: str) -> Binding:
    name = action.replace("_", " ").capitalize()
    return Binding(keys, action, name, id=f"session.{action}", show=False, tooltip=tells)


class SessionScreen(AskingScreen[Summary | None]):
    """A sitting of questions; closes with what it did, None if nothing was answered.

    Args:
        session: the sitting.
        clock: reads the calendar clock.
        monotonic: reads the clock that answers are timed with, seconds.
    """

    CSS_PATH = "session.tcss"
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (110, "-wide")]  # noqa: RUF012  # declared above
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012
    HELP = (
        "A sitting asks one question at a time: first what the forecast of the test needs most. The program marks the "
        "answer; it is on the disk before you read whether it was right, so leaving at any time loses nothing. The "
        "strip and the footprints show of the movement what does not give the answer away, and all of it afterwards. "
        "A choice is given by its number; the feet of words by ← and →; an order by the numbers of its counts, one "
        "after the other; typed words, feet and orders are given with enter, and enter goes on. Who does not know "
        "presses 0, or enter twice on an empty line. Escape or q ends the sitting with its summary; ctrl+q quits the "
        "program at once."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        *struck("1,2,3,4,5,6,7,8,9", "number", "Give the choice of that number, or put it next in an order", "1 to 9"),
        *struck("0", "unknown", "Say that you do not know; it is marked as not right, and what is right is shown"),
        *struck("left,right", "foot", "Set the foot of the next word; after an answer go along the strip"),
        *struck("up,down", "move", "Go through the choices; scroll a long text"),
        *struck("backspace", "take_back", "Take back the last foot, or the last count put in order"),
        *struck("enter", "enter", "Give the answer; after it go on to the next question"),
        _key("space", "go_on", "After an answer go on to the next question"),
        _key("v", "play", "After an answer see the movement played, a fault beside what is right"),
        _key("pageup", "page_up", "Scroll a long text up by a page"),
        _key("pagedown", "page_down", "Scroll a long text down by a page"),
        _key("escape,q", "leave", "End the sitting and see what it did; every answer given is kept"),
    ]

    def __init__(
        self,
        session: Session,
        clock: Callable[[], Moment] = read_clock,
        monotonic: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__()
        self.session, self.clock, self.monotonic = session, clock, monotonic
        self.marked: Marked | None = None
        self.trouble = ""
        self._given: Answer = ""
        self._beside: Beside | None = None

    @property
    def waits(self) -> bool:
        """Whether keys belong to the form: until the answer is marked."""
        return self.marked is None and super().waits

    def seconds(self) -> float:
        """Return the clock that answers are timed with."""
        return self.monotonic()

    # ------------------------------------------------------------ layout

    def compose(self) -> ComposeResult:
        """Lay out head, question, footprints, strip and keys."""
        yield Flow(id="head")
        with Horizontal(id="middle"):
            with VerticalScroll(id="words", can_focus=False):
                yield Flow(id="prompt")
                yield Input(id="typed", select_on_focus=False)
                yield Flow(id="answer")
                yield Flow(id="note")
            yield Soles()
        yield BesideStrip()
        yield KeyLine()

    def on_mount(self) -> None:
        """Ask the first question."""
        self.query_one("#head", Flow).show(self._head)
        self.query_one("#prompt", Flow).show(self._prompt)
        self.query_one("#answer", Flow).show(self._answer)
        self.query_one("#note", Flow).show(self._note)
        self.ask()

    def ask(self) -> None:
        """Show the next question, or the end of the sitting."""
        self.marked, self.trouble, self._beside = None, "", None
        self.put(self.session.next_question(self.clock()))
        if self.question is None and self.session.answered:
            self._finish()
            return
        if self.question is not None:
            self._beside = before_answer(self.session.standing.deck, self.question)
        self._show()

    def on_resize(self) -> None:
        """Tell of scrolling where a text no longer fits."""
        self.call_after_refresh(self._show_keys)

    def _show(self) -> None:
        beside, deck = self._beside, self.session.standing.deck
        strip, soles = self.query_one(BesideStrip), self.query_one(Soles)
        strip.display, soles.display = beside is not None, beside is not None and beside.soles
        if beside is not None:
            strip.left_out = beside.left_out
            strip.show(
                beside.score,
                beside.pointer,
                hide=beside.hide,
                differ=beside.differ,
                full=full_step(deck),
                unit=deck.unit,
            )
            if beside.soles:
                last = beside.score.last_count if beside.pointer is None else beside.pointer
                soles.show(deck, beside.score, last)
        self.query_one("#words", VerticalScroll).scroll_home(animate=False)
        self.redraw()

    def redraw(self) -> None:
        """Show the words as they are now."""
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        self.set_class(self.marked is not None, "-answered")
        self._show_keys()
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        self.query_one(KeyLine).show(self._keys())

    def _head(self, width: int) -> list[Row]:
        session, question = self.session, self.question
        deck = session.standing.deck
        if question is None:
            return head_rows("Session", "", deck.title, 0.0, width)
        number = session.answered + (self.marked is None)
        name = ""
        if question.movement == SHEET:
            name = "Grade sheet"
        elif self.marked is not None or NAME in question.reveals:
            name = deck.movement(question.movement).name
        return head_rows(f"{number} of {session.size}", name, deck.title, session.answered / session.size, width)

    def _prompt(self, width: int) -> list[Row]:
        if self.question is None:
            return prompt_rows(NOTHING, min(width, 96), INK)
        return prompt_rows(self.question.prompt, min(width, 96), STRONG if self.marked is None else FAINT)

    def _answer(self, width: int) -> list[Row]:
        width = min(width, 96)
        if self.question is None or self.form is None:
            return []
        if self.marked is None:
            return self.form.rows(width)
        deck = self.session.standing.deck
        rows = feedback_rows(deck, self.question, self.marked, self._given, width)
        if self._beside is not None and self._beside.caption:
            rows += [(Span(line, FAINT),) for line in wrapped(self._beside.caption, width)]
        return rows

    def _note(self, width: int) -> list[Row]:
        width = min(width, 96)
        if self.trouble:
            told = f"{self.trouble} The question stays; give the answer again, or leave with esc."
            return hanging((Span("Not kept. ", WRONG),), told, width, INK)
        if self.marked is None and self.form is not None and self.form.note:
            return [(Span(line, BRASS),) for line in wrapped(self.form.note, width)]
        return []

    def _keys(self) -> tuple[tuple[str, str], ...]:
        end = (("F1" if self.typing else "?", "help"), ("esc" if self.typing else "q esc", "leave"))
        if self.question is None:
            return (("enter", "back"), *end)
        scroll = (("↑↓", "scroll"),) if self.query_one("#words", VerticalScroll).max_scroll_y > 0 else ()
        if self.marked is None:
            choosing = isinstance(self.form, ChoiceForm)
            return (*(self.form.keys() if self.form else ()), *(() if choosing else scroll), *end)
        along = (("←→", "along the strip"), ("v", "play")) if self._beside else ()
        return (("enter", "go on"), *scroll, *along, *end)

    # ------------------------------------------------------------ keys

    def action_foot(self) -> None:
        """Set a foot, or go along the strip."""
        if self.marked is None:
            self.press()
        elif self._beside is not None:
            beats = [beat.beat for beat in self._beside.score.beats]
            strip, soles = self.query_one(BesideStrip), self.query_one(Soles)
            at = beats.index(strip.pointer) if strip.pointer in beats else 0
            beat = beats[min(max(at + (1 if self.key == "right" else -1), 0), len(beats) - 1)]
            strip.pointer = soles.beat = beat

    def action_move(self) -> None:
        """Go through the choices, or scroll."""
        if self.marked is None and isinstance(self.form, ChoiceForm):
            self.press()
        else:
            self.query_one("#words", VerticalScroll).scroll_relative(y=1 if self.key == "down" else -1, animate=False)

    def action_play(self) -> None:
        """See the movement played that was asked about."""
        if self.marked is not None and self.question is not None and self._beside is not None:
            from trainer.screens.player import PlayerScreen

            deck = self.session.standing.deck
            self.app.push_screen(PlayerScreen(deck, to_play(deck, self.question, self._points())))

    def action_page_up(self) -> None:
        """Scroll up by a page."""
        self.query_one("#words", VerticalScroll).scroll_page_up(animate=False)

    def action_page_down(self) -> None:
        """Scroll down by a page."""
        self.query_one("#words", VerticalScroll).scroll_page_down(animate=False)

    def action_enter(self) -> None:
        """Give the answer, or go on."""
        if self.question is None:
            self.action_leave()
        elif self.marked is not None:
            self.ask()
        else:
            self.press()

    def action_go_on(self) -> None:
        """Go on after an answer."""
        if self.marked is not None:
            self.ask()

    def action_leave(self) -> None:
        """End the sitting; with something answered, first show what it did."""
        if self.session.answered:
            self._finish()
        else:
            self.dismiss(None)

    # ------------------------------------------------------------ answers

    def give(self, answer: Answer, ms: int) -> None:
        """Record an answer, then show what is right; one that cannot be recorded leaves the question as it is."""
        if self.question is None:
            return
        try:
            self.marked = self.session.answer(answer, ms, self.clock())
        except LogError as error:
            self.trouble = str(error)
            self.redraw()
            return
        self.trouble, self._given = "", answer
        self.hide_typed()
        self._beside = after_answer(self.session.standing.deck, self.question, self._points())
        self._show()
        # The next question is made while this answer is read, so that the key that goes on need not wait for it.
        self.call_after_refresh(lambda: self.session.next_question(self.clock()))

    def _points(self) -> list[Point]:
        known = {point.id: point for point in self.session.standing.points}
        return [known[point] for point, _ in self.marked.marks] if self.marked else []

    def _finish(self) -> None:
        summary = self.session.summary(self.clock())
        self.app.push_screen(SummaryScreen(self.session, summary, self.clock()), lambda _: self.dismiss(summary))
