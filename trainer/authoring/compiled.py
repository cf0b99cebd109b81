"""The checked deck cached by content hash, so that no verb pays for checking twice.

A cache file is two lines: what it was made from with a hash of the second line, then the deck's checked data as
JSON. It is trusted for speed only: one that is damaged, foreign or of another version is simply made anew, and
without a folder to keep it in everything works as well, only slower.
"""

import json
import os
import stat
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

from trainer import __version__
from trainer.authoring.building import build
from trainer.authoring.problems import Problem
from trainer.drill.deck import Deck
from trainer.paths import write_private

FORMAT = 1
"""Goes up with every change to what a sound deck is or to how a cache file is written."""
MOST_KEPT = 64
"""Decks in the cache; the ones unused for longest go first."""
MOST_BYTES = 256 * 1024
"""A larger file is no deck; the gate says so."""
_ENDING = ".deck.json"


class Opened(NamedTuple):
    """A deck, or None with the problems that keep it from being one."""

    deck: Deck | None
    problems: tuple[Problem, ...]


def open_checked(path: str | os.PathLike[str], cache: Path) -> Opened:
    """Return the deck in a file, checked now or at an earlier time.

    Args:
        path: the deck file.
        cache: the folder for what can be made again; it is made when it is needed.
    """
    content = _content(path)
    if content is None:
        from trainer.authoring.reading import read_deck  # only here: most decks were checked before

        reading = read_deck(path)
        return Opened(reading.deck, reading.problems)
    key = sha256(b"%s %d\n%s" % (__version__.encode(), FORMAT, content)).hexdigest()
    kept = cache / f"{key}{_ENDING}"
    deck = _kept_deck(kept, key)
    if deck is not None:
        return Opened(deck, ())
    from trainer.authoring.reading import read_deck_bytes  # only here, as above

    reading = read_deck_bytes(content, os.fspath(path))
    if reading.data is not None:
        _keep(kept, key, reading.data)
    return Opened(reading.deck, reading.problems)


def _content(path: str | os.PathLike[str]) -> bytes | None:
    """Return the bytes of a plain file of a deck's size, None where the gate must say what is wrong."""
    try:
        if not stat.S_ISREG(os.stat(path).st_mode):
            return None
        with open(path, "rb") as file:
            content = file.read(MOST_BYTES + 1)
    except (OSError, ValueError):
        return None
    return content if len(content) <= MOST_BYTES else None


def _kept_deck(kept: Path, key: str) -> Deck | None:
    try:
        with open(kept, "rb") as file:
            head, _, body = file.read().partition(b"\n")
        if head.decode("ascii") != _head(key, body):
            return None
        return build(json.loads(body))
    except (OSError, ValueError, LookupError, TypeError, AttributeError, RecursionError):
        return None


def _head(key: str, body: bytes) -> str:
    return json.dumps({"format": FORMAT, "of": key, "sha256": sha256(body).hexdigest()})


def _keep(kept: Path, key: str, data: dict[str, Any]) -> None:
    """Write a cache file in one step; where that is not possible there is none."""
    body = json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode()
    try:
        write_private(kept, _head(key, body).encode("ascii") + b"\n" + body, settled=False)
        _prune(kept.parent)
    except OSError:
        return


def _prune(cache: Path) -> None:
    files = sorted(cache.glob(f"*{_ENDING}"), key=lambda file: file.stat().st_mtime, reverse=True)
    for file in files[MOST_KEPT:]:
        file.unlink(missing_ok=True)
