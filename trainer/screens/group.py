"""The study group sits down: who is there, which rounds; or an evening that was interrupted goes on."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import CandidateError
from trainer.drill.deck import Deck
from trainer.group.after_action import turns_words
from trainer.group.evening import Evening
from trainer.group.journal import EveningError
from trainer.group.kept import Kept, kept_evenings, new_evening, open_evening
from trainer.group.names import checked_names
from trainer.group.turns import LIVE, PLAYED, QUESTION, ROUNDS
from trainer.plain import visible
from trainer.quiz.points import points
from trainer.screens.choices import Choices
from trainer.screens.fields import Field, TextField
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

ABOUT = (
    "A group of three to eight runs a mock test on each other: one answers or performs, the others grade every trial "
    "at the same time and in secret, each with two keys of his own. Afterwards the program shows how far you agree, "
    "what each missed, and makes the after-action list."
)
NAMES = "Who sits here? First names or nicknames, with commas between them; everybody keeps his place at the keyboard."
NEW = "new"
ROUND_WORDS = {
    QUESTION: "Questions: calls and counts, answered by one in turn",
    PLAYED: "Played performances, right or with a known fault",
    LIVE: "On the floor: one performs before the laptop",
}
MOST_SHOWN = 8


def names_field() -> TextField:
    """Return the field in which names are typed once."""

    def check(text: str) -> list[str]:
        try:
            return checked_names([name for name in text.split(",") if name.strip()])
        except EveningError as error:
            raise CandidateError(str(error)) from error

    return TextField(NAMES, check, lambda names: f"{len(names)} people", placeholder="like Ada, Ben, Cem")


class GroupScreen(Screen[Evening | None]):
    """Begins an evening or opens one that goes on; closes with it, or None."""

    CSS_PATH = "group.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "Begin an evening of the study group, or go on with one that was interrupted. Turns, movements and faults are "
        "drawn by lot. Nothing goes into anybody's record before he agrees to it at the end. Performances "
        "on the floor need room: keep blades sheathed or away from people, and follow your unit's own standard."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "back", "Back", id="group.back", show=False, tooltip="One step back")
    ]

    def __init__(self, desk: "Desk", deck: Deck) -> None:
        super().__init__()
        self._desk, self._deck = desk, deck
        self._points = points(deck)
        self._names: list[str] = []
        self._rounds: tuple[str, ...] = ()
        self._shown: Widget | None = None
        self._kept: list[Kept] = []

    def compose(self) -> ComposeResult:
        """Lay out the page; the step's own part is put in when it is reached."""
        yield Head("Study group", self._deck.title)
        yield Static(ABOUT, classes="say about", markup=False)
        yield Container(id="step")
        yield Static(id="refused", classes="trouble", markup=False)
        yield KeyLine()

    async def on_mount(self) -> None:
        """Ask for what is to be done where an evening waits, else for the names."""
        self._kept = [
            one
            for one in kept_evenings(self._desk.home)
            if one.deck == self._deck.id and (not one.over or (one.left and one.turns))
        ][:MOST_SHOWN]
        probe = Evening(self._deck, self._points, lambda _: None)
        self._rounds = probe.possible_rounds()
        if not self._rounds:
            self._tell("This deck has no movement with anything essential in it, so there is nothing to hold turns on.")
            self.query_one(KeyLine).show((("esc", "back"),))
            return
        await self._show(self._waiting() if self._kept else names_field())

    def _waiting(self) -> Choices:
        options = []
        for number, one in enumerate(self._kept):
            turns = turns_words(one.turns)
            if one.over:
                told = f"Over: {one.name[:10]}, {turns}; {', '.join(one.left)} may still decide on their answers"
            else:
                told = f"Go on: {one.name[:10]}, {', '.join(one.people)}, {turns}"
            options.append(Option(Content(visible(told)), str(number)))
        return Choices(*options, Option(Content("A new evening"), id=NEW))

    def _round_choices(self) -> Choices:
        options = [Option(Content("All kinds of round in turn"), id=",".join(self._rounds))]
        options += [Option(Content(ROUND_WORDS[kind]), id=kind) for kind in ROUNDS if kind in self._rounds]
        return Choices(*options, id="rounds")

    async def _show(self, part: Widget) -> None:
        place = self.query_one("#step", Container)
        self._shown = part
        async with self.batch():
            await place.remove_children()
            await place.mount(part)
        self._tell("")
        if isinstance(part, Field):
            part.start()
            self.query_one(KeyLine).show((("enter", "next"), ("esc", "back"), ("F1", "help")))
        else:
            part.focus()
            self.query_one(KeyLine).show((("↑↓", "choose"), ("enter", "take"), ("esc", "back"), ("?", "help")))

    def _tell(self, text: str) -> None:
        self.query_one("#refused", Static).update(visible(text))

    @on(Field.Given)
    async def _named(self, event: Field.Given) -> None:
        event.stop()
        if event.field is self._shown:
            self._names = event.value
            await self._show(self._round_choices())

    @on(OptionList.OptionSelected)
    async def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        chosen = event.option_id or ""
        if event.option_list is not self._shown or not self.is_current:
            return
        if event.option_list.id == "rounds":
            self._begin(tuple(chosen.split(",")))
        elif chosen == NEW:
            await self._show(names_field())
        else:
            self._go_on(self._kept[int(chosen)])

    def _begin(self, kinds: tuple[str, ...]) -> None:
        try:
            evening = new_evening(self._desk.home, self._deck, self._points, self._names, self._desk.clock(), kinds)
        except EveningError as error:
            self._tell(str(error))
            return
        self.dismiss(evening)

    def _go_on(self, kept: Kept) -> None:
        try:
            evening = open_evening(kept.path, self._deck, self._points)
        except EveningError as error:
            self._tell(str(error))
            return
        self.dismiss(evening)

    async def action_back(self) -> None:
        """Go a step back; from the first one leave."""
        if isinstance(self._shown, Choices) and self._shown.id == "rounds":
            await self._show(names_field())
        elif isinstance(self._shown, Field) and self._kept:
            await self._show(self._waiting())
        else:
            self.dismiss(None)
