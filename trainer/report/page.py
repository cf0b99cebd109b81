"""A page to print: blocks of plain values, written as one self-contained HTML file or as plain text.

The HTML holds no script and asks for nothing from outside. All text passes the display wall and is escaped.
"""

from collections.abc import Iterable, Sequence
from html import escape
from typing import NamedTuple

from trainer.plain import columns, visible

TEXT_WIDTH = 78

STYLE = """
@page { margin: 14mm; }
* { box-sizing: border-box; }
body { font: 10.5pt/1.35 "DejaVu Sans", "Segoe UI", Arial, sans-serif; color: #111; background: #fff;
  max-width: 182mm; margin: 0 auto; padding: 6mm 0; }
header { display: flex; justify-content: space-between; align-items: baseline; border-bottom: 1.5pt solid #111;
  margin-bottom: 4mm; gap: 6mm; }
h1 { font-size: 15pt; margin: 0 0 1mm; }
h2 { font-size: 11.5pt; margin: 5mm 0 1.5mm; break-after: avoid; }
header p { margin: 0; color: #444; text-align: right; }
p { margin: 0 0 1.5mm; }
table { border-collapse: collapse; width: 100%; margin: 0 0 2mm; }
th, td { border-bottom: .5pt solid #999; padding: 1mm 2mm 1mm 0; text-align: left; vertical-align: top; }
th { border-bottom: 1pt solid #111; font-weight: bold; }
tr { break-inside: avoid; }
thead { display: table-header-group; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; white-space: nowrap; padding-right: 3mm; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 1mm 4mm; margin: 0 0 2mm; }
dt { color: #444; } dd { margin: 0; border-bottom: .5pt solid #999; min-height: 5mm; }
dl.told dd { border-bottom: none; }
ul { margin: 0 0 2mm; padding-left: 5mm; } li { break-inside: avoid; }
ol { margin: 0 0 2mm; padding-left: 7mm; }
figure { margin: 2mm 0; break-inside: avoid; } figcaption { color: #444; font-size: 9pt; }
svg { max-width: 100%; height: auto; }
td.tick { font-size: 9pt; }
.box { display: inline-block; width: 4mm; height: 4mm; border: 1pt solid #111; margin: 0 1mm -.6mm 0; }
footer { border-top: .5pt solid #999; margin-top: 6mm; padding-top: 1.5mm; color: #444; font-size: 8.5pt; }
.caution { border-left: 2pt solid #111; padding-left: 3mm; }
@media screen { body { padding: 8mm 4mm; } }
"""

BOX = "\u2610"
"""A box to tick: an empty square in the text, a drawn one on the page."""
HELD = "\u00a0"
"""A space at which no line breaks: a box stays beside its word."""


class Heading(NamedTuple):
    """The head of a part."""

    text: str


class Paragraph(NamedTuple):
    """Running text; a caution is set apart."""

    text: str
    caution: bool = False


class Pairs(NamedTuple):
    """Names with what stands beside them; to be filled in by hand where `blank`."""

    rows: tuple[tuple[str, str], ...]
    blank: bool = False


class Items(NamedTuple):
    """A list, numbered or not."""

    texts: tuple[str, ...]
    numbered: bool = False


class Table(NamedTuple):
    """A table; `right` are the columns of figures."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()


class Picture(NamedTuple):
    """An SVG with its caption and the same in words; without words there is nothing of it in the text."""

    svg: str
    caption: str
    lines: tuple[str, ...] = ()


Block = Heading | Paragraph | Pairs | Items | Table | Picture


class Page(NamedTuple):
    """A sheet: its title, what stands beside it, its parts, and what stands at its foot."""

    title: str
    beside: str
    blocks: tuple[Block, ...]
    foot: str


def html_page(page: Page) -> str:
    """Return a sheet as one HTML file (HTML Living Standard), encoded in UTF-8 when written."""
    body = "\n".join(_html(block) for block in page.blocks)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">\n"
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{_safe(page.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f"<header><h1>{_safe(page.title)}</h1><p>{_safe(page.beside)}</p></header>\n"
        f"<main>\n{body}\n</main>\n<footer>{_safe(page.foot)}</footer>\n</body>\n</html>\n"
    )


def _safe(text: str) -> str:
    boxed = '<span class="box"></span>'
    return escape(visible(text)).replace(f"{BOX} ", f"{boxed}&nbsp;").replace(BOX, boxed)


def _html(block: Block) -> str:
    if isinstance(block, Heading):
        return f"<h2>{_safe(block.text)}</h2>"
    if isinstance(block, Paragraph):
        tag = '<p class="caution">' if block.caution else "<p>"
        return f"{tag}{_safe(block.text)}</p>"
    if isinstance(block, Pairs):
        rows = "".join(f"<dt>{_safe(name)}</dt><dd>{_safe(value)}</dd>" for name, value in block.rows)
        return f'<dl class="{"blank" if block.blank else "told"}">{rows}</dl>'
    if isinstance(block, Items):
        tag = "ol" if block.numbered else "ul"
        return f"<{tag}>{''.join(f'<li>{_safe(text)}</li>' for text in block.texts)}</{tag}>"
    if isinstance(block, Table):
        return _html_table(block)
    return f"<figure>{block.svg}<figcaption>{_safe(block.caption)}</figcaption></figure>"


def _html_table(table: Table) -> str:
    def row(cells: Sequence[str], tag: str) -> str:
        made = (
            f"<{tag}{_kind(cell, column in table.right)}>{_safe(cell)}</{tag}>" for column, cell in enumerate(cells)
        )
        return f"<tr>{''.join(made)}</tr>"

    body = "\n".join(row(cells, "td") for cells in table.rows)
    return f"<table><thead>{row(table.head, 'th')}</thead><tbody>\n{body}\n</tbody></table>"


def _kind(cell: str, figures: bool) -> str:
    return ' class="n"' if figures else ' class="tick"' if BOX in cell else ""


def text_page(page: Page) -> str:
    """Return a sheet as plain text; lines have at most `TEXT_WIDTH` columns where words allow it."""
    lines = [visible(page.title), visible(page.beside), "=" * TEXT_WIDTH]
    for block in page.blocks:
        lines += _lines(block)
    return "\n".join([*lines, "-" * TEXT_WIDTH, *_wrapped(page.foot)]) + "\n"


def _wrapped(text: str, indent: str = "", first: str | None = None) -> list[str]:
    """Return text as lines; words are never cut."""
    head = indent if first is None else first
    lines, line = [], head
    for word in visible(text).split():
        if columns(line) + columns(word) > TEXT_WIDTH and line.strip() and line != head:
            lines.append(line.rstrip())
            line = indent
        line += f"{word} "
    return [*lines, line.rstrip()]


def _lines(block: Block) -> list[str]:
    if isinstance(block, Heading):
        return ["", visible(block.text), "-" * columns(visible(block.text))]
    if isinstance(block, Paragraph):
        return _wrapped(block.text, "  " if block.caution else "", "! " if block.caution else None)
    if isinstance(block, Pairs):
        width = max((columns(visible(name)) for name, _ in block.rows), default=0)
        found = []
        for name, value in block.rows:
            label = visible(name) + " " * (width - columns(visible(name)) + 2)
            found += _wrapped(value or "_" * 24, " " * (width + 2), label)
        return found
    if isinstance(block, Items):
        marks = (
            (f"{number}. " for number in range(1, len(block.texts) + 1)) if block.numbered else iter(lambda: "- ", 0)
        )
        return [line for mark, text in zip(marks, block.texts, strict=False) for line in _wrapped(text, "   ", mark)]
    if isinstance(block, Table):
        return _text_table(block)
    return [*_wrapped(block.caption), *(f"  {visible(line)}" for line in block.lines)] if block.lines else []


def _text_table(table: Table) -> list[str]:
    """Return a table in columns; where it is too wide, the widest ones that are no figures are wrapped."""
    box = f"[{HELD}]"
    cells = [
        [visible(cell).replace(f"{BOX} ", f"{box}{HELD}").replace(BOX, box) for cell in row]
        for row in (table.head, *table.rows)
    ]
    widths = [max(columns(row[column]) for row in cells) for column in range(len(table.head))]
    widths = _narrowed(widths, [_longest_word(row[n] for row in cells) for n in range(len(widths))], table.right)
    lines = []
    for number, row in enumerate(cells):
        split = [_column(cell, width) for cell, width in zip(row, widths, strict=True)]
        for part in range(max(map(len, split))):
            parts = [one[part] if part < len(one) else "" for one in split]
            lines.append(
                "  ".join(
                    _filled(text, width, column in table.right)
                    for column, (text, width) in enumerate(zip(parts, widths, strict=True))
                )
                .replace(HELD, " ")
                .rstrip()
            )
        if not number:
            lines.append("  ".join("-" * width for width in widths))
    return lines


def _narrowed(widths: Sequence[int], least: Sequence[int], figures: frozenset[int]) -> list[int]:
    """Return widths that fit a line where words allow it; the widest column that is no figure gives way first."""
    found = list(widths)
    for _ in range(sum(found) + 2 * (len(found) - 1) - TEXT_WIDTH):
        wide = [column for column in range(len(found)) if column not in figures and found[column] > least[column]]
        if not wide:
            break
        found[max(wide, key=lambda column: found[column])] -= 1
    return found


def _longest_word(cells: Iterable[str]) -> int:
    return max((columns(word) for cell in cells for word in cell.split(" ")), default=0)


def _column(cell: str, width: int) -> list[str]:
    lines, line = [], ""
    for word in cell.split(" "):
        if line and columns(line) + 1 + columns(word) > width:
            lines.append(line)
            line = word
        else:
            line = f"{line} {word}".strip()
    return [*lines, line]


def _filled(text: str, width: int, right: bool) -> str:
    blanks = " " * max(width - columns(text), 0)
    return blanks + text if right else text + blanks
