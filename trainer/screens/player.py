"""The player: any performance at cadence, at half or quarter speed, or step by step; right and flawed side by side."""

from collections.abc import Callable, Hashable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical

from trainer.drill.deck import Deck
from trainer.rhythm.reel import SPEEDS, Reel, reel, starting_beat
from trainer.screens.filmed import FilmedScreen
from trainer.screens.showing import Showing, head_rows, label_row
from trainer.screens.stage import Mark, Stage
from trainer.screens.ticker import AFTER, play_sounds
from trainer.screens.widgets.film import Draw, Film
from trainer.screens.widgets.keys import KeyLine
from trainer.screens.widgets.rows import Rows
from trainer.screens.widgets.spans import Row


class PlayerScreen(FilmedScreen):
    """Plays one performance, or two side by side.

    Args:
        deck: the deck.
        shown: what is played.
        beat: the beat to stand on at first; None starts at the first beat and plays at once.
    """

    CSS_PATH = "player.tcss"
    AUTO_FOCUS = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (72, "-normal"), (110, "-wide")]  # noqa: RUF012
    VERTICAL_BREAKPOINTS = [(0, "-low"), (34, "-tall")]  # noqa: RUF012
    HELP = (
        "The movement is played beat by beat: the pointer goes along the strip, the soles are seen from above, the "
        "figure from its right side (the left leg and arm are solid, the right ones dotted). A fault is played beside "
        "the movement as it should be, both from the same moment; what departs from the standard is marked !. Play "
        "stops when the window loses the keys, and goes on from a whole beat."
    )
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("space,enter", "play", "Play", show=False, tooltip="Play, or stop on the beat where it is"),
        Binding("left", "step(-1)", "Back", show=False, tooltip="One beat back"),
        Binding("right", "step(1)", "On", show=False, tooltip="One beat on"),
        Binding("home", "end(0)", "First", show=False, tooltip="The first beat"),
        Binding("end", "end(-1)", "Last", show=False, tooltip="The last beat"),
        Binding("s", "speed", "Speed", show=False, tooltip="At cadence, at half, at a quarter of it"),
        Binding("x", "swap", "Strip", show=False, tooltip="The strip of the other performance"),
        Binding("escape,q,v", "leave", "Back", show=False, tooltip="Back to where you came from"),
    ]

    def __init__(self, deck: Deck, shown: Showing, beat: float | None = None) -> None:
        super().__init__()
        self.deck, self.shown = deck, shown
        self.stages = [Stage(deck, take.score, take.differ) for take in shown.takes]
        self.reels: list[Reel] = [reel(take.score) for take in shown.takes]
        self.front = len(self.stages) - 1
        self._beat = beat
        self._starts = beat is None

    # ------------------------------------------------------------ layout

    def compose(self) -> ComposeResult:
        """Lay out head, strip, what happens now, and the performances."""
        yield Rows(self._head, id="head")
        yield Film(id="pointer")
        yield Film(id="strip")
        yield Film(id="word")
        yield Film(id="tells")
        with Horizontal(id="sides"):
            for number in range(len(self.stages)):
                with Vertical(classes="side"):
                    yield Film(id=f"label{number}", classes="label")
                    with Horizontal(classes="views"):
                        yield Film(id=f"soles{number}", classes="soles")
                        yield Film(id=f"figure{number}", classes="figure")
        yield KeyLine()

    def on_mount(self) -> None:
        """Take the pictures in, and play unless a beat was asked for."""
        self.take_ways()
        self._go_to(starting_beat(self.shown.right.score) if self._beat is None else self._beat)
        self._load()
        if self._beat is None:
            self.call_after_refresh(self._begin)

    def on_resize(self) -> None:
        """Draw everything for another size."""
        self._fit()
        self._show_keys()

    def _load(self) -> None:
        for number, stage in enumerate(self.stages):
            keys = tuple(stage.marks())
            index = self._index(number)
            self._film(f"soles{number}").load(stage.soles, index, keys)
            figures = tuple((key, passing) for key in keys for passing in (False, True))
            self._film(f"figure{number}").load(stage.figure, (index, False), figures)
            self._film(f"label{number}").load(self._labels(number), index)
        self._load_front()

    def _load_front(self) -> None:
        stage, index = self.stages[self.front], self._index(self.front)
        keys = tuple(stage.marks())
        self._film("strip").load(stage.strip, index, keys)
        self._film("pointer").load(stage.pointer, Mark(index), (Mark(index),))
        self._film("word").load(stage.word, index, keys)
        self._film("tells").load(stage.tells, index, keys)
        self._fit()
        self._show_keys()

    def _fit(self) -> None:
        """Give the strip the rows of its highest page, so that nothing moves when a page turns."""
        width = self.size.width - 2
        if width > 0:
            self._film("strip").styles.height = max(stage.strip_height(width) for stage in self.stages)

    def _head(self, width: int, height: int) -> list[Row]:  # noqa: ARG002
        cadence = self.stages[self.front].beats[self._index(self.front)].cadence
        return head_rows(self.shown, bool(self.front), self.reels[self.front].speed, cadence, width)

    def _labels(self, number: int) -> Callable[[Hashable], Draw]:
        return lambda key: lambda width, _: self._label(number, key, width)

    def _label(self, number: int, key: object, width: int) -> list[Row]:
        beat = self.stages[number].beats[key].beat if isinstance(key, int) else None
        return [label_row(self.shown, number, beat, self.deck.unit, width)]

    def _show_keys(self) -> None:
        playing = self.playing or self._starts
        swap = (("x", "other strip"),) if len(self.stages) > 1 else ()
        self.query_one(KeyLine).show(
            (
                ("space", "stop" if playing else "play"),
                ("←→", "beat"),
                ("s", "speed"),
                *swap,
                ("?", "help"),
                ("esc", "back"),
            )
        )
        self.query_one("#head", Rows).refresh()

    # ------------------------------------------------------------ the beat

    @property
    def playing(self) -> bool:
        """Whether it runs."""
        return any(one.running for one in self.reels)

    @property
    def beat(self) -> float:
        """The beat that stands, of the performance in the strip."""
        return self.stages[self.front].beats[self._index(self.front)].beat

    def _now(self) -> float:
        return self._clock() + self._ticker.lead

    def _index(self, number: int) -> int:
        return self.reels[number].number(self._now())

    def frame(self) -> float | None:
        """Show what stands now and return when the next picture is due; None if nothing moves."""
        now = self._now()
        if all(one.ended(now) for one in self.reels):
            self._set([one.go(one.last, now).pause(now) for one in self.reels])
            return None
        whole = self._turn(now, moving=self.playing)
        if not self.playing:
            return None
        if not whole:
            return now + AFTER
        front, stage = self.reels[self.front], self.stages[self.front]
        parts = 1 if self.still else stage.parts(front.number(now), self._width)
        due = [front.next_column(now, parts), *(one.next_beat(now) for one in self.reels)]
        return min((one for one in due if one is not None), default=None)

    @property
    def _width(self) -> int:
        return max(self.size.width - 2, 1)

    def _turn(self, now: float, moving: bool) -> bool:
        """Show what stands; on a beat the strip first, so that nothing delays it. Return whether all was shown."""
        front, stage = self.reels[self.front], self.stages[self.front]
        index = front.number(now)
        self._film("word").turn(index)
        if self.still and moving:
            return True
        new = self._film("strip").key != index
        parts = stage.parts(index, self._width)
        self._film("pointer").turn(Mark(index, front.column(now, parts) if moving else 0, parts))
        self._film("strip").turn(index)
        if new and moving:
            return False
        for number, one in enumerate(self.reels):
            at = one.number(now)
            self._film(f"soles{number}").turn(at)
            self._film(f"figure{number}").turn((at, moving and one.part(now) >= 0.5))
            self._film(f"label{number}").turn(at)
        self._film("tells").turn(index)
        return True

    def _set(self, reels: list[Reel]) -> None:
        self.reels = reels
        if not self.playing:
            self._ticker.stop()
            self._sound.forget()
            self._turn(self._now(), moving=False)
        self._show_keys()

    def stop(self) -> None:
        """Stand on the beat where it is."""
        starts, self._starts = self._starts, False
        if self.playing:
            now = self._now()
            self._set([one.pause(now) for one in self.reels])
        elif starts:
            self._show_keys()

    def on_app_blur(self) -> None:
        """Stop when the window loses the keys."""
        self.stop()

    def on_screen_suspend(self) -> None:
        """Stop when another screen takes over."""
        self.stop()

    # ------------------------------------------------------------ keys

    def action_play(self) -> None:
        """Play, or stop on the beat where it is."""
        if self.playing or self._starts:
            self.stop()
            return
        now = self._clock()
        if any(one.ended(now) or one.number(now) == one.last for one in self.reels):
            self.reels = [one.go(0, now) for one in self.reels]
        self._set([one.play(now) for one in self.reels])
        self._run()

    def _begin(self) -> None:
        """Play by itself, unless a key came first."""
        if self._starts:
            self._starts = False
            self.action_play()

    def _run(self) -> None:
        play_sounds(self._sound, self.stages[self.front].score, self.reels[self.front], self._clock())
        self._ticker.start(self, self.frame)

    def action_step(self, by: int) -> None:
        """Go a beat back or on."""
        self.stop()
        beats = self.stages[self.front].beats
        self._go_to(beats[min(max(self._index(self.front) + by, 0), len(beats) - 1)].beat)
        self._set(self.reels)

    def action_end(self, index: int) -> None:
        """Go to the first (0) or the last (-1) beat."""
        self.stop()
        self._go_to(self.stages[self.front].beats[index].beat)
        self._set(self.reels)

    def _go_to(self, beat: float) -> None:
        """Let every performance stand on a beat, or on the last one before it that it has."""
        now = self._now()
        for number, stage in enumerate(self.stages):
            at = max((n for n, one in enumerate(stage.beats) if one.beat <= beat), default=0)
            self.reels[number] = self.reels[number].go(at, now).pause(now)

    def action_speed(self) -> None:
        """Take the next speed."""
        now = self._now()
        speed = SPEEDS[(SPEEDS.index(self.reels[0].speed) + 1) % len(SPEEDS)]
        running = self.playing
        self._set([one.at_speed(speed, now) for one in self.reels])
        if running:
            self._run()

    def action_swap(self) -> None:
        """Let the strip show the other performance."""
        if len(self.stages) > 1:
            self.front = 1 - self.front
            self._load_front()

    def action_leave(self) -> None:
        """Go back."""
        self.dismiss(None)
