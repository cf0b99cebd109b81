"""Pages: everything escaped, nothing from outside, the same matter as plain text."""

import re
import shutil
import subprocess
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.plain import columns
from trainer.report.page import (
    BOX,
    TEXT_WIDTH,
    Heading,
    Items,
    Page,
    Pairs,
    Paragraph,
    Picture,
    Table,
    html_page,
    text_page,
)

HOSTILE = "<script>alert(1)</script>\x1b[31m & \"quoted\" 'too' \u202e"


def page(text: str = "plain") -> Page:
    blocks = (
        Heading(text),
        Paragraph(text, caution=True),
        Pairs(((text, text), ("left", "")), blank=True),
        Items((text, f"{BOX} tick"), numbered=True),
        Table((text, "n"), ((text, "1"), (f"{BOX} x", "20")), frozenset({1})),
        Picture("<svg xmlns='http://www.w3.org/2000/svg'></svg>", text, ("a line",)),
    )
    return Page(text, text, blocks, text)


class Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.links += [str(value) for name, value in attrs if name in {"src", "href", "data", "action"}]
        assert not [name for name, _ in attrs if name.startswith("on")]


@given(st.text(max_size=80) | st.just(HOSTILE))
def test_no_text_becomes_markup_or_reaches_outside(text: str) -> None:
    usual, hostile = Reader(), Reader()
    usual.feed(html_page(page()))
    hostile.feed(html_page(page(text)))
    boxes = text.count(BOX)
    assert [tag for tag in hostile.tags if tag != "span"] == [tag for tag in usual.tags if tag != "span"]
    assert hostile.tags.count("span") <= usual.tags.count("span") + boxes * 12
    assert hostile.links == []
    assert "script" not in hostile.tags
    assert "default-src 'none'" in html_page(page(text))


def test_nothing_that_acts_on_a_terminal_reaches_the_text() -> None:
    text = text_page(page(HOSTILE))
    assert "\x1b" not in text
    assert "<U+001B>" in text
    assert "\u202e" not in html_page(page(HOSTILE))


@given(st.lists(st.text("abcdefgh ", min_size=1, max_size=40), min_size=1, max_size=4))
def test_plain_text_keeps_to_its_width(words: list[str]) -> None:
    text = " ".join(words) or "x"
    blocks = (Paragraph(text * 3), Items((text,)), Table(("head", "n"), ((text, "12"),), frozenset({1})))
    shown = text_page(Page("t", "b", blocks, text))
    longest = max((len(word) for word in text.split()), default=0)
    for line in shown.splitlines():
        assert columns(line) <= TEXT_WIDTH or longest > TEXT_WIDTH - 6
    squeezed = re.sub(r"\s+", "", shown)
    assert re.sub(r"\s+", "", text * 3) in squeezed


def test_columns_of_figures_stand_at_the_right() -> None:
    shown = text_page(Page("t", "", (Table(("name", "share"), (("a", "5 %"), ("b", "55 %")), frozenset({1})),), "f"))
    assert "a       5 %" in shown
    assert "b      55 %" in shown


@given(st.lists(st.text("abc ", min_size=1, max_size=40), min_size=2, max_size=5))
def test_a_wide_table_wraps_as_many_columns_as_it_takes(cells: list[str]) -> None:
    """Only words of 40 letters could be too long for five columns; these are broken at every tenth."""
    told = [" ".join(cell[n : n + 10] for n in range(0, len(cell), 10)) for cell in cells]
    shown = text_page(Page("t", "", (Table(tuple(told), (tuple(told), tuple(told))),), "f"))
    assert max(map(columns, shown.splitlines())) <= TEXT_WIDTH
    assert sorted(re.sub(r"[\s=-]", "", shown)) == sorted(re.sub(r"\s", "", "t" + "".join(told) * 3 + "f"))


def test_a_picture_without_words_leaves_no_caption_in_the_text() -> None:
    drawn = Picture("<svg xmlns='http://www.w3.org/2000/svg'></svg>", "From above.")
    assert "From above" not in text_page(Page("t", "", (drawn,), "f"))
    assert "From above" in text_page(Page("t", "", (drawn._replace(lines=("a line",)),), "f"))
    assert "From above" in html_page(Page("t", "", (drawn,), "f"))


def test_what_is_left_blank_can_be_filled_in() -> None:
    assert "left   ________________________" in text_page(page())
    assert '<dl class="blank">' in html_page(page())


@pytest.mark.skipif(shutil.which("chromium") is None, reason="no browser here to print with")
def test_a_browser_prints_it(tmp_path: Path) -> None:
    source, printed = tmp_path / "page.html", tmp_path / "page.pdf"
    source.write_text(html_page(page()), "utf-8")
    command = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", f"--print-to-pdf={printed}", str(source)]
    subprocess.run(command, capture_output=True, check=True, timeout=120)
    assert printed.read_bytes().startswith(b"%PDF")


def test_svg_inside_is_well_formed() -> None:
    found = re.search(r"<svg.*?</svg>", html_page(page()))
    assert found is not None
    assert ET.fromstring(found.group()).tag.endswith("svg")
