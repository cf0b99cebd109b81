"""What can be done to an evening besides its turns: people come and go, names are put right, it ends."""

from typing import ClassVar

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
from trainer.group.evening import Evening
from trainer.group.hands import KEYBOARDS
from trainer.group.journal import EveningError
from trainer.group.names import checked_name
from trainer.plain import visible
from trainer.screens.choices import Choices
from trainer.screens.fields import Field, TextField
from trainer.screens.head import Head
from trainer.screens.widgets.keys import KeyLine

CHANGED, END, SO_FAR, AWAY = "changed", "end", "so far", "away"
LEAVES, SITS, RENAMES, SKIP, GO_ON, KEYBOARD = "leaves", "sits", "renames", "skip", "go on", "keyboard"
LATE = "The name of who sits down: somebody new, or somebody who comes back to his place."
BETTER = "The name as it should be; it is put right in everything so far."


class EveningMenu(Screen[str | None]):
    """The evening's list; closes with what was done, None for nothing."""

    CSS_PATH = "group.tcss"
    AUTO_FOCUS = ""
    HELP = "People come and go, a wrong name is put right, a turn is skipped, the evening is ended or left for later."
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "back", "Back", id="evening-menu.back", show=False, tooltip="Back to the turn")
    ]

    def __init__(self, evening: Evening) -> None:
        super().__init__()
        self.evening = evening
        self._shown: Widget | None = None
        self._name = ""
        self._done = False

    def compose(self) -> ComposeResult:
        """Lay out the page."""
        yield Head("Evening", self.evening.deck.title)
        yield Container(id="step")
        yield Static(id="refused", classes="trouble", markup=False)
        yield KeyLine()

    async def on_mount(self) -> None:
        """Show the list."""
        await self._show(self._list())

    def _list(self) -> Choices:
        options = [Option(Content("Go on with the turn"), id=GO_ON)]
        options += [Option(Content(f"{visible(name)} leaves"), id=f"{LEAVES} {name}") for name in self.evening.present]
        options.append(Option(Content("Somebody sits down"), id=SITS))
        options.append(Option(Content("Put a wrong name right"), id=RENAMES))
        options.append(Option(Content("The keys of this laptop lie otherwise"), id=KEYBOARD))
        if self.evening.turn is not None:
            options.append(Option(Content("Skip this turn"), id=SKIP))
        options.append(Option(Content("How you agree so far, and the after-action list"), id=SO_FAR))
        options.append(Option(Content("Leave it for another time; it goes on at this turn"), id=AWAY))
        options.append(Option(Content("End the evening"), id=END))
        return Choices(*options, id="list")

    def _whose(self) -> Choices:
        return Choices(*(Option(Content(visible(name)), id=name) for name in self.evening.places), id="whose")

    def _keyboards(self) -> Choices:
        """Return the keyboards, each with its upper keys and the lower ones below them."""
        options = []
        for name, pairs in KEYBOARDS.items():
            upper, lower = (" ".join(pair[row] for pair in pairs).upper() for row in (0, 1))
            here = "   as now" if name == self.evening.keyboard else ""
            options.append(Option(Content(f"{name.upper():<8} {upper}  above  {lower}{here}"), id=name))
        return Choices(*options, id="keyboards")

    async def _show(self, part: Widget) -> None:
        place = self.query_one("#step", Container)
        self._shown = part
        async with self.batch():
            await place.remove_children()
            await place.mount(part)
        self._tell("")
        if isinstance(part, Field):
            part.start()
            self.query_one(KeyLine).show((("enter", "take"), ("esc", "back"), ("F1", "help")))
        else:
            part.focus()
            self.query_one(KeyLine).show((("↑↓", "choose"), ("enter", "take"), ("esc", "back"), ("?", "help")))

    def _tell(self, text: str) -> None:
        self.query_one("#refused", Static).update(visible(text))

    def _close(self, result: str | None) -> None:
        if not self._done and self.is_current:
            self._done = True
            self.dismiss(result)

    def _name_field(self, say: str, value: str = "") -> TextField:
        def check(text: str) -> str:
            try:
                return checked_name(text)
            except EveningError as error:
                raise CandidateError(str(error)) from error

        return TextField(say, check, value=value)

    @on(OptionList.OptionSelected)
    async def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option_list is not self._shown:
            return
        chosen = event.option_id or GO_ON
        if event.option_list.id == "whose":
            self._name = chosen
            await self._show(self._name_field(BETTER, chosen))
            return
        try:
            if event.option_list.id == "keyboards":
                self.evening.set_keyboard(chosen)
                self._close(CHANGED)
                return
            await self._take(chosen)
        except EveningError as error:
            self._tell(str(error))

    async def _take(self, chosen: str) -> None:
        if chosen.startswith(f"{LEAVES} "):
            self.evening.leave(chosen.removeprefix(f"{LEAVES} "))
            self._close(CHANGED)
        elif chosen == SITS:
            self._name = ""
            await self._show(self._name_field(LATE))
        elif chosen == RENAMES:
            await self._show(self._whose())
        elif chosen == KEYBOARD:
            await self._show(self._keyboards())
        elif chosen == SKIP:
            self.evening.skip()
            self._close(CHANGED)
        else:
            self._close(None if chosen == GO_ON else chosen)

    @on(Field.Given)
    def _named(self, event: Field.Given) -> None:
        event.stop()
        if event.field is not self._shown or self._done:
            return
        try:
            if self._name:
                self.evening.rename(self._name, event.value)
            else:
                self.evening.sit_down(event.value)
        except EveningError as error:
            self._tell(str(error))
            return
        self._close(CHANGED)

    async def action_back(self) -> None:
        """Go a step back; from the list to the turn."""
        if isinstance(self._shown, Choices) and self._shown.id == "list":
            self._close(None)
        else:
            await self._show(self._list())
