"""The Change screen: handle, deck, test date, minutes, and the look, each at any time."""

from collections.abc import Callable, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING, Any, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import Candidate, people, settings
from trainer.coach.cautions import acknowledged, cautions_read
from trainer.coach.dates import date_words
from trainer.coach.pace import questions_for
from trainer.plain import clip, visible
from trainer.records.errors import LogError
from trainer.records.events import Draft
from trainer.screens.cautions import CautionsScreen
from trainer.screens.choices import Choices
from trainer.screens.deck_field import ChosenDeck, DeckField
from trainer.screens.fields import Field, date_field, handle_field, minutes_field
from trainer.screens.head import Head
from trainer.screens.themes import WITHOUT_COLOUR
from trainer.screens.widgets.keys import KeyLine

if TYPE_CHECKING:
    from trainer.screens.app import StepcallApp
    from trainer.screens.desk import Desk

HANDLE, DECK, DATE, MINUTES, LOOK = "Handle", "Deck", "Test date", "Minutes a day", "Look"
LABEL = 16
"""Columns of the names of what can be changed."""
LOOK_HOLDS = "The look holds for this laptop, for everybody who practises on it."
LOOKS = {
    "parade": "parade ground, dark",
    "daylight": "daylight, light",
    "ansi-dark": "the terminal's own colours, on dark",
    "ansi-light": "the terminal's own colours, on light",
}


class AskScreen(Screen[Any]):
    """One field on a page; closes with its value, or None."""

    AUTO_FOCUS = ""
    HELP = "Type or choose the new value and press enter. Escape leaves everything as it was."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "back", "Back", id="ask.back", show=False)]

    def __init__(self, title: str, field: Callable[[], Field]) -> None:
        super().__init__()
        self._title, self._field = title, field

    def compose(self) -> ComposeResult:
        """Lay out the field."""
        yield Head(self._title)
        field = self._field()
        field.styles.padding = (0, 1)
        yield field
        yield KeyLine()

    def on_mount(self) -> None:
        """Give the field the keys."""
        self.query_one(Field).start()
        self._show_keys()

    @on(Field.Turned)
    def _show_keys(self) -> None:
        own = self.query_one(Field).keys
        self.query_one(KeyLine).show((*own, ("enter", "take it"), ("esc", "back"), ("F1", "help"), ("ctrl+q", "quit")))

    @on(Field.Given)
    def _given(self, event: Field.Given) -> None:
        if self.is_current:  # a second enter may still be under way
            self.dismiss(event.value)

    def action_back(self) -> None:
        """Leave the field, or a part of it."""
        if not self.query_one(Field).back():
            self.dismiss(None)


class LookScreen(Screen[str | None]):
    """Pick a look; what is pointed at is shown at once."""

    CSS_PATH = "change.tcss"
    HELP = "The look of all screens on this laptop. Nothing is said by colour alone in any of them."
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "back", "Back", id="look.back", show=False)]

    app: "StepcallApp"

    def compose(self) -> ComposeResult:
        """Lay out the list."""
        self._before = self.app.theme
        hidden = WITHOUT_COLOUR if self.app.no_color else {}
        self._looks = {name: words for name, words in LOOKS.items() if name not in hidden}
        yield Head(LOOK)
        yield Static(LOOK_HOLDS, classes="say", markup=False)
        yield Choices(*(Option(Content(words), id=name) for name, words in self._looks.items()))
        yield KeyLine((("↑↓", "choose"), ("enter", "take it"), ("q esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Start at the look in use."""
        names = list(self._looks)
        choices = self.query_one(Choices)
        choices.highlighted = names.index(self._before) if self._before in names else 0

    @on(OptionList.OptionHighlighted)
    def _shown(self, event: OptionList.OptionHighlighted) -> None:
        if event.option_id:
            self.app.theme = event.option_id

    @on(OptionList.OptionSelected)
    def _taken(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

    def action_back(self) -> None:
        """Go back to the look from before."""
        self.app.theme = self._before
        self.dismiss(None)


class ChangeScreen(Screen[None]):
    """What can be changed, with its present values; each change is recorded at once."""

    CSS_PATH: ClassVar[list[str | PurePath]] = ["change.tcss", "cautions.tcss"]
    HELP = (
        "Everything that was asked at the start can be changed here. Old values stay in the record; answers given on "
        "another deck count there and come back with it."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q,c", "back", "Back", id="change.back", show=False),
    ]

    app: "StepcallApp"

    def __init__(self, desk: "Desk") -> None:
        super().__init__()
        self._desk = desk

    def compose(self) -> ComposeResult:
        """Lay out the list."""
        yield Head("Change", self._candidate.profile.handle)
        yield Choices()
        yield Static(id="told", classes="trouble", markup=False)
        yield KeyLine((("↑↓", "choose"), ("enter", "change"), ("q esc", "back"), ("?", "help")))

    def on_mount(self) -> None:
        """Fill the list."""
        self._fill()
        self.query_one(OptionList).highlighted = 0

    @property
    def _candidate(self) -> Candidate:
        if self._desk.candidate is None:
            raise RuntimeError("nobody is there")
        return self._desk.candidate

    def _fill(self) -> None:
        profile = self._candidate.profile
        deck = self._desk.deck
        values = {
            HANDLE: profile.handle,
            DECK: deck.title if deck else f"{profile.deck or 'none'} (cannot be used)",
            DATE: date_words(profile.test_date) if profile.test_date else "none yet",
            MINUTES: str(profile.minutes),
            LOOK: LOOKS.get(self.app.theme, self.app.theme),
        }
        choices = self.query_one(OptionList)
        at = choices.highlighted
        room = max(self.app.size.width - LABEL - 5, 8)
        choices.clear_options()
        choices.add_options(
            Option(Content.assemble((f"{name:<{LABEL}}", "$faint"), clip(visible(value), room)), id=name)
            for name, value in values.items()
        )
        choices.highlighted = at
        self.query_one(Head).say("Change", profile.handle)

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self._tell("")
        profile, desk = self._candidate.profile, self._desk
        if event.option_id == HANDLE:
            others = [person for person in people(desk.home) if person.id != self._candidate.id]
            self._ask(HANDLE, lambda: handle_field(others, profile.handle), lambda value: settings(handle=value))
        elif event.option_id == DATE:
            kept = profile.test_date.isoformat() if profile.test_date else ""
            self._ask(DATE, lambda: date_field(desk.day, kept), lambda value: settings(test_date=value.day))
        elif event.option_id == MINUTES:
            usual = desk.standing.history.question_ms if desk.standing else ()
            self._ask(
                MINUTES,
                lambda: minutes_field(lambda minutes: questions_for(minutes, usual), profile.minutes),
                lambda value: settings(minutes=value),
            )
        elif event.option_id == DECK:
            self.app.push_screen(AskScreen(DECK, lambda: DeckField(desk.home, profile.deck)), self._deck_chosen)
        elif event.option_id == LOOK:
            self.app.push_screen(LookScreen(), self._look_chosen)

    def _ask(self, title: str, field: Callable[[], Field], drafts: Callable[[Any], list[Draft]]) -> None:
        def given(value: Any) -> None:
            if value is not None:
                self._record(drafts(value))

        self.app.push_screen(AskScreen(title, field), given)

    def _deck_chosen(self, chosen: ChosenDeck | None) -> None:
        if chosen is None:
            return

        def read(acknowledges: bool | None) -> None:
            if acknowledges:
                self._record([*settings(deck=chosen.name), acknowledged(chosen.deck)])
                self._reopen()
            else:
                self._tell("The cautions were not acknowledged, so the deck is the one from before.")

        if cautions_read(self._candidate.events(), chosen.deck):
            self._record(settings(deck=chosen.name))
            self._reopen()
        else:
            self.app.push_screen(CautionsScreen(chosen.deck, ask=True), read)

    def _look_chosen(self, name: str | None) -> None:
        if name is not None:
            self.app.keep_theme(name)
        self._fill()

    def _record(self, drafts: Sequence[Draft]) -> None:
        try:
            self._candidate.set(drafts, self._desk.clock())
        except LogError as error:
            self._tell(str(error))
        self._fill()

    def _reopen(self) -> None:
        self.app.safely(self._desk.reopen)
        self._fill()

    def _tell(self, text: str) -> None:
        self.query_one("#told", Static).update(text)

    def action_back(self) -> None:
        """Go back to Today."""
        self.dismiss()
