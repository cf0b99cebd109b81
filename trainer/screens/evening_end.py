"""How the group agrees, and the after-action list."""

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.binding import Binding, BindingType
from textual.widgets import Static

from trainer.group.after_action import turns_words
from trainer.group.evening import Evening
from trainer.paths import write_private
from trainer.plain import visible
from trainer.records.clock import Moment
from trainer.screens.evening_rows import end_rows
from trainer.screens.head import Head
from trainer.screens.page import ScrolledPage
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import Row

if TYPE_CHECKING:
    from trainer.screens.desk import Desk


class EveningEndScreen(ScrolledPage):
    """What an evening came to; closes with escape."""

    CSS_PATH = "group.tcss"
    HELP = (
        "How far the group agrees beyond chance, what each grader saw and what he saw that was not there, and the "
        "after-action list. With h everybody is asked where his answers go: into a record on this laptop, into a "
        "packet to take home, or nowhere; only his own answers and performances go. Nobody is ranked. With p it "
        "is saved as a sheet to print."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("h", "hand", "Hand over", id="evening-end.hand", show=False, tooltip="Each decides on his answers"),
        Binding("p", "save", "Save", id="evening-end.save", show=False, tooltip="Save it as a sheet to print"),
    ]

    def __init__(self, evening: Evening, desk: "Desk", clock: Callable[[], Moment]) -> None:
        super().__init__()
        self.evening, self.desk, self.clock = evening, desk, clock

    @property
    def keys(self) -> Keys:
        """The keys of the page; answers are handed over at the end alone."""
        hand = (("h", "each decides on his answers"),) if self.evening.over else ()
        return (("p", "save to print"), *hand, *self.KEYS)

    def head(self) -> Head:
        """Return how far the evening has come."""
        over = "over" if self.evening.over else "so far"
        return Head(f"Evening {over}: {turns_words(len(self.evening.graded))}", self.evening.deck.title)

    def rows(self, width: int) -> list[Row]:
        """Return agreement, each grader's eye, the after-action list."""
        return end_rows(self.evening, width)

    def foot(self) -> tuple[Static]:
        """Return how to get at it from the command line."""
        told = f"As plain text: stepcall group {self.evening.id[:16]}"
        return (Static(told, id="saved", classes="hint print", markup=False),)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to hand over only at the end of the evening."""
        return self.evening.over if action == "hand" else super().check_action(action, parameters)

    def action_hand(self) -> None:
        """Ask each where his answers go."""
        from trainer.screens.evening_handing import HandOverScreen

        self.app.push_screen(HandOverScreen(self.evening, self.desk, self.clock))

    def action_save(self) -> None:
        """Write the sheet that a browser prints, in place of one that was saved before."""
        from trainer.report.evening import evening_page
        from trainer.report.page import html_page

        path = self.desk.home.evenings / f"{self.evening.id[:16]}.html"
        try:
            write_private(path, html_page(evening_page(self.evening)).encode("utf-8"))
            told = f"Saved, open it in a browser to print: {path}"
        except OSError as error:
            told = f"{path} cannot be written: {error.strerror}. Free some room, then press p again."
        self.query_one("#saved", Static).update(visible(told))
