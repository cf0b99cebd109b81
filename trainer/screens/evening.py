"""An evening of the study group: turn by turn, everybody's hand hidden until all are up."""

from collections.abc import Callable
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.events import Key

from trainer.group.hands import Hands, is_hand
from trainer.group.journal import EveningError
from trainer.group.turns import PLAYED, QUESTION
from trainer.quiz.marking import Marked, mark
from trainer.quiz.questions import Answer
from trainer.screens.evening_page import ANSWERING, HANDS, OUTCOME, STUCK, TURN, EveningPage
from trainer.screens.evening_rows import MOST_FAULTS
from trainer.screens.mock_rows import right_words


class EveningScreen(EveningPage):
    """Holds the turns of an evening; closes when it is over or left for another time."""

    CSS_PATH = "group.tcss"
    HELP = (
        "Turns come by lot: a question that one answers, a performance that the program plays, a performance on the "
        "floor. Everybody else grades it at once, each with his own two keys, the upper one for GO, the lower one for "
        "NO-GO. Nobody's hand is shown before all are up. Then the screen says who gave what, the truth where there is "
        "one, the fault and the rule. Escape opens the evening's list: somebody leaves or sits down, a wrong name, "
        "another keyboard, skip a turn, how you agree so far, the end. Every step is kept; after a stop it "
        "goes on at the same turn."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "menu", "Evening", show=False, tooltip="Somebody leaves or sits down, skip, end the evening"),
        Binding("v", "play", "Play", show=False, tooltip="See the movement played, its fault beside what is right"),
    ]

    def on_mount(self) -> None:
        """Go to the turn that waits, or draw the next."""
        self.hide_typed()
        self.next_turn()

    # ------------------------------------------------------------ stages

    def next_turn(self) -> None:
        """Draw the next turn, or say why there is none."""
        self.trouble, self.hands, self.last, self.right, self.said = "", None, None, "", ""
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
            told = self.evening.told
            if turn.kind == QUESTION and told is None:
                question = self.evening.question()
                self.stage = ANSWERING
                self.put(question)
            elif told is not None:
                # The program was stopped between the answer and the hands.
                self.question = self.evening.question()
                self.said = told.said or "see what was said aloud"
                self._tell_right(mark(self.question, self.question.answer))
                self._raise_hands()
            else:
                self._raise_hands()
        except EveningError as error:
            self.stage, self.trouble = STUCK, str(error)
        self.redraw()

    def _raise_hands(self) -> None:
        self.stage = HANDS
        keys, turn = self.evening.keys(), self.evening.turn
        # Whoever has chosen for this turn need not choose again because somebody else came, left or was renamed.
        self.hands = self.hands.among(keys) if self.hands is not None else Hands(keys)
        if self.hands.shown is not None:
            self._grade(self.hands.shown)
            return
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
        question = self.question
        if question is None:
            return
        marked = mark(question, answer)
        self.said = said_words(self, marked, answer)
        self._tell_right(marked)
        now = self.clock()
        if not self._step(
            lambda: self.evening.answer(marked, ms, now.at_ms, now.offset, self.said, question.prompt, self.right)
        ):
            return
        self.hide_typed()
        self._raise_hands()
        self.redraw()

    def _tell_right(self, marked: Marked) -> None:
        if self.question is not None:
            self.right = f"{right_words(self.question, marked)}. {marked.why}"

    def _grade(self, gave: dict[str, bool]) -> None:
        if not self._step(lambda: self.evening.grade(gave)):
            # Nobody's hand is known to others yet, so all can be raised again once there is room.
            self.hands = Hands(self.evening.keys())
            self.redraw()
            return
        self.last, self.stage, self.hands = self.evening.graded[-1], OUTCOME, None
        self.query_one("#words", VerticalScroll).scroll_home(animate=False)
        self.redraw()

    # ------------------------------------------------------------ keys

    def on_key(self, event: Key) -> None:
        """Take hands; letters do nothing else while turns go on, so that nobody's early key quits the program."""
        if self.typing or not is_hand(event.character, self.hands) or (self.stage == OUTCOME and event.key == "v"):
            return
        event.stop()
        if self.stage == HANDS and self.hands is not None and self.hands.press(event.character or ""):
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
        elif self.last is not None:
            faults, number = self._floor_faults()[:MOST_FAULTS], int(self.key) - 1
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

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Play only what was graded: before that nothing is told of it."""
        return self.stage == OUTCOME if action == "play" else super().check_action(action, parameters)

    def action_play(self) -> None:
        """See the movement of the turn played, beside it the fault that was played or settled on."""
        if self.last is not None:
            from trainer.screens.evening_played import afterwards
            from trainer.screens.player import PlayerScreen

            self.app.push_screen(PlayerScreen(self.evening.deck, afterwards(self.evening.deck, self.last)))

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
            self._raise_hands()
        self.redraw()


def said_words(screen: EveningScreen, marked: Marked, answer: Answer) -> str:
    """Return an answer as it was given, in words."""
    question = screen.question
    if question is None or answer in (-1, "", ()):
        return "nothing: not known"
    return right_words(question, marked._replace(correct=answer))
