"""Help: what a screen is for, and its keys, taken from the screen itself."""

from typing import Any, ClassVar, Protocol, runtime_checkable

from textual.app import App, ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import Screen
from textual.widgets import Input, Static

from trainer.screens.choices import Choices
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine, Keys

PRINTED = {
    "question_mark": "?",
    "escape": "esc",
    "up": "↑",
    "down": "↓",
    "left": "←",
    "right": "→",
    "f1": "F1",
    "pageup": "pgup",
    "pagedown": "pgdn",
}
LIBRARY = ("app.focus_next", "app.focus_previous", "screen.copy_text", "screen.minimize")
KEYS = (("q esc", "back"), ("ctrl+q", "quit"))
ALWAYS = (
    "Every answer is on the disk before the next question comes, so you can leave at any time. Where something is "
    "typed, F1 is help. ctrl+q quits the program at once, from anywhere. Hold shift (on some systems alt) and drag "
    "with the mouse to copy text."
)


@runtime_checkable
class Graded(Protocol):
    """A screen on which letters are the hands of several graders."""

    def graders_keys(self) -> Keys:
        """Return each grader's keys with his name; none where nobody grades just now."""


def screen_keys(screen: Screen[Any]) -> Keys:
    """Return the keys that work on a screen and what they do: graders' keys, those of the screen, those everywhere."""
    hands = screen.graders_keys() if isinstance(screen, Graded) else None
    found: dict[str, list[str]] = {}
    ordered = sorted(
        screen.active_bindings.values(), key=lambda active: (isinstance(active.node, App), active[1].priority)
    )
    for node, binding, enabled, _ in ordered:
        if not enabled or binding.action in LIBRARY or not _tells(node, binding):
            continue
        if hands is not None and len(binding.key) == 1 and binding.key.isalpha() and (hands or isinstance(node, App)):
            continue  # a letter that is somebody's hand, or nobody's, does nothing else
        does = _does(binding)
        keys = found.setdefault(does, [])
        if binding.key != "ctrl+c":  # a habit that is answered, not a key to learn
            keys.append(binding.key_display or printed(binding.key))
    return (*(hands or ()), *((" ".join(dict.fromkeys(keys)), does) for does, keys in found.items() if keys))


def printed(key: str) -> str:
    """Return a key as it is printed on a keyboard."""
    return PRINTED.get(key, key)


def _tells(node: object, binding: Binding) -> bool:
    """Whether a key is told: those of screens, of the application, of lists; of a line that is typed only enter."""
    return isinstance(node, App | Screen | Choices) or (isinstance(node, Input) and binding.action == "submit")


def _does(binding: Binding) -> str:
    if binding.action == "submit":
        return "Take what is typed"
    return binding.tooltip or binding.description or binding.action.replace("_", " ")


class HelpScreen(Screen[None]):
    """What another screen is for, and its keys."""

    CSS_PATH = "help.tcss"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,question_mark,f1,q", "leave", "Back", id="help.back", show=False, tooltip="Back to the screen")
    ]

    def __init__(self, about: Screen[Any]) -> None:
        super().__init__()
        self._text = about.HELP or ""
        self._keys = screen_keys(about)

    def compose(self) -> ComposeResult:
        """Lay out the purpose, the keys, what holds everywhere."""
        yield Head("Help")
        with VerticalScroll():
            if self._text:
                yield Static(self._text, classes="say", markup=False)
            yield Static("Keys", classes="heading", markup=False)
            for keys, does in self._keys:
                with Horizontal(classes="key"):
                    yield Static(keys, classes="name", markup=False)
                    yield Static(does, classes="does", markup=False)
            yield Static(ALWAYS, classes="hint always", markup=False)
        yield KeyLine(KEYS)

    def on_mount(self) -> None:
        """Tell of scrolling as soon as, and for as long as, there is anything to scroll."""
        self.watch(self.query_one(VerticalScroll), "show_vertical_scrollbar", self._show_keys)

    def _show_keys(self, scrolls: bool) -> None:
        self.query_one(KeyLine).show((("↑↓", "scroll"), *KEYS) if scrolls else KEYS)

    def action_leave(self) -> None:
        """Close."""
        self.dismiss()
