"""The smallest pieces of TOML 1.0 as text: strings, bare keys, gaps, and the place of an offset.

Every pattern is possessive, so that matching takes linear time and no memory to step back with. Text is
expected with plain newlines: CRLF is replaced before.
"""

import re
import tomllib
from bisect import bisect_right

SPACE = re.compile(r"[ \t]*+")
GAP = re.compile(r"(?:[ \t\n]++|#[^\n]*+)*+")
BARE_KEY = re.compile(r"[A-Za-z0-9_-]++")
SHORT_STRING = re.compile(r""" "(?:[^"\\\n]++|\\[^\n])*+" | '[^'\n]*+' """, re.VERBOSE)
LONG_STRING = re.compile(
    r"""
    "{3}(?:[^"\\]++|\\.|"{1,2}(?!"))*+"{3,5}
    | '{3}(?:[^']++|'{1,2}(?!'))*+'{3,5}
    """,
    re.VERBOSE | re.DOTALL,
)


def string_at(text: str, at: int) -> re.Match[str] | None:
    """Match the whole string, of one line or of several, that a quote at `at` opens; None if never closed."""
    pattern = LONG_STRING if text.startswith(('"""', "'''"), at) else SHORT_STRING
    return pattern.match(text, at)


def key_name(token: str) -> str:
    """Return the name that one part of a key, bare or quoted, spells."""
    if token[0] not in "\"'":
        return token
    if token[0] == '"' and "\\" in token:
        return str(tomllib.loads("key=" + token)["key"])
    return token[1:-1]


class Lines:
    """Line and column, both from 1, of an offset into a text."""

    def __init__(self, text: str) -> None:
        self._starts = [0, *(match.end() for match in re.finditer("\n", text))]

    def place(self, offset: int) -> tuple[int, int]:
        """Return (line, column) of an offset."""
        line = bisect_right(self._starts, offset)
        return line, offset - self._starts[line - 1] + 1


class Cursor:
    """A place in a text, `at`, that only moves forward."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0

    def following(self) -> str:
        """Return the next character, "" at the end."""
        return self.text[self.at : self.at + 1]

    def skip(self, pattern: re.Pattern[str]) -> str:
        """Step over what the pattern matches here; return it, "" if it does not match."""
        match = pattern.match(self.text, self.at)
        if match is None:
            return ""
        self.at = match.end()
        return match[0]

    def end_of_line(self) -> int:
        """Return the offset at which the current line ends."""
        end = self.text.find("\n", self.at)
        return len(self.text) if end < 0 else end
