"""The decks at hand: those that come with the program, and any file by its path."""

import os
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from trainer.authoring.compiled import open_checked
from trainer.authoring.problems import Problem
from trainer.drill.deck import Deck
from trainer.paths import Home, shipped_decks
from trainer.plain import visible

ENDING = ".toml"


class DeckError(Exception):
    """A deck cannot be used; the message is whole sentences for whoever asked for it."""

    def __init__(self, message: str, problems: tuple[Problem, ...] = ()) -> None:
        super().__init__(visible(message))
        self.problems = problems


class Shelved(NamedTuple):
    """A deck that comes with the program."""

    path: Path
    deck: Deck

    @property
    def id(self) -> str:
        """The deck's own id."""
        return self.deck.id

    @property
    def title(self) -> str:
        """The deck's title."""
        return self.deck.title

    @property
    def movements(self) -> int:
        """How many movements it has."""
        return len(self.deck.movements)


def shipped(home: Home) -> list[Shelved]:
    """Return the decks that come with the program, by title; one that has problems is left out."""
    return sorted(_sound_decks(home), key=lambda shelved: shelved.title)


def find(name_or_path: str | os.PathLike[str], home: Home) -> Path:
    """Return the file of a deck.

    Args:
        name_or_path: the id or the file name of a shipped deck (with - or _ between words), or the path of a file.
        home: where this user's things are kept.

    Raises:
        DeckError: if there is no such deck.
    """
    name = os.fspath(name_or_path)
    plain = name.lower().replace("_", "-")
    for path in _files():
        if path.stem.lower().replace("_", "-") == plain:
            return path
    by_path = Path(os.path.expanduser(name))
    if _looks_like_path(name) or _is_file(by_path):
        return by_path
    known = []
    for shelved in shipped(home):
        if shelved.id == plain:
            return shelved.path
        known.append(shelved.id)
    raise DeckError(f"There is no deck called '{name}'.{_known(plain, known)} A deck in a file is given by its path.")


def open_deck(name_or_path: str | os.PathLike[str], home: Home) -> Deck:
    """Return a deck, checked.

    Raises:
        DeckError: if there is no such deck, or if it has problems (which are attached).
    """
    path = find(name_or_path, home)
    opened = open_checked(path, home.checked_decks)
    if opened.deck is not None:
        return opened.deck
    raise DeckError(_refusal(path, opened.problems), opened.problems)


def _refusal(path: Path, problems: tuple[Problem, ...]) -> str:
    first = problems[0]
    if not first.line and len(problems) == 1:
        return f"The deck {path} cannot be opened: {first.message}."
    many = "a problem" if len(problems) == 1 else f"{len(problems)} problems"
    return (
        f"The deck {path} has {many} and cannot be used. In line {first.line}: {first.message}. "
        f"'stepcall deck check {path}' shows all there is."
    )


def _files() -> list[Path]:
    try:
        return sorted(shipped_decks().glob(f"*{ENDING}"))
    except OSError:
        return []


def _sound_decks(home: Home) -> Iterator[Shelved]:
    for path in _files():
        opened = open_checked(path, home.checked_decks)
        if opened.deck is not None:
            yield Shelved(path, opened.deck)


def _looks_like_path(name: str) -> bool:
    separators = [mark for mark in (os.sep, os.altsep) if mark]
    return name.lower().endswith(ENDING) or any(mark in name for mark in separators)


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except (OSError, ValueError):
        return False


def _known(name: str, known: list[str]) -> str:
    from difflib import get_close_matches  # only here: a deck that is found need not pay for it

    close = get_close_matches(name, known, 1, 0.5)
    if close:
        return f" Did you mean '{close[0]}'?"
    return f" Known: {', '.join(known)}." if known else ""
