"""An evening of the study group: turn by turn, everybody's hand hidden until all are up."""

import time
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Key
from textual.widgets import Input

from trainer.group.evening import Evening
from trainer.group.hands import Hands, keys_of
from trainer.group.journal import EveningError
from trainer.group.turns import LIVE, PLAYED, QUESTION, Graded
from trainer.plain import visible
from trainer.quiz.marking import Marked, mark
from trainer.quiz.questions import Answer
from trainer.records.clock import Moment, read_clock
from trainer.screens.asking import AskingScreen
from trainer.screens.evening_rows import fault_choice_rows, hand_keys, hands_rows, outcome_rows, turn_rows
from trainer.screens.feedback import head_rows, prompt_rows
from trainer.screens.flow import Flow
from trainer.screens.mock_rows import right_words
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.screens.widgets.spans import FAINT, INK, STRONG, WRONG, Row, Span

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

READING = 96
TURN, ANSWERING, HANDS, OUTCOME, STUCK = "turn", "answering", "hands", "outcome", "stuck"


class EveningScreen(AskingScreen[None]):
    """Holds the turns of an evening; closes when it is over or left for another time.

    Args:
        evening: the evening, just begun or gone on with.
        desk: whose records answers may go to at the end.
        clock: reads the calendar clock.
        monotonic: reads the clock that answers are timed with, seconds.
    """

    CSS_PATH = "group.tcss"
    HELP = (
        "Turns come by lot: a question that one answers, a performance that the program plays, a performance on the "
        "floor. Everybody else grades it at once, each with his own two keys, the upper one for GO, the lower one for "
        "NO-GO. Nobody's hand is shown before all are up. Then the screen says who gave what, the truth where there is "
        "one, the fault and the rule. Escape opens the evening's list: somebody leaves or sits down, a wrong name, "
        "skip a turn, how you agree so far, the end. Every step is kept; after a stop it goes on at the same turn."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "menu", "Evening", show=False, tooltip="Somebody leaves or sits down, skip, end the evening"),
    ]

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
        self._right = ""
        self._said = ""

    def compose(self) -> ComposeResult:
        """Lay out head, page and keys."""
        yield Flow(self._head, id="head")
        with VerticalScroll(id="words", can_focus=False):
            yield Flow(self._page, id="prompt")
            yield Input(id="typed", select_on_focus=False)
            yield Flow(self._answer, id="answer")
            yield Flow(self._note, id="note")
        yield KeyLine()

    def on_mount(self) -> None:
        """Go to the turn that waits, or draw the next."""
        self.hide_typed()
        self.next_turn()

    def seconds(self) -> float:
        """Return the clock that answers are timed with."""
        return self.monotonic()

    @property
    def waits(self) -> bool:
        """Whether keys belong to the form of a question."""
        return self.stage == ANSWERING and super().waits

    # ------------------------------------------------------------ what is shown

    def redraw(self) -> None:
        """Show everything as it is now."""
        for flow in self.query(Flow):
            flow.refresh(layout=True)
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
            rows = outcome_rows(self.last, movement, self._right, width)
            if self.last.turn.kind == LIVE and movement.faults:
                rows += [(), *fault_choice_rows(movement, self.last.faults, width)]
            return rows
        if turn is None:
            return []
        movement = self.evening.deck.movement(turn.measure)
        if self.stage == TURN:
            return turn_rows(turn, movement, self.evening.graders, width)
        if self.stage == ANSWERING and self.question is not None:
            return prompt_rows(f"{visible(turn.performer)}: {self.question.prompt}", width, STRONG)
        if self.stage == HANDS and self.hands is not None:
            return [*self._what(width), (), *hands_rows(self.hands, width)]
        return []

    def _what(self, width: int) -> list[Row]:
        """Return what is to be graded, beside the hands."""
        turn = self.evening.turn
        if turn is None:
            return []
        if turn.kind == QUESTION and self.question is not None:
            given = (Span(f"{visible(turn.performer)} answered  ", FAINT),)
            return [*prompt_rows(self.question.prompt, width, FAINT), *hanging(given, self._said, width, STRONG)]
        movement = self.evening.deck.movement(turn.measure)
        called = hanging((Span("called  ", FAINT),), visible(movement.command) or "cued", width, INK)
        return [(Span(f"{visible(turn.performer)}: {visible(movement.name)}", STRONG),), *called]

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
        end = (("esc", "evening"), ("F1", "help"))
        if self.stage == STUCK:
            return (("enter", "try again"), *end)
        if self.stage == ANSWERING:
            return (*(self.form.keys() if self.form else ()), *end)
        if self.stage == HANDS:
            waiting = len(self.hands.waiting_for) if self.hands else 0
            return (("your two keys", f"{waiting} still to choose"), *end)
        if self.stage == OUTCOME:
            settle = (("1 to 9", "the fault"),) if self.last and self.last.turn.kind == LIVE else ()
            return (("enter", "next turn"), *settle, *end)
        turn = self.evening.turn
        what = {QUESTION: "ask", PLAYED: "play", LIVE: "performed: grade it"}
        return (("enter", what[turn.kind] if turn else "go on"), *end)

    # ------------------------------------------------------------ stages

    def next_turn(self) -> None:
        """Draw the next turn, or say why there is none."""
        self.trouble, self.hands, self.last, self._right = "", None, None, ""
        self.put(None)
        try:
            self.evening.draw()
            self.stage = TURN
        except EveningError as error:
            self.stage, self.trouble = STUCK, str(error)
        self.query_one("#words", VerticalScroll).scroll_home(animate=False)
        self.redraw()

    def _begin_turn(self) -> None:
        turn = self.evening.turn
        if turn is None:
            return
        try:
            if turn.kind == QUESTION and self.evening.told is None:
                question = self.evening.question()
                self.stage = ANSWERING
                self.put(question)
            elif turn.kind == QUESTION:
                # The program was stopped between the answer and the hands: the answer itself was not kept.
                self.question, self._said = self.evening.question(), "see what was said aloud"
                self._raise_hands()
            else:
                self._raise_hands()
        except EveningError as error:
            self.stage, self.trouble = STUCK, str(error)
        self.redraw()

    def _raise_hands(self) -> None:
        self.stage = HANDS
        self.hands = Hands(keys_of(self.evening.graders, self.evening.places))
        turn = self.evening.turn
        if turn is not None and turn.kind == PLAYED:
            from trainer.screens.evening_played import PlayedTurnScreen, performance

            shown = performance(self.evening.deck, turn)
            self.app.push_screen(PlayedTurnScreen(self.evening.deck, shown, self.hands), self._played)

    def _played(self, _: None) -> None:
        if self.hands is not None and self.hands.shown is not None:
            self._grade(self.hands.shown)
        elif self.stage == HANDS:
            self.stage = TURN
            self.action_menu()
        self.redraw()

    def give(self, answer: Answer, ms: int) -> None:
        """Take the performer's answer; what it was worth is told after the hands."""
        if self.question is None:
            return
        marked = mark(self.question, answer)
        self._said = said_words(self, marked, answer)
        now = self.clock()
        if not self._step(lambda: self.evening.answer(marked, ms, now.at_ms, now.offset)):
            return
        self.hide_typed()
        self._right = f"{right_words(self.question, marked)}. {marked.why}"
        self._raise_hands()
        self.redraw()

    def _grade(self, gave: dict[str, bool]) -> None:
        if not self._step(lambda: self.evening.grade(gave)):
            # Nobody's hand is known to others yet, so all can be raised again once there is room.
            self.hands = Hands(keys_of(self.evening.graders, self.evening.places))
            self.redraw()
            return
        self.last, self.stage, self.hands = self.evening.graded[-1], OUTCOME, None
        self.query_one("#words", VerticalScroll).scroll_home(animate=False)
        self.redraw()

    # ------------------------------------------------------------ keys

    def on_key(self, event: Key) -> None:
        """Take hands; letters do nothing else here, so that nobody's early key quits the program."""
        super().on_key(event)
        if self.typing or len(event.key) != 1 or not event.key.isalpha():
            return
        event.stop()
        if self.stage == HANDS and self.hands is not None and self.hands.press(event.key):
            if self.hands.shown is not None:
                self._grade(self.hands.shown)
            else:
                self.redraw()

    def action_enter(self) -> None:
        """Begin the turn, give the answer, or go on."""
        if self.stage == STUCK:
            self.next_turn()
        elif self.stage == TURN:
            self._begin_turn()
        elif self.stage == OUTCOME:
            self.next_turn()
        elif self.stage == ANSWERING:
            self.press()

    def action_number(self) -> None:
        """Give a choice, or settle on a fault of a performance on the floor."""
        if self.stage == ANSWERING:
            self.press()
        elif self.stage == OUTCOME and self.last is not None and self.last.turn.kind == LIVE:
            faults = self.evening.deck.movement(self.last.turn.measure).faults
            number = int(self.key) - 1
            if number < len(faults):
                name = faults[number].id
                settled = [one for one in self.last.faults if one != name]
                after = settled if name in self.last.faults else [*settled, name]
                if self._step(lambda: self.evening.settle(after)):
                    self.last = self.evening.graded[-1]
                    self.redraw()

    def action_move(self) -> None:
        """Go through the choices, or scroll."""
        if self.stage == ANSWERING:
            super().action_move()
        else:
            by = 1 if self.key == "down" else -1
            self.query_one("#words", VerticalScroll).scroll_relative(y=by, animate=False)

    def action_menu(self) -> None:
        """Open the evening's list."""
        from trainer.screens.evening_menu import EveningMenu

        self.app.push_screen(EveningMenu(self.evening), self._chosen)

    def _chosen(self, changed: str | None) -> None:
        """Go on after the evening's list."""
        from trainer.screens.evening_menu import AWAY, CHANGED, END, SO_FAR

        if changed == END:
            self._step(self.evening.end)
        if changed in (END, SO_FAR):
            from trainer.screens.evening_end import EveningEndScreen

            self.app.push_screen(EveningEndScreen(self.evening, self.desk, self.clock), self._looked)
        elif changed == AWAY:
            self.dismiss(None)
        elif changed == CHANGED:
            self._after_change()
        else:
            self.redraw()

    def _looked(self, _: None) -> None:
        if self.evening.over:
            self.dismiss(None)
        else:
            self.redraw()

    def _step(self, step: Callable[[], object]) -> bool:
        """Take a step of the evening; say what is wrong where it cannot be kept, and whether it was."""
        try:
            step()
        except EveningError as error:
            self.trouble = str(error)
            self.redraw()
            return False
        self.trouble = ""
        return True

    def _after_change(self) -> None:
        if self.evening.turn is None and self.stage != OUTCOME:
            self.next_turn()
            return
        if self.last is not None:
            self.last = self.evening.graded[-1]
        if self.stage == HANDS:
            # Who has chosen chooses again: keys may belong to others now.
            self._raise_hands()
        self.redraw()


def said_words(screen: EveningScreen, marked: Marked, answer: Answer) -> str:
    """Return an answer as it was given, in words."""
    question = screen.question
    if question is None or answer in (-1, "", ()):
        return "nothing: not known"
    return right_words(question, marked._replace(correct=answer))
