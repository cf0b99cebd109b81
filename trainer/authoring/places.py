"""Line and column of every key and value in a TOML text.

The text must be TOML 1.0 that `tomllib` has accepted: this module follows its structure and checks nothing.
Data always come from `tomllib`; places are wanted only when there is something to complain about.
"""

import re

from trainer.authoring.toml_text import BARE_KEY, GAP, SPACE, Cursor, Lines, key_name, string_at

Path = tuple[str | int, ...]

_ATOM = re.compile(r"[^ \t\n,\]}#]++(?: [0-9][0-9:.+Zz-]*+)?")


class Places:
    """Where the keys and values of one text stand."""

    def __init__(self, lines: Lines, values: dict[Path, int], keys: dict[Path, int]) -> None:
        self._lines = lines
        self._values = values
        self._keys = keys

    def paths(self) -> frozenset[Path]:
        """Return the path of every value, the whole document `()` included."""
        return frozenset(self._values)

    def value(self, path: Path) -> tuple[int, int]:
        """Return (line, column) of the value at `path`, of its nearest parent if there is no such value.

        A table that a header opens stands at its header; one that only a dotted key implies stands at the
        key part that first names it.
        """
        while path not in self._values:
            path = path[:-1]
        return self._lines.place(self._values[path])

    def key(self, path: Path) -> tuple[int, int]:
        """Return (line, column) of the key that names `path`, of the nearest thing above it otherwise.

        An item of a list has no key: its own place is given.
        """
        while path not in self._keys and path not in self._values:
            path = path[:-1]
        offset = self._keys.get(path)
        return self._lines.place(self._values[path] if offset is None else offset)


def locate(text: str) -> Places:
    r"""Find the place of every key and value.

    Args:
        text: TOML 1.0 that `tomllib.loads` has accepted, with `\n` or `\r\n` line ends.

    Returns:
        Places by path: names for tables, numbers from 0 for lists, as in the data of `tomllib`.

    Raises:
        ValueError: where a key should stand and does not, in text that was never accepted.
    """
    text = text.replace("\r\n", "\n")
    finder = _Finder(text)
    finder.document()
    return Places(Lines(text), finder.values, finder.keys)


class _Finder(Cursor):
    """One walk through a document."""

    def __init__(self, text: str) -> None:
        super().__init__(text)
        self.values: dict[Path, int] = {(): 0}
        self.keys: dict[Path, int] = {}
        self._blocks: dict[Path, int] = {}  # blocks [[…]] met so far under a path

    def document(self) -> None:
        table: Path = ()
        self.skip(GAP)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self._header()
            else:
                self._pair(table)
            self.skip(GAP)

    def _key(self) -> list[tuple[str, int]]:
        """Step over a dotted key; return each part with its offset."""
        parts = []
        while True:
            self.skip(SPACE)
            start = self.at
            self.at = self._end_of_part()
            parts.append((key_name(self.text[start : self.at]), start))
            self.skip(SPACE)
            if not self.text.startswith(".", self.at):
                return parts
            self.at += 1

    def _end_of_part(self) -> int:
        quoted = self.text[self.at] in "\"'"
        # A key is never a long string: `""` followed by another quote cannot have been accepted.
        match = string_at(self.text, self.at) if quoted else BARE_KEY.match(self.text, self.at)
        if match is None:
            raise ValueError("the text is not TOML that has been accepted before")
        return match.end()

    def _header(self) -> Path:
        start = self.at
        repeated = self.text.startswith("[[", start)
        self.at += 2 if repeated else 1
        parts = self._key()
        self.at += 2 if repeated else 1
        path: Path = ()
        for number, (name, offset) in enumerate(parts, 1):
            path += (name,)
            self.keys.setdefault(path, offset)
            self.values.setdefault(path, start)
            if number == len(parts) and repeated:
                self._blocks[path] = self._blocks.get(path, -1) + 1
            if path in self._blocks:
                path += (self._blocks[path],)
                self.values.setdefault(path, start)
        if not repeated:
            self.values[path] = start  # its own header, even if a deeper header named it before
        return path

    def _pair(self, table: Path) -> None:
        path = table
        for name, offset in self._key():
            path += (name,)
            self.keys.setdefault(path, offset)
            self.values.setdefault(path, offset)
        self.at += 1
        self.skip(SPACE)
        self._value(path)

    def _value(self, path: Path) -> None:
        self.values[path] = self.at
        opening = self.text[self.at]
        if opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        elif opening in "\"'":
            self.at = self._end_of_part()
        else:
            self.skip(_ATOM)

    def _array(self, path: Path) -> None:
        self.at += 1
        self.skip(GAP)
        number = 0
        while self.text[self.at] != "]":
            self._value((*path, number))
            number += 1
            self.skip(GAP)
            if self.text[self.at] == ",":
                self.at += 1
                self.skip(GAP)
        self.at += 1

    def _inline_table(self, path: Path) -> None:
        self.at += 1
        self.skip(SPACE)
        while self.text[self.at] != "}":
            self._pair(path)
            self.skip(SPACE)
            if self.text[self.at] == ",":
                self.at += 1
                self.skip(SPACE)
        self.at += 1
