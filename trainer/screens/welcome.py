"""The Welcome screen: who, which deck, when the test is, how long a day, and the cautions."""

from datetime import date
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from trainer.coach.candidate import USUAL_MINUTES, Candidate, CandidateError, create, people, settings
from trainer.records.errors import LogError
from trainer.screens.fields import DateIn, Field, date_field, handle_field, minutes_field
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine, Keys

if TYPE_CHECKING:
    from trainer.drill.deck import Deck
    from trainer.screens.deck_field import ChosenDeck
    from trainer.screens.desk import Desk

ABOUT = (
    "Stepcall prepares you for a marching test: it asks what your unit's deck says, works out what you will still know "
    "on the test date, and tells you honestly how likely a GO is. Five short steps, then the first sitting."
)
STEPS = ("Who are you?", "Which deck?", "When is the test?", "How long a day?", "Cautions")
WHO, DECK, DATE, MINUTES, CAUTIONS = range(len(STEPS))


class WelcomeScreen(Screen[Candidate | None]):
    """Five steps to a new record; closes with the candidate, his record open, or None."""

    CSS_PATH: ClassVar[list[str | PurePath]] = ["welcome.tcss", "cautions.tcss"]
    AUTO_FOCUS = ""
    HELP = (
        "Five steps and the first sitting can start. Nothing is written before the last step; everything can be "
        "changed later, with c on Today. There is no password: who can use this laptop can use its records."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter", "read", "I have read them", id="welcome.read", show=False),
        Binding("escape,q", "back", "Back", id="welcome.back", show=False),
    ]

    def __init__(self, desk: "Desk") -> None:
        super().__init__()
        self._desk = desk
        self._step = WHO
        self._handle = ""
        self._chosen: ChosenDeck | None = None
        self._date: date | None = None
        self._minutes = USUAL_MINUTES
        self._known = people(desk.home)
        self._shown: Widget | None = None
        self._done = False

    def compose(self) -> ComposeResult:
        """Lay out the page; the step's own part is put in when it is reached."""
        yield Head("")
        yield Container(id="step")
        yield Static(id="refused", classes="trouble", markup=False)
        yield KeyLine()

    async def on_mount(self) -> None:
        """Begin."""
        await self._show()

    async def _show(self) -> None:
        self.query_one(Head).say(STEPS[self._step], f"{self._step + 1} of {len(STEPS)}")
        self.query_one("#refused", Static).update("")
        place = self.query_one("#step", Container)
        part = self._shown = self._part()
        async with self.batch():
            await place.remove_children()
            if self._step == WHO:
                await place.mount(Static(ABOUT, classes="say about", markup=False))
            await place.mount(part)
        if isinstance(part, Field):
            part.start()
        else:
            part.focus()
        self._show_keys()

    @on(Field.Turned)
    def _show_keys(self) -> None:
        self.query_one(KeyLine).show(self._keys())

    def _keys(self) -> Keys:
        back = ("esc", "back" if self._step or self._known else "leave")
        if self._step == CAUTIONS:
            return (("enter", "I have read them"), ("↑↓", "scroll"), back, ("?", "help"), ("ctrl+q", "quit"))
        own = tuple(key for field in self.query(Field) for key in field.keys)
        return (*own, ("enter", "next"), back, ("F1", "help"), ("ctrl+q", "quit"))

    # The first step is the first that anybody sees of the program, so the later ones bring their own imports.
    def _part(self) -> Widget:
        day = self._desk.day
        if self._step == WHO:
            return handle_field(self._known, self._handle)
        if self._step == DECK:
            from trainer.screens.deck_field import DeckField

            return DeckField(self._desk.home, self._chosen.name if self._chosen else "")
        if self._step == DATE:
            return date_field(day, self._date.isoformat() if self._date else "")
        if self._step == MINUTES:
            from trainer.coach.pace import questions_for

            return minutes_field(lambda minutes: questions_for(minutes, ()), self._minutes)
        from trainer.screens.cautions import CautionsText

        return CautionsText(self._deck)

    @property
    def _deck(self) -> "Deck":
        if self._chosen is None:
            raise RuntimeError("no deck was chosen")
        return self._chosen.deck

    @on(Field.Given)
    async def _next(self, event: Field.Given) -> None:
        event.stop()
        if event.field is not self._shown:
            return  # a second enter on a step that was left already
        self._keep(event.value)
        self._step += 1
        await self._show()

    def _keep(self, value: Any) -> None:
        if self._step == WHO:
            self._handle = value
        elif self._step == DECK:
            self._chosen = value
        elif self._step == DATE and isinstance(value, DateIn):
            self._date = value.day
        elif self._step == MINUTES:
            self._minutes = value

    async def action_back(self) -> None:
        """Go one step back; from the first one leave."""
        for field in self.query(Field):
            if field.back():
                return
        if self._step == WHO:
            self.dismiss(None)
            return
        self._step -= 1
        await self._show()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to acknowledge only where the cautions stand."""
        return self._step == CAUTIONS if action == "read" else super().check_action(action, parameters)

    def action_read(self) -> None:
        """Make the record; if that fails, say why and stay."""
        if self._chosen is None or self._done:
            return
        from trainer.coach.cautions import acknowledged

        try:
            drafts = settings(self._handle, self._chosen.name, self._date, self._minutes)
            candidate = create(self._desk.home, [*drafts, acknowledged(self._deck)], self._desk.clock())
        except (CandidateError, LogError) as error:
            self.query_one("#refused", Static).update(str(error))
            return
        self._done = True  # the keys that are still waiting must not make a second record
        self.dismiss(candidate)
