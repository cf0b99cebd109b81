"""The application: what is open, the keys that work everywhere, how it is left."""

import asyncio
import signal
import sys
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual._path import CSSPathType
from textual.binding import Binding, BindingType
from textual.events import Resize
from textual.screen import Screen

from trainer.coach.here import here, keep_here
from trainer.paths import Home, home
from trainer.records.clock import Moment, read_clock
from trainer.rhythm.clock import stamp_clock
from trainer.screens.desk import Desk
from trainer.screens.themes import BASE_STYLES, PARADE, ParadeGround
from trainer.screens.today import TodayScreen
from trainer.screens.too_small import TooSmallScreen, too_small

if TYPE_CHECKING:
    from trainer.coach.candidate import Candidate
    from trainer.coach.standing import Standing
    from trainer.coach.terminal import Terminal
    from trainer.rhythm.calibration import Calibration
    from trainer.rhythm.sound import Sound
    from trainer.screens.ticker import Ways

Result = TypeVar("Result")
STOPPED = 143
"""Exit code after a signal that ends the program."""


class StepcallApp(ParadeGround, inherit_bindings=False):
    """The screens of one laptop. Time comes in through `clock` (calendar) and `monotonic` (seconds)."""

    TITLE = "Stepcall"
    CSS_PATH: ClassVar[CSSPathType | None] = [BASE_STYLES, Path(__file__).with_name("app.tcss")]
    ENABLE_COMMAND_PALETTE = False
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1", "help", "Help", id="help", show=False, tooltip="What this screen is for, its keys"),
        Binding("q", "quit", "Quit", id="quit", show=False, tooltip="Quit the program"),
        # A field that is being typed in takes q, so one key for leaving must work there too.
        Binding(
            "ctrl+q,ctrl+c",
            "quit",
            "Quit",
            id="quit-at-once",
            show=False,
            priority=True,
            tooltip="Quit the program at once, from anywhere",
        ),
    ]

    def __init__(
        self,
        place: Home,
        clock: Callable[[], Moment] = read_clock,
        monotonic: Callable[[], float] = stamp_clock(),  # noqa: B008  # the choice of the clock, not a reading
        candidate_id: str | None = None,
        demo: bool = False,
    ) -> None:
        """Set up, without opening any record yet.

        Args:
            place: where everything is kept.
            clock: reads the calendar clock.
            monotonic: reads the clock that keys are stamped with, seconds.
            candidate_id: whom to open; whoever is there, or the answer to who is, if None.
            demo: what is open is the invented unit in a throw-away copy, and Today says so.
        """
        super().__init__()
        self.VERTICAL_BREAKPOINTS = [(0, "-close"), (34, "-roomy")]
        self.theme = self.legible(here(place).get("theme", PARADE.name))
        self.clock, self.monotonic = clock, monotonic
        self.desk = Desk(place, clock)
        self.trouble: Exception | None = None
        self._asked_for, self.demo = candidate_id, demo
        self.looks_ahead = True
        """Whether Today plans the next sitting beside the screen."""
        self._sound: Sound | None = None

    def get_default_screen(self) -> Screen[None]:
        """Return Today, which lies under all other screens."""
        return TodayScreen()

    def on_mount(self) -> None:
        """Ask who is there if it is not plain, else let Today read the record once it stands on the screen."""
        self._catch_signals()
        records = self.desk.home.records
        known = [self._asked_for] if self._asked_for else [path.stem for path in sorted(records.glob("*.db"))]
        if len(known) == 1:
            self.call_after_refresh(self.open_person, known[0])
        elif known:
            self.ask_who()
        else:
            self.welcome()

    def on_unmount(self) -> None:
        """Close the record."""
        self._release_signals()
        if self._sound is not None:
            self._sound.close()
        self.desk.close()

    def on_resize(self, event: Resize) -> None:
        """Say so where the window is too small to hold a screen, and go back once it does."""
        if too_small(*event.size) and not isinstance(self.screen, TooSmallScreen):
            self.push_screen(TooSmallScreen())

    # ------------------------------------------------------------ who is there

    def open_person(self, candidate_id: str | None) -> None:
        """Open a candidate's record and show his Today; a record that cannot be read ends the program with why."""
        if candidate_id is not None:
            self.safely(lambda: self.desk.sit(candidate_id))
        self.show_today()

    def ask_who(self) -> None:
        """Ask who is there."""
        from trainer.screens.people import PeopleScreen

        self.push_screen(PeopleScreen(self.desk), self._who_came)

    def welcome(self) -> None:
        """Let someone new introduce himself."""
        from trainer.screens.welcome import WelcomeScreen

        self.push_screen(WelcomeScreen(self.desk), self._newcomer)

    def _who_came(self, answer: str | None) -> None:
        from trainer.screens.people import SOMEONE_NEW

        if answer == SOMEONE_NEW:
            self.welcome()
        elif answer is not None:
            self.open_person(answer)
        elif self.desk.candidate is None:
            self.exit()

    def _newcomer(self, candidate: "Candidate | None") -> None:
        if candidate is not None:
            self.safely(lambda: self.desk.take(candidate))
            self.show_today()
        elif self.desk.candidate is None:
            self._start_over()

    def _start_over(self) -> None:
        if any(self.desk.home.records.glob("*.db")):
            self.ask_who()
        else:
            self.exit()

    def show_today(self) -> None:
        """Let Today show what is open now."""
        for screen in self.screen_stack:
            if isinstance(screen, TodayScreen):
                screen.refill()

    # ------------------------------------------------------------ on the beat

    def terminal(self) -> "Terminal":
        """Return what is known of the terminal at hand."""
        from trainer.coach.terminal import terminal_here
        from trainer.paths import surroundings

        return terminal_here(self.desk.home, surroundings(), self.is_web)

    @property
    def ways(self) -> "Ways":
        """How beats are shown and heard here; the sound device is opened when it is first wanted."""
        from trainer.rhythm.sound import open_sound
        from trainer.screens.ticker import SILENCE, Ways

        terminal = self.terminal()
        if terminal.sound and self._sound is None:
            self._sound = open_sound(self.monotonic)
        sound = self._sound if terminal.sound and self._sound is not None else SILENCE
        return Ways(clock=self.monotonic, still=terminal.still, sound=sound)

    def call_step(self, candidate: "Candidate", standing: "Standing", movement: str | None = None) -> None:
        """Let a candidate call the step: of one movement, or of one after the other."""
        from trainer.coach.beat import BeatPractice
        from trainer.screens.beat import BeatScreen

        terminal, chosen = self.terminal(), standing.deck.movement(movement) if movement else None
        practice = BeatPractice(candidate, standing)
        self.push_screen(
            BeatScreen(practice, self.clock, movement=chosen, delay=terminal.delay, remote=bool(terminal.remote))
        )

    def hold_mock(self, candidate: "Candidate", standing: "Standing") -> None:
        """Let a candidate take a mock test, on a deck that has a grade sheet."""
        from trainer.coach.mock import MockTest
        from trainer.coach.terminal import keep_calibration
        from trainer.screens.mock import MockScreen

        terminal = self.terminal()

        def keep(found: "Calibration") -> "Terminal":
            keep_calibration(self.desk.home, terminal, found)
            return self.terminal()

        test = MockTest(candidate, standing, self.clock())
        self.push_screen(MockScreen(test, self.clock, self.monotonic, terminal, keep))

    def see_faults(self, candidate: "Candidate", standing: "Standing", movement: str | None = None) -> None:
        """Let a candidate look for faults: in one movement, or in one after the other."""
        from trainer.coach.eye import EyePractice
        from trainer.screens.see import SeeScreen

        chosen = standing.deck.movement(movement) if movement else None
        self.push_screen(SeeScreen(EyePractice(candidate, standing), self.clock, chosen))

    # ------------------------------------------------------------ themes, help, leaving

    def keep_theme(self, name: str) -> None:
        """Take a look over and remember it on this laptop."""
        self.theme = name
        keep_here(self.desk.home, "theme", name)

    async def action_help(self) -> None:
        """Show what the screen is for and its keys."""
        from trainer.screens.help import HelpScreen

        if not isinstance(self.screen, HelpScreen | TooSmallScreen):
            self.push_screen(HelpScreen(self.screen))

    def safely(self, work: Callable[[], Result]) -> Result | None:
        """Do something with a record; a record that cannot be used ends the program with its sentence."""
        from trainer.coach.candidate import CandidateError
        from trainer.records.errors import LogError

        try:
            return work()
        except (LogError, CandidateError) as error:
            self.trouble = error
            self.exit(return_code=2)
            return None

    def _handle_exception(self, error: Exception) -> None:
        # The library would print a traceback with all its values; the command line puts it into a sentence.
        self.trouble = self.trouble or error
        super()._handle_exception(error)
        self._exit_renderables.clear()

    def _catch_signals(self) -> None:
        self._signals: list[signal.Signals] = []
        if sys.platform == "win32":
            return
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, signal.SIGHUP):
            try:
                loop.add_signal_handler(number, self.exit, None, STOPPED)
            except (ValueError, RuntimeError, NotImplementedError):
                continue  # not the main thread, as under a test runner
            self._signals.append(number)

    def _release_signals(self) -> None:
        for number in self._signals:
            asyncio.get_running_loop().remove_signal_handler(number)


def open_screens(demo: bool = False, candidate: str | None = None) -> int:
    """Open the screens and return the exit code.

    Args:
        demo: open the invented unit in a throw-away copy.
        candidate: handle or id of a candidate; the program asks, if there is more than one, where it is None.

    Raises:
        CandidateError, LogError, DeckError: one sentence each.
    """
    if demo:
        from trainer.coach.demo import demo_home

        with demo_home(read_clock(), candidate) as (place, first):
            return _run(place, candidate or first, demo=True)
    return _run(home(), candidate)


def _run(place: Home, candidate: str | None, demo: bool = False) -> int:
    chosen = None
    if candidate is not None:
        from trainer.coach.candidate import find_person

        chosen = find_person(place, candidate).id
    app = StepcallApp(place, candidate_id=chosen, demo=demo)
    app.run()
    if app.trouble is not None:
        raise app.trouble
    return app.return_code or 0
