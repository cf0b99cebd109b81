"""The Today screen: the test, readiness, the weakest measures and why, and one key to start."""

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from trainer.screens.today_rows import today_rows, trouble_rows, waiting_rows
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows

if TYPE_CHECKING:
    from collections.abc import Callable

    from trainer.coach.candidate import Candidate
    from trainer.coach.standing import Standing
    from trainer.coach.today import Today
    from trainer.group.evening import Evening
    from trainer.screens.app import StepcallApp
    from trainer.sponsor.grading import Run

KEYS = (
    ("s", "start"),
    ("t", "mock test"),
    ("m", "movements"),
    ("b", "beat"),
    ("r", "readiness"),
    ("d", "grade a run"),
    ("l", "lane"),
    ("g", "group"),
    ("o", "roster"),
    ("c", "change"),
    ("w", "who"),
    ("x", "cautions"),
    ("?", "help"),
    ("q", "quit"),
)
WITHOUT_DECK = tuple(key for key in KEYS if key[0] in "ocw?q")
WITHOUT_SHEET = tuple(key for key in KEYS if key[0] not in "tdl")


AHEAD = 0.2
"""Seconds after which the next sitting is planned."""


class TodayScreen(Screen[None]):
    """Where a sitting begins and ends."""

    AUTO_FOCUS = ""
    HELP = (
        "Today shows how the candidate would do on the test date, as far as his answers and the runs graded on the "
        "ground tell, and what holds him back most. A sitting asks the questions that raise the chance of passing "
        "most. Every answer is on the disk before the next question comes, so quitting loses nothing."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("s,enter", "start", "Start", id="today.start", tooltip="Start a sitting as long as your minutes"),
        Binding("t", "mock", "Mock test", id="today.mock", tooltip="The grade sheet under test rules, at the screen"),
        Binding("m", "movements", "Movements", id="today.movements", tooltip="Walk through any movement by count"),
        Binding("b", "beat", "Beat", id="today.beat", tooltip="Call the step, see the fault"),
        Binding("r", "readiness", "Readiness", id="today.readiness", tooltip="Every measure, and the way to the test"),
        Binding("d", "grade", "Grade", id="today.grade", tooltip="Grade a run of this candidate on the surface"),
        Binding("l", "lane", "Lane", id="today.lane", tooltip="The order of commands that fits your surface"),
        Binding("g", "group", "Group", id="today.group", tooltip="A mock test that a study group runs on each other"),
        Binding("o", "roster", "Roster", id="today.roster", tooltip="Every candidate here: who needs what, taskings"),
        Binding("c", "change", "Change", id="today.change", tooltip="Handle, deck, test date, minutes, look"),
        Binding("w", "who", "Who", id="today.who", tooltip="Someone else is there, or someone new"),
        Binding("x", "cautions", "Cautions", id="today.cautions", tooltip="The deck's cautions and sources"),
    ]

    app: "StepcallApp"

    def __init__(self) -> None:
        super().__init__()
        self._sitting = False
        self._left = False

    def compose(self) -> ComposeResult:
        """Lay out the sheet, before anything is known."""
        yield Rows(lambda width, _: waiting_rows(self.app.desk.day, width, self.app.demo), id="sheet")
        yield KeyLine(KEYS)

    def on_screen_suspend(self) -> None:
        """Note that another screen took over."""
        self._left = True

    def on_screen_resume(self) -> None:
        """Bring the numbers up to date after another screen."""
        if self._left:
            self._left = False
            self.call_after_refresh(self._back)

    def on_app_focus(self) -> None:
        """Bring the numbers up to date after a night in the background."""
        standing = self.app.desk.standing
        if self.app.screen is self and standing is not None and standing.history.today != self.app.desk.day:
            self.refill()

    def refill(self) -> None:
        """Show what is open now, with its numbers as they are now."""
        desk = self.app.desk
        if desk.candidate is None:
            return
        handle = desk.candidate.profile.handle
        now = self.app.safely(desk.today)
        trouble = desk.trouble
        sheet = desk.deck is not None and desk.deck.grade_sheet is not None
        self.query_one(KeyLine).show(WITHOUT_DECK if trouble else KEYS if sheet else WITHOUT_SHEET)
        if now is not None:
            self._show(now, "")
            self.call_after_refresh(self._begin_ahead, now)
        elif trouble:
            self.query_one(Rows).show(lambda width, _: trouble_rows(desk.day, handle, trouble, width, self.app.demo))

    def _show(self, now: "Today", tonight: str) -> None:
        self.query_one(Rows).show(lambda width, height: today_rows(now, width, height, self.app.demo, tonight))

    def _begin_ahead(self, now: "Today") -> None:
        """Plan the next sitting a moment after the sheet stands, so that keys struck at once come first."""
        if self.app.looks_ahead:
            self.set_timer(AHEAD, lambda: self._look_ahead(now))

    def _look_ahead(self, now: "Today") -> None:
        from trainer.coach.today import tonight_line

        desk = self.app.desk
        if self.app.screen is self and desk.candidate is not None and desk.standing is not None:
            candidate, standing, moment = desk.candidate, desk.standing, self.app.clock()
            line = self.app.safely(lambda: tonight_line(candidate, standing, moment, desk.wished()))
            if line:
                self._show(now, line)

    def _back(self) -> None:
        if self.app.screen is not self:
            # The cautions had closed and a sitting was opened on top at once; it is the sitting that is waited for.
            return
        if self._sitting:
            self._sitting = False
            self.app.safely(self.app.desk.keep)
        self.refill()

    # ------------------------------------------------------------ keys

    def action_start(self) -> None:
        """Start a sitting."""
        self._cautioned(self._sit)

    def _cautioned(self, then: "Callable[[], None]") -> None:
        """Do something; the first time on a deck its cautions are shown before."""
        desk = self.app.desk
        if desk.candidate is None or desk.standing is None:
            return
        if desk.cautions_read():
            then()
            return
        from trainer.screens.cautions import CautionsScreen

        self.app.push_screen(CautionsScreen(desk.standing.deck, ask=True), lambda read: self._acknowledged(read, then))

    def _acknowledged(self, read: bool | None, then: "Callable[[], None]") -> None:
        from trainer.coach.cautions import acknowledged

        candidate, deck = self.app.desk.candidate, self.app.desk.deck
        if read and candidate is not None and deck is not None:
            self.app.safely(lambda: candidate.set([acknowledged(deck)], self.app.clock()))
            then()

    def _sit(self) -> None:
        from trainer.coach.session import Session
        from trainer.screens.session import SessionScreen

        desk = self.app.desk
        if desk.candidate is None or desk.standing is None or self.app.trouble is not None:
            return
        self._sitting = True
        session = Session(desk.candidate, desk.standing, self.app.clock(), wished=desk.wished())
        self.app.push_screen(SessionScreen(session, self.app.clock, self.app.monotonic))

    def action_mock(self) -> None:
        """Hold a mock test; the first time on a deck its cautions are shown before."""
        self._cautioned(self._mock)

    def _mock(self) -> None:
        """Hold a mock test; after it the fold is kept like after a sitting."""
        desk = self.app.desk
        if desk.candidate is None or desk.standing is None or self.app.trouble is not None:
            return
        if desk.standing.deck.grade_sheet is not None:
            self._sitting = True
            self.app.hold_mock(desk.candidate, desk.standing)

    def action_movements(self) -> None:
        """Walk through the movements."""
        if self.app.desk.deck is not None:
            from trainer.screens.movement import MovementScreen

            self.app.push_screen(MovementScreen(self.app.desk.deck, call=self._call, see=self._see))

    def action_beat(self) -> None:
        """Choose what to practise on the beat; after it the fold is kept like after a sitting."""
        self._cautioned(self._on_the_beat)

    def _on_the_beat(self) -> None:
        from trainer.screens.beat_menu import BeatMenuScreen

        desk = self.app.desk
        if desk.candidate is not None and desk.standing is not None and self.app.trouble is None:
            self._sitting = True
            self.app.push_screen(BeatMenuScreen(desk.candidate, desk.standing))

    def _call(self, movement: str) -> None:
        self._cautioned(lambda: self._practise(self.app.call_step, movement))

    def _see(self, movement: str) -> None:
        self._cautioned(lambda: self._practise(self.app.see_faults, movement))

    def _practise(self, practice: "Callable[[Candidate, Standing, str], None]", movement: str) -> None:
        desk = self.app.desk
        if desk.candidate is not None and desk.standing is not None and self.app.trouble is None:
            self._sitting = True
            practice(desk.candidate, desk.standing, movement)

    def action_readiness(self) -> None:
        """Show readiness at large."""
        desk = self.app.desk
        if desk.candidate is not None and desk.standing is not None:
            from trainer.screens.readiness import ReadinessScreen

            self.app.push_screen(ReadinessScreen(desk.candidate, desk.standing, self.app.clock, desk.wished()))

    def action_grade(self) -> None:
        """Grade a run of the candidate who is open, by somebody who may."""
        desk = self.app.desk
        if desk.candidate is None or desk.deck is None or desk.deck.grade_sheet is None:
            return
        from trainer.screens.run_gate import RunGateScreen

        self.app.push_screen(RunGateScreen(desk, desk.candidate, desk.deck, self.app.clock), self._graded)

    def _graded(self, run: "Run | None") -> None:
        from trainer.screens.run import RunScreen

        if run is not None:
            self._sitting = True  # what was graded is read anew when Today comes back
            self.app.push_screen(RunScreen(run, self.app.clock))

    def action_lane(self) -> None:
        """Plan the order of commands for a surface."""
        deck = self.app.desk.deck
        if deck is not None and deck.grade_sheet is not None:
            from trainer.screens.lane import LaneScreen

            self.app.push_screen(LaneScreen(deck, self.app.desk.home))

    def action_group(self) -> None:
        """Let a study group sit down."""
        desk = self.app.desk
        if desk.deck is not None:
            from trainer.screens.group import GroupScreen

            self.app.push_screen(GroupScreen(desk, desk.deck), self._hold_evening)

    def _hold_evening(self, evening: "Evening | None") -> None:
        if evening is None:
            return
        if evening.over:
            from trainer.screens.evening_end import EveningEndScreen

            self.app.push_screen(EveningEndScreen(evening, self.app.desk, self.app.clock))
            return
        from trainer.screens.evening import EveningScreen

        self.app.push_screen(EveningScreen(evening, self.app.desk, self.app.clock, self.app.monotonic))

    def action_roster(self) -> None:
        """Show every candidate on this laptop."""
        from trainer.screens.roster import RosterScreen

        if self.app.desk.candidate is not None:
            self.app.push_screen(RosterScreen(self.app.desk.home, self.app.clock))

    def action_change(self) -> None:
        """Change handle, deck, date, minutes, look."""
        if self.app.desk.candidate is not None:
            from trainer.screens.change import ChangeScreen

            self.app.push_screen(ChangeScreen(self.app.desk))

    def action_who(self) -> None:
        """Ask who is there."""
        self.app.ask_who()

    def action_cautions(self) -> None:
        """Show the cautions."""
        if self.app.desk.deck is not None:
            from trainer.screens.cautions import CautionsScreen

            self.app.push_screen(CautionsScreen(self.app.desk.deck))
