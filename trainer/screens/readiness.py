"""Readiness at large: every measure, knowledge and execution apart, the way to the test with the plan and without."""

from collections.abc import Callable, Collection
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, VerticalScroll
from textual.screen import Screen
from textual.widgets import Static

from trainer.coach.candidate import Candidate
from trainer.coach.dates import days_left
from trainer.coach.forecast import Outlook
from trainer.coach.pace import questions_for
from trainer.coach.past import held_tests, past_lines
from trainer.coach.plan import plan_lines
from trainer.coach.standing import MovementRecall, Standing
from trainer.coach.words import outlook_lines, percent
from trainer.memory.forward import Outline
from trainer.plain import visible
from trainer.records.clock import Moment, read_clock
from trainer.screens.flow import Flow
from trainer.screens.head import page_head
from trainer.screens.plan import PlanScreen, Section
from trainer.screens.readiness_rows import (
    WIDE,
    Line,
    chance_rows,
    chosen_rows,
    curve_lines,
    head_row,
    hidden_words,
    lines_of,
    list_rows,
    series_of,
    title_row,
    told_rows,
)
from trainer.screens.widgets.curve import Curve, Series
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.spans import Row

COPIED = "copied, if your terminal allows it"
AHEAD = 0.1
"""Seconds after which the plan is made."""
STEPS = 12
"""Dates of the curve before the test."""


class ReadinessScreen(Screen[None]):
    """Every measure of the grade sheet, and the curve to the test date.

    Args:
        candidate: whose readiness.
        standing: his standing on the deck.
        clock: reads the calendar clock.
        wished: ids of the points that taskings name.
    """

    CSS_PATH = "readiness.tcss"
    AUTO_FOCUS = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (102, "-wide")]  # noqa: RUF012  # declared above
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012
    HELP = (
        "Knowledge is what the answers tell: the chance that every essential point of a measure is known on the test "
        "date. Execution is what observed runs tell: the chance that a trial succeeds for who knows it. GO joins both "
        "by the rule of the grade sheet. The solid curve shows the chance of passing by day with the sittings that "
        "your habit makes likely, with the band in which it lies 8 times in 10; the dashed one if nothing more is "
        "practised."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Up", id="readiness.up", show=False, tooltip="The measure before"),
        Binding("down", "move(1)", "Down", id="readiness.down", show=False, tooltip="The measure after"),
        Binding("pageup", "move(-8)", "Page up", id="readiness.pageup", show=False, tooltip="Eight measures up"),
        Binding("pagedown", "move(8)", "Page down", id="readiness.pagedown", show=False, tooltip="Eight measures down"),
        Binding("enter", "open", "Open", id="readiness.open", show=False, tooltip="Walk through its movement"),
        Binding("v", "play", "Play", id="readiness.play", show=False, tooltip="See its movement played"),
        Binding("s", "sort", "Sort", id="readiness.sort", show=False, tooltip="Most at risk first, or as on the sheet"),
        Binding("p", "plan", "Plan", id="readiness.plan", show=False, tooltip="The plan, and how past forecasts did"),
        Binding("t", "text", "Text", id="readiness.text", show=False, tooltip="All of it as a table of plain text"),
        Binding("c", "copy", "Copy", id="readiness.copy", show=False, tooltip="Copy that table, where terminals allow"),
        Binding("escape,q", "leave", "Back", id="readiness.back", show=False, tooltip="Back to where you came from"),
    ]

    def __init__(
        self,
        candidate: Candidate,
        standing: Standing,
        clock: Callable[[], Moment] = read_clock,
        wished: Collection[str] = (),
    ) -> None:
        super().__init__()
        self.candidate, self.standing, self.clock, self.wished = candidate, standing, clock, wished
        self.outlook: Outlook | None = None
        self.movements: tuple[MovementRecall, ...] = ()
        self.by_risk = True
        self.at = 0
        self._copied = False
        self._series: tuple[Series, ...] = ()
        self.outline: Outline | None = None

    def compose(self) -> ComposeResult:
        """Lay out the screen before anything is computed."""
        title = f"Readiness of {self.candidate.profile.handle}"
        yield Flow(lambda width: page_head(title, self.standing.deck.title, width), id="head")
        yield Flow(self._chance, id="chance")
        yield Rows(lambda width, _: [head_row(self.outlook, width)] if self.outlook else [], id="names")
        yield Rows(self._list, id="list")
        yield Flow(self._chosen, id="chosen")
        yield Rows(lambda width, _: [title_row(width)], id="title")
        with Horizontal(id="below"):
            yield Curve(names=False)
            yield Rows(lambda width, _: told_rows(self.outlook, width) if self.outlook else [], id="told")
        with VerticalScroll(id="table", can_focus=False):
            yield Static(id="text", markup=False)
        yield KeyLine()

    def on_mount(self) -> None:
        """Compute once the empty screen stands."""
        self.set_class(True, "-still")
        self.call_after_refresh(self._compute)

    def _compute(self) -> None:
        moment = self.clock()
        self.outlook = self.standing.outlook(self.candidate, moment)
        self.movements = self.standing.movements(self.candidate, moment) if self.outlook.chance is None else ()
        self._show()
        self.call_after_refresh(self._begin_curve)

    def _begin_curve(self) -> None:
        """Plan to the test a moment after the list stands, so that it is read first."""
        moment = self.clock()
        now, test_at = self.standing.now(moment), self.standing.test_at(self.candidate, moment)
        if test_at > now and self.outlook is not None and self.outlook.chance is not None:
            self.set_class(False, "-still")
            dates = [now + (test_at - now) * step / STEPS for step in range(STEPS + 1)]
            self.set_timer(AHEAD, lambda: self._plan(moment, now, dates))

    def _plan(self, moment: Moment, now: float, dates: list[float]) -> None:
        made = self.standing.plan(self.candidate, moment, self.wished, dates)
        if made is None:
            return
        self.outline = made
        self._series = series_of(made.curve, now, self._days() or 0)
        self.query_one(Curve).show(self._series, test_day=self._series[0].places[-1].day)
        self._show()

    def on_resize(self) -> None:
        """Tell anew how much of the list is out of sight."""
        self.call_after_refresh(self.query_one("#chosen", Flow).refresh)

    def lines(self) -> list[Line]:
        """Return the list as it stands."""
        if self.outlook is None:
            return []
        return lines_of(self.outlook, self.movements, self.by_risk, self.size.width - 2 >= WIDE)

    def table_lines(self) -> list[str]:
        """Return everything on the screen as lines of plain text."""
        if self.outlook is None:
            return []
        lines = outlook_lines(self.standing.deck, self.candidate.profile, self._days(), self.outlook)
        for one in self.movements:
            lines.append(f"{one.name}: mean recall {percent(one.recall)}, {one.asked} of {one.points} points asked")
        if self._series:
            lines += ["Chance of a GO by day from today:", *curve_lines(self._series)]
        for heading, texts in self.sections():
            lines += ["", heading, *texts]
        return [visible(line) for line in lines]

    def sections(self) -> list[Section]:
        """Return the plan, past forecasts and models as sections of lines."""
        deck, history = self.standing.deck, self.standing.history
        found: list[Section] = []
        if self.outline is None and not self.has_class("-still"):
            found.append(("Plan", ["The plan is being worked out; look again in a moment."]))
        if self.outline is not None:
            questions = questions_for(self.candidate.profile.minutes, history.question_ms)
            found.append(("Plan", plan_lines(deck, self.outline, questions, len(history.questions_by_day))))
        held = held_tests(self.candidate.events(), deck)
        found.append(("Past forecasts against what happened", past_lines(self.standing.mind.predictions, held)))
        found.append(("Models", self.standing.mind.said()))
        return found

    # ------------------------------------------------------------ drawing

    def _show(self) -> None:
        self.query_one("#text", Static).update("\n".join(self.table_lines()))
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        for rows in self.query(Rows):
            rows.refresh()
        sort = "by sheet" if self.by_risk else "by risk"
        showing = self.has_class("-text")
        end = (("t", "chart" if showing else "text"), ("?", "help"), ("q esc", "back"))
        self.query_one(KeyLine).show(
            (("↑↓", "scroll"), ("c", COPIED if self._copied else "copy"), *end)
            if showing
            else (("↑↓", "choose"), ("enter", "open"), ("v", "play"), ("s", sort), ("p", "plan"), *end)
        )

    def _days(self) -> int | None:
        return days_left(self.candidate.profile.test_date, self.standing.history.today)

    def _chance(self, width: int) -> list[Row]:
        return chance_rows(self.outlook, self._days(), width)

    def _list(self, width: int, height: int) -> list[Row]:
        return list_rows(self.outlook, self.lines(), self.at, width, height) if self.outlook else []

    def _chosen(self, width: int) -> list[Row]:
        lines = self.lines()
        if not lines:
            return []
        hidden = hidden_words(len(lines), self.at, self.query_one("#list", Rows).content_size.height)
        return chosen_rows(lines[self.at], hidden, width)

    # ------------------------------------------------------------ keys

    def action_move(self, by: int) -> None:
        """Choose another measure; scroll the text."""
        if self.has_class("-text"):
            self.query_one("#table", VerticalScroll).scroll_relative(y=by, animate=False)
            return
        lines = self.lines()
        if not lines:
            return
        at = min(max(self.at + by, 0), len(lines) - 1)
        if lines[at].heading:
            at += 1 if by > 0 else -1
        self.at = min(max(at, 0), len(lines) - 1)
        self._show()

    def action_sort(self) -> None:
        """Change the order, the chosen measure staying chosen."""
        lines = self.lines()
        if not lines:
            return
        chosen = lines[self.at]
        self.by_risk = not self.by_risk
        self.at = self.lines().index(chosen)
        self._show()

    @property
    def _movement(self) -> str:
        lines = [] if self.has_class("-text") else self.lines()
        return lines[self.at].movement if lines else ""

    def action_open(self) -> None:
        """Open the chosen measure's movement."""
        if self._movement:
            from trainer.screens.movement import MovementScreen

            self.app.push_screen(MovementScreen(self.standing.deck, self._movement))

    def action_play(self) -> None:
        """See the chosen measure's movement played."""
        if self._movement:
            from trainer.screens.player import PlayerScreen
            from trainer.screens.showing import showing

            deck = self.standing.deck
            self.app.push_screen(PlayerScreen(deck, showing(deck, deck.movement(self._movement))))

    def action_plan(self) -> None:
        """Show the plan in words and how past forecasts did."""
        title = f"Plan of {self.candidate.profile.handle}"
        self.app.push_screen(PlanScreen(title, self.standing.deck.title, self.sections()))

    def action_text(self) -> None:
        """Change between the screen and its text."""
        self.toggle_class("-text")
        self._copied = False
        self._show()

    def action_copy(self) -> None:
        """Copy the text."""
        self.app.copy_to_clipboard("\n".join(self.table_lines()))
        self._copied = True
        self._show()

    def action_leave(self) -> None:
        """Go back; from the text to the chart."""
        if self.has_class("-text"):
            self.action_text()
        else:
            self.dismiss(None)
