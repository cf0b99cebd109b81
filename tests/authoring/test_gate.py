import os
import tomllib
from collections.abc import Iterator
from pathlib import Path
from tomllib import _parser  # type: ignore[attr-defined]
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.authoring.toml_documents import Document, documents, parser_examples
from trainer.authoring.gate import MOST_BYTES, GatedText, gate_bytes, read_toml
from trainer.authoring.pieces import MOST_DOTS
from trainer.authoring.problems import MOST_PROBLEMS, Problem, in_order
from trainer.authoring.scalars import Trouble
from trainer.authoring.scan import MOST_DEPTH, scan
from trainer.plain import is_hidden

# Mistakes: the text, then of each problem the line, the column and some of its words.
Told = tuple[int, int, str]
MISTAKES: dict[str, tuple[str, list[Told]]] = {
    "quote missing at the end": ('a = "hello\nb = 1\n', [(1, 5, 'not closed in its line; put "')]),
    "quote missing in a row": (
        'words = [\n  { say = "Change step, beat = -2 },\n  { say = MARCH, beat = 0 },\n]\nb = x\n',
        [(2, 11, "not closed"), (3, 11, "'MARCH'"), (5, 5, "straight quotes")],
    ),
    "quotes missing": ("foot = left\nb = on the left\n", [(1, 8, "'left'"), (2, 5, "straight quotes")]),
    "pasted quotes": (
        'a = “hello there”\nb = "x"\nc = "y”\n“d” = 1\n',
        [(1, 5, "“ is a typographic quote"), (3, 5, "” is a typographic quote"), (4, 1, "typographic")],
    ),
    "pasted single quotes": ("a = ‘x’\n", [(1, 5, "‘ is a typographic quote")]),
    "pasted quotes within text are text": ('a = "say “halt”"\nb = nan\n', [(2, 5, "nan")]),
    "quote within a text": ('a = "say "halt" now"\n', [(1, 11, '\\"')]),
    "long text left open": ('a = 1\nb = """abc\nc = 1\n', [(2, 5, 'never closed; put """')]),
    "name twice": (
        "[t]\na = 1\nb = 2\na = 3\n[u]\na = 1\n",
        [(4, 1, "'a' is given twice; the first one is in line 2")],
    ),
    "name twice in a row": ("x = [ { a = 1 },\n { a = 1, 'a' = 2 } ]\n", [(2, 11, "first one is in line 2")]),
    "name twice, spelled differently": ("a.b = 1\n\"a\" . 'b' = 1\n", [(2, 1, "first one is in line 1")]),
    "block twice": ("[a]\nb = 1\n[c]\n[a]\nd = x\n", [(4, 1, "'[a]' is opened twice"), (5, 5, "quotes")]),
    "blocks beneath blocks are not twice": ("[[m]]\n[m.a]\n[[m]]\n[m.a]\n[m.a]\n", [(5, 1, "first one is in line 4")]),
    "value made a table": ("a = 1\na.b = 2\n", [(2, 8, "has a value already")]),
    "row added to": ("a = { b = 1 }\n[a.c]\n", [(2, 5, "there already")]),
    "block of one, then of many": ("[a]\n[[a]]\n", [(2, 4, "has a value already")]),
    "list left open before a block": (
        "words = [\n  { a = 1 },\n\n[[movement]]\nb = 030\n",
        [(1, 9, "put ] before line 4"), (5, 5, "not a number")],
    ),
    "list left open before a name": ("a = [ 1, 2\nb = 3\nc = d\n", [(1, 5, "put ] before line 2"), (3, 5, "'d'")]),
    "list left open at the end": ("a = [\n  [1, 2],\n  [3,\n", [(3, 3, "never closed")]),
    "list within a row left open": ("a = [\n { b = [1, 2 },\n { b = 3 4 },\n]\n", [(2, 14, "line 2"), (3, 10, "'4 }")]),
    "a comma between rows": ("a = [\n  { b = 1 }\n  { b = 2 },\n]\n", [(3, 3, "comma is missing")]),
    "a comma between texts": ('a = [ "b" "c" ]\n', [(1, 11, "comma is missing")]),
    "a comma within a row": ("a = { b = 1 c = 2 }\n", [(1, 13, "comma is missing")]),
    "a comma too many": ("a = [ 1,, 2 ]\nb = { c = 1, }\nd = [ 1, ]\n", [(1, 9, "too many"), (2, 14, "before }")]),
    "row over several lines": (
        "a = {\n  b = 1,\n  c = 2,\n}\nd = inf\n",
        [(1, 5, "closed with } in the same line"), (5, 5, "inf")],
    ),
    "row in a list over several lines": (
        "a = [\n  { b = 1,\n    c = 2 },\n  { b = 1 },\n]\nd = inf\n",
        [(2, 3, "same line"), (6, 5, "inf")],
    ),
    "row left open": ("a = [\n  { b = 1,\n  { b = 2 },\n]\nc = inf\n", [(2, 3, "closed with }"), (5, 5, "inf")]),
    "last row left open": ("a = [\n  { b = 1\n]\nc = inf\n", [(2, 3, "closed with }"), (4, 5, "inf")]),
    "list row in several pieces": (
        "a = [\n { b = 1 2 }, { c = 3 },\n { d = 4 5 },\n]\ne = inf\n",
        [(2, 10, "'2 }"), (3, 10, "'5 }"), (5, 5, "inf")],
    ),
    "broken row, then a list left open": (
        "a = [ { b = 1 2 },\nc = 3 x\n",
        [(1, 15, "'2 },'"), (2, 7, "'x'")],
    ),
    "row left open before a name": ("a = { b = 1\nc = inf\n", [(1, 5, "closed with }"), (2, 5, "inf")]),
    "braces left out": ('a = [ say = "x" ]\n', [(1, 7, "row of their own")]),
    "equals left out": ('title "x"\nb = inf\n', [(1, 1, "no = after 'title'"), (2, 5, "inf")]),
    "colon for equals": ("title: 1\n", [(1, 1, "= instead of :")]),
    "value left out": ("a =\nb = # none\nc = { d = }\n", [(1, 1, "'a'"), (2, 1, "'b'"), (3, 7, "'d'")]),
    "name left out": ("= 1\n", [(1, 1, "no name before =")]),
    "accent in a name": ("é = 1\nmarché = 1\n", [(1, 1, "'é'"), (2, 1, "in quotes")]),
    "bracket too many": ("a = 1 ]\n}\n", [(1, 7, "']'"), (2, 1, "'}'")]),
    "one bracket of two": ("[[movement]\na = inf\n", [(1, 1, "]]"), (2, 5, "inf")]),
    "switch in capitals": ("a = True\nb = yes\n", [(1, 5, "true or false"), (2, 5, "true or false")]),
    "leading zero": ("a = 030\nb = .5\nc = 5.\n", [(1, 5, "'030'"), (2, 5, "'.5'"), (3, 5, "'5.'")]),
    "number too long": ("a = 1\nb = " + "7" * 5_000, [(2, 5, "5,000 digits"), (2, 2001, "2,000 characters")]),
    "number too large": ("a = 1e999\nb = 1e-999\n", [(1, 5, "too large")]),
    "no numbers": ("a = nan\nb = [ 1, -inf ]\n", [(1, 5, "nan"), (2, 10, "-inf")]),
    "dates": (
        "a = 1979-05-27\nb = 07:32:00\nc = [1979-05-27 07:32:00Z, 1]\nd = 2:30\n",
        [(1, 5, "quotes, as text"), (2, 5, "times of day"), (3, 6, "dates"), (4, 5, "quotes")],
    ),
    "backslash": ('a = "C:\\drill"\nb = "x\\u12"\nc = \'C:\\drill\'\n', [(1, 8, "\\\\"), (2, 7, "\\\\")]),
    "escaped escape": ('a = "x"\nb = "ab\\u001b[31m"\n', [(2, 8, "<U+001B>")]),
    "escaped surrogate": ('a = "\\ud800"\n', [(1, 6, "no character")]),
    "newline in a short text": ('a = "b\\nc"\nd = """b\\nc\nd"""\n', [(1, 7, "three quotes")]),
    "tab in a text": ("a = 'b\tc'\n\tb\t=\t1\t#\t\n", [(1, 7, "tab")]),
    "hidden characters": (
        'a = "x\u202e"\n\u200bb = 1\nc = 1 # \x1b\n"\u2028" = nan\n',
        [(1, 7, "<U+202E>"), (2, 1, "<U+200B>"), (3, 9, "<U+001B>"), (4, 2, "<U+2028>"), (4, 7, "nan")],
    ),
    "marks": ('a = "e\u0301\u0301\u0301"\nb = "e\u0301\u0301\u0301\u0301"\n', [(2, 7, "4 combining marks")]),
    "escaped marks": ('a = "e\\u0301\\u0301\\u0301\u0301"\n', [(1, 5, "4 combining marks")]),
    "length of a text": (
        f'a = "{"x" * 400}"\nb = "{"x" * 401}"\nc = "{chr(92)}u0041{"x" * 399}"\nd = """\n{"x" * 400}"""\n',
        [(2, 5, "401 characters")],
    ),
    "length of a line": (f"# {'x' * 1998}\n# {'x' * 1999}\na = 1\n", [(2, 2001, "2,000 characters")]),
    "old line end": ("a = 1\r\nb = 2\rc = 3\r\n", [(2, 6, "carriage return")]),
    "depth": ("a = 1\nb = [[[[[[[[[1]]]]]]]]]\n", [(2, 13, "8 brackets")]),
    "dots": ("a = 1\nb" + ".b" * 17 + " = 1\nc" + ".c" * 16 + " = 1\n", [(2, 1, "17 parts")]),
}


def gate(text: str) -> GatedText:
    return gate_bytes(text.encode("utf-8", "surrogatepass"), "deck.toml")


@pytest.mark.parametrize(("text", "told"), MISTAKES.values(), ids=MISTAKES)
def test_each_mistake_is_told_at_its_place(text: str, told: list[Told]) -> None:
    gated = gate(text)
    assert [problem[1:3] for problem in gated.problems] == [place[:2] for place in told], gated.problems
    for problem, (_, _, words) in zip(gated.problems, told, strict=True):
        assert words in problem.message


BYTES: dict[str, tuple[bytes, Told]] = {
    "UTF-16 LE with mark": ("a = 1\nb".encode("utf-16"), (1, 1, "UTF-16 LE")),
    "UTF-16 LE": ("# é\na = 1\nb".encode("utf-16-le"), (1, 2, "UTF-16 LE")),
    "UTF-16 BE with mark": (b"\xfe\xff" + "a = 1\nb".encode("utf-16-be"), (1, 1, "UTF-16 BE")),
    "UTF-16 BE": ("a = 1\nb".encode("utf-16-be"), (1, 1, "UTF-16 BE")),
    "UTF-32": ("a = 1\nb".encode("utf-32"), (1, 1, "UTF-32")),
    "Windows-1252": (b"a = 1\n# \xc3\xa9\nb = '\xc3\xa9 \x96'\n", (3, 8, "Windows-1252, where this byte is –")),
    "Windows-1252 after a mark": (b"\xef\xbb\xbfa = '\x96'\n", (1, 6, "Windows-1252")),
    "no encoding at all": (b"a = 1\nb = '\x81'\n", (2, 6, "byte 81 here is not UTF-8")),
    "UTF-8 of a surrogate": (b"a = '\xed\xa0\x80'\n", (1, 6, "not UTF-8")),
    "too large": (b"#" * (MOST_BYTES + 1), (0, 0, "larger than 256 KiB")),
}


@pytest.mark.parametrize(("data", "told"), BYTES.values(), ids=BYTES)
def test_what_is_no_utf8_text_is_named(data: bytes, told: Told) -> None:
    gated = gate_bytes(data, "deck.toml")
    assert gated.data is None
    (problem,) = gated.problems
    assert problem[1:3] == told[:2]
    assert told[2] in problem.message


@pytest.mark.parametrize(
    "data", [b"", b"# x", b"\xef\xbb\xbfa = 1", b"a = 1\r\nb = '''\r\nx\r\n'''\r\n", "a = 'é 右 🚶'".encode()]
)
def test_what_is_legal_passes_as_tomllib_reads_it(data: bytes) -> None:
    gated = gate_bytes(data, "deck.toml")
    assert gated.problems == ()
    assert gated.data == tomllib.loads(data.decode("utf-8-sig"))


FILES = {
    "-": "read from a file",
    "missing.toml": "no such file",
    "deck.toml/x": "no folder",
    "folder": "a folder",
    "pipe": "a device or a pipe",
    "circle": "leads back to itself",
    "x" * 5000: "too long",
    "a\0b": "cannot be the name",
    "a\udcffb": "no such file",
    "a\nb\x1b[2J": "no such file",
    "": "no such file",
    "/dev/zero": "a device or a pipe",
    "large.toml": "larger than 256 KiB",
}


@pytest.mark.skipif(os.name == "nt", reason="pipes, links and devices are of another kind there")
@pytest.mark.parametrize(("name", "words"), FILES.items(), ids=ascii)
def test_what_is_no_file_gets_one_sentence(
    name: str, words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("deck.toml").write_text("a = 1\n")
    Path("folder").mkdir()
    os.mkfifo("pipe")
    Path("circle").symlink_to("circle")
    Path("large.toml").write_bytes(b"\n" * (MOST_BYTES + 1))
    gated = read_toml(name)
    assert gated.data is None
    (problem,) = gated.problems
    assert words in problem.message
    assert (problem.line, problem.column) == (0, 0)
    assert not any(is_hidden(char) for char in problem.file + problem.message)


def test_a_file_is_read_by_any_kind_of_path(tmp_path: Path) -> None:
    file = tmp_path / "deck\n.toml"
    file.write_bytes(b"a = 1\r\n" + b"\n" * (MOST_BYTES - 7))
    for path in (file, str(file)):
        gated = read_toml(path)
        assert gated.data == {"a": 1}
        assert gated.problems == ()
        assert gated.file == f"{tmp_path}/deck<U+000A>.toml"


def test_a_problem_reads_as_one_line() -> None:
    assert str(Problem("deck.toml", 3, 7, "there is no = after 'x'")) == "deck.toml:3:7: there is no = after 'x'"
    assert str(Problem("deck\n.toml", 0, 0, "no \x1b")) == "deck<U+000A>.toml: no <U+001B>"


@pytest.mark.parametrize(
    "line", ["a = nan\n", 'a = "\\d"\n', "a\n", 'a = "\u200b"\n', "e\u0301\u0301\u0301\u0301 = 1\n"]
)
def test_a_file_full_of_mistakes_is_not_told_all_of_them(line: str) -> None:
    gated = gate("# first\n" + line * 10_000)
    assert len(gated.problems) == MOST_PROBLEMS + 1
    assert gated.problems[0].line == 2
    assert "there is more" in gated.problems[-1].message


def test_problems_come_by_place_once_and_not_endlessly() -> None:
    problems = [Problem("f", line, 1, "wrong") for line in range(MOST_PROBLEMS + 50, 0, -1)]
    ordered = in_order(problems + problems)
    assert len(ordered) == MOST_PROBLEMS + 1
    assert [problem.line for problem in ordered] == list(range(1, MOST_PROBLEMS + 2))
    assert "there is more" in ordered[-1].message
    assert in_order(problems[:100]) == tuple(reversed(problems[:100]))


def values_in(data: Any) -> Iterator[Any]:
    if isinstance(data, dict):
        for name, value in data.items():
            yield name
            yield from values_in(value)
    elif isinstance(data, list):
        for value in data:
            yield from values_in(value)
    else:
        yield data


def check_laws(text: str) -> None:
    """Check what must hold of any text, against tomllib as it is."""
    found, _ = scan(text)
    gated = gate_bytes(text.encode(), "deck.toml")
    try:
        data = tomllib.loads(text)
    except ValueError:
        assert gated.problems
        assert gated.data is None or gated.text != text  # read with a space for what is not allowed
        return
    assert [item for item in found if item.trouble is Trouble.SYNTAX] == []
    if not gated.problems:
        assert gated.data == data
        for value in values_in(gated.data):
            assert isinstance(value, str | int | float)
            assert not any(is_hidden(char) and char != "\n" for char in str(value))


@settings(deadline=None)
@given(documents())
def test_no_mistake_is_seen_where_tomllib_sees_none(document: Document) -> None:
    check_laws(document.text)


PIECES = [
    '"',
    "'",
    '"""',
    "'''",
    "\\",
    "\n",
    "#",
    "[",
    "]",
    "[[",
    "{",
    "}",
    ",",
    "=",
    ".",
    " ",
    "a",
    "1",
    "true",
    "\\u0041",
]


@settings(deadline=None, max_examples=200)
@given(documents(), st.integers(0, 400), st.integers(0, 3), st.sampled_from(["", *PIECES]))
def test_the_laws_hold_of_damaged_documents(document: Document, at: int, cut: int, put: str) -> None:
    at %= len(document.text) + 1
    check_laws(document.text[:at] + put + document.text[at + cut :])


@settings(deadline=None, max_examples=500)
@given(
    st.lists(st.sampled_from([*PIECES, "a = ", "b = 1\n", "[x]\n", "1979-05-27", "0x1", "1.5e3", "-", "é"])).map(
        "".join
    )
)
def test_the_laws_hold_of_anything_put_together(text: str) -> None:
    check_laws(text)


EXAMPLES = {kind + name: text for kind in ("valid", "invalid") for name, text in parser_examples(kind).items()}


@pytest.mark.parametrize("text", EXAMPLES.values(), ids=EXAMPLES)
def test_the_laws_hold_of_the_parsers_own_examples(text: str) -> None:
    """Source: the documents among the tests of CPython's tomllib."""
    check_laws(text)


class Meter:
    """Measures what tomllib meets while it reads."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch) -> None:
        self.parts = self.depth = self.open = 0
        self.parse_key = _parser.parse_key
        monkeypatch.setattr(_parser, "parse_key", self.key)
        for name in ("parse_array", "parse_inline_table"):
            monkeypatch.setattr(_parser, name, self.bracket(getattr(_parser, name)))

    def key(self, text: str, at: int) -> Any:
        at, key = self.parse_key(text, at)
        self.parts = max(self.parts, len(key))
        return at, key

    def bracket(self, parse: Any) -> Any:
        def measured(*args: Any) -> Any:
            self.open += 1
            self.depth = max(self.depth, self.open)
            try:
                return parse(*args)
            finally:
                self.open -= 1

        return measured


LONG_NAME = "a" + ".a" * 17
DANGERS = [
    *PIECES,
    f"{LONG_NAME} = 1\n",
    "." + LONG_NAME,
    "[[[[[",
    "]]]]]",
    "{a={a=",
    "a = ",
    "\nb = 1\n",
    "[x]\n",
    "# ",
]


@settings(deadline=None, max_examples=500)
@given(st.lists(st.sampled_from(DANGERS)).map("".join))
def test_the_parser_never_meets_what_is_out_of_bounds(text: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        meter = Meter(patch)
        gate_bytes(text.encode(), "deck.toml")
    assert meter.parts <= MOST_DOTS + 1
    assert meter.depth <= MOST_DEPTH


def test_the_meter_measures(monkeypatch: pytest.MonkeyPatch) -> None:
    meter = Meter(monkeypatch)
    tomllib.loads(f"{LONG_NAME} = [[{{ b = 1 }}]]\n")
    assert (meter.parts, meter.depth) == (18, 3)
