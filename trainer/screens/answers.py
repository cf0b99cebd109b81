"""The forms in which an answer is given: what keys do to them, and how they look. No Textual in here.

A form is pressed with the names of keys; it gives back the answer once there is a whole one.
"""

from collections.abc import Callable
from typing import Protocol

from trainer.drill.movement import LEFT, RIGHT
from trainer.plain import visible
from trainer.quiz.questions import CHOICE, FEET, NO_CHOICE, ORDER, Answer, Question
from trainer.quiz.wording import ordinal
from trainer.screens.feet_rows import feet_rows
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.spans import (
    BRASS,
    FAINT,
    INK,
    LINE,
    STRONG,
    Row,
    Span,
)

MOST_NUMBERS = 9
"""Choices that have a number key."""

UNKNOWN_KEY = "0"
UNKNOWN = (UNKNOWN_KEY, "do not know")

Keys = tuple[tuple[str, str], ...]


class Form(Protocol):
    """One question's answer while it is being given."""

    note: str
    """What is still missing, for who pressed enter too early; empty where nothing is."""

    def press(self, key: str) -> Answer | None:
        """Take a key; return the answer once it is whole."""

    def rows(self, width: int) -> list[Row]:
        """Return how the form looks at a width."""

    def keys(self) -> Keys:
        """Return the keys that do something now, and what."""


def form_for(question: Question) -> Form:
    """Return an empty form for a question."""
    forms: dict[str, Callable[[Question], Form]] = {CHOICE: ChoiceForm, ORDER: OrderForm, FEET: FeetForm}
    return forms.get(question.expects, TextForm)(question)


class ChoiceForm:
    """Numbered choices: a number answers at once, so do the arrows with enter."""

    def __init__(self, question: Question) -> None:
        self.choices = question.choices
        self.at: int | None = None
        self.note = ""

    def press(self, key: str) -> Answer | None:
        """Take a number, an arrow or enter."""
        self.note = ""
        if key == UNKNOWN_KEY:
            return NO_CHOICE
        last = len(self.choices) - 1
        if key.isdigit() and 1 <= int(key) <= min(last + 1, MOST_NUMBERS):
            self.at = int(key) - 1
            return self.at
        if key == "down":
            self.at = 0 if self.at is None else min(self.at + 1, last)
        elif key == "up":
            self.at = last if self.at is None else max(self.at - 1, 0)
        elif key == "enter":
            if self.at is not None:
                return self.at
            self.note = "Nothing is chosen yet: press a number, or an arrow and then enter."
        return None

    def rows(self, width: int) -> list[Row]:
        """Return the choices, the one that enter would give marked."""
        found: list[Row] = []
        for number, text in enumerate(self.choices):
            chosen = number == self.at
            head = (Span("▸ " if chosen else "  ", BRASS), Span(f"{number + 1}  ", STRONG))
            found += hanging(head, text, width, STRONG if chosen else INK)
        return found

    def keys(self) -> Keys:
        """Return the keys of a choice."""
        return ((f"1 to {min(len(self.choices), MOST_NUMBERS)}", "answer"), ("↑↓ enter", "choose"), UNKNOWN)


class OrderForm:
    """Shuffled steps: a number puts that step next."""

    def __init__(self, question: Question) -> None:
        self.choices = question.choices
        self.put: list[int] = []
        self.note = ""

    def press(self, key: str) -> Answer | None:
        """Take a number, backspace or enter."""
        self.note = ""
        if key == UNKNOWN_KEY:
            return ()
        if key.isdigit() and 1 <= int(key) <= len(self.choices):
            if int(key) - 1 in self.put:
                self.note = f"{key} has its place already; backspace takes the last one back."
            else:
                self.put.append(int(key) - 1)
        elif key == "backspace" and self.put:
            self.put.pop()
        elif key == "enter":
            if len(self.put) == len(self.choices):
                return tuple(self.put)
            left = len(self.choices) - len(self.put)
            self.note = f"{left} still {'has' if left == 1 else 'have'} no place."
        return None

    def rows(self, width: int) -> list[Row]:
        """Return the steps in the order in which they are shown, each with the place it was given."""
        found: list[Row] = []
        for number, text in enumerate(self.choices):
            placed = number in self.put
            place = ordinal(self.put.index(number) + 1) if placed else "-"
            head = (Span(f"{place:>8} ", BRASS if placed else LINE), Span(f" {number + 1}  ", STRONG))
            found += hanging(head, text, width, FAINT if placed else INK)
        upcoming = len(self.put) + 1
        told = (
            f"Which comes {ordinal(upcoming)}?"
            if upcoming <= len(self.choices)
            else "All have a place; enter confirms."
        )
        return [*found, (), (Span(told, BRASS),)]

    def keys(self) -> Keys:
        """Return the keys of an order."""
        whole = len(self.put) == len(self.choices)
        put = () if whole else ((f"1 to {len(self.choices)}", "comes next"),)
        back = (("backspace", "take back"),) if self.put else ()
        return (*put, *back, (("enter", "confirm") if whole else UNKNOWN))


class FeetForm:
    """The words of a command on their beats: the arrows set the foot of the next word."""

    def __init__(self, question: Question) -> None:
        self.words = question.choices
        self.beats = question.focus if len(question.focus) == len(question.choices) else ()
        self.feet: list[str] = []
        self.note = ""

    def press(self, key: str) -> Answer | None:
        """Take an arrow, backspace or enter."""
        self.note = ""
        if key == UNKNOWN_KEY:
            return ()
        if key in (LEFT, RIGHT):
            if len(self.feet) < len(self.words):
                self.feet.append(key)
            else:
                self.note = "Every word has its foot: enter confirms, backspace takes the last one back."
        elif key == "backspace" and self.feet:
            self.feet.pop()
        elif key == "enter":
            if len(self.feet) == len(self.words):
                return tuple(self.feet)
            self.note = f"“{visible(self.words[len(self.feet)])}” has no foot yet: press ← or →."
        return None

    def rows(self, width: int) -> list[Row]:
        """Return the words with their feet, a pointer on the next one."""
        found = feet_rows(self.words, self.beats, {"foot": tuple(self.feet)}, width, len(self.feet))
        if len(self.feet) == len(self.words):
            found += [(), (Span("Every word has its foot; enter confirms.", BRASS),)]
        return found

    def keys(self) -> Keys:
        """Return the keys of feet."""
        whole = len(self.feet) == len(self.words)
        arrows = () if whole else (("←", "left foot"), ("→", "right foot"))
        back = (("backspace", "take back"),) if self.feet else ()
        return (*arrows, *back, (("enter", "confirm") if whole else UNKNOWN))


class TextForm:
    """Typed words; the line that they are typed in belongs to the screen."""

    def __init__(self, question: Question) -> None:  # noqa: ARG002  # as all forms are made
        self.note = ""
        self.typed = ""

    def press(self, key: str) -> Answer | None:
        """Take enter; the second one in a row on an empty line says that the words are not known."""
        if key != "enter":
            return None
        typed, told = self.typed.strip(), bool(self.note)
        self.note = ""
        if typed or told:
            return typed
        self.note = "Type the words; enter again if you do not know."
        return None

    def rows(self, width: int) -> list[Row]:
        """Return how typed words are taken."""
        return [(Span(line, FAINT),) for line in wrapped("Case, spaces and punctuation do not count; words do.", width)]

    def keys(self) -> Keys:
        """Return the keys of a text."""
        return (("enter", "answer"), ("enter twice", "do not know"))
