"""The look of the parade ground: dark blue-grey with chalk and brass, and a light one for daylight."""

from pathlib import Path
from typing import Any, ClassVar

from textual._path import CSSPathType
from textual.app import App
from textual.events import AppBlur, AppFocus
from textual.theme import Theme

PARADE = Theme(
    name="parade",
    primary="#d8aa46",
    secondary="#93b7d8",
    accent="#d8aa46",
    foreground="#e9e7df",
    background="#1b2631",
    surface="#1b2631",
    panel="#243240",
    warning="#f09a54",
    error="#f09a54",
    success="#7fb8f5",
    dark=True,
    variables={
        "brass": "#dfb04a",
        "faint": "#9aa9b6",
        "chalk-line": "#5b6d7d",
        "left-sole": "#f4f1e6",
        "right-sole": "#8fbde6",
        "go": "#7fb8f5",
        "no-go": "#f29b58",
    },
)
"""Dark blue-grey ground, chalk lines, one brass accent."""

DAYLIGHT = Theme(
    name="daylight",
    primary="#7d5700",
    secondary="#2b608f",
    accent="#7d5700",
    foreground="#18242e",
    background="#eceff1",
    surface="#eceff1",
    panel="#dde3e7",
    warning="#a34100",
    error="#a34100",
    success="#0c549e",
    dark=False,
    variables={
        "brass": "#7d5700",
        "faint": "#4d5d69",
        "chalk-line": "#93a1ac",
        "left-sole": "#18242e",
        "right-sole": "#1f659f",
        "go": "#0c549e",
        "no-go": "#a34100",
    },
)
"""The same in daylight."""

THEMES = (PARADE, DAYLIGHT)
BASE_STYLES = Path(__file__).with_name("base.tcss")
"""The look that all screens share."""

WITHOUT_COLOUR = {"ansi-dark": PARADE.name, "ansi-light": DAYLIGHT.name}
"""What stands for the terminal's own colours under NO_COLOR: reduced to greys these would be ink on the same ink."""

FALLBACK = {
    "brass": "ansi_yellow",
    "faint": "ansi_default",
    "chalk-line": "ansi_bright_black",
    "left-sole": "ansi_default",
    "right-sole": "ansi_cyan",
    "go": "ansi_blue",
    "no-go": "ansi_yellow",
}
"""Our variables under a theme that is not ours: the terminal's own colours."""


class ParadeGround(App[None]):
    """An app in this look: both themes registered, shared styles read, our variables known in any theme."""

    CSS_PATH: ClassVar[CSSPathType | None] = [BASE_STYLES]

    def __init__(self, *args: Any, theme: str = PARADE.name, **settings: Any) -> None:
        super().__init__(*args, **settings)
        for known in THEMES:
            self.register_theme(known)
        self.theme = theme

    def on_app_blur(self) -> None:
        """Tell the screen that the window lost the keys; the library tells the application alone."""
        self.screen.post_message(AppBlur())

    def on_app_focus(self) -> None:
        """Tell the screen that the window has the keys again."""
        self.screen.post_message(AppFocus())

    def legible(self, name: str) -> str:
        """Return the look to show for a look by name: itself, one of ours where it cannot be shown or read."""
        if self.no_color:
            name = WITHOUT_COLOUR.get(name, name)
        return name if name in self.available_themes else PARADE.name

    def get_theme_variable_defaults(self) -> dict[str, str]:
        """Return values for our variables where a theme has none."""
        return dict(FALLBACK)
