"""Giving a tasking: what to work on, until when, a note; to one candidate or to several."""

from collections.abc import Callable
from datetime import date, timedelta
from typing import ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.authoring.shelf import DeckError, open_deck
from trainer.coach.candidate import CandidateError, read_date
from trainer.coach.dates import date_words, day_of
from trainer.coach.taskings import FAMILIES, LAST_RUN, named
from trainer.paths import Home
from trainer.plain import clip, columns, visible
from trainer.quiz.points import points
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.screens.change import AskScreen
from trainer.screens.choices import Choices
from trainer.screens.fields import TextField
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine
from trainer.sponsor.roster import Row
from trainer.sponsor.tasking import Order, TaskingError, checked_order, give, given_lines

KEYS = (
    ("↑↓", "choose"),
    ("space", "mark"),
    ("← →", "all of it, words, feet, counts, faults"),
    ("enter", "next"),
    ("?", "help"),
    ("esc", "back"),
)
GIVEN_KEYS = (("enter esc", "back"), ("?", "help"))
USUAL_DAYS = 3
NAME = 44
"""Columns of what can be worked on."""
UNTIL = "The last day of the tasking, year-month-day. Until then its points have up to half of every sitting."
NOTE = "A word to the candidate. It goes into his record and wherever the tasking goes; enter leaves it out."


class TaskingScreen(Screen[bool]):
    """Mark the work, then type date and note; closes with whether anything was given.

    Args:
        home: where the records are.
        rows: the candidates; the deck of the first says what there is to work on.
        clock: reads the calendar clock.
    """

    CSS_PATH = "roster.tcss"
    AUTO_FOCUS = "Choices"
    HELP = (
        "Mark what is to be worked on. A movement can be taken whole, or only its words, feet, counts or faults. The "
        "weakest movement of the first candidate stands first. A tasking steers the sittings and does not replace the "
        "plan; it is done once each of its points was right once after it was given."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space", "mark", "Mark", id="tasking.mark", show=False, tooltip="Take it into the tasking, or out"),
        Binding("left", "turn(-1)", "Part", id="tasking.left", show=False, tooltip="Another part of the movement"),
        Binding("right", "turn(1)", "Part", id="tasking.right", show=False, tooltip="Another part of the movement"),
        Binding("enter", "done", "Back", id="tasking.done", show=False, tooltip="Back once it is given"),
        Binding("escape,q", "leave", "Back", id="tasking.back", show=False, tooltip="Back without giving anything"),
    ]

    def __init__(self, home: Home, rows: list[Row], clock: Callable[[], Moment]) -> None:
        super().__init__()
        self._home, self._rows, self._clock = home, rows, clock
        self.marked: set[str] = set()
        self.given = False
        self._over = False
        self._part: dict[str, str] = {}
        self._names: dict[str, str] = {}
        self._parts: dict[str, list[str]] = {}

    def compose(self) -> ComposeResult:
        """Lay out who, the list, what is wrong."""
        who = ", ".join(row.handle for row in self._rows)
        yield Head("A tasking", "")
        yield Static(f"For {visible(who)}. What is there to work on?", id="who", markup=False)
        yield Choices()
        yield Static(id="given", markup=False)
        yield Static(id="told", classes="trouble", markup=False)
        yield KeyLine(KEYS)

    def on_mount(self) -> None:
        """List what the deck of the first candidate has."""
        first = self._rows[0]
        try:
            deck = open_deck(first.deck_name, self._home)
        except DeckError as error:
            self._finish([str(error)])
            return
        known = points(deck)
        recall = {one.id: one.recall for one in first.movements}
        go = {one.id: one.go for one in first.measures}
        ordered = sorted(deck.movements, key=lambda one: (go.get(one.id, 2.0), recall.get(one.id, 0.0)))
        self._names = {LAST_RUN: "The faults of the last run"}
        self._names |= {one.id: one.name for one in ordered}
        for movement in ordered:
            self._parts[movement.id] = ["", *(part for part in FAMILIES if named(f"{movement.id}/{part}", known))]
        self._names |= {family: f"All {family}" for family in FAMILIES if named(family, known)}
        choices = self.query_one(Choices)
        choices.add_options([Option(self._line(word), id=word) for word in self._names])
        choices.highlighted = 1

    def _line(self, word: str) -> Content:
        mark = ("×", "bold $brass") if word in self.marked else (" ", "")
        name = clip(visible(self._names[word]), NAME)
        part = self._part.get(word, "")
        told = f"only its {part}" if part else "all of it" if word in self._parts else ""
        return Content.assemble(mark, " ", name, " " * (NAME + 2 - columns(name)), (told, "$faint"))

    @property
    def _word(self) -> str:
        option = self.query_one(Choices).highlighted_option
        return (option.id or "") if option else ""

    def _redraw(self, word: str) -> None:
        self.query_one(Choices).replace_option_prompt(word, self._line(word))

    def action_mark(self) -> None:
        """Take the chosen work into the tasking, or out of it."""
        if self._word and not self._over:
            self.marked ^= {self._word}
            self._redraw(self._word)

    def action_turn(self, by: int) -> None:
        """Choose another part of the movement."""
        word = self._word
        if word in self._parts and not self._over:
            parts = self._parts[word]
            self._part[word] = parts[(parts.index(self._part.get(word, "")) + by) % len(parts)]
            self.marked.add(word)
            self._redraw(word)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if not self.marked and event.option_id:
            self.marked.add(event.option_id)
            self._redraw(event.option_id)
        today = day_of(self._clock())
        example = (today + timedelta(days=USUAL_DAYS)).isoformat()

        def check(text: str) -> date:
            return checked_order(Order(("x",), read_date(text)), today).until

        def field() -> TextField:
            return TextField(UNTIL, check, date_words, example, placeholder=f"like {example}")

        self.app.push_screen(AskScreen("Until when?", field), self._until)

    def _until(self, until: date | None) -> None:
        if until is None:
            return
        today = day_of(self._clock())

        def check(text: str) -> str:
            return checked_order(Order(("x",), until, note=text), today).note

        self.app.push_screen(
            AskScreen("A note?", lambda: TextField(NOTE, check)),
            lambda note: self._give(until, note) if note is not None else None,
        )

    def _give(self, until: date, note: str) -> None:
        work = tuple(
            f"{word}/{part}" if (part := self._part.get(word)) else word for word in self._names if word in self.marked
        )
        try:
            given = give(self._home, [row.id for row in self._rows], Order(work, until, note=note), self._clock())
        except (TaskingError, CandidateError, LogError, DeckError) as error:
            self.query_one("#told", Static).update(visible(str(error), lines=True))
            return
        self.given = any(not one.trouble for one in given)
        self._finish(given_lines(given, until), "Given.")

    def _finish(self, lines: list[str], head: str = "") -> None:
        self._over = True
        self.query_one(Choices).display = False
        self.query_one("#who", Static).update(head)
        self.query_one("#given", Static).update(visible("\n".join(lines), lines=True))
        self.query_one("#told", Static).update("")
        self.query_one(KeyLine).show(GIVEN_KEYS)

    def action_done(self) -> None:
        """Go back once all was said."""
        if self._over:
            self.dismiss(self.given)

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(self.given)
