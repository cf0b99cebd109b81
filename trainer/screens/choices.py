"""A list to choose from: a sign stands before the chosen row, so that it is told without colour and boldness."""

from typing import ClassVar

from rich.segment import Segment
from textual.binding import Binding, BindingType
from textual.strip import Strip
from textual.widgets import OptionList

CHOSEN = "▸"


def _key(key: str, action: str, tells: str) -> Binding:
    return Binding(key, action, tells, show=False, tooltip=tells)


class Choices(OptionList, inherit_bindings=False):
    """An OptionList of one-line options, `▸` before the one that enter takes."""

    DEFAULT_CSS = """
    Choices > .option-list--option { padding: 0 1 0 2; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        _key("up", "cursor_up", "The row above"),
        _key("down", "cursor_down", "The row below"),
        _key("enter", "select", "Take the chosen row"),
        _key("home", "first", "The first row"),
        _key("end", "last", "The last row"),
        _key("pageup", "page_up", "Up by a page"),
        _key("pagedown", "page_down", "Down by a page"),
    ]

    def render_line(self, y: int) -> Strip:
        """Return a line of the list, the sign before the chosen one."""
        strip = super().render_line(y)
        first = next(iter(strip), None)
        if first is None or first.style is None or first.style.meta.get("option") != self.highlighted:
            return strip
        if self.highlighted is None:
            return strip
        return Strip.join([Strip([Segment(CHOSEN, first.style)], 1), strip.crop(1)])
