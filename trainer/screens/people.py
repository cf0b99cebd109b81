"""The People screen: who is there."""

from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import Person, people
from trainer.coach.dates import date_words, days_left
from trainer.coach.here import last_person
from trainer.coach.words import days_words
from trainer.plain import clip, columns, visible
from trainer.screens.choices import Choices
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

SOMEONE_NEW = "someone new"
"""Answer of who is not on the list; ids are hex digits, so it cannot be one."""
HANDLE = 26
"""Columns of the handles."""


class PeopleScreen(Screen[str | None]):
    """Pick who is there; closes with an id, `SOMEONE_NEW`, or None."""

    CSS_PATH = "people.tcss"
    HELP = (
        "Everyone has a record of his own on this laptop. There are no passwords: pick your own handle, so that your "
        "answers do not go into someone else's record."
    )
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape,q", "leave", "Back", id="people.back", show=False)]

    def __init__(self, desk: "Desk") -> None:
        super().__init__()
        self._desk = desk

    def compose(self) -> ComposeResult:
        """Lay out the list."""
        yield Head("Who is there?")
        yield Choices()
        yield Static(classes="trouble", markup=False)
        back = ("q esc", "back" if self._desk.candidate else "leave")
        yield KeyLine((("↑↓", "choose"), ("enter", "that is me"), back, ("?", "help")))

    def on_mount(self) -> None:
        """Fill the list, with the one who was there last chosen."""
        known = people(self._desk.home)
        usable = [person for person in known if not person.trouble]
        choices = self.query_one(OptionList)
        choices.add_options([Option(self._line(person), id=person.id) for person in usable])
        choices.add_option(Option(Content("Someone new"), id=SOMEONE_NEW))
        last = self._desk.candidate.id if self._desk.candidate else last_person(self._desk.home)
        ids = [person.id for person in usable]
        choices.highlighted = ids.index(last) if last in ids else 0
        self.query_one(Static).update("\n".join(visible(person.trouble) for person in known if person.trouble))

    def _line(self, person: Person) -> Content:
        profile = person.profile
        handle = clip(visible(profile.handle) or "no handle", HANDLE - 2)
        days = days_left(profile.test_date, self._desk.day)
        when = days_words(days) + (f", {date_words(profile.test_date)}" if profile.test_date else "")
        return Content.assemble(handle, " " * (HANDLE - columns(handle)), (when, "$faint"))

    @on(OptionList.OptionSelected)
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        self.dismiss(event.option_id)

    def action_leave(self) -> None:
        """Close without an answer."""
        self.dismiss(None)
