"""The field for a deck: one that comes with the program, or a file by its path."""

from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from trainer.authoring.shelf import DeckError, find, open_deck, shipped
from trainer.drill.deck import Deck
from trainer.paths import Home, shipped_decks
from trainer.plain import clip, columns, visible
from trainer.records.bodies import LONGEST_VALUE
from trainer.screens.choices import Choices
from trainer.screens.fields import Field
from trainer.screens.widgets.keys import Keys

if TYPE_CHECKING:
    from trainer.authoring.problems import Problem

OWN = "A file of your own"
TITLE = 40
"""Columns of the titles."""
WHICH = (
    "A deck holds a standard: its movements, commands, counts and faults, and the grade sheet. Choose the one that you "
    "will be tested on. Your unit's own deck is a file; its path is typed."
)


class ChosenDeck(NamedTuple):
    """A deck by the name that is kept, and as it was read."""

    name: str
    deck: Deck


def choose_deck(text: str, home: Home) -> ChosenDeck:
    """Return the deck of that name or path.

    Raises:
        DeckError: if it cannot be used; nothing was changed.
    """
    if not text.strip():
        raise DeckError("Type the path of a deck file, like ~/decks/our-guard.toml.")
    path = find(text.strip(), home)
    deck = open_deck(path, home)
    if path.parent == shipped_decks():
        return ChosenDeck(deck.id, deck)
    name = str(path.absolute())
    if not name.isprintable() or len(name) > LONGEST_VALUE:
        raise DeckError("That path is too long or holds a character that cannot be shown; move the file elsewhere.")
    return ChosenDeck(name, deck)


class DeckField(Field):
    """Pick a deck from a list, or type a path; a deck that cannot be used says why, line by line."""

    DEFAULT_CSS = """
    DeckField OptionList { height: auto; max-height: 50%; }
    DeckField #path { display: none; }
    DeckField #told { height: auto; margin-top: 1; }
    DeckField #problems { height: 1fr; }
    DeckField.-typing #path { display: block; margin-top: 1; }
    DeckField.-typing .say { display: none; }
    """
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "up", "Scroll", show=False),
        Binding("down", "scroll_problems(1)", "Scroll", show=False),
        Binding("pageup", "scroll_problems(-8)", "Scroll", show=False),
        Binding("pagedown", "scroll_problems(8)", "Scroll", show=False),
    ]

    def __init__(self, home: Home, value: str = "") -> None:
        super().__init__()
        self._home, self._value = home, value
        self._shipped = {shelved.id: shelved.deck for shelved in shipped(home)}

    def compose(self) -> ComposeResult:
        """Lay out the list, the line for a path, and the place for what is wrong."""
        yield Static(WHICH, classes="say", markup=False)
        yield Choices(
            *(Option(_deck_line(deck), id=name) for name, deck in self._shipped.items()),
            Option(Content.assemble(OWN, (" (its path is typed)", "$faint")), id=OWN),
        )
        own = "" if self._value in self._shipped else self._value
        yield Input(own, placeholder="~/decks/our-guard.toml", id="path", select_on_focus=False)
        yield Static(id="told", classes="trouble", markup=False)
        with VerticalScroll(id="problems", can_focus=False):
            yield Static(markup=False)

    @property
    def keys(self) -> Keys:
        """The arrows choose; while a path is typed they scroll what is wrong, and up leads back to the list."""
        if not self.has_class("-typing"):
            return (("↑↓", "choose"),)
        scrolls = self.query_one("#problems", VerticalScroll).max_scroll_y > 0
        return (("↑↓", "scroll"),) if scrolls else (("↑", "list"),)

    def start(self) -> None:
        """Take the keys, on the deck that is in use."""
        choices = self.query_one(OptionList)
        names = [*self._shipped, OWN]
        place = names.index(self._value) if self._value in names else len(names) - 1 if self._value else 0
        choices.highlighted = place
        choices.focus()

    def back(self) -> bool:
        """Go from the path back to the list."""
        if not self.has_class("-typing"):
            return False
        self.remove_class("-typing")
        self._tell("", ())
        self.query_one(OptionList).focus()
        self.post_message(self.Turned())
        return True

    @on(OptionList.OptionSelected)
    def _picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        name = event.option_id
        if name == OWN or name is None:
            self.add_class("-typing")
            self.query_one(Input).focus()
            self.post_message(self.Turned())
            return
        self.post_message(self.Given(self, ChosenDeck(name, self._shipped[name])))

    @on(Input.Submitted)
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        try:
            chosen = choose_deck(event.value, self._home)
        except DeckError as error:
            self._tell(_summary(error), error.problems)
            return
        self._tell("", ())
        self.post_message(self.Given(self, chosen))

    @on(Input.Changed)
    def _typed(self, event: Input.Changed) -> None:
        event.stop()

    def _tell(self, told: str, problems: "tuple[Problem, ...]") -> None:
        self.query_one("#told", Static).update(told)
        lines = [f"line {one.line}, column {one.column}: {one.message}" for one in problems if one.line]
        scroll = self.query_one("#problems", VerticalScroll)
        scroll.query_one(Static).update(visible("\n".join(lines), lines=True))
        scroll.scroll_home(animate=False)
        self.call_after_refresh(self.post_message, self.Turned())

    def action_up(self) -> None:
        """Scroll what is wrong upwards; from its head go back to the list, as from the row below it."""
        if self.query_one("#problems", VerticalScroll).scroll_y > 0:
            self.action_scroll_problems(-1)
        else:
            self.back()

    def action_scroll_problems(self, rows: int) -> None:
        """Scroll what is wrong while the path keeps the keys."""
        self.query_one("#problems", VerticalScroll).scroll_relative(y=rows, animate=False)


def _deck_line(deck: Deck) -> Content:
    title = clip(visible(deck.title), TITLE - 2)
    sheet = "" if deck.grade_sheet else ", no grade sheet"
    told = f"{len(deck.movements)} movements{sheet}"
    return Content.assemble(title, " " * (TITLE - columns(title)), (told, "$faint"))


def _summary(error: DeckError) -> str:
    located = sum(bool(problem.line) for problem in error.problems)
    if not located:
        return f"{error} Nothing was changed."
    file = visible(error.problems[0].file)
    many = "a problem" if located == 1 else f"{located} problems"
    return f"{file} has {many} and cannot be used; nothing was changed."
