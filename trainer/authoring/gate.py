"""The gate for deck files: bytes to text to plain data, with nothing let through that could do harm.

What passes is bounded in size, depth and number, and holds no character that acts on a terminal or hides
in a text. All problems that can be found come at once.
"""

import errno
import os
import re
import stat
import tomllib
from itertools import islice
from typing import Any, NamedTuple
from unicodedata import category

from trainer.authoring.pieces import MOST_FOUND
from trainer.authoring.problems import Problem, in_order
from trainer.authoring.scalars import Found, Trouble, too_many_marks
from trainer.authoring.scan import scan
from trainer.authoring.toml_errors import meaning_of, place_in
from trainer.authoring.toml_text import Lines
from trainer.plain import MARKS, MOST_MARKS, code_point, is_hidden, visible

MOST_BYTES = 256 * 1024
"""Bytes in one deck file."""
MOST_LINE = 2_000
"""Characters in one line."""

_LONG_LINE = re.compile(rf"^[^\n]{{{MOST_LINE}}}(?=[^\n])", re.MULTILINE)
_WIDE_MARKS = (  # the longer first: one begins like another
    (b"\xff\xfe\0\0", "UTF-32"),
    (b"\0\0\xfe\xff", "UTF-32"),
    (b"\xff\xfe", "UTF-16 LE"),
    (b"\xfe\xff", "UTF-16 BE"),
)
_NO_FILE = {
    errno.ENOENT: "there is no such file",
    errno.ENOTDIR: "there is no such file: a part of the path before it is no folder",
    errno.EACCES: "you are not allowed to read this file",
    errno.EPERM: "you are not allowed to read this file",
    errno.ELOOP: "this is a link that leads back to itself",
    errno.ENAMETOOLONG: "this name is too long for a file",
}


class GatedText(NamedTuple):
    r"""A file that has been through the gate.

    Attributes:
        file: its name, as it may be shown.
        text: what was parsed, with `\n` line ends, no byte order mark, and a space for each character that
            is not allowed, so that places hold; "" if there is no text.
        data: plain TOML data, None if the text is not TOML or beyond what a parser may be given.
        problems: everything found, by place; data may be used only if there are none.
    """

    file: str
    text: str
    data: dict[str, Any] | None
    problems: tuple[Problem, ...]


class _Refusal(Exception):  # noqa: N818 - it never leaves this module
    """The file is refused as a whole, at a place or (0, 0)."""

    def __init__(self, message: str, line: int = 0, column: int = 0) -> None:
        super().__init__(message)
        self.line = line
        self.column = column


def read_toml(path: str | os.PathLike[str]) -> GatedText:
    """Read and gate a TOML file; never raises for what a path or a file may be."""
    file = visible(os.fspath(path))
    try:
        data = _read_bytes(os.fspath(path))
    except _Refusal as refusal:
        return _refused(file, refusal)
    return gate_bytes(data, file)


def gate_bytes(data: bytes, file: str) -> GatedText:
    """Gate the content of a file; `file` is the name to complain under."""
    file = visible(file)
    try:
        text = _decode(data)
    except _Refusal as refusal:
        return _refused(file, refusal)
    strays = {char for char in set(text) if char not in "\n\t" and is_hidden(char)}
    found = [*_characters(text, strays), *_long_lines(text)]
    clean = text.translate(dict.fromkeys(map(ord, strays), " ")) if strays else text
    lines = Lines(clean)
    if "\r" in strays:  # where lines end is anyone's guess, and so is everything else
        return GatedText(file, clean, None, _placed(file, lines, found))
    scanned = scan(clean)
    problems = _placed(file, lines, found + scanned.found)
    if not scanned.bounded:
        return GatedText(file, clean, None, problems)
    parsed, complaint = _parse(file, clean, lines, scanned.found)
    if complaint and all(complaint.line != problem.line for problem in problems):
        problems = in_order([*problems, complaint])
    return GatedText(file, clean, parsed, problems)


def _refused(file: str, refusal: _Refusal) -> GatedText:
    return GatedText(file, "", None, (Problem(file, refusal.line, refusal.column, visible(str(refusal))),))


def _placed(file: str, lines: Lines, found: list[Found]) -> tuple[Problem, ...]:
    return in_order(Problem(file, *lines.place(offset), visible(message)) for offset, _, message in found)


def _read_bytes(path: str) -> bytes:
    if path == "-":
        raise _Refusal("a deck is read from a file, not from what is typed; give the name of a file")
    try:
        _must_be_regular(os.stat(path).st_mode)
        # Not to wait, should a pipe have taken the file's place since.
        flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0) | getattr(os, "O_CLOEXEC", 0)
        with open(os.open(path, flags), "rb") as file:
            _must_be_regular(os.fstat(file.fileno()).st_mode)
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        reason = _NO_FILE.get(error.errno or 0) or f"this file cannot be read: {error.strerror or error}"
        raise _Refusal(reason) from None
    except ValueError:
        raise _Refusal("this cannot be the name of a file") from None
    if len(data) > MOST_BYTES:
        raise _Refusal(f"this file is larger than {MOST_BYTES // 1024} KiB; divide the deck into several files")
    return data


def _must_be_regular(mode: int) -> None:
    if stat.S_ISDIR(mode):
        raise _Refusal("this is a folder; give the name of a deck file in it")
    if not stat.S_ISREG(mode):
        raise _Refusal("this is a device or a pipe, not a file")


def _decode(data: bytes) -> str:
    if len(data) > MOST_BYTES:
        raise _Refusal(f"this text is larger than {MOST_BYTES // 1024} KiB; divide the deck into several files")
    wide, offset = _wide_encoding(data)
    if wide:
        raise _Refusal(f"this file is saved as {wide}; save it as UTF-8", *_byte_place(data, offset))
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        # With a byte order mark the decoder counts from after it.
        start = error.start + len(data) - len(error.object)
        raise _Refusal(_not_utf8(data[start]), *_byte_place(data, start)) from None
    return text.replace("\r\n", "\n")


def _wide_encoding(data: bytes) -> tuple[str, int]:
    """Name an encoding of several bytes a character, "" if it is none, and the offset of its first sign."""
    for mark, name in _WIDE_MARKS:
        if data.startswith(mark):
            return name, 0
    # Without a mark: TOML is mostly ASCII, of which UTF-16 leaves every other byte zero.
    first, second = data[0::2], data[1::2]
    if second.count(0) * 2 > len(second):
        return "UTF-16 LE", data.find(0)
    if first.count(0) * 2 > len(first):
        return "UTF-16 BE", data.find(0)
    return "", 0


def _byte_place(data: bytes, offset: int) -> tuple[int, int]:
    before = data[:offset].removeprefix(b"\xef\xbb\xbf")
    line = before.rpartition(b"\n")[2]
    return before.count(b"\n") + 1, len(line.decode("utf-8", "replace")) + 1


def _not_utf8(byte: int) -> str:
    message = f"the byte {byte:02X} here is not UTF-8; save the file as UTF-8"
    meant = bytes([byte]).decode("cp1252", "replace")
    if meant == "\N{REPLACEMENT CHARACTER}":
        return message
    return f"{message} (it looks like Windows-1252, where this byte is {meant})"


def _characters(text: str, hidden: set[str]) -> list[Found]:
    """Find what may not stand in a deck as it is: the first hidden character in each line, runs of marks."""
    found = []
    if hidden:
        first_in_line = re.compile(rf"^[^\n]*?({_one_of(hidden)})", re.MULTILINE)
        found += [
            Found(match.start(1), Trouble.CONTENT, _not_allowed(match[1]))
            for match in islice(first_in_line.finditer(text), MOST_FOUND)
        ]
    marks = {char for char in set(text) if category(char) in MARKS}
    if marks:
        runs = re.compile(rf"{_one_of(marks)}{{{MOST_MARKS + 1},}}")
        found += [
            Found(match.start(), Trouble.CONTENT, too_many_marks(len(match[0])))
            for match in islice(runs.finditer(text), MOST_FOUND)
        ]
    return found


def _one_of(chars: set[str]) -> str:
    return "[" + re.escape("".join(sorted(chars))) + "]"


def _not_allowed(char: str) -> str:
    if char == "\r":
        return "a line end of an old kind (a carriage return alone); save the file with the line ends of this system"
    return f"the character {code_point(char)} cannot be seen and may not stand in a deck; take it away"


def _long_lines(text: str) -> list[Found]:
    message = f"this line has more than {MOST_LINE:,} characters"
    return [Found(match.end(), Trouble.LIMIT, message) for match in _LONG_LINE.finditer(text)]


def _parse(file: str, text: str, lines: Lines, found: list[Found]) -> tuple[dict[str, Any] | None, Problem | None]:
    try:
        return tomllib.loads(text), None
    except (ValueError, RecursionError) as error:  # TOMLDecodeError is a ValueError, as is a number too long
        place = place_in(error, text) if isinstance(error, ValueError) else None
        broken = [offset for offset, trouble, _ in found if trouble is Trouble.SYNTAX or place is None]
        # What the walk has seen, it has said better; a complaint further down is of the same mistake.
        if broken and (place is None or place >= lines.place(min(broken))):
            return None, None
        return None, Problem(file, *(place or (0, 0)), meaning_of(error))
