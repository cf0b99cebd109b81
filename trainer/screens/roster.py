"""The Roster screen: every candidate on this laptop, who needs what first, and who should go to the test this week."""

from collections.abc import Callable
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen
from textual.worker import get_current_worker

from trainer.coach.dates import date_words, day_of
from trainer.paths import Home
from trainer.records.clock import Moment
from trainer.screens.change import AskScreen
from trainer.screens.fields import TextField
from trainer.screens.flow import Flow
from trainer.screens.head import Head
from trainer.screens.roster_page import PageScreen, SomeoneScreen
from trainer.screens.roster_rows import chosen_rows, group_sections, head_row, list_rows, sum_rows, waiting_rows
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.spans import Row as Spans
from trainer.sponsor.advice import USUAL_CHANCE, Advice, advice, by_need, checked_chance, decided_now
from trainer.sponsor.cohort import cohorts
from trainer.sponsor.kept_rows import read_fully, rows
from trainer.sponsor.roster import Row

KEYS = (
    ("↑↓", "choose"),
    ("enter", "open"),
    ("space", "mark"),
    ("t", "task"),
    ("g", "the group"),
    ("a", "chance asked for"),
    ("?", "help"),
    ("q esc", "back"),
)
ASK = (
    "The chance of a GO, in percent, at which you send a candidate to the test. Whoever has his test this week and "
    "reaches it should go; the others should wait."
)


class RosterScreen(Screen[None]):
    """The candidates of a laptop.

    Args:
        home: where their records are.
        clock: reads the calendar clock.
    """

    CSS_PATH = "roster.tcss"
    AUTO_FOCUS = ""
    VERTICAL_BREAKPOINTS = [(0, "-low"), (30, "-tall")]  # noqa: RUF012
    HELP = (
        "Whoever needs most comes first: the nearest test, and of one day the lowest chance. Knowledge is the mean "
        "over the minor measures of the chance that all they need is known, execution of the chance that a trial then "
        "succeeds. Whoever has his test this week is read by all models once the list stands. A tasking steers the "
        "sittings of whoever gets it. Nothing here replaces the grader's eye or your "
        "unit's own standard."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Up", id="roster.up", show=False, tooltip="The candidate before"),
        Binding("down", "move(1)", "Down", id="roster.down", show=False, tooltip="The candidate after"),
        Binding("pageup", "move(-10)", "Page up", id="roster.pageup", show=False, tooltip="Ten candidates up"),
        Binding("pagedown", "move(10)", "Page down", id="roster.pagedown", show=False, tooltip="Ten candidates down"),
        Binding("home", "move(-9999)", "First", id="roster.first", show=False, tooltip="The first candidate"),
        Binding("end", "move(9999)", "Last", id="roster.last", show=False, tooltip="The last candidate"),
        Binding("enter", "open", "Open", id="roster.open", show=False, tooltip="One candidate in full"),
        Binding("space", "mark", "Mark", id="roster.mark", show=False, tooltip="Mark him for a tasking, or no more"),
        Binding("t", "task", "Task", id="roster.task", show=False, tooltip="Give the marked ones, or him, a tasking"),
        Binding("g", "group", "Group", id="roster.group", show=False, tooltip="What the whole group fails"),
        Binding("a", "ask", "Asked", id="roster.ask", show=False, tooltip="Set the chance that you ask for"),
        Binding("escape,q", "leave", "Back", id="roster.back", show=False, tooltip="Back to Today"),
    ]

    def __init__(self, home: Home, clock: Callable[[], Moment]) -> None:
        super().__init__()
        self._home, self._clock = home, clock
        self.rows: dict[str, Row] = {}
        self.advised: list[Advice] = []
        self.marked: set[str] = set()
        self.asked, self.at = USUAL_CHANCE, 0
        self._progress: tuple[int, int] | None = (0, 0)

    def compose(self) -> ComposeResult:
        """Lay out the screen before anything is read."""
        yield Head("Roster", date_words(day_of(self._clock())))
        yield Rows(self._sum, id="sum")
        yield Rows(lambda width, _: [head_row(width)] if self.advised else [], id="names")
        yield Rows(self._list, id="list")
        yield Flow(self._chosen, id="chosen")
        yield KeyLine(KEYS)

    def on_mount(self) -> None:
        """Read the records beside the screen."""
        self._read()

    @work(thread=True, exclusive=True, exit_on_error=False)
    def _read(self) -> None:
        worker = get_current_worker()

        def progress(done: int, total: int) -> None:
            if not worker.is_cancelled:
                self.app.call_from_thread(self._told, done, total)

        found = rows(self._home, self._clock(), progress)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._came, found)

    def _told(self, done: int, total: int) -> None:
        self._progress = (done, total)
        self.query_one("#sum", Rows).refresh()

    def _came(self, found: tuple[Row, ...]) -> None:
        self._progress = None
        self.rows = {row.id: row for row in found}
        self._advise()
        self._sharpen([row.id for row in decided_now(found)])

    @work(thread=True, exclusive=True, group="sharpen", exit_on_error=False)
    def _sharpen(self, wanted: list[str]) -> None:
        """Read by all models together, one by one, those whose test this week is to be decided on."""
        worker = get_current_worker()
        for candidate in wanted:
            row = read_fully(self._home, candidate, self._clock())
            if worker.is_cancelled:
                return
            self.app.call_from_thread(self._took, row)

    def _took(self, row: Row) -> None:
        self.rows[row.id] = row
        self._advise()

    def _advise(self) -> None:
        """Advise anew; the chosen candidate stays chosen."""
        moment = self._clock()
        before = self.advised[self.at].row.id if self.advised else ""
        ordered = by_need(self.rows.values())
        self.advised = [advice(row, self.asked, day_of(moment), moment.offset) for row in ordered]
        self.at = next((n for n, row in enumerate(ordered) if row.id == before), 0)
        self._show()

    def _show(self) -> None:
        for rows_shown in self.query(Rows):
            rows_shown.refresh()
        self.query_one("#chosen", Flow).refresh(layout=True)

    # ------------------------------------------------------------ rows

    def _sum(self, width: int, _: int) -> list[Spans]:
        if self._progress is not None:
            return waiting_rows(*self._progress, width)
        return sum_rows(self.advised, self.asked, width)

    def _list(self, width: int, height: int) -> list[Spans]:
        return list_rows(self.advised, self.at, self.marked, day_of(self._clock()), width, height)

    def _chosen(self, width: int) -> list[Spans]:
        return chosen_rows(self.advised[self.at], day_of(self._clock()), width) if self.advised else []

    # ------------------------------------------------------------ keys

    def action_move(self, by: int) -> None:
        """Choose a candidate further down or up."""
        if self.advised:
            self.at = min(max(self.at + by, 0), len(self.advised) - 1)
            self._show()

    def action_mark(self) -> None:
        """Mark the chosen candidate for a tasking, or no more, and go on to the next."""
        if self.advised and not self.advised[self.at].row.trouble:
            self.marked ^= {self.advised[self.at].row.id}
            self.action_move(1)

    def action_open(self) -> None:
        """Show the chosen candidate in full."""
        if self.advised:
            row = self.advised[self.at].row
            self.app.push_screen(SomeoneScreen(self._home, row, self.asked, self._clock, self._took))

    def action_task(self) -> None:
        """Give the marked candidates a tasking, or the chosen one where nobody is marked."""
        from trainer.screens.tasking import TaskingScreen

        chosen = [one.row for one in self.advised if one.row.id in self.marked] or (
            [self.advised[self.at].row] if self.advised else []
        )
        if chosen and not any(row.trouble for row in chosen):
            self.app.push_screen(TaskingScreen(self._home, chosen, self._clock), self._given)

    def _given(self, given: bool | None) -> None:
        if given:
            self.marked.clear()
            self._read()

    def action_group(self) -> None:
        """Show what the group of every deck fails."""
        if self.advised:
            known = [one.row for one in self.advised]
            sections = group_sections(cohorts(known, self._home), self.advised, self.asked)
            self.app.push_screen(PageScreen("The group", f"{len(known)} candidates", sections))

    def action_ask(self) -> None:
        """Set the chance that is asked for."""

        def field() -> TextField:
            return TextField(ASK, checked_chance, lambda percent: f"{percent} %", str(self.asked))

        self.app.push_screen(AskScreen("Chance asked for", field), self._asked_for)

    def _asked_for(self, asked: int | None) -> None:
        if asked is not None:
            self.asked = asked
            self._advise()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
