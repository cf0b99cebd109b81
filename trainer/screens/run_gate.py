"""Before a run: who grades, what was checked, the cautions; or the run that was interrupted goes on."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, NamedTuple

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.events import Key
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from trainer.coach.candidate import Candidate, CandidateError, checked_handle, read_date
from trainer.coach.dates import date_words, day_of
from trainer.drill.deck import Deck
from trainer.plain import visible
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.screens.choices import Choices
from trainer.screens.fields import Field, TextField
from trainer.screens.flow import Flow
from trainer.screens.head import Head
from trainer.screens.lane import kept_order
from trainer.screens.run_rows import gate_rows
from trainer.screens.widgets.keys import KeyLine, Keys
from trainer.sponsor.graders import Grader, graders, keep_grader, sponsor_of
from trainer.sponsor.grading import Run, begin, open_run
from trainer.sponsor.opening import gate, retest_from, sheet_of
from trainer.sponsor.sheet import sheets

if TYPE_CHECKING:
    from trainer.screens.desk import Desk

GO_ON, NEW, SOMEBODY = "go on", "new", "somebody"
YES, NO = "yes", "no"
WHO_GRADES = "Name of a grader, as it stands on his qualification."
UNTIL = "Until which day is he qualified to grade? Year-month-day."
ENDED = "{name}'s qualification as a grader ended on {until}. Enter its new end, or choose another grader with esc."
TOLD_BY = (
    "He is the candidate's sponsor. Nobody grades his own candidate unless told to. Who told him? The sheet shows it."
)


def _name(text: str) -> str:
    if not text.strip():
        raise CandidateError("Give a name; the sheet shows it.")
    return checked_handle(text)


class Step(NamedTuple):
    """A step on the way to the run: its name, what is said, and what makes the part that answers it."""

    name: str
    say: str
    make: Callable[[], Widget]


class RunGateScreen(Screen[Run | None]):
    """Opens a run to grade; closes with it, or None."""

    CSS_PATH = "run.tcss"
    AUTO_FOCUS = ""
    HELP = (
        "A run is graded by somebody whose qualification has not ended; a sponsor does not grade his own candidate "
        "unless told to. Uniform, equipment and sword are looked at and the cautions read before the first command. A"
        " run that was interrupted goes on where it stood."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape,q", "back", "Back", id="run-gate.back", show=False, tooltip="One step back; nothing is begun"),
        Binding("enter", "begin", "Begin", id="run-gate.begin", show=False, tooltip="Begin, once all is checked"),
        *(
            Binding(key, f"scroll({by})", "Scroll", id=f"run-gate.{key}", show=False, tooltip="Scroll the cautions")
            for key, by in (("up", -1), ("down", 1), ("pageup", -10), ("pagedown", 10))
        ),
    ]

    def __init__(self, desk: "Desk", candidate: Candidate, deck: Deck, clock: Callable[[], Moment]) -> None:
        super().__init__()
        self._desk, self._candidate, self._deck, self._clock = desk, candidate, deck, clock
        self._asked = gate(deck)
        self._checked: set[str] = set()
        self._grader = self._named = self._told_by = ""
        self._early = False
        self._order: tuple[str, ...] = ()
        self._shown: Widget | None = None
        self._step = ""
        self._trail: list[Step] = []

    def compose(self) -> ComposeResult:
        """Lay out the page; the step's own part is put in when it is reached."""
        yield Head(f"Grade a run of {self._candidate.profile.handle}", self._deck.title)
        yield Static(id="say", classes="say", markup=False)
        yield VerticalScroll(id="step", can_focus=False)
        yield Static(id="refused", classes="trouble", markup=False)
        yield KeyLine()

    async def on_mount(self) -> None:
        """Ask whether to go on with an interrupted run, else who grades."""
        waiting = open_run(self._candidate, self._deck)
        if waiting is None:
            await self._ask_who()
            return
        day = date_words(waiting.sheet.on)
        options = (
            Option(Content(f"Go on with the run of {day}, graded by {visible(waiting.sheet.grader)}"), id=GO_ON),
            Option(Content("Begin a new run"), id=NEW),
        )
        await self._put("waiting", "A run has no verdict yet.", lambda: Choices(*options))

    async def _ask_who(self) -> None:
        await self._put("who", "Who grades?", self._who)

    def _known(self) -> Sequence[Grader]:
        try:
            return graders(self._desk.home)
        except CandidateError as error:
            self._tell(str(error))
            return ()

    def _who(self) -> Choices:
        day = day_of(self._clock())
        options = []
        for one in self._known():
            told = "qualification ended on" if one.ended(day) else "qualified until"
            options.append(Option(Content(f"{visible(one.name)}, {told} {date_words(one.until)}"), id=f"={one.name}"))
        return Choices(*options, Option(Content("Somebody else"), id=SOMEBODY))

    def _name_field(self) -> TextField:
        return TextField(WHO_GRADES, _name, value=self._named)

    async def _put(self, step: str, say: str, make: Callable[[], Widget]) -> None:
        before = [one.name for one in self._trail]
        self._trail = self._trail[: before.index(step) if step in before else None]
        self._trail.append(Step(step, say, make))
        part = make()
        self._step, self._shown = step, part
        place = self.query_one("#step", VerticalScroll)
        self.query_one("#say", Static).update(say)
        async with self.batch():
            await place.remove_children()
            await place.mount(part)
        if isinstance(part, Field):
            part.start()
        elif isinstance(part, Choices):
            part.focus()
        else:
            self.set_focus(None)
        self._show_keys()
        self.call_after_refresh(self._show_keys)

    def on_resize(self) -> None:
        """Tell of scrolling where the cautions no longer fit."""
        self.call_after_refresh(self._show_keys)

    def _show_keys(self) -> None:
        self.query_one(KeyLine).show(self._keys())

    def action_scroll(self, by: int) -> None:
        """Scroll the checks and the cautions."""
        self.query_one("#step", VerticalScroll).scroll_relative(y=by, animate=False)

    def _keys(self) -> Keys:
        if self._step == "gate":
            enter = (("enter", "begin"),) if len(self._checked) == len(self._asked) else ()
            scroll = (("↑↓", "scroll"),) if self.query_one("#step", VerticalScroll).max_scroll_y > 0 else ()
            return ((f"1 to {len(self._asked)}", "checked"), *enter, *scroll, ("esc", "back"), ("?", "help"))
        if isinstance(self._shown, Choices):
            return (("↑↓", "choose"), ("enter", "take"), ("esc", "back"), ("?", "help"))
        return (("enter", "next"), ("esc", "back"), ("F1", "help"))

    def _tell(self, text: str) -> None:
        self.query_one("#refused", Static).update(visible(text))

    # ------------------------------------------------------------ answers

    @on(OptionList.OptionSelected)
    async def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option_list is not self._shown or not self.is_current:
            return
        chosen = event.option_id or ""
        self._tell("")
        if chosen == GO_ON:
            self.dismiss(open_run(self._candidate, self._deck))
        elif chosen == NEW:
            await self._ask_who()
        elif chosen == SOMEBODY:
            await self._put("name", "", self._name_field)
        elif self._step == "early":
            self._early = chosen == YES
            await (self._ask_order() if self._early else self._ask_who())
        elif self._step == "order":
            self._order = kept_order(self._desk.home, self._deck) if chosen == YES else ()
            await self._gate()
        else:
            await self._graded_by(chosen.removeprefix("="))

    @on(Field.Given)
    async def _given(self, event: Field.Given) -> None:
        event.stop()
        if event.field is not self._shown:
            return
        if self._step == "name":
            self._named = event.value
            await self._ask_until("")
        elif self._step == "until":
            try:
                keep_grader(self._desk.home, self._named, event.value.isoformat())
            except CandidateError as error:
                self._tell(str(error))
                return
            await self._graded_by(self._named)
        else:
            self._told_by = event.value
            await self._wait()

    async def _ask_until(self, say: str) -> None:
        await self._put("until", say, lambda: TextField(UNTIL, read_date, placeholder="like 2027-03-31"))

    async def _graded_by(self, name: str) -> None:
        self._grader, self._told_by = name, ""
        known = next((one for one in self._known() if one.name.casefold() == name.casefold()), None)
        if known is not None and known.ended(day_of(self._clock())):
            self._named = name
            await self._ask_until(ENDED.format(name=visible(name), until=date_words(known.until)))
            return
        if sponsor_of(self._candidate.events()).casefold() == name.casefold():
            await self._put("told", "", lambda: TextField(TOLD_BY, _name))
        else:
            await self._wait()

    async def _wait(self) -> None:
        now = self._clock()
        earliest = retest_from(self._deck, sheets(self._candidate.events(), self._deck), now.offset)
        if earliest is None or now.at_ms >= earliest.at_ms:
            await self._ask_order()
            return
        hours = sheet_of(self._deck).retest_after_hours
        options = (Option(Content("Not yet: another grader, or later"), id=NO), Option(Content("Begin early"), id=YES))
        say = (
            f"The standard sets {hours} hours after a NO-GO before a retest. Begin early only if you may shorten that."
        )
        await self._put("early", say, lambda: Choices(*options))

    async def _ask_order(self) -> None:
        """Ask for the order of commands, where a lane was planned for this deck."""
        order = kept_order(self._desk.home, self._deck)
        if not order or sheet_of(self._deck).sequence_graded:
            await self._gate()
            return
        lane = Option(Content(f"As the lane planned last, {len(order)} trials in its order"), id=YES)
        free = Option(Content("Free: measures as they come"), id=NO)
        await self._put("order", "In which order?", lambda: Choices(lane, free))

    async def _gate(self) -> None:
        await self._put(
            "gate",
            f"Graded by {visible(self._grader)}",
            lambda: Flow(lambda width: gate_rows(self._deck, self._asked, self._checked, min(width, 96))),
        )

    def on_key(self, event: Key) -> None:
        """Check, or take a check back."""
        if self._step != "gate" or not event.key.isdigit():
            return
        number = int(event.key) - 1
        if 0 <= number < len(self._asked):
            self._checked ^= {self._asked[number]}
            self._tell("")
            self.query_one("#step Flow", Flow).refresh(layout=True)
            self._show_keys()

    def action_begin(self) -> None:
        """Begin, where all is checked; else say what is not."""
        if self._step != "gate":
            return
        standing, now = self._desk.standing, self._clock()
        said = standing.chance(standing.now(now), now) if standing else None
        try:
            run = begin(
                self._candidate,
                self._deck,
                graders(self._desk.home),
                now,
                grader=self._grader,
                checked=self._checked,
                told_by=self._told_by,
                early=self._early,
                plan=self._order,
                said=said.go if said else None,
            )
        except (CandidateError, LogError) as error:
            self._tell(str(error))
            return
        self._step = ""  # keys that still wait begin nothing more
        self.dismiss(run)

    async def action_back(self) -> None:
        """Go one step back, from the first one leave; nothing is begun, and a name that was typed is kept."""
        self._tell("")
        if self._step == "name":
            self._named = self.query_one(Input).value
        if len(self._trail) < 2:
            self.dismiss(None)
            return
        self._trail.pop()
        await self._put(*self._trail[-1])
