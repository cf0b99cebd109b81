"""One linear walk over a deck's text before `tomllib` sees it.

It serves two ends. It stops what a parser would choke on (`tomllib` keeps every prefix of a dotted key, so
that a key of 100,000 parts takes all memory), and it goes on after a mistake, so that an author learns of
all of them at once, in plain words. Two laws hold and are tested: on text that `tomllib` accepts it finds
no mistake of syntax, and up to the first mistake it sees strings, comments and brackets as `tomllib` does.
"""

import re
from typing import NamedTuple

from trainer.authoring.pieces import MOST_DOTS, QUOTES, Lost, Pieces, Stop, shown
from trainer.authoring.scalars import Found, Trouble
from trainer.authoring.toml_text import BARE_KEY, GAP, SHORT_STRING, SPACE

MOST_DEPTH = 8
"""Brackets of lists and rows open at the same time."""

_BLANK = r"[ \t]*+"
_PART = rf"(?:{BARE_KEY.pattern}|(?x:{SHORT_STRING.pattern}))"
_PARTS = rf"(?:{_BLANK}\.{_BLANK}{_PART})*+{_BLANK}"
_STATEMENT = re.compile(
    rf"(?:\[\[?+{_BLANK}[A-Za-z_][A-Za-z0-9_-]*+{_PARTS}\]"  # [block] or [[block]]
    rf"|{_PART}{_PARTS}=)"  # name =
)
_STATEMENT_LINE = re.compile(rf"^{_BLANK}(?={_STATEMENT.pattern})", re.MULTILINE)
_WORD_VALUE = re.compile(r"\[\[?+[ \t]*+(?:true|false|inf|nan)\b")


class Scanned(NamedTuple):
    """What a walk found; `bounded` tells whether the text is harmless enough for a parser."""

    found: list[Found]
    bounded: bool


def scan(text: str) -> Scanned:
    r"""Walk over a whole text with `\n` line ends; time and memory are linear in its length."""
    scanner = _Scanner(text)
    scanner.document()
    return Scanned(scanner.found, scanner.bounded)


class _Scanner(Pieces):
    def __init__(self, text: str) -> None:
        super().__init__(text)
        self._names: dict[tuple[str, ...], int] = {}
        self._blocks: dict[tuple[tuple[str, int], ...], int] = {}
        self._repeats: dict[tuple[str, ...], int] = {}
        self._lists = 0  # lists open in this statement
        self._fresh = -1  # offset at the start of a line where the walk was lost
        self._resume = -1  # offset of a statement found while something was left open above it

    # Steps

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
            except Lost:
                self._find_statement()
            except Stop:
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
            name = shown(self.text[start : self.at])
            self._note(start, Trouble.SYNTAX, f"the block {name} is opened twice; the first one is in line {first}")
        self._blocks.setdefault(block, start)

    def _pair(self, names: dict[tuple[str, ...], int], depth: int) -> None:
        start = self.at
        key = self._key()
        if self.following() != "=":
            raise self._lose(start, self._no_equals(start))
        if key in names:
            first = self._line_of(names[key])
            name = shown(self.text[start : self.at].strip())
            self._note(start, Trouble.SYNTAX, f"{name} is given twice; the first one is in line {first}")
        names.setdefault(key, start)
        end = self.at
        self.at += 1
        self.skip(SPACE)
        if self.following() in ("", "\n", "#", ",", "}", "]"):
            raise self._lose(start, f"{shown(self.text[start:end].strip())} has no value after it")
        self._value(depth)

    def _no_equals(self, start: int) -> str:
        name = shown(self.text[start : self.at].strip())
        if self.following() == ":":
            return f"write = instead of : after {name}"
        if self.following() not in ("", "\n", "#", *QUOTES) and not self.text[self.at - 1].isspace():
            return f"a name may hold only letters A to Z, digits, - and _; put the name that begins {name} in quotes"
        return f"there is no = after {name}"

    # Values

    def _value(self, depth: int) -> None:
        self._count()
        opening = self.following()
        if opening in ("[", "{"):
            if depth == MOST_DEPTH:
                self._note(self.at, Trouble.LIMIT, f"more than {MOST_DEPTH} brackets are open within each other here")
                raise Stop
            (self._array if opening == "[" else self._row)(depth + 1)
        elif opening in QUOTES:
            self._string()
        else:
            self._word(depth)

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
        except Lost:
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
        raise Lost
