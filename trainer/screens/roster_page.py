"""Pages behind the roster: one candidate in full, and what the whole group fails."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import work
from textual.binding import Binding, BindingType

from trainer.coach.dates import day_of
from trainer.paths import Home
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.screens.head import Head
from trainer.screens.page import ScrolledPage
from trainer.screens.plan import Section, section_rows
from trainer.screens.roster_rows import detail_sections
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import Row as TextRow
from trainer.sponsor.advice import advice
from trainer.sponsor.kept_rows import read_fully
from trainer.sponsor.roster import Row
from trainer.sponsor.tasking import TaskingError, withdraw

READING = 100


class PageScreen(ScrolledPage):
    """Sections of text under a head.

    Args:
        title: what the page is.
        where: what it is about, at the right.
        sections: headings with their lines.
    """

    HELP = (
        "Who should go to the test this week, and what the group of each deck fails: chances of GO on each candidate's "
        "own date averaged, trials that graders marked NO-GO, faults that they noted. Those of whom nothing was asked "
        "yet are left out of the averages."
    )

    def __init__(self, title: str, where: str, sections: Sequence[Section]) -> None:
        super().__init__()
        self._title, self._where, self.sections = title, where, sections

    def head(self) -> Head:
        """Return what the page is."""
        return Head(self._title, self._where)

    def rows(self, width: int) -> list[TextRow]:
        """Return the sections."""
        return section_rows(self.sections, min(width, READING))

    def tell(self, sections: Sequence[Section]) -> None:
        """Show other sections."""
        self.sections = sections
        self.redraw()


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
    KEYS: ClassVar[Keys] = (("t", "task"), ("v", "take the last tasking back"), ("q esc", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("t", "task", "Task", id="someone.task", show=False, tooltip="Give him something to work on"),
        Binding("v", "withdraw", "Take back", id="someone.withdraw", show=False, tooltip="Take back his last tasking"),
    ]

    def __init__(
        self, home: Home, row: Row, asked: int, clock: Callable[[], Moment], took: Callable[[Row], None]
    ) -> None:
        self._home, self.row, self._asked, self._clock, self._took = home, row, asked, clock, took
        super().__init__(row.handle, row.deck_title, self._told())

    def on_mount(self) -> None:
        """Read him by all models, where that was not done yet."""
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
