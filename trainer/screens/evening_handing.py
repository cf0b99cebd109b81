"""Everybody decides where his answers of an evening go: into a record here, into a packet, or nowhere."""

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import CandidateError, device_id, people
from trainer.group.evening import Evening
from trainer.group.handing import hand_over, new_record
from trainer.group.journal import EveningError
from trainer.group.taking import write_packet
from trainer.group.turns import LIVE
from trainer.plain import visible
from trainer.quiz.points import points
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.records.log import Log
from trainer.screens.choices import Choices
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

NOBODY, NEW, PACKET = "nobody", "new", "packet"
EVERYBODY = "Everybody who answered or performed has decided."
NOTHING = "Nobody answered or performed, so there is nothing to take home."


class HandOverScreen(Screen[None]):
    """Asks one after the other where his answers go."""

    CSS_PATH = "group.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "Each decides for himself: into his own record on this laptop, into a new one, into a packet that he takes "
        "home, or nowhere. At home 'stepcall group --take FILE' puts such a packet into his record; who has none "
        "begins one with 'stepcall packet read FILE --new'."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "escape", "close", "Back", id="hand-over.back", show=False, tooltip="Back; the rest decides another time"
        )
    ]

    def __init__(self, evening: Evening, desk: "Desk", clock: Callable[[], Moment]) -> None:
        super().__init__()
        self.evening, self.desk, self.clock = evening, desk, clock
        self._known = {point.id: point for point in points(evening.deck)}
        # Who has said nowhere is asked again: he may have struck enter too soon.
        own = {one.turn.performer for one in evening.graded}
        self._asked = [name for name in evening.places if name in own and not evening.handed.get(name)]

    def compose(self) -> ComposeResult:
        """Lay out whose turn it is to decide, and the records of this laptop."""
        yield Head("Each decides on his answers", self.evening.deck.title)
        yield Static(id="whose", classes="say", markup=False)
        yield Choices(id="records")
        yield Static(id="done", classes="hint", markup=False)
        yield Static(id="refused", classes="trouble", markup=False)
        yield KeyLine((("↑↓", "choose"), ("enter", "take"), ("esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Ask the first."""
        self._ask()

    def _options(self, name: str) -> tuple[list[Option], int]:
        """Return where answers can go, and which of them is offered first."""
        options = [Option(Content("Nowhere: keep none of my answers"), id=NOBODY)]
        first = 0
        taken = set(self.evening.handed.values())
        known = [person for person in people(self.desk.home) if not person.trouble and person.id not in taken]
        for person in known:
            handle = person.profile.handle or person.id[:8]
            if handle.casefold() == name.casefold():
                first = len(options)
            options.append(Option(Content(f"My record on this laptop: {visible(handle)}"), id=person.id))
        if not first:
            options.append(Option(Content(f"A new record on this laptop, called {visible(name)}"), id=NEW))
        options.append(Option(Content("A packet to take home to another laptop"), id=PACKET))
        return options, first

    def _ask(self) -> None:
        choices = self.query_one(Choices)
        if not self._asked:
            self.query_one("#whose", Static).update(EVERYBODY if self.evening.handed else NOTHING)
            choices.display = False
            self.query_one(KeyLine).show((("esc", "back"), ("?", "help")))
            return
        name = self._asked[0]
        self.query_one("#whose", Static).update(
            f"{visible(name)}, decide yourself. Yours are {own_words(self.evening, name)}. Where do they go?"
        )
        options, first = self._options(name)
        choices.clear_options()
        choices.add_options(options)
        choices.highlighted = first
        choices.focus()

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if not self._asked or event.option_id is None:
            return
        name = self._asked[0]
        try:
            told = self._put(name, event.option_id)
        except (EveningError, CandidateError, LogError) as error:
            self.query_one("#refused", Static).update(visible(str(error)))
            return
        self.query_one("#refused", Static).update("")
        self.query_one("#done", Static).update(visible(f"{name}: {told}"))
        self._asked.pop(0)
        self._ask()

    def _put(self, name: str, where: str) -> str:
        """Let somebody's answers go where he says, and tell where they are."""
        home, candidate, now = self.desk.home, self.desk.candidate, self.clock()
        if where == NOBODY:
            self.evening.hand_over(name, "")
            return "nothing was kept."
        if where == PACKET:
            path = write_packet(self.evening, name, self._known, home, now)
            return f"the packet is {path}. At home: stepcall group --take {path.name}"
        if where == NEW:
            number = new_record(self.evening, name, home, self._known, now)
            return f"a record was made, {events_words(number)} went into it."
        if candidate is not None and candidate.id == where:
            number = hand_over(self.evening, name, candidate.log, self._known, now)
            self.desk.reopen()
        else:
            with Log.open(home.record(where), device_id(home)) as log:
                number = hand_over(self.evening, name, log, self._known, now)
        return f"{events_words(number)} went into the record."

    def action_close(self) -> None:
        """Go back; who has not decided is asked another time."""
        self.dismiss(None)


def own_words(evening: Evening, name: str) -> str:
    """Say how much of an evening is somebody's own."""
    answers = sum(who == name for who, _ in evening.answers)
    live = sum(one.turn.kind == LIVE and one.turn.performer == name for one in evening.graded)
    return f"{_many(answers, 'answer')} and {_many(live, 'performance')} on the floor"


def events_words(number: int) -> str:
    """Say how many events that is; points are counted one by one, and a question may ask for several."""
    return f"{number} marks" if number != 1 else "1 mark"


def _many(number: int, noun: str) -> str:
    return f"{number or 'no'} {noun}{'' if number == 1 else 's'}"
