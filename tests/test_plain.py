import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import get_character_cell_size

from trainer.plain import MOST_MARKS, clip, columns, is_hidden, visible

ACTS_ON_A_TERMINAL = [
    "\x1b[31m",
    "\x1b[2J",
    "\x1b]0;t\x07",
    "\x1b]8;;https://x\x1b\\",
    "\x1b]52;c;aGk=\x07",
    "\x1bPq#\x1b\\",
    "\x1b",
    "\x9b31m",
    "\x9d0;t\x9c",
    "\x90",
    "\x07",
    "\x08",
    "GO\rNO-GO",
    "\x00",
    "\x7f",
    "\x85",
    *map(chr, range(0x202A, 0x202F)),
    *map(chr, range(0x2066, 0x206A)),
    *map(chr, range(0x200B, 0x2010)),
    "\u061c",
    "\u00ad",
    "\ufeff",
    "\u2028",
    "\u2029",
    "\U000e0041",
    "\ufff9",
    "\udcff",
    "\ue000",
    "\U0010ffff",
    "a" + "\u0301" * 200,
]
# Weighted towards what the wall is about: any character at all is mostly a plain one.
hostile_text = st.text(
    st.one_of(
        st.characters(),
        st.characters(categories=["Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp", "Mn", "Mc", "Me"]),
        st.sampled_from("a \n\r\t\u0301"),
    )
)


def longest_run_of_marks(text: str) -> int:
    bases = "".join("m" if unicodedata.category(char)[0] == "M" else " " for char in text)
    return max(map(len, bases.split()), default=0)


@pytest.mark.parametrize("attack", ACTS_ON_A_TERMINAL, ids=ascii)
def test_nothing_that_acts_on_a_terminal_gets_through(attack: str) -> None:
    shown = visible(f"before{attack}after")
    assert not any(is_hidden(char) for char in shown)
    assert longest_run_of_marks(shown) <= MOST_MARKS
    assert "<U+" in shown


def test_a_hidden_character_is_shown_by_its_number() -> None:
    assert visible("\x1b[31m") == "<U+001B>[31m"
    assert visible("a\u202eb") == "a<U+202E>b"
    assert visible("\U000e0041") == "<U+E0041>"


def test_three_marks_in_a_row_are_kept_and_the_rest_numbered() -> None:
    assert visible("e" + "\u0301" * 3) == "e" + "\u0301" * 3
    assert visible("e" + "\u0301" * 5) == "e" + "\u0301" * 3 + "<U+0301>" * 2


@pytest.mark.parametrize(
    "text", ["", "plain", "Grüße, 右向け右 – “flank”…", "[red]x[/red]", ":skull:", "\\[", "a\u00a0b"]
)
def test_ordinary_text_and_markup_stay_as_they_are(text: str) -> None:
    assert visible(text) == text


def test_newlines_are_kept_on_request_only() -> None:
    assert visible("a\nb") == "a<U+000A>b"
    assert visible("a\nb\r\n\x1b", lines=True) == "a\nb<U+000D>\n<U+001B>"


@given(hostile_text)
def test_nothing_hidden_is_left_and_a_second_time_changes_nothing(text: str) -> None:
    shown = visible(text)
    assert not any(is_hidden(char) for char in shown)
    assert longest_run_of_marks(shown) <= MOST_MARKS
    assert visible(shown) == shown
    assert visible(text, lines=True).replace("\n", "<U+000A>") == shown
    shown.encode("utf-8")  # a lone surrogate would raise


@given(hostile_text)
def test_text_without_anything_hidden_is_returned_as_it_is(text: str) -> None:
    if longest_run_of_marks(text) <= MOST_MARKS and not any(map(is_hidden, text)):
        assert visible(text) == text


@pytest.mark.parametrize(
    ("text", "width"),
    [
        ("", 0),
        ("halt", 4),
        ("右向け右", 8),
        ("e\u0301", 1),
        ("ｗｉｄｅ", 8),
        ("🚶", 2),
        ("…", 1),
        ("Flanke rechts – ü", 17),
    ],
)
def test_columns(text: str, width: int) -> None:
    assert columns(text) == width


@pytest.mark.parametrize(
    "blocks", [(0x20, 0x2FF), (0x370, 0x52F), (0x3041, 0x30FF), (0x4E00, 0x9FFF), (0xAC00, 0xD7A3)]
)
def test_columns_agree_with_the_table_that_the_screens_draw_by(blocks: tuple[int, int]) -> None:
    """Source: the cell table of Rich, by which Textual lays out."""
    chars = [chr(number) for number in range(blocks[0], blocks[1] + 1) if not is_hidden(chr(number))]
    differing = [char for char in chars if columns(char) != get_character_cell_size(char)]
    assert differing == []


@given(hostile_text.map(visible), st.integers(0, 30))
def test_clipped_text_fits_and_is_the_start_of_the_whole(text: str, width: int) -> None:
    clipped = clip(text, width)
    assert columns(clipped) <= width
    if columns(text) <= width:
        assert clipped == text
    elif width:
        assert clipped.endswith("…")
        assert text.startswith(clipped[:-1])
        # Nothing shorter than it needs to be: one more character would not fit.
        assert columns(text[: len(clipped)]) > width - 1


def test_clip_never_cuts_a_wide_character_in_half() -> None:
    assert clip("右向け右", 8) == "右向け右"
    assert clip("右向け右", 7) == "右向け…"
    assert clip("右向け右", 6) == "右向…"
    assert clip("e\u0301e\u0301e\u0301", 2) == "e\u0301…"
    assert clip("halt", 0) == ""
