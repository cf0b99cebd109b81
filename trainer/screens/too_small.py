"""What stands on a screen that is too small for the others."""

from textual.app import ComposeResult
from textual.screen import Screen
from textual.widgets import Static

LEAST_WIDTH, LEAST_HEIGHT = 60, 20


def too_small(width: int, height: int) -> bool:
    """Tell whether the screens do not fit a window."""
    return width < LEAST_WIDTH or height < LEAST_HEIGHT


class TooSmallScreen(Screen[None]):
    """One plain sentence, until the window is large enough again; what lies beneath is left as it is."""

    DEFAULT_CSS = """
    TooSmallScreen { align: center middle; }
    TooSmallScreen Static { width: auto; max-width: 100%; height: auto; text-align: center; }
    """

    def __init__(self) -> None:
        super().__init__()
        self._leaving = False

    def compose(self) -> ComposeResult:
        """Lay out the sentence."""
        yield Static(markup=False)

    def on_resize(self) -> None:
        """Say what is needed, or go."""
        self._look()

    def on_screen_resume(self) -> None:
        """Go, if the window grew while another screen stood above."""
        self._look()

    def _look(self) -> None:
        width, height = self.app.size
        if too_small(width, height):
            self.query_one(Static).update(
                f"This window is too small: {width} by {height}. Make it {LEAST_WIDTH} by {LEAST_HEIGHT} or larger. "
                "Nothing is lost. ctrl+q quits."
            )
        elif self.app.screen is self and not self._leaving:
            # Growing and coming to the front may be told one after the other, before this screen has gone.
            self._leaving = True
            self.dismiss()
