"""Pages behind the roster: one candidate in full, and what the whole group fails."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen

from trainer.coach.dates import day_of
from trainer.paths import Home
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.screens.flow import Flow
from trainer.screens.head import Head
from trainer.screens.plan import Section, section_rows
from trainer.screens.roster_rows import detail_sections
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.sponsor.advice import advice
from trainer.sponsor.kept_rows import read_fully
from trainer.sponsor.roster import Row
from trainer.sponsor.tasking import TaskingError, withdraw

READING = 100


class PageScreen(Screen[None]):
    """Sections of text under a head, scrolled by keys.

    Args:
        title: what the page is.
        where: what it is about, at the right.
        sections: headings with their lines.
    """

    CSS_PATH = "roster.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "Who should go to the test this week, and what the group of each deck fails: chances of GO on each candidate's "
        "own date averaged, trials that graders marked NO-GO, faults that they noted. Those of whom nothing was asked "
        "yet are left out of the averages."
    )
    KEYS: ClassVar[Keys] = (("esc", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "Back", id="page.back", show=False, tooltip="Back to the roster"),
        Binding("up", "scroll(-1)", "Up", id="page.up", show=False, tooltip="Scroll up"),
        Binding("down", "scroll(1)", "Down", id="page.down", show=False, tooltip="Scroll down"),
        Binding("pageup", "scroll(-10)", "Page up", id="page.pageup", show=False, tooltip="Scroll up by a page"),
        Binding("pagedown", "scroll(10)", "Page down", id="page.pagedown", show=False, tooltip="Scroll by a page"),
    ]

    def __init__(self, title: str, where: str, sections: Sequence[Section]) -> None:
        super().__init__()
        self._title, self._where, self.sections = title, where, sections

    def compose(self) -> ComposeResult:
        """Lay out head, page and keys."""
        yield Head(self._title, self._where)
        with VerticalScroll(id="page", can_focus=False):
            yield Flow(lambda width: section_rows(self.sections, min(width, READING)))
        yield KeyLine(self.KEYS)

    def on_mount(self) -> None:
        """Tell of scrolling once it is known whether there is anything to scroll."""
        self.call_after_refresh(self.show_keys)

    def on_resize(self) -> None:
        """Tell of scrolling where the page no longer fits."""
        self.call_after_refresh(self.show_keys)

    def show_keys(self) -> None:
        """Show the keys that work on the page as it is."""
        scrolls = self.query_one("#page", VerticalScroll).max_scroll_y > 0
        self.query_one(KeyLine).show((("↑↓", "scroll"), *self.KEYS) if scrolls else self.KEYS)

    def tell(self, sections: Sequence[Section]) -> None:
        """Show other sections."""
        self.sections = sections
        self.query_one(Flow).show(lambda width: section_rows(self.sections, min(width, READING)))
        self.call_after_refresh(self.show_keys)

    def action_close(self) -> None:
        """Go back."""
        self.dismiss(None)

    def action_scroll(self, by: int) -> None:
        """Scroll the page by some rows."""
        self.query_one("#page", VerticalScroll).scroll_relative(y=by, animate=False)


class SomeoneScreen(PageScreen):
    """One candidate in full; read by all models together while the page already stands.

    Args:
        home: where the records are.
        row: what the roster knows of him.
        asked: the chance asked for, in percent.
        clock: reads the calendar clock.
        took: told the row as it is now, whenever it is read anew.
    """

    HELP = (
        "One candidate in full: his chance by the rule of the grade sheet, knowledge and execution of every measure "
        "apart, his runs, what he was given to work on and how far that is. v takes back the tasking that was given "
        "last; both stay in his record."
    )
    KEYS: ClassVar[Keys] = (("t", "task"), ("v", "take the last tasking back"), ("esc", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "task", "Task", id="someone.task", show=False, tooltip="Give him something to work on"),
        Binding("v", "withdraw", "Take back", id="someone.withdraw", show=False, tooltip="Take back his last tasking"),
    ]

    def __init__(
        self, home: Home, row: Row, asked: int, clock: Callable[[], Moment], took: Callable[[Row], None]
    ) -> None:
        self._home, self.row, self._asked, self._clock, self._took = home, row, asked, clock, took
        super().__init__(row.handle, row.deck, self._told())

    def on_mount(self) -> None:
        """Read him by all models, where that was not done yet."""
        super().on_mount()
        if self.row.quick:
            self._read()

    def _told(self) -> list[Section]:
        moment = self._clock()
        today = day_of(moment)
        return detail_sections(advice(self.row, self._asked, today, moment.offset), today)

    @work(thread=True, exclusive=True, exit_on_error=False)
    def _read(self) -> None:
        row = read_fully(self._home, self.row.id, self._clock())
        self.app.call_from_thread(self._came, row)

    def _came(self, row: Row) -> None:
        self.row = row
        self._took(row)
        if self.is_attached:
            self.tell(self._told())

    def action_task(self) -> None:
        """Give him something to work on."""
        from trainer.screens.tasking import TaskingScreen

        if not self.row.trouble:
            self.app.push_screen(TaskingScreen(self._home, [self.row], self._clock), self._given)

    def _given(self, given: bool | None) -> None:
        if given:
            self._read()

    def action_withdraw(self) -> None:
        """Take back the open tasking that was given last."""
        today = day_of(self._clock())
        still_open = [one for one in self.row.taskings if one.until >= today]
        if not still_open:
            return
        last = max(still_open, key=lambda one: one.id)  # ids begin with the time at which they were made
        try:
            withdraw(self._home, self.row.id, last.id, self._clock())
        except (TaskingError, LogError) as error:
            self.tell([("Not taken back", [str(error)]), *self._told()])
            return
        self._read()
