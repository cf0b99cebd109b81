"""The smallest pieces of a deck's text, names, texts and other words, and what is complained of in each."""

import re

from trainer.authoring.scalars import Found, Trouble, string_troubles, word_trouble
from trainer.authoring.toml_text import BARE_KEY, SHORT_STRING, SPACE, Cursor, Lines, key_name, string_at
from trainer.plain import clip, visible

MOST_DOTS = 16
"""Dots in one key."""
MOST_VALUES = 20_000
"""Values, blocks and tables in one file."""
MOST_FOUND = 500
"""Findings after which the walk ends: more than anyone will read."""

SMART_QUOTES = "“”„‟«»‘’‚‛‹›"
_SMART_TEXT = re.compile(rf"[{SMART_QUOTES}][^\n{SMART_QUOTES}]*+[{SMART_QUOTES}]?")
_DATE_TIME = re.compile(
    r"""
    [0-9]{4}-[0-9]{2}-[0-9]{2}(?:[Tt ][0-9]{2}:[0-9]{2}(?::[0-9]{2}(?:\.[0-9]+)?)?(?:[Zz]|[+-][0-9]{2}:[0-9]{2})?)?
    | [0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]+)?
    """,
    re.VERBOSE,
)
_WORD = re.compile(r"[^ \t\n,\]}#]++")
_REST_OF_LINE = re.compile(r"[^\n#]*+")
_REST_OF_ROW = re.compile(r"[^\n,\]}#]*+")
QUOTES = "\"'"
_PIECE = 80


class Lost(Exception):  # noqa: N818 - a turn in the walk, not an error
    """A mistake hides how the text goes on; walk on at the next row or statement."""


class Stop(Exception):  # noqa: N818 - a turn in the walk, not an error
    """Nothing further is looked at, so that nothing is known of the rest."""


class Pieces(Cursor):
    """A walk that steps over one piece at a time.

    Attributes:
        found: what was complained of so far.
        bounded: whether the text so far is harmless enough for a parser.
    """

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.found: list[Found] = []
        self.bounded = True
        self._lines = Lines(text)
        self._values = 0

    def _note(self, offset: int, trouble: Trouble, message: str) -> None:
        self._add([Found(offset, trouble, message)])

    def _add(self, found: list[Found]) -> None:
        self.found += found
        if len(self.found) >= MOST_FOUND:
            raise Stop

    def _lose(self, offset: int, message: str) -> Lost:
        self._note(offset, Trouble.SYNTAX, message)
        return Lost()

    def _line_of(self, offset: int) -> int:
        return self._lines.place(offset)[0]

    def _left_over(self) -> str:
        """Say that nothing may follow; only a piece of the line is looked at, to stay linear."""
        rest = self.text[self.at : min(self.end_of_line(), self.at + _PIECE)]
        message = f"nothing more may follow here, but there is {shown(rest.strip())}"
        return message + '; a quote within a text is written \\"' if '"' in rest else message

    def _key(self) -> tuple[str, ...]:
        start = self.at
        parts = []
        while True:
            self.skip(SPACE)
            parts.append(self._key_part())
            if len(parts) == MOST_DOTS + 2:  # noted at once: whether the key ends well must not matter
                self.bounded = False
                self._note(start, Trouble.LIMIT, f"a name of more than {MOST_DOTS + 1} parts with dots between them")
            self.skip(SPACE)
            if self.following() != ".":
                break
            self.at += 1
        return tuple(parts)

    def _key_part(self) -> str:
        if self.following() not in ("", *QUOTES):
            bare = self.skip(BARE_KEY)
            if not bare:
                raise self._lose(self.at, _no_name(self.following()))
            return bare
        start = self.at
        match = SHORT_STRING.match(self.text, start)
        if match is None:
            if self.following():
                raise self._unclosed()
            raise self._lose(start, "the file ends where a name should stand")
        self.at = match.end()
        broken = self._check_string(start)
        return match[0] if broken else key_name(match[0])

    def _count(self) -> None:
        self._values += 1
        if self._values == MOST_VALUES + 1:
            self._note(self.at, Trouble.LIMIT, f"more than {MOST_VALUES:,} values; divide the deck into several files")
            raise Stop

    def _string(self) -> None:
        start = self.at
        match = string_at(self.text, start)
        if match is None:
            raise self._unclosed()
        self.at = match.end()
        self._check_string(start)

    def _check_string(self, start: int) -> bool:
        """Note what is wrong within the string just passed; tell whether it breaks the syntax."""
        troubles = string_troubles(self.text[start : self.at], start)
        self._add(troubles)
        return any(found.trouble is Trouble.SYNTAX for found in troubles)

    def _unclosed(self) -> Lost:
        start = self.at
        if self.text.startswith(('"""', "'''"), start):
            self.at = len(self.text)
            quotes = self.text[start : start + 3]
            return self._lose(start, f"the text that begins here is never closed; put {quotes} after it")
        quotes = self.text[start]
        self.at = self.end_of_line()
        rest = self.text[start : self.at]
        smart = next((char for char in reversed(rest) if char in SMART_QUOTES), "")
        hint = f"; {smart} is a typographic quote and does not count" if smart else ""
        return self._lose(start, f"the text that begins here is not closed in its line; put {quotes} after it{hint}")

    def _word(self, depth: int) -> None:
        start = self.at
        smart = self.skip(_SMART_TEXT)
        if smart:
            self._note(start, Trouble.SYNTAX, f'{smart[0]} is a typographic quote; put text in straight quotes: "')
            return
        if self.skip(_DATE_TIME):
            self._note(start, Trouble.CONTENT, "a deck holds no dates or times of day; put it in quotes, as text")
            return
        word = self.skip(_WORD)
        found = word_trouble(word, start)
        if found and found.trouble is Trouble.SYNTAX:  # an unquoted text: the rest of it belongs to it
            rest = self.skip(_REST_OF_ROW if depth else _REST_OF_LINE)
            found = word_trouble((word + rest).rstrip(), start)
        self._add([found] if found else [])


def shown(text: str) -> str:
    """Return a piece of text in quotes, cut to what fits a sentence."""
    return f"'{clip(visible(text), 40)}'"


def _no_name(char: str) -> str:
    if char in ("]", "}", ")", ","):
        return f"{shown(char)} closes or parts nothing here; take it away, or look for its other half above"
    if char == "{":
        return "a row in { } can only stand in a list in [ ] or after ="
    if char == "=":
        return "there is no name before ="
    if char in SMART_QUOTES:
        return f'{char} is a typographic quote; use straight ones: "'
    if char == "\n":
        return "the line ends where a name should stand"
    return f"a name should stand here, not {shown(char)}; names hold letters A to Z, digits, - and _"
