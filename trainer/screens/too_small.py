"""What stands on a screen that is too small for the others."""

from textual.app import ComposeResult
from textual.events import Resize
from textual.screen import Screen
from textual.widgets import Static

LEAST_WIDTH, LEAST_HEIGHT = 60, 20


class TooSmallScreen(Screen[None]):
    """One plain sentence, until the window is large enough again; what lies beneath is left as it is."""

    DEFAULT_CSS = """
    TooSmallScreen { align: center middle; }
    TooSmallScreen Static { width: auto; max-width: 100%; height: auto; text-align: center; }
    """

    def compose(self) -> ComposeResult:
        """Lay out the sentence."""
        yield Static(markup=False)

    def on_resize(self, event: Resize) -> None:
        """Say what is needed, or go."""
        width, height = event.size
        if width >= LEAST_WIDTH and height >= LEAST_HEIGHT:
            if self.is_current:
                self.dismiss()
            return
        self.query_one(Static).update(
            f"This window is too small: {width} by {height}. Make it {LEAST_WIDTH} by {LEAST_HEIGHT} or larger. "
            "Nothing is lost. ctrl+q quits."
        )

    def on_screen_resume(self) -> None:
        """Go, if the window grew while another screen stood above."""
        if self.app.size.width >= LEAST_WIDTH and self.app.size.height >= LEAST_HEIGHT:
            self.dismiss()
