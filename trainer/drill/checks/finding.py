"""A finding: what is wrong in a deck, at the path of its value in the deck file."""

from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from trainer.drill.deck import Deck

Path = tuple[str | int, ...]
"""The path of a value, such as `("movement", 3, "counts", 0, "foot")`."""


class Finding(NamedTuple):
    """Something wrong in a deck, at the path of its value."""

    path: Path
    message: str


def nearest(word: str, known: Iterable[str]) -> str:
    """Return ` Did you mean 'x'?` for the nearest known name, or the list of names, or nothing."""
    from difflib import get_close_matches  # only here: a deck without errors need not pay for it

    names = list(known)
    close = get_close_matches(word.lower(), [name.lower() for name in names], 1, 0.6)
    if close:
        name = next(name for name in names if name.lower() == close[0])
        return f" Did you mean '{name}'?"
    if not names:
        return ""
    return f" Known here: {', '.join(sorted(names)[:40])}."


def twice(ids: list[str], path: Callable[[int], Path], what: str) -> Iterator[Finding]:
    """Yield every id that stands there a second time."""
    seen: dict[str, int] = {}
    for number, one in enumerate(ids):
        if one in seen:
            yield Finding(
                path(number),
                f"the {what} '{one}' is there twice: number {seen[one] + 1} has it too. Give each an id of its own",
            )
        seen.setdefault(one, number)


def sword(deck: Deck, word: str | None, path: Path) -> Iterator[Finding]:
    """Yield a sword position that the deck does not list."""
    if word is not None and word not in deck.sword:
        listed = nearest(word, deck.sword) or ' List it there, like sword = ["carry", "order"].'
        yield Finding(path, f"'{word}' is not in the list of sword positions under [deck].{listed}")
