"""Fields that a setting is asked with: a handle, a deck, a date, minutes. Welcome and Change share them."""

from collections.abc import Callable, Sequence
from datetime import date, timedelta
from typing import Any, ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical
from textual.message import Message
from textual.widgets import Input, Static

from trainer.coach.candidate import CandidateError, Person, checked_handle, read_date
from trainer.coach.dates import checked_test_date, date_words
from trainer.screens.widgets.keys import Keys

LONGEST_MINUTES = 240
EXAMPLE_DAYS = 60
"""The example of a test date lies so far ahead."""
WHO = (
    "A handle is the name that the program calls you by. Take a nickname: not your full name, not a service number. "
    "It stays on this laptop."
)
WHEN = "The day of the test, year-month-day. Not fixed yet? Give the day that is most likely; it can be changed."
HOW_LONG = (
    "The minutes that you have on a usual day. A sitting asks as many questions as fit; ten to twenty are plenty."
)


class Field(Vertical):
    """A question with a way to answer it; posts `Given` with a value that was checked."""

    DEFAULT_CSS = """
    Field { height: 1fr; }
    Field .say { margin-bottom: 1; }
    """

    class Given(Message):
        """A value, checked."""

        def __init__(self, field: "Field", value: Any) -> None:
            super().__init__()
            self.field, self.value = field, value

    class Turned(Message):
        """The keys of the field are others now."""

    KEYS: ClassVar[Keys] = ()

    @property
    def keys(self) -> Keys:
        """The field's own keys as it stands."""
        return self.KEYS

    def start(self) -> None:
        """Take the keys."""

    def back(self) -> bool:
        """Take one step back within the field; tell whether there was one."""
        return False


class TextField(Field):
    """One line that is typed; a hint says what it means so far, a sentence what is wrong with it."""

    def __init__(
        self,
        say: str,
        check: Callable[[str], object],
        hint: Callable[[Any], str] = lambda _: "",
        value: str = "",
        placeholder: str = "",
    ) -> None:
        super().__init__()
        self._say, self._check, self._hint = say, check, hint
        self._value, self._placeholder = value, placeholder

    def compose(self) -> ComposeResult:
        """Lay out the question, the line, the hint."""
        yield Static(self._say, classes="say", markup=False)
        yield Input(self._value, placeholder=self._placeholder, max_length=200, select_on_focus=False)
        yield Static(classes="hint", markup=False)

    def start(self) -> None:
        """Take the keys."""
        self.query_one(Input).focus()

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        try:
            told = self._hint(self._check(event.value))
        except CandidateError:
            told = ""
        self._tell(told, wrong=False)

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        try:
            value = self._check(event.value)
        except CandidateError as error:
            self._tell(str(error), wrong=True)
            return
        self.post_message(self.Given(self, value))

    def _tell(self, text: str, wrong: bool) -> None:
        line = self.query(Static).last()
        line.set_classes("trouble" if wrong else "hint")
        line.update(text)


class DateIn(NamedTuple):
    """A test date with the days left to it."""

    day: date
    days: int


def handle_field(known: Sequence[Person], value: str = "") -> TextField:
    """Return a field for a handle that nobody else on this laptop has."""
    taken = {person.profile.handle.casefold() for person in known}

    def check(text: str) -> str:
        handle = checked_handle(text)
        if handle.casefold() in taken:
            raise CandidateError(f"Somebody on this laptop is called {handle} already; choose another handle.")
        return handle

    return TextField(WHO, check, value=value)


def date_field(day: date, value: str = "") -> TextField:
    """Return a field for a test date, seen from a day."""
    example = (day + timedelta(days=EXAMPLE_DAYS)).isoformat()

    def check(text: str) -> DateIn:
        if not text.strip():
            raise CandidateError(f"Type the day of the test, like {example}.")
        found = checked_test_date(read_date(text), day)
        return DateIn(found, (found - day).days)

    def hint(found: DateIn) -> str:
        left = {0: "that is today", 1: "tomorrow"}.get(found.days, f"in {found.days} days")
        return f"{date_words(found.day)}, {left}"

    return TextField(WHEN, check, hint, value, placeholder=f"like {example}")


def minutes_field(questions: Callable[[int], int], value: int) -> TextField:
    """Return a field for minutes a day; `questions` says how many fit."""

    def check(text: str) -> int:
        typed = text.strip()
        if not (typed.isascii() and typed.isdigit() and len(typed) < 4 and 1 <= int(typed) <= LONGEST_MINUTES):
            raise CandidateError(f"Give whole minutes from 1 to {LONGEST_MINUTES}.")
        return int(typed)

    return TextField(HOW_LONG, check, lambda minutes: f"about {questions(minutes)} questions", str(value))
