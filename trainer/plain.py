"""The display wall: text from outside made safe to show in a terminal, and its width in cells."""

from unicodedata import category, east_asian_width

HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""General categories that are never shown as they are: controls, format characters, surrogates,
private use, unassigned, line and paragraph separators."""

MARKS = frozenset({"Mn", "Mc", "Me"})
"""General categories of combining marks."""

MOST_MARKS = 3
"""Combining marks in a row that are kept; more would climb over the lines above."""


def code_point(char: str) -> str:
    """Name one character by its number, `<U+001B>` for the escape character."""
    return f"<U+{ord(char):04X}>"


def is_hidden(char: str) -> bool:
    """Tell whether a character would act on the terminal or show as nothing, instead of as itself."""
    return category(char) in HIDDEN


def visible(text: str, *, lines: bool = False) -> str:
    r"""Return text in which every character can be seen and none acts on the terminal.

    Characters of the `HIDDEN` categories and combining marks beyond `MOST_MARKS` in a row become
    `<U+XXXX>`. Applying it twice changes nothing more. Markup of a display library is not touched: hand
    the result over as plain text.

    Args:
        text: anything that came from outside: deck text, names, paths, environment, exception texts.
        lines: keep newlines (never other line ends such as `\r`).
    """
    if text.isascii() and text.isprintable():
        return text
    shown = []
    marks = 0
    for char in text:
        kind = category(char)
        marks = marks + 1 if kind in MARKS else 0
        hidden = kind in HIDDEN and not (lines and char == "\n")
        shown.append(code_point(char) if hidden or marks > MOST_MARKS else char)
    return "".join(shown)


def _cells(char: str) -> int:
    if category(char) in ("Mn", "Me"):
        return 0
    return 2 if east_asian_width(char) in ("W", "F") else 1


def columns(text: str) -> int:
    """Width in terminal cells of one line that `visible` has passed.

    Wide and full-width characters (Unicode Standard Annex 11) take two cells, non-spacing marks none.
    """
    if text.isascii():
        return len(text)
    return sum(map(_cells, text))


def clip(text: str, width: int) -> str:
    """Cut one line that `visible` has passed to at most `width` cells, ending in `…` where it was cut."""
    if columns(text) <= width:
        return text
    if width < 1:
        return ""
    room = width - 1
    end = 0
    while room >= 0:
        room -= _cells(text[end])
        end += 1
    return text[: end - 1] + "…"
