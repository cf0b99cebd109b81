"""How the group agrees, the after-action list, and the answers that go into records with their owners' consent."""

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import device_id, people
from trainer.group.evening import Evening
from trainer.group.handing import hand_over
from trainer.group.journal import EveningError
from trainer.plain import visible
from trainer.quiz.points import points
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.records.log import Log
from trainer.screens.choices import Choices
from trainer.screens.evening_rows import end_rows, turns_words
from trainer.screens.head import Head
from trainer.screens.page import ScrolledPage
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.screens.widgets.spans import Row

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

NOBODY = "nobody"


class EveningEndScreen(ScrolledPage):
    """What an evening came to; closes with escape."""

    CSS_PATH = "group.tcss"
    HELP = (
        "How far the group agrees beyond chance, what each grader saw and what he saw that was not there, and the "
        "after-action list. With h everybody's answers can go into his own record on this laptop: each is asked, and "
        "only his own answers and performances go. Nobody is ranked."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("h", "hand", "Hand over", id="evening-end.hand", show=False, tooltip="Answers into a record")
    ]

    def __init__(self, evening: Evening, desk: "Desk", clock: Callable[[], Moment]) -> None:
        super().__init__()
        self.evening, self.desk, self.clock = evening, desk, clock

    @property
    def keys(self) -> Keys:
        """The keys of the page; answers are handed over at the end alone."""
        return (("h", "answers into a record"), *self.KEYS) if self.evening.over else self.KEYS

    def head(self) -> Head:
        """Return how far the evening has come."""
        over = "over" if self.evening.over else "so far"
        return Head(f"Evening {over}: {turns_words(len(self.evening.graded))}", self.evening.deck.title)

    def rows(self, width: int) -> list[Row]:
        """Return agreement, each grader's eye, the after-action list."""
        return end_rows(self.evening, width)

    def foot(self) -> tuple[Static]:
        """Return how to print it."""
        told = f"Print it with: stepcall group {self.evening.id[:16]}"
        return (Static(told, classes="hint print", markup=False),)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to hand over only at the end of the evening."""
        return self.evening.over if action == "hand" else super().check_action(action, parameters)

    def action_hand(self) -> None:
        """Ask each whose answers go where."""
        self.app.push_screen(HandOverScreen(self.evening, self.desk, self.clock))


class HandOverScreen(Screen[None]):
    """Asks one after the other whether his answers go into a record of this laptop."""

    CSS_PATH = "group.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "Each decides for himself: into his own record on this laptop, or nowhere. Whoever has his record on another "
        "laptop brings it here by a packet first, and takes it home by one."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "close", "Back", id="hand-over.back", show=False, tooltip="Back; the rest is not handed over")
    ]

    def __init__(self, evening: Evening, desk: "Desk", clock: Callable[[], Moment]) -> None:
        super().__init__()
        self.evening, self.desk, self.clock = evening, desk, clock
        self._known = {point.id: point for point in points(evening.deck)}
        self._asked = [name for name in evening.places if name not in evening.handed]

    def compose(self) -> ComposeResult:
        """Lay out whose turn it is to decide, and the records of this laptop."""
        yield Head("Answers into a record", self.evening.deck.title)
        yield Static(id="whose", classes="say", markup=False)
        yield Choices(id="records")
        yield Static(id="refused", classes="trouble", markup=False)
        yield KeyLine((("↑↓", "choose"), ("enter", "take"), ("esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Ask the first."""
        choices = self.query_one(Choices)
        choices.add_option(Option(Content("Nowhere: keep none of my answers"), id=NOBODY))
        for person in people(self.desk.home):
            if not person.trouble:
                choices.add_option(Option(Content(visible(person.profile.handle) or person.id[:8]), id=person.id))
        choices.focus()
        self._ask()

    def _ask(self) -> None:
        if not self._asked:
            self.query_one("#whose", Static).update("Everybody has decided.")
            self.query_one(Choices).display = False
            return
        name = self._asked[0]
        own = sum(who == name for who, _ in self.evening.answers)
        what = f"your {own} answer{'' if own == 1 else 's'} and your performances" if own else "your performances"
        text = f"{visible(name)}, decide yourself: {what} on the floor can go into your own record. Which is yours?"
        self.query_one("#whose", Static).update(text)
        choices = self.query_one(Choices)
        handles = {person.id: person.profile.handle.casefold() for person in people(self.desk.home)}
        ids = [choices.get_option_at_index(place).id or "" for place in range(choices.option_count)]
        own_place = next((place for place, one in enumerate(ids) if handles.get(one) == name.casefold()), 0)
        choices.highlighted = own_place

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if not self._asked or event.option_id is None:
            return
        name = self._asked[0]
        try:
            if event.option_id != NOBODY:
                self._put(name, event.option_id)
        except (EveningError, LogError) as error:
            self.query_one("#refused", Static).update(visible(str(error)))
            return
        self.query_one("#refused", Static).update("")
        self._asked.pop(0)
        self._ask()

    def _put(self, name: str, record: str) -> None:
        home, candidate = self.desk.home, self.desk.candidate
        if candidate is not None and candidate.id == record:
            hand_over(self.evening, name, candidate.log, self._known, self.clock())
            self.desk.reopen()
            return
        with Log.open(home.record(record), device_id(home)) as log:
            hand_over(self.evening, name, log, self._known, self.clock())

    def action_close(self) -> None:
        """Go back; who has not decided keeps his answers to himself."""
        self.dismiss(None)
