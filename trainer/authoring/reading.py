"""A deck file read and checked: everything that is wrong in it comes at once, by place, in plain words."""

import os
from typing import Any, NamedTuple

from trainer.authoring.building import build
from trainer.authoring.gate import GatedText, gate_bytes, read_toml
from trainer.authoring.places import Path, Places, locate
from trainer.authoring.problems import Problem, in_order
from trainer.drill.checks import findings
from trainer.drill.deck import Deck
from trainer.plain import visible


class Reading(NamedTuple):
    """A file that was read as a deck.

    Attributes:
        file: its name, as it may be shown.
        text: its text as it was parsed, "" if there is none.
        data: its plain data, None if there are problems.
        deck: the deck, None if there are problems.
        problems: everything found, by place.
    """

    file: str
    text: str
    data: dict[str, Any] | None
    deck: Deck | None
    problems: tuple[Problem, ...]


def read_deck(path: str | os.PathLike[str]) -> Reading:
    """Read and check a deck file; never raises for what a path or a file may be."""
    return _checked(read_toml(path))


def read_deck_bytes(content: bytes, file: str) -> Reading:
    """Check the content of a deck file; `file` is the name to complain under."""
    return _checked(gate_bytes(content, file))


def _checked(gated: GatedText) -> Reading:
    if gated.data is None:
        return Reading(gated.file, gated.text, None, None, gated.problems)
    if not gated.problems and _sound(gated.data):
        deck = build(gated.data)
        found = findings(deck)
        if not found:
            return Reading(gated.file, gated.text, gated.data, deck, ())
    problems = in_order(_Complaints(gated, gated.data).all())
    return Reading(gated.file, gated.text, None, None, problems)


def _sound(data: dict[str, Any]) -> bool:
    from trainer.authoring.written import WrittenDeck  # only here: pydantic is slow to import

    try:
        WrittenDeck.model_validate(data)
    except ValueError:
        return False
    return True


class _Complaints:
    """Everything that is wrong in data that may be unsound in any way."""

    def __init__(self, gated: GatedText, data: dict[str, Any]) -> None:
        self.gated, self.data = gated, data
        self.places = locate(gated.text)
        self.spoilt_lines = {problem.line for problem in gated.problems}
        self.broken = _paths_on(self.places, self.spoilt_lines)
        self.found: list[Problem] = list(gated.problems)

    def all(self) -> list[Problem]:
        """Return the gate's problems, those of the shape, and those of the trade that do not follow from them."""
        from trainer.authoring.standins import with_standins  # only here, as pydantic is

        self._shape()
        standing = with_standins(self.data, self.broken)
        for path, message in findings(build(standing.data), rows_only=standing.rows_only, stand_ins=standing.stances):
            if not standing.follows(path):
                self._add(self.places.value(path), message)
        return self.found

    def _shape(self) -> None:
        from pydantic import ValidationError

        from trainer.authoring.complaints import complaints
        from trainer.authoring.written import WrittenDeck

        try:
            WrittenDeck.model_validate(self.data)
        except ValidationError as error:
            for path, message, of_name in complaints(error.errors(include_url=False), self.data):
                self.broken.add(path)
                self._add(self.places.key(path) if of_name else self.places.value(path), message)

    def _add(self, place: tuple[int, int], message: str) -> None:
        if place[0] not in self.spoilt_lines:
            self.found.append(Problem(self.gated.file, *place, visible(message)))


def _paths_on(places: Places, lines: set[int]) -> set[Path]:
    """Return the paths of all values in some lines, and of the last one before each, which may reach into it."""
    if not lines:
        return set()
    placed = sorted((places.value(path), path) for path in places.paths() if path)
    spoilt = {path for (line, _), path in placed if line in lines}
    for wanted in lines:
        before = [path for (line, _), path in placed if line <= wanted]
        spoilt.update(before[-1:])
    return spoilt
