"""One linear walk over a deck's text before `tomllib` sees it.

It serves two ends. It stops what a parser would choke on (`tomllib` keeps every prefix of a dotted key, so
that a key of 100,000 parts takes all memory), and it goes on after a mistake, so that an author learns of
all of them at once, in plain words. Two laws hold and are tested: on text that `tomllib` accepts it finds
no mistake of syntax, and up to the first mistake it sees strings, comments and brackets as `tomllib` does.
"""

import re
from typing import NamedTuple

from trainer.authoring.scalars import Found, Trouble, string_troubles, word_trouble
from trainer.authoring.toml_text import BARE_KEY, GAP, SHORT_STRING, SPACE, Cursor, Lines, key_name, string_at
from trainer.plain import clip, visible

MOST_DOTS = 16
"""Dots in one key."""
MOST_DEPTH = 8
"""Brackets of lists and rows open at the same time."""
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
_BLANK = r"[ \t]*+"
_PART = rf"(?:{BARE_KEY.pattern}|(?x:{SHORT_STRING.pattern}))"
_PARTS = rf"(?:{_BLANK}\.{_BLANK}{_PART})*+{_BLANK}"
_STATEMENT = re.compile(
    rf"(?:\[\[?+{_BLANK}[A-Za-z_][A-Za-z0-9_-]*+{_PARTS}\]"  # [block] or [[block]]
    rf"|{_PART}{_PARTS}=)"  # name =
)
_STATEMENT_LINE = re.compile(rf"^{_BLANK}(?={_STATEMENT.pattern})", re.MULTILINE)
_WORD_VALUE = re.compile(r"\[\[?+[ \t]*+(?:true|false|inf|nan)\b")
_QUOTES = "\"'"
_PIECE = 80


class Scanned(NamedTuple):
    """What a walk found; `bounded` tells whether the text is harmless enough for a parser."""

    found: list[Found]
    bounded: bool


def scan(text: str) -> Scanned:
    r"""Walk over a whole text with `\n` line ends; time and memory are linear in its length."""
    scanner = _Scanner(text)
    scanner.document()
    return Scanned(scanner.found, scanner.bounded)


class _Lost(Exception):  # noqa: N818 - a turn in the walk, not an error
    """A mistake hides how the text goes on; walk on at the next row or statement."""


class _Stop(Exception):  # noqa: N818 - a turn in the walk, not an error
    """Nothing further is looked at, so that nothing is known of the rest."""


class _Scanner(Cursor):
    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.found: list[Found] = []
        self.bounded = True
        self._lines = Lines(text)
        self._values = 0
        self._names: dict[tuple[str, ...], int] = {}
        self._blocks: dict[tuple[tuple[str, int], ...], int] = {}
        self._repeats: dict[tuple[str, ...], int] = {}
        self._lists = 0  # lists open in this statement
        self._fresh = -1  # offset at the start of a line where the walk was lost
        self._resume = -1  # offset of a statement found while something was left open above it

    # Steps

    def _note(self, offset: int, trouble: Trouble, message: str) -> None:
        self._add([Found(offset, trouble, message)])

    def _add(self, found: list[Found]) -> None:
        self.found += found
        if len(self.found) >= MOST_FOUND:
            raise _Stop

    def _lose(self, offset: int, message: str) -> _Lost:
        self._note(offset, Trouble.SYNTAX, message)
        return _Lost()

    def _line_of(self, offset: int) -> int:
        return self._lines.place(offset)[0]

    def _left_over(self) -> str:
        """Say that nothing may follow; only a piece of the line is looked at, to stay linear."""
        rest = self.text[self.at : min(self.end_of_line(), self.at + _PIECE)]
        message = f"nothing more may follow here, but there is {_shown(rest.strip())}"
        return message + '; a quote within a text is written \\"' if '"' in rest else message

    def _at_pair(self) -> bool:
        return self.following() != "[" and bool(_STATEMENT.match(self.text, self.at))

    def _at_statement(self) -> bool:
        """Tell whether a statement could begin here; a list of numbers or of true and false is none."""
        return bool(_STATEMENT.match(self.text, self.at)) and not _WORD_VALUE.match(self.text, self.at)

    # Statements

    def document(self) -> None:
        self.skip(GAP)
        while self.at < len(self.text):
            self._lists = 0
            try:
                self._statement()
            except _Lost:
                self._find_statement()
            except _Stop:
                self.bounded = False
                return
            self.skip(GAP)

    def _statement(self) -> None:
        if self.following() == "[":
            self._header()
        else:
            self._pair(self._names, 0)
        self.skip(SPACE)
        if self.following() not in ("", "\n", "#"):
            raise self._lose(self.at, self._left_over())

    def _find_statement(self) -> None:
        """Go to where the next statement begins, `at` itself if something was left open above it."""
        if self.at == self._resume:
            return
        self.at = self.end_of_line()
        if self._lists:  # what follows may still belong to the list
            match = _STATEMENT_LINE.search(self.text, self.at)
            self.at = match.end() if match else len(self.text)

    def _header(self) -> None:
        start = self.at
        closing = "]]" if self.text.startswith("[[", start) else "]"
        self.at += len(closing)
        key = self._key()
        if not self.text.startswith(closing, self.at):
            raise self._lose(start, f"the name of this block must end with {closing} and nothing else in between")
        self.at += len(closing)
        self._names = {}
        self._count()
        if len(key) <= MOST_DOTS + 1:
            self._open_block(key, start, repeated=closing == "]]")

    def _open_block(self, key: tuple[str, ...], start: int, *, repeated: bool) -> None:
        """Complain of a block opened twice, unless it lies in two blocks of a list."""
        if repeated:
            self._repeats[key] = self._repeats.get(key, 0) + 1
            return
        block = tuple((part, self._repeats.get(key[:number], 0)) for number, part in enumerate(key, 1))
        if block in self._blocks:
            first = self._line_of(self._blocks[block])
            shown = _shown(self.text[start : self.at])
            self._note(start, Trouble.SYNTAX, f"the block {shown} is opened twice; the first one is in line {first}")
        self._blocks.setdefault(block, start)

    def _pair(self, names: dict[tuple[str, ...], int], depth: int) -> None:
        start = self.at
        key = self._key()
        if self.following() != "=":
            raise self._lose(start, self._no_equals(start))
        if key in names:
            first = self._line_of(names[key])
            shown = _shown(self.text[start : self.at].strip())
            self._note(start, Trouble.SYNTAX, f"{shown} is given twice; the first one is in line {first}")
        names.setdefault(key, start)
        end = self.at
        self.at += 1
        self.skip(SPACE)
        if self.following() in ("", "\n", "#", ",", "}", "]"):
            raise self._lose(start, f"{_shown(self.text[start:end].strip())} has no value after it")
        self._value(depth)

    def _no_equals(self, start: int) -> str:
        name = _shown(self.text[start : self.at].strip())
        if self.following() == ":":
            return f"write = instead of : after {name}"
        if self.following() not in ("", "\n", "#", *_QUOTES) and not self.text[self.at - 1].isspace():
            return f"a name may hold only letters A to Z, digits, - and _; put the name that begins {name} in quotes"
        return f"there is no = after {name}"

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
        if self.following() not in ("", *_QUOTES):
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

    # Values

    def _count(self) -> None:
        self._values += 1
        if self._values == MOST_VALUES + 1:
            self._note(self.at, Trouble.LIMIT, f"more than {MOST_VALUES:,} values; divide the deck into several files")
            raise _Stop

    def _value(self, depth: int) -> None:
        self._count()
        opening = self.following()
        if opening in ("[", "{"):
            if depth == MOST_DEPTH:
                self._note(self.at, Trouble.LIMIT, f"more than {MOST_DEPTH} brackets are open within each other here")
                raise _Stop
            (self._array if opening == "[" else self._row)(depth + 1)
        elif opening in _QUOTES:
            self._string()
        else:
            self._word(depth)

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

    def _unclosed(self) -> _Lost:
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

    # Lists and rows

    def _array(self, depth: int) -> None:
        start = self.at
        self.at += 1
        self._lists += 1
        comma = True
        while True:
            new_line = "\n" in self.skip(GAP)
            following = self.following()
            if following == "]":
                self.at += 1
                self._lists -= 1
                return
            if following == ",":
                self._comma(comma)
                comma = True
                continue
            self._check_open(start, new_line)
            if not comma:
                self._note(self.at, Trouble.SYNTAX, "a comma is missing before this")
            comma = self._item(depth)

    def _comma(self, before: bool) -> None:
        if before:
            self._note(self.at, Trouble.SYNTAX, "a comma too many: there is nothing before it")
        self.at += 1

    def _check_open(self, start: int, new_line: bool) -> None:
        """Stop at what shows that the list from `start` was left open."""
        if not self.following():
            raise self._lose(start, "the list that begins here is never closed; put ] after its last row")
        if new_line and self._at_statement():
            self._resume = self.at
            line = self._line_of(self.at)
            raise self._lose(start, f"the list that begins here is not closed; put ] before line {line}")
        if self.following() in ("}", "="):
            line = self._line_of(start)
            raise self._lose(self.at, f"the list that begins in line {line} is not closed with ] before this")
        if self._at_pair():
            raise self._lose(self.at, "names with = in a list must stand in a row of their own: { … }")

    def _item(self, depth: int) -> bool:
        """Step over one value of a list; tell whether it was broken and its end guessed."""
        try:
            self._value(depth)
        except _Lost:
            if depth > 1 or self.at == self._resume:
                raise
            if self.at != self._fresh:
                self.at = self.end_of_line()
                self.skip(GAP)
            if self._at_statement():
                self._resume = self.at
                raise
            if self.following() not in ("{", "]"):
                raise
            return True
        return False

    def _row(self, depth: int) -> None:
        start = self.at
        names: dict[tuple[str, ...], int] = {}
        self.at += 1
        comma = True
        told = self._row_gap(start, told=False)
        while self.following() != "}":
            if self.following() == ",":
                self._comma(comma)
                comma = True
            else:
                if not comma:
                    self._missing_comma()
                self._pair(names, depth)
                comma = False
            told = self._row_gap(start, told=told)
        if comma and names and not told:
            self._note(self.at, Trouble.SYNTAX, "a comma before } is not allowed")
        self.at += 1

    def _missing_comma(self) -> None:
        if not self._at_pair():
            raise self._lose(self.at, self._left_over())
        self._note(self.at, Trouble.SYNTAX, "a comma is missing before this")

    def _row_gap(self, start: int, *, told: bool) -> bool:
        """Step over the space in a row, which TOML 1.0 holds to one line; tell whether it was complained of."""
        before = self.text[self.at - 1]
        new_line = "\n" in self.skip(GAP)
        if self.following() and not new_line:
            return told
        if not told:
            self._note(start, Trouble.SYNTAX, "the row that begins with this { must be closed with } in the same line")
        if self.following() in ("}", ",") or (before in "{," and self._at_pair()):
            return True
        if new_line:
            self._fresh = self.at
            if self._at_statement():
                self._resume = self.at
        raise _Lost


def _shown(text: str) -> str:
    return f"'{clip(visible(text), 40)}'"


def _no_name(char: str) -> str:
    if char in ("]", "}", ")", ","):
        return f"{_shown(char)} closes or parts nothing here; take it away, or look for its other half above"
    if char == "{":
        return "a row in { } can only stand in a list in [ ] or after ="
    if char == "=":
        return "there is no name before ="
    if char in SMART_QUOTES:
        return f'{char} is a typographic quote; use straight ones: "'
    if char == "\n":
        return "the line ends where a name should stand"
    return f"a name should stand here, not {_shown(char)}; names hold letters A to Z, digits, - and _"
