"""Rows of cells keep their columns, whatever stands in them."""

from hypothesis import given
from hypothesis import strategies as st
from textual.content import Content

from trainer.plain import columns, visible
from trainer.screens.widgets.keys import key_rows
from trainer.screens.widgets.spans import INK, LINE, Line, Span, content, row_text

TEXT = st.text(st.sampled_from("ab─│ 礼步é\u0301[/]"), max_size=12)


@given(st.integers(1, 30), st.lists(st.tuples(st.integers(-5, 35), TEXT), max_size=6))
def test_a_line_is_as_wide_as_it_was_made(width: int, puts: list[tuple[int, str]]) -> None:
    line = Line(width)
    for column, text in puts:
        line.put(column, visible(text), INK)
    assert columns(row_text(line.row())) == width


def test_half_of_a_wide_character_is_never_left() -> None:
    line = Line(4)
    line.put(0, "礼步", INK)
    line.put(1, "x", LINE)
    assert row_text(line.row()) == " x步"


def test_a_combining_mark_stays_with_its_letter() -> None:
    line = Line(3)
    line.put(0, "e\u0301x", INK)
    assert row_text(line.row()) == "e\u0301x "


def test_deck_text_is_never_markup() -> None:
    shown = content([(Span("[bold red]MARCH[/]", INK),)])
    assert isinstance(shown, Content)
    assert shown.plain == "[bold red]MARCH[/]"


def test_keys_wrap_between_keys() -> None:
    rows = key_rows((("a", "one"), ("b", "two"), ("c", "three")), 12)
    assert [row_text(row) for row in rows] == ["a one  b two", "c three"]
