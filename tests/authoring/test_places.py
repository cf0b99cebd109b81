import tomllib
from collections.abc import Iterator
from tomllib import _parser  # type: ignore[attr-defined]
from typing import Any

import pytest
from hypothesis import given, settings

from tests.authoring.toml_documents import Document, Path, documents, parser_examples
from trainer.authoring.places import Places, locate


def paths_of(data: Any, path: Path = ()) -> Iterator[tuple[Path, Any]]:
    yield path, data
    if isinstance(data, dict):
        for name, value in data.items():
            yield from paths_of(value, (*path, name))
    elif isinstance(data, list):
        for number, value in enumerate(data):
            yield from paths_of(value, (*path, number))


def offset_of(text: str, place: tuple[int, int]) -> int:
    line, column = place
    return sum(len(above) + 1 for above in text.split("\n")[: line - 1]) + column - 1


def check_places(text: str) -> None:
    """Check places against tomllib: the paths are those of the data, the text at a place gives the value.

    A table that a header or a dotted key opens has no text of its own that gives it: there the header or the
    key part must stand.
    """
    places = locate(text)
    data = tomllib.loads(text)
    text = text.replace("\r\n", "\n")
    assert places.paths() == {path for path, _ in paths_of(data)}
    for path, value in paths_of(data):
        if not path:
            continue
        offset = offset_of(text, places.value(path))
        if text[offset] == "[" and (text[:offset].rpartition("\n")[2].strip(" \t") == ""):
            assert isinstance(value, dict | list)
        elif isinstance(value, dict) and text[offset] != "{":
            assert _parser.parse_key_part(text, offset)[1] == path[-1]
        else:
            assert _parser.parse_value(text, offset, float)[1] == value
        if isinstance(path[-1], str):
            key = offset_of(text, places.key(path))
            assert _parser.parse_key_part(text, key)[1] == path[-1]
        else:
            assert places.key(path) == places.value(path)


@settings(deadline=None)
@given(documents(with_times=True))
def test_every_key_and_value_is_where_it_was_written(document: Document) -> None:
    assert tomllib.loads(document.text) == document.data
    for text in (document.text, document.text.replace("\n", "\r\n")):
        places = locate(text)
        assert places.paths() == set(document.values)
        assert {path: places.value(path) for path in document.values} == {
            path: document.place(offset) for path, offset in document.values.items()
        }
        assert {path: places.key(path) for path in document.keys} == {
            path: document.place(offset) for path, offset in document.keys.items()
        }


HARD = {
    "nothing": "",
    "only comments": "# a = 1\n\n  # [b]",
    "no last newline": "a = 1",
    "empty names": '"" = 1\n[t]\n\'\' = 2\n"y"."" = 3\n',
    "names that look like values": "1.2 = 3\ntrue = false\ninf.nan = 1979-05-27\n",
    "names that look like markers": '"@key" = 1\n"=" = 2\n"]" = { "}" = 3, "#" = 4 }\n',
    "escaped names": '"a\\u0062" = 1\n[ "\\"" . c ]\n"\\\\" = 2\n',
    "quotes at the end of long text": (
        'a = """x""""\nb = """x"""""\nc = """\\""""\nd = \'\'\'x\'\'\'\'\'\ne = """"""\nf = 1\n'
    ),
    "quotes within long text": 'a = """""x"" \\""" "" """\nb = \'\'\'\' x \'\' \'\'\'\nc = 1\n',
    "structure within text": "a = '''\n[b]\nc = 1\n# '''\nd = \"[e] # \\\" = 2\"\nf = [ '],', \"}\" ] # ]\n",
    "nested lists": "a = [ [1, [2, 3,], ], # ]\n [ # [\n], [[[]]], ]\nb = 1\n",
    "rows": "a = [ { b = [ { c = 1 }, { c = 2, d.e = 3, d.f = { g = 4 } } ] },\n {}, { } ]\n",
    "blocks within blocks": "[[a]]\n[[a.b]]\nc = 1\n[[a.b]]\n[a.b.d]\ne = 2\n[[a]]\n[[a.b]]\nc = 3\n[f]\n[[f.g]]\n",
    "parent after child": "[a.b.c]\nd = 1\n[a]\ne = 2\n[a.b]\nf = 3\n",
    "dotted then header": "[a]\nb.c = 1\nb.d = 2\n[a.e]\nf = 3\n[a.g.h]\n",
    "spaces everywhere": "\t[ a . 'b' ]  # x\n\tc \t.\td\t=\t[\t1\t,\t]\t# y\n",
    "numbers": "a = [+1, -0.5, 1e-5, 0xff, 0o7, 0b1, 1_000, +inf]\n",
    "dates": "a = 1979-05-27 07:32:00Z\nb = [1979-05-27 07:32:00.5-07:00,07:32:00]\nc = 1979-05-27T07:32:00#\n",
    "windows line ends": 'a = """\r\nx\r\n"""\r\n[b]\r\nc = [\r\n 1,\r\n]\r\n',
    "wide characters": 'a = "右向け右 🚶" # é\nb = { "é" = 1, c = "e\u0301" }\n',
    "backslash at a line's end": 'a = """x \\\n\n   y\\\\\\\n  """\nb = 1\n',
}


@pytest.mark.parametrize("text", HARD.values(), ids=HARD)
def test_hard_cases(text: str) -> None:
    check_places(text)


EXAMPLES = parser_examples("valid")


@pytest.mark.parametrize("text", EXAMPLES.values(), ids=EXAMPLES)
def test_the_parsers_own_examples(text: str) -> None:
    """Source: the valid documents among the tests of CPython's tomllib."""
    try:
        check_places(text)
    except AssertionError:
        if "nan" not in text:  # not equal to itself
            raise


def test_places_by_hand() -> None:
    text = (
        '[deck]\nid = "x"\n\n[[movement]]\nwords = [\n  { say = "HALT", beat = 0 },\n]\n'
        'stance."marking time".lift = "2 in"\n'
    )
    places = locate(text)
    assert places.value(()) == (1, 1)
    assert places.value(("deck",)) == (1, 1)
    assert places.key(("deck",)) == (1, 2)
    assert places.value(("deck", "id")) == (2, 6)
    assert places.value(("movement",)) == (4, 1)
    assert places.value(("movement", 0)) == (4, 1)
    assert places.key(("movement", 0, "words")) == (5, 1)
    assert places.value(("movement", 0, "words")) == (5, 9)
    assert places.value(("movement", 0, "words", 0)) == (6, 3)
    assert places.key(("movement", 0, "words", 0, "beat")) == (6, 19)
    assert places.value(("movement", 0, "words", 0, "beat")) == (6, 26)
    assert places.key(("movement", 0, "stance", "marking time")) == (8, 8)
    assert places.key(("movement", 0, "stance", "marking time", "lift")) == (8, 23)


@pytest.mark.parametrize(
    ("path", "value", "key"),
    [
        (("absent",), (1, 1), (1, 1)),
        (("a", 1, "b", "absent", 3, "x"), (2, 15), (2, 11)),
        (("a", 7), (2, 5), (2, 1)),
        (("a", 0, "absent"), (2, 6), (2, 6)),
        ((0,), (1, 1), (1, 1)),
    ],
)
def test_what_is_missing_is_placed_at_its_nearest_parent(
    path: Path, value: tuple[int, int], key: tuple[int, int]
) -> None:
    places: Places = locate("# first\na = [1, { b = { c = 1 } }]\n")
    assert places.value(path) == value
    assert places.key(path) == key


def test_text_that_was_never_accepted_is_refused() -> None:
    with pytest.raises(ValueError, match="accepted before"):
        locate("a = 1\né = 2\n")
