"""A run being graded: one key a trial, the sheet as it fills, every mark on the disk at once."""

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import Input

from trainer.drill.faults import find_fault
from trainer.drill.movement import Fault
from trainer.plain import visible
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.screens.flow import Flow
from trainer.screens.head import page_head
from trainer.screens.run_rows import major_rows, pending_rows, reason_rows, sheet_rows, standing_rows
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.screens.widgets.spans import INK, STRONG, WRONG, Row, Span
from trainer.sponsor.graders import GradingError
from trainer.sponsor.grading import Run
from trainer.sponsor.sheet import BROKEN_OFF

READING = 96
FAULT, MAJOR, NOTE, PROMPT, BREAK = "fault", "major", "note", "prompt", "break"
ASKED = {
    FAULT: "Fault, by its number or a part of its words",
    MAJOR: "Major that failed, by its number; enter on an empty line takes none",
    NOTE: "A note about this run",
    BREAK: "Why the run is broken off, by its number; enter on an empty line goes on with it",
    PROMPT: "Who ruled that the prompt was bad? Enter on an empty line: the grader himself",
}


class RunScreen(Screen[bool | None]):
    """Grades a run; closes with its verdict, None where it has none yet.

    Args:
        run: the run.
        clock: reads the calendar clock.
    """

    CSS_PATH = "run.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "g marks a trial GO, n NO-GO; ↑ and ↓ choose another measure, and after a mark the next one due is chosen. f "
        "adds a fault seen, by its number or by typing part of its words, to the trial that is marked next. m marks a"
        " major as failed: the run is NO-GO at once, and what is graded after it is for training. pgup and pgdn scroll "
        "the list below, while a number is typed the arrows do too. p rules a prompt "
        "bad, so that the trial is made again; b breaks the run off, for an injury or the weather, "
        "which is no NO-GO; u takes the last mark back; t writes a note. Voice and sword are "
        "judged here, by your eyes and ears. Leaving loses nothing: the run goes on where it stands."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("g", "mark(True)", "GO", id="run.go", show=False, tooltip="The trial was GO"),
        Binding("n", "mark(False)", "NO-GO", id="run.nogo", show=False, tooltip="The trial was NO-GO"),
        Binding("f", "ask('fault')", "Fault", id="run.fault", show=False, tooltip="Add a fault to the coming mark"),
        Binding("u", "undo", "Undo", id="run.undo", show=False, tooltip="Take the last mark back"),
        Binding("c", "correct", "Correct", id="run.correct", show=False, tooltip="The last trial was otherwise"),
        Binding("m", "ask('major')", "Major", id="run.major", show=False, tooltip="A major failed: the run ends NO-GO"),
        Binding(
            "p", "ask('prompt')", "Bad prompt", id="run.prompt", show=False, tooltip="The prompt was bad: try again"
        ),
        Binding("b", "ask('break')", "Break off", id="run.break", show=False, tooltip="Stop the run: it is no NO-GO"),
        Binding("t", "ask('note')", "Note", id="run.note", show=False, tooltip="Write something down about this run"),
        Binding("up", "move(-1)", "Up", id="run.up", show=False, tooltip="The measure before"),
        Binding("down", "move(1)", "Down", id="run.down", show=False, tooltip="The measure after"),
        Binding("pageup", "scroll(-1)", "Scroll", id="run.pageup", show=False, tooltip="The list below, a page up"),
        Binding(
            "pagedown", "scroll(1)", "Scroll", id="run.pagedown", show=False, tooltip="The list below, a page down"
        ),
        Binding("enter", "finish", "Verdict", id="run.finish", show=False, tooltip="Record the verdict, once decided"),
        Binding(
            "escape,q", "leave", "Leave", id="run.leave", show=False, tooltip="Leave; the run goes on where it stands"
        ),
    ]

    def __init__(self, run: Run, clock: Callable[[], Moment]) -> None:
        super().__init__()
        self.run_graded, self.clock = run, clock
        self.at = run.next_measure or run.sheet.rows[0].id
        self.seen: list[str] = []
        self.asking = ""
        self.told = ""

    def compose(self) -> ComposeResult:
        """Lay out head, sheet, faults and keys."""
        yield Flow(self._head, id="head")
        yield Flow(lambda width: sheet_rows(self.run_graded.sheet, self.at, min(width, READING)), id="sheet")
        yield Flow(self._standing, id="standing")
        yield Flow(self._asked, id="asked")
        yield Input(id="typed", select_on_focus=False)
        with VerticalScroll(id="faults", can_focus=False):
            yield Flow(self._listed)
        yield KeyLine()

    def on_mount(self) -> None:
        """Show the sheet as it stands."""
        self.query_one("#typed", Input).display = False
        self.redraw()

    # ------------------------------------------------------------ what is shown

    def _head(self, width: int) -> list[Row]:
        sheet = self.run_graded.sheet
        told = f"graded by {sheet.grader}"
        said_by = sheet.begun.get("said_by")
        if said_by:
            told += f", his sponsor, told to by {said_by}"
        return page_head(f"Run of {self.run_graded.candidate.profile.handle}", told, width)

    def _standing(self, width: int) -> list[Row]:
        width = min(width, READING)
        return standing_rows(self.run_graded.deck, self.run_graded.sheet, width) + self._told(width)

    def _told(self, width: int) -> list[Row]:
        return hanging((Span("! ", WRONG),), visible(self.told), width, INK) if self.told else []

    def _asked(self, width: int) -> list[Row]:
        """Return what is asked, and above the line that is typed what was wrong with it before."""
        if not self.asking:
            return []
        width = min(width, READING)
        return [*((Span(line, STRONG),) for line in wrapped(ASKED[self.asking], width)), *self._told(width)]

    def _listed(self, width: int) -> list[Row]:
        """Return what is numbered: the majors while one is asked for, else the faults of the chosen measure."""
        width, run = min(width, READING), self.run_graded
        if self.asking == MAJOR:
            return major_rows(run.deck.grade_sheet.majors if run.deck.grade_sheet else (), run.sheet.failed, width)
        if self.asking == BREAK:
            return reason_rows(width)
        movement = run.deck.movement(self.at)
        keys = "" if self.asking or self._refused(FAULT) else "f adds one, pgdn scrolls"
        return pending_rows(movement.name, movement.faults, self.seen, width, keys) if movement.faults else []

    def _keys(self) -> Keys:
        if self.asking:
            scroll = (("↑↓", "scroll"),) if self.asking in (FAULT, MAJOR, BREAK) else ()
            return (("enter", "take"), *scroll, ("esc", "none"), ("F1", "help"))
        sheet = self.run_graded.sheet
        verdict = (("enter", "record verdict"),) if not sheet.over and sheet.verdict is not None else ()
        marks = (("g", "GO"), ("n", "NO-GO"), ("f", "fault")) if not sheet.over or sheet.ended else ()
        rest = (("m", "major"), ("p", "bad prompt"), ("b", "break off")) if not sheet.over else ()
        return (
            *marks,
            *rest,
            ("u", "undo"),
            *((("c", "correct"),) if not sheet.over else ()),
            ("t", "note"),
            *verdict,
            ("↑↓", "measure"),
            ("esc", "leave"),
            ("?", "help"),
        )

    def redraw(self) -> None:
        """Show everything as it is now; while something is typed the sheet gives its room to what is asked for."""
        self.set_class(bool(self.asking), "-asking")
        for flow in self.query(Flow):
            flow.refresh(layout=True)
        self.query_one(KeyLine).show(self._keys())

    def _refused(self, what: str) -> str:
        """Return why something cannot be added to the run as it stands; empty where it can."""
        sheet = self.run_graded.sheet
        training = what == FAULT and sheet.ended
        another = what == MAJOR and not sheet.broken_off
        return "" if what == NOTE or training or another else self.run_graded.closed

    # ------------------------------------------------------------ marks

    def _do(self, work: Callable[[], object]) -> bool:
        """Do something to the run; what keeps it from being done is told, and nothing is recorded then."""
        try:
            work()
        except (GradingError, LogError) as error:
            self.told = str(error)
            self.redraw()
            return False
        self.told = ""
        return True

    def action_mark(self, go: bool) -> None:
        """Mark the trial of the chosen measure."""
        run = self.run_graded
        if self._do(lambda: run.trial(self.at, go, self.seen, self.clock())):
            self.seen = []
            if not run.sheet.ended:
                self._choose(run.next_measure or self.at)
            self.redraw()

    def action_undo(self) -> None:
        """Take the last mark back, and choose its measure again."""
        before = {row.id: len(row.trials) for row in self.run_graded.sheet.rows}
        if self._do(lambda: self.run_graded.undo(self.clock())):
            rows = self.run_graded.sheet.rows
            self._choose(next((row.id for row in rows if len(row.trials) < before[row.id]), self.at))
            self.redraw()

    def action_correct(self) -> None:
        """Mark the last trial of the chosen measure the other way, with the faults noted now; both marks stay."""
        trials = self.run_graded.sheet.row(self.at).trials
        if not trials:
            self.told = "This measure has no trial yet that could be corrected."
            self.redraw()
            return
        last, faults = trials[-1], self.seen or trials[-1].faults
        if self._do(lambda: self.run_graded.change(last.id, not last.go, faults, self.clock())):
            self.seen = []
            self.redraw()

    def action_finish(self) -> None:
        """Record the verdict, where it is decided."""
        if not self.run_graded.sheet.over:
            self._do(lambda: self.run_graded.finish(self.clock()))
            self.redraw()

    def action_move(self, by: int) -> None:
        """Choose another measure; while something is typed scroll the list that it is taken from."""
        if self.asking:
            self.query_one("#faults", VerticalScroll).scroll_relative(y=by, animate=False)
            return
        ids = [row.id for row in self.run_graded.sheet.rows]
        self._choose(ids[min(max(ids.index(self.at) + by, 0), len(ids) - 1)])
        self.seen = []
        self.redraw()

    def _choose(self, measure: str) -> None:
        """Choose a measure; its faults are shown from the first on."""
        if measure != self.at:
            self.query_one("#faults", VerticalScroll).scroll_home(animate=False)
        self.at = measure

    def action_scroll(self, by: int) -> None:
        """Scroll the list of faults or majors by a page."""
        listed = self.query_one("#faults", VerticalScroll)
        listed.scroll_relative(y=by * max(listed.size.height - 1, 1), animate=False)

    def action_leave(self) -> None:
        """Leave, or take back what is being typed."""
        if self.asking:
            self._stop_asking()
        else:
            self.dismiss(self.run_graded.sheet.recorded)

    # ------------------------------------------------------------ what is typed

    def action_ask(self, what: str) -> None:
        """Ask for a fault, a major, a note or who ruled; where the run is over, say so at once."""
        self.told = self._refused(what)
        if self.told:
            self.redraw()
            return
        self.asking = what
        typed = self.query_one("#typed", Input)
        typed.value, typed.display = "", True
        typed.focus()
        self.query_one("#faults", VerticalScroll).scroll_home(animate=False)
        self.redraw()

    def _stop_asking(self) -> None:
        self.asking = self.told = ""
        self.query_one("#typed", Input).display = False
        self.set_focus(None)
        self.redraw()

    @on(Input.Submitted)
    def _typed(self, event: Input.Submitted) -> None:
        event.stop()
        self.told = ""
        what, text, run, now = self.asking, event.value.strip(), self.run_graded, self.clock()
        if what == FAULT and text:
            self._add_fault(run.deck.movement(self.at).faults, text)
        elif what == MAJOR and text:
            majors = run.deck.grade_sheet.majors if run.deck.grade_sheet else ()
            number = int(text) - 1 if text.isascii() and text.isdigit() and len(text) < 4 else -1
            if 0 <= number < len(majors):
                self._do(lambda: run.major(majors[number].id, now))
            else:
                self.told = f"There is no major number {text}; the list ends with {len(majors)}."
        elif what == NOTE and text:
            self._do(lambda: run.note(text, now))
        elif what == BREAK and text:
            reasons = tuple(BROKEN_OFF)
            number = int(text) - 1 if text.isascii() and text.isdigit() and len(text) < 4 else -1
            if 0 <= number < len(reasons):
                self._do(lambda: run.break_off(reasons[number], now))
            else:
                self.told = f"There is no reason number {text}; the list ends with {len(reasons)}."
        elif what == PROMPT:
            self._do(lambda: run.bad_prompt(self.at, now, text))
        if self.told:
            self.redraw()  # what was typed stays, to be put right
        else:
            self._stop_asking()

    def _add_fault(self, faults: Sequence[Fault], text: str) -> None:
        found = find_fault(faults, text)
        if len(found) == 1:
            name = found[0].id
            self.seen = [one for one in self.seen if one != name] if name in self.seen else [*self.seen, name]
        elif found:
            self.told = f"“{text}” fits {len(found)} faults; type more of it, or the number."
        elif text.isdigit():
            self.told = f"There is no fault number {text}; the list ends with {len(faults)}."
        else:
            self.told = f"No fault of this measure reads like “{text}”; give its number."
