"""What `tomllib` complains of, in words for people who do not program."""

import re

_PLACE = re.compile(r" \(at (?:line (\d+), column (\d+)|end of document)\)$")

_MEANINGS = (
    ("Cannot declare", "this block is there already, further up; keep one of the two"),
    ("Cannot overwrite a value", "this name has a value already, further up"),
    ("Cannot mutate immutable namespace", "this was given as a whole further up and cannot be added to here"),
    ("Cannot redefine namespace", "this was given as a whole further up and cannot be opened again here"),
    ("Duplicate inline table key", "a name is given twice in this row"),
    ("Invalid date or datetime", "there is no such date; put it in quotes, as text"),
    ("Unterminated string", "a text is not closed: a quote is missing"),
    ("Unclosed array", "a list is not closed: a ] or a comma is missing before this"),
    ("Unclosed inline table", "a row is not closed: a } or a comma is missing before this"),
)


def place_in(error: ValueError, text: str) -> tuple[int, int] | None:
    """Return (line, column) of a `tomllib` error, None if it does not say.

    Python 3.14 has them as attributes; before, they stand at the end of the message only.
    """
    line, column = getattr(error, "lineno", None), getattr(error, "colno", None)
    if isinstance(line, int) and isinstance(column, int):
        return line, column
    match = _PLACE.search(str(error))
    if match is None:
        return None
    if match[1] is not None:
        return int(match[1]), int(match[2])
    lines = text.rstrip("\n").split("\n")
    return len(lines), len(lines[-1]) + 1


def meaning_of(error: BaseException) -> str:
    """Put an error of `tomllib` into plain words."""
    if isinstance(error, RecursionError):
        return "too many brackets stand within each other"
    reason = _PLACE.sub("", str(error))
    for start, meaning in _MEANINGS:
        if reason.startswith(start):
            return meaning
    if _PLACE.search(str(error)):
        return "this line cannot be read as TOML; compare it with the lines around it"
    return "this file cannot be read as TOML"
