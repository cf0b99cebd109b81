"""Generated TOML 1.0 documents with the places of everything in them.

The writer notes an offset whenever it writes a key or a value, so that the expected places come from the
writing side and owe nothing to the code under test.
"""

import datetime
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from importlib import resources
from typing import Any

from hypothesis import strategies as st

Path = tuple[str | int, ...]

names = st.one_of(
    st.sampled_from(["id", "a", "words", "@key", "a.b", "", "0", "true", "inf", "a b", "[x]", "k=", "#", '"', "ü\\"]),
    st.text("ab-_1", min_size=1, max_size=3),
)
texts = st.one_of(
    st.sampled_from(
        ["", "# no comment", "[[x]]", "{ a = 1 }", "a.b.c", '"', "'", '"""', "'''", "\\", "a\nb", "\n", "],", "“x”"]
    ),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cf", "Co", "Cn", "Zl", "Zp"]), max_size=12),
    st.text("ab\"'\\\n #[]{},=.", max_size=8),
)
scalars = st.one_of(
    texts,
    st.booleans(),
    st.integers(-(10**15), 10**15),
    st.floats(allow_nan=False, allow_infinity=False),
)
times = st.one_of(
    st.datetimes(datetime.datetime(1900, 1, 1), timezones=st.sampled_from([None, datetime.UTC])),
    st.dates(),
    st.times(),
)


def tables(leaves: st.SearchStrategy[Any]) -> st.SearchStrategy[dict[str, Any]]:
    values = st.recursive(
        leaves,
        lambda inner: st.one_of(
            st.lists(inner, max_size=3),
            st.dictionaries(names, inner, max_size=3),
            st.lists(st.dictionaries(names, inner, max_size=3), min_size=1, max_size=3),
        ),
        max_leaves=12,
    )
    return st.dictionaries(names, values, max_size=5)


@dataclass
class Document:
    text: str = ""
    data: dict[str, Any] = field(default_factory=dict)
    values: dict[Path, int] = field(default_factory=dict)
    keys: dict[Path, int] = field(default_factory=dict)

    def place(self, offset: int) -> tuple[int, int]:
        before = self.text[:offset]
        return before.count("\n") + 1, offset - (before.rfind("\n") + 1) + 1


@dataclass
class Writer:
    """Writes one document; every matter of style is drawn."""

    draw: Any
    document: Document

    def put(self, text: str) -> int:
        start = len(self.document.text)
        self.document.text += text
        return start

    def pick(self, *choices: str) -> str:
        return str(self.draw(st.sampled_from(choices)))

    def blank(self) -> None:
        self.put(self.pick("", " ", "  ", "\t"))

    def gap(self) -> None:
        self.put(self.pick("", "", " ", "\n", " # ], } \" ''' \n", "\n\n  "))

    def end_line(self) -> None:
        self.put(self.pick("\n", " \n", ' # " [ a = 1\n', "\n# [[no]] block\n\n"))

    def part(self, name: str) -> int:
        if re.fullmatch("[A-Za-z0-9_-]+", name) and self.draw(st.booleans()):
            return self.put(name)
        if "'" not in name and "\n" not in name and self.draw(st.booleans()):
            return self.put(f"'{name}'")
        return self.put(json.dumps(name, ensure_ascii=self.draw(st.booleans())))

    def key(self, table: Path, parts: list[str]) -> Path:
        path = table
        for number, name in enumerate(parts):
            if number:
                self.blank()
                self.put(".")
                self.blank()
            path += (name,)
            start = self.part(name)
            self.document.keys.setdefault(path, start)
            self.document.values.setdefault(path, start)
        return path

    def pair(self, table: Path, parts: list[str], value: Any) -> None:
        path = self.key(table, parts)
        self.blank()
        self.put("=")
        self.blank()
        self.value(path, value)

    def value(self, path: Path, value: Any) -> None:
        self.document.values[path] = len(self.document.text)
        if isinstance(value, dict):
            self.row(path, value)
        elif isinstance(value, list):
            self.array(path, value)
        else:
            self.put(self.scalar(value))

    def array(self, path: Path, items: list[Any]) -> None:
        self.put("[")
        self.gap()
        for number, item in enumerate(items):
            self.value((*path, number), item)
            self.gap()
            if number < len(items) - 1 or self.draw(st.booleans()):
                self.put(",")
                self.gap()
        self.put("]")

    def row(self, path: Path, table: dict[str, Any]) -> None:
        self.put("{")
        self.blank()
        for number, (parts, value) in enumerate(self.pairs(table)):
            if number:
                self.put(",")
                self.blank()
            self.pair(path, parts, value)
            self.blank()
        self.put("}")

    def pairs(self, table: dict[str, Any]) -> Iterator[tuple[list[str], Any]]:
        """Give the pairs that write a table, some of its tables taken apart into dotted keys."""
        for name, value in table.items():
            if isinstance(value, dict) and value and self.draw(st.booleans()):
                for parts, inner in self.pairs(value):
                    yield [name, *parts], inner
            else:
                yield [name], value

    def scalar(self, value: Any) -> str:
        if isinstance(value, bool):
            return "true" if value else "false"
        if isinstance(value, str):
            return self.string(value)
        if isinstance(value, datetime.datetime | datetime.date | datetime.time):
            return str(value) if self.draw(st.booleans()) else value.isoformat()
        return repr(value)

    def string(self, text: str) -> str:
        quoted = json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007F")
        forms = [quoted, '"""' + quoted[1:-1] + '"""', '"""\n' + quoted[1:-1].replace("\\n", "\n") + '"""']
        forms += ['"""' + quoted[1:-1] + '\\\n  \n """']
        if "'" not in text:
            forms.append(f"'''\n{text}'''")
            if "\n" not in text:
                forms.append(f"'{text}'")
        return self.pick(*forms)

    def block(self, path: Path, table: dict[str, Any]) -> None:
        """Write what a header opens: first its pairs, then the blocks beneath it."""
        beneath = {
            name: value
            for name, value in table.items()
            if (isinstance(value, dict) or _is_blocks(value)) and self.draw(st.booleans())
        }
        flat = {name: value for name, value in table.items() if name not in beneath}
        for parts, value in self.pairs(flat):
            self.blank()
            self.pair(path, parts, value)
            self.end_line()
        for name, value in beneath.items():
            for number, inner in enumerate(value if isinstance(value, list) else [value]):
                here = self.header((*path, name), repeated=isinstance(value, list))
                if isinstance(value, list):
                    self.document.values.setdefault((*path, name, number), here)
                    self.block((*path, name, number), inner)
                else:
                    self.document.values[(*path, name)] = here
                    self.block((*path, name), inner)

    def header(self, path: Path, *, repeated: bool) -> int:
        self.blank()
        start = self.put("[[" if repeated else "[")
        self.blank()
        steps = [step for step in path if isinstance(step, str)]
        whole: Path = ()
        for step in path:
            whole += (step,)
            if isinstance(step, int):
                continue
            if step is not steps[0] or len(whole) > 1:
                self.put(".")
            offset = self.part(step)
            self.document.keys.setdefault(whole, offset)
            self.document.values.setdefault(whole, start)
        self.blank()
        self.put("]]" if repeated else "]")
        self.end_line()
        return start


def _is_blocks(value: Any) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(item, dict) for item in value)


@st.composite
def documents(draw: Any, *, with_times: bool = False) -> Document:
    """Draw a document; with times of day and dates only where a deck's rules do not matter."""
    data = draw(tables(st.one_of(scalars, times) if with_times else scalars))
    document = Document(data=data, values={(): 0})
    writer = Writer(draw, document)
    writer.gap()
    document.text += "\n" if document.text.strip() else ""
    writer.block((), data)
    return document


def parser_examples(kind: str) -> dict[str, str]:
    """Return the `valid` or `invalid` documents among the tests of CPython's tomllib, by file name.

    Distributions may leave the standard library's tests out; then there are none.
    """
    try:
        waiting = [resources.files("test.test_tomllib") / "data" / kind]
    except ModuleNotFoundError:
        return {}
    found: dict[str, str] = {}
    while waiting:
        for entry in waiting.pop().iterdir():
            if entry.is_dir():
                waiting.append(entry)
            elif entry.name.endswith(".toml"):
                found[f"{len(found)}-{entry.name}"] = entry.read_bytes().decode()
    return found
