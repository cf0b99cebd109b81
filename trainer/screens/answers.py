"""The forms in which an answer is given: what keys do to them, and how they look. No Textual in here.

A form is pressed with the names of keys; it gives back the answer once there is a whole one.
"""

from collections.abc import Callable, Mapping
from itertools import pairwise
from typing import Protocol

from trainer.drill.describe import beat_number
from trainer.drill.movement import LEFT, RIGHT
from trainer.plain import clip, columns, visible
from trainer.quiz.questions import CHOICE, FEET, NO_CHOICE, ORDER, Answer, Question
from trainer.quiz.wording import ordinal
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.spans import (
    BRASS,
    FAINT,
    INK,
    LEFT_SOLE,
    LINE,
    RIGHT_SOLE,
    STRONG,
    Line,
    Row,
    Span,
)

FOOT_ROLES = {LEFT: LEFT_SOLE, RIGHT: RIGHT_SOLE}
FOOT_LETTERS = {LEFT: "L left", RIGHT: "R right"}
FOOT_WIDTH = 7
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


def hanging(head: tuple[Span, ...], text: str, width: int, role: str) -> list[Row]:
    """Return a text wrapped beside a head, its further lines under its first."""
    indent = sum(columns(span.text) for span in head)
    lines = wrapped(visible(text), max(width - indent, 8))
    return [
        (*head, Span(line, role)) if number == 0 else (Span(" " * indent), Span(line, role))
        for number, line in enumerate(lines)
    ]


LABEL = 11
GAP = 2


def feet_rows(
    words: tuple[str, ...],
    beats: tuple[float, ...],
    feet: Mapping[str, tuple[str, ...]],
    width: int,
    pointer: int | None = None,
    marks: tuple[bool, ...] = (),
) -> list[Row]:
    """Return words on their beats with rows of feet beneath; one word a row where they do not fit side by side.

    Args:
        words: the words.
        beats: the beat of each; empty if they are not known.
        feet: by the name of its row, `left` or `right` for the first words; further ones are open.
        width: cells.
        pointer: the word whose foot comes next, None for none.
        marks: whether the foot of each word was right; shown in the first row of feet.
    """
    shown = [visible(word) for word in words]
    places = _places(shown, beats, width)
    if places is None:
        return _feet_stacked(shown, beats, feet, width, pointer, marks)
    lines = [Line(width), Line(width), Line(width)]
    for label, line in zip(("", "beat", "voice"), lines, strict=True):
        line.put(0, label, FAINT)
    for number, (word, column) in enumerate(zip(shown, places, strict=True)):
        here = number == pointer
        lines[0].put(column, "▼" if here else "", BRASS)
        beat = beat_number(beats[number]) if beats else str(number + 1)
        lines[1].put(column - beat.startswith("-"), beat, BRASS if here else FAINT)
        lines[2].put(column, word, STRONG)
    rows = [line.row() for line in (lines if pointer is not None else lines[1:])]
    for first, (label, given) in enumerate(feet.items()):
        line = Line(width)
        line.put(0, label, FAINT)
        for number, column in enumerate(places):
            if number < len(given):
                after = line.put(column, FOOT_LETTERS[given[number]], FOOT_ROLES[given[number]])
                if marks and not first:
                    line.put(after + 1, _sign(marks[number]), STRONG)
            else:
                line.put(column, "?" if number == pointer else "·", BRASS if number == pointer else LINE)
        rows.append(line.row())
    return rows


def _sign(right: bool) -> str:
    return "✓" if right else "✗"


def _places(words: list[str], beats: tuple[float, ...], width: int) -> list[int] | None:
    """Return the column of each word: in proportion to its beat where that fits, else evenly, else None."""
    sizes = [max(columns(word), FOOT_WIDTH + 2) + GAP for word in words]
    if beats:
        gaps = [after - before for before, after in pairwise(beats)]
        if all(gap > 0 for gap in gaps):
            each = max([-(-size // gap) for size, gap in zip(sizes, gaps, strict=False)], default=0)
            places = [LABEL + round((beat - beats[0]) * each) for beat in beats]
            if places[-1] + sizes[-1] <= width:
                return places
    if LABEL + sum(sizes) > width:
        return None
    places, at = [], LABEL
    for size in sizes:
        places.append(at)
        at += size
    return places


def _feet_stacked(
    words: list[str],
    beats: tuple[float, ...],
    feet: Mapping[str, tuple[str, ...]],
    width: int,
    pointer: int | None,
    marks: tuple[bool, ...],
) -> list[Row]:
    room = max(width - 14 - (FOOT_WIDTH + 10) * len(feet), 8)
    rows: list[Row] = []
    for number, word in enumerate(words):
        beat = f"beat {beat_number(beats[number])}" if beats else ""
        text = clip(word, room)
        row = [Span("▸ " if number == pointer else "  ", BRASS), Span(f"{beat:<9}", FAINT)]
        row.append(Span(text + " " * (room - columns(text) + 2), STRONG))
        for first, (label, given) in enumerate(feet.items()):
            row.append(Span(f"{label} " if len(feet) > 1 else "", FAINT))
            foot = given[number] if number < len(given) else ""
            role = FOOT_ROLES.get(foot, BRASS if number == pointer else LINE)
            row.append(Span(f"{FOOT_LETTERS.get(foot, '?' if number == pointer else '·'):<{FOOT_WIDTH}}", role))
            row.append(Span(f" {_sign(marks[number])} " if marks and not first else "   ", STRONG))
        rows.append(tuple(row))
    return rows
