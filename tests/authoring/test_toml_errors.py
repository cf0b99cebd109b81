import tomllib

import pytest

from trainer.authoring.toml_errors import meaning_of, place_in


def error_of(text: str) -> ValueError:
    with pytest.raises(ValueError) as caught:
        tomllib.loads(text)
    return caught.value


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("a = 1\nb = = 2\n", (2, 5)),
        ("é\n", (1, 1)),
        ("[a]\n[a]\n", (2, 3)),
        ("a = 1\nb = [1,", (2, 8)),
        ('a = 1\nb = """c\n\n', (2, 9)),
        ("a = " + "1" * 5_000, None),
    ],
    ids=lambda value: str(value)[:20],
)
def test_the_place_of_an_error(text: str, place: tuple[int, int] | None) -> None:
    assert place_in(error_of(text), text) == place


def test_the_place_is_taken_from_attributes_where_there_are_some() -> None:
    """Source: the tomllib documentation of Python 3.14, TOMLDecodeError.lineno and colno."""
    error = tomllib.TOMLDecodeError("Invalid value (at line 9, column 9)")
    error.lineno, error.colno = 3, 7  # type: ignore[attr-defined]
    assert place_in(error, "") == (3, 7)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[a]\n[a]\n", "there already"),
        ("a = 1\na = 2\n", "has a value already"),
        ("a = { b = 1 }\na.c = 2\n", "cannot be added to"),
        ("[a.b]\n[a]\nb.c = 1\n", "cannot be opened again"),
        ("a = { b = 1, b = 2 }\n", "given twice in this row"),
        ("a = 1979-02-30\n", "no such date"),
        ('a = """', "not closed"),
        ("a = [ 1 2 ]\n", "list is not closed"),
        ("a = { b = 1 c = 2 }\n", "row is not closed"),
        ("a = = 1\n", "cannot be read as TOML"),
        ("a = " + "1" * 5_000, "this file cannot be read"),
    ],
    ids=lambda value: value[:20],
)
def test_errors_are_put_into_plain_words(text: str, words: str) -> None:
    assert words in meaning_of(error_of(text))


def test_brackets_too_deep_for_the_parser() -> None:
    with pytest.raises(RecursionError) as caught:
        tomllib.loads("a = " + "[" * 5_000)
    assert "too many brackets" in meaning_of(caught.value)
