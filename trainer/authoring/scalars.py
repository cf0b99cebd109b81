"""What can be wrong with one text, number or word of a deck."""

import re
from enum import Enum
from math import isfinite
from typing import NamedTuple
from unicodedata import category

from trainer.plain import MARKS, MOST_MARKS, clip, code_point, is_hidden, visible

MOST_TEXT = 400
"""Characters in one text or name."""
MOST_DIGITS = 18
"""Digits of a whole number: what fits into 64 bits."""

_ESCAPE = re.compile(r'\\(?:u([0-9A-Fa-f]{4})|U([0-9A-Fa-f]{8})|([btnfr"\\])|([ \t]*+\n[ \t\n]*+)|)')
_SIMPLE = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r", '"': '"', "\\": "\\"}
_NUMBER = re.compile(
    r"0x[0-9A-Fa-f](?:_?[0-9A-Fa-f])*+|0b[01](?:_?[01])*+|0o[0-7](?:_?[0-7])*+"
    r"|[+-]?(?:0|[1-9](?:_?[0-9])*+)(?:\.[0-9](?:_?[0-9])*+)?(?:[eE][+-]?[0-9](?:_?[0-9])*+)?"
)
_NUMBER_LIKE = re.compile(r"[+-]?[.]?[0-9][0-9_.,+-]*")
_SWITCHES = frozenset({"true", "false", "yes", "no", "on", "off"})


class Trouble(Enum):
    """Of what sort a finding is."""

    SYNTAX = "TOML 1.0 does not allow it"
    LIMIT = "more than a deck may hold"
    CONTENT = "TOML allows it, a deck does not"


class Found(NamedTuple):
    """A finding at an offset into the text."""

    offset: int
    trouble: Trouble
    message: str


def word_trouble(word: str, offset: int) -> Found | None:
    """Judge a value that stands without quotes: a number, true or false, or something that is neither."""
    if word in ("true", "false"):
        return None
    if word.lstrip("+-") in ("inf", "nan"):
        return Found(offset, Trouble.CONTENT, f"{visible(word)} is not a number that a deck can use")
    if _NUMBER.fullmatch(word):
        return _number_trouble(word, offset)
    shown = clip(visible(word), 40)
    if word.lower() in _SWITCHES:
        advice = f'write true or false, in small letters, or put the text in quotes: "{shown}"'
    elif _NUMBER_LIKE.fullmatch(word):
        advice = f"'{shown}' is not a number as TOML writes it (like 30, -2 or 1.5); if it is text, put it in quotes"
    else:
        advice = f"text must stand in straight quotes, '{shown}' does not"
    return Found(offset, Trouble.SYNTAX, advice)


def _number_trouble(word: str, offset: int) -> Found | None:
    digits = sum(char.isalnum() for char in word)
    if digits > MOST_DIGITS:
        return Found(offset, Trouble.CONTENT, f"a number of {digits:,} digits; at most {MOST_DIGITS} can be used")
    if not word.startswith("0x") and "e" in word.lower() and not isfinite(float(word)):
        return Found(offset, Trouble.CONTENT, f"{word} is too large a number")
    return None


def string_troubles(token: str, offset: int) -> list[Found]:
    """Judge one string as it is written, quotes included, at its offset.

    Characters that stand in the file as they are have been looked at before, all but tabs; this is about
    escapes, tabs and length.
    """
    long = token.startswith(('"""', "'''"))
    edge = 3 if long else 1
    body = token[edge:-edge]
    found = []
    tab = body.find("\t")
    if tab >= 0:
        found.append(Found(offset + edge + tab, Trouble.CONTENT, "a tab stands in a text here; use spaces"))
    spelled = body
    if token[0] == '"' and "\\" in body:
        spelled, wrong = _spelled(body, offset + edge, long=long)
        found += [wrong] if wrong else []
        if not wrong and most_marks(spelled) > MOST_MARKS >= most_marks(body):
            found.append(Found(offset, Trouble.CONTENT, too_many_marks(most_marks(spelled))))
    if len(spelled.removeprefix("\n")) > MOST_TEXT:
        length = len(spelled.removeprefix("\n"))
        found.append(Found(offset, Trouble.LIMIT, f"a text of {length:,} characters; at most {MOST_TEXT} are allowed"))
    return found


def _spelled(body: str, offset: int, *, long: bool) -> tuple[str, Found | None]:
    """Return what escapes spell, and the first one that cannot stand in a deck."""
    pieces = []
    wrong = None
    done = 0
    for escape in _ESCAPE.finditer(body):
        pieces.append(body[done : escape.start()])
        done = escape.end()
        char, trouble = _escaped(escape, long=long)
        pieces.append(char)
        if trouble and wrong is None:
            wrong = Found(offset + escape.start(), *trouble)
    pieces.append(body[done:])
    return "".join(pieces), wrong


def _escaped(escape: re.Match[str], *, long: bool) -> tuple[str, tuple[Trouble, str] | None]:
    four, eight, letter, line_end = escape.groups()
    if line_end is not None and long:
        return "", None
    if letter is not None:
        char = _SIMPLE[letter]
    elif four or eight:
        number = int(four or eight, 16)
        if number > 0x10FFFF or 0xD800 <= number <= 0xDFFF:
            return "", (Trouble.SYNTAX, f"{escape[0]} is no character")
        char = chr(number)
    else:
        return "", (Trouble.SYNTAX, r"\ begins an escape that TOML does not know; write \\ for a backslash")
    if char == "\n" and not long:
        return char, (Trouble.CONTENT, r"\n breaks a line; text of several lines stands between three quotes")
    if is_hidden(char) and char != "\n":
        return char, (Trouble.CONTENT, f"{escape[0]} is the character {code_point(char)}, which is not shown")
    return char, None


def most_marks(text: str) -> int:
    """Count the combining marks in the longest unbroken run of them."""
    most = run = 0
    for char in text:
        run = run + 1 if category(char) in MARKS else 0
        most = max(most, run)
    return most


def too_many_marks(run: int) -> str:
    """Say that a run of combining marks is too long."""
    return f"{run} combining marks on one character; at most {MOST_MARKS} are allowed"
