"""What all screens that ask questions share: the form of the question that waits, its keys, the time it took."""

from collections import deque
from typing import ClassVar, Generic, TypeVar

from textual.binding import Binding, BindingType
from textual.events import Key
from textual.message import Message
from textual.screen import Screen
from textual.widgets import Input

from trainer.quiz.questions import TEXT, Answer, Question
from trainer.screens.answers import ChoiceForm, Form, TextForm, form_for

Result = TypeVar("Result")
MOST_WAITING = 64
"""Keys whose times are remembered until their action comes."""


def struck(keys: str, action: str, tells: str, shown: str | None = None) -> list[BindingType]:
    """Return a binding for each key that tells its action which key was struck.

    The action of a key may come when the next key is there already, so it must not look up the last one.
    """
    name = action.replace("_", " ").capitalize()
    return [
        Binding(
            key,
            f"struck('{key}', '{action}')",
            name,
            id=f"asking.{action}.{key}",
            show=False,
            key_display=shown,
            tooltip=tells,
        )
        for key in keys.split(",")
    ]


class AskingScreen(Screen[Result], Generic[Result]):
    """A screen that asks; it lays out an `Input` with the id `typed` and hands each answer to `give`."""

    AUTO_FOCUS = ""
    BINDINGS: ClassVar[list[BindingType]] = [
        *struck("1,2,3,4,5,6,7,8,9", "number", "Give the choice of that number, or put it next in an order", "1 to 9"),
        *struck("0", "unknown", "Say that you do not know; it is marked as not right"),
        *struck("left,right", "foot", "Set the foot of the next word"),
        *struck("up,down", "move", "Go through the choices"),
        *struck("backspace", "take_back", "Take back the last foot, or the last count put in order"),
        *struck("enter", "enter", "Give the answer"),
    ]

    def __init__(self) -> None:
        super().__init__()
        self.question: Question | None = None
        self.form: Form | None = None
        self.key = ""
        self._shown_at = self._pressed_at = 0.0
        self._pressed: deque[tuple[str, float]] = deque(maxlen=MOST_WAITING)

    # What a screen that asks must say for itself.

    def seconds(self) -> float:
        """Return the clock that answers are timed with, seconds."""
        raise NotImplementedError

    def give(self, answer: Answer, ms: int) -> None:
        """Take the answer to the question that waits, and the time that it took."""
        raise NotImplementedError

    def redraw(self) -> None:
        """Show the form as it is now."""
        raise NotImplementedError

    @property
    def waits(self) -> bool:
        """Whether keys belong to the form."""
        return self.form is not None

    def put(self, question: Question | None) -> None:
        """Let a question wait for its answer, or none."""
        self.question = question
        self.form = form_for(question) if question else None
        typed = self.query_one("#typed", Input)
        typed.value = ""
        typed.display = question is not None and question.expects == TEXT
        self.set_focus(typed if typed.display else None)
        self._note_time()
        self.call_after_refresh(self._note_time)

    def hide_typed(self) -> None:
        """Take the line that words are typed in away, once they are given."""
        self.set_focus(None)
        self.query_one("#typed", Input).display = False

    def _note_time(self) -> None:
        if self.waits:
            self._shown_at = self.seconds()

    @property
    def typing(self) -> bool:
        """Whether words are being typed, so that letters are no keys."""
        return bool(self.query_one("#typed", Input).display)

    def on_key(self, event: Key) -> None:
        """Note when a key was struck, for the action that follows."""
        # The age of the event is read on its own clock, which may be another than ours.
        age = Message().time - event.time
        self._pressed.append((event.key, self.seconds() - max(age, 0.0)))

    def action_struck(self, key: str, action: str) -> None:
        """Do what a key is for, knowing which it was and when it was struck."""
        self._take(key)
        getattr(self, f"action_{action}")()

    def _take(self, key: str) -> None:
        self.key, self._pressed_at = key, self.seconds()
        while self._pressed:  # keys before it that were for nothing are passed over
            before, at = self._pressed.popleft()
            if before == key:
                self._pressed_at = at
                break

    def press(self) -> None:
        """Let the form take the key that came; an answer that is whole is given."""
        if not self.waits or self.form is None:
            return
        answer = self.form.press(self.key)
        if answer is None:
            self.redraw()
        else:
            self.give(answer, max(0, round((self._pressed_at - self._shown_at) * 1000)))

    def action_number(self) -> None:
        """Give a choice, or put one next."""
        self.press()

    def action_unknown(self) -> None:
        """Say that the answer is not known."""
        self.press()

    def action_take_back(self) -> None:
        """Take the last foot or the last one put in order back."""
        self.press()

    def action_foot(self) -> None:
        """Set a foot."""
        self.press()

    def action_move(self) -> None:
        """Go through the choices."""
        if isinstance(self.form, ChoiceForm):
            self.press()

    def action_enter(self) -> None:
        """Give the answer."""
        self.press()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Give the typed words."""
        event.stop()
        if self.waits and isinstance(self.form, TextForm):
            self.form.typed = event.value
            self._take("enter")
            self.press()
