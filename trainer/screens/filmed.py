"""A screen whose pictures are turned by a ticker, as in films."""

from textual.screen import Screen

from trainer.screens.stage import Mark, Stage
from trainer.screens.ticker import AFTER, ways_of
from trainer.screens.widgets.film import Film


class FilmedScreen(Screen[None]):
    """Finds its films by their names, and lets clock, ticker and sound go with it."""

    def take_ways(self) -> None:
        """Take clock, ticker and sound of the program, once the screen is mounted."""
        ways = ways_of(self.app)
        self._films: dict[str, Film] = {}
        self._clock, self._ticker, self._sound = ways.clock, ways.ticker(ways.clock), ways.sound
        self.still = ways.still
        self.set_class(ways.still, "-still")

    def _film(self, name: str) -> Film:
        if name not in self._films:
            self._films[name] = self.query_one(f"#{name}", Film)
        return self._films[name]

    def on_unmount(self) -> None:
        """Let the ticker rest."""
        self._ticker.stop()
        self._sound.forget()


class StagedScreen(FilmedScreen):
    """Shows one stage beat by beat, by its films strip, pointer, word, soles and figure."""

    stage: Stage | None = None

    def _load_stage(self, stage: Stage) -> None:
        """Take the pictures of a stage in, its first beat first."""
        self.stage = stage
        keys = tuple(stage.marks())
        self._film("strip").styles.height = stage.strip_height(max(self.size.width - 2, 1))
        self._film("strip").load(stage.strip, 0, keys)
        self._film("pointer").load(stage.pointer, Mark(0))
        self._film("word").load(stage.word, 0, keys)
        self._film("soles").load(stage.soles, 0, keys)
        self._film("figure").load(stage.figure, (0, False), tuple((key, on) for key in keys for on in (False, True)))

    def _turn_stage(self, stage: Stage, number: int, span: tuple[float, float], at: float, cadence: float) -> float:
        """Show the pictures of a beat and return the place in beats of the next picture.

        Args:
            stage: what is shown.
            number: of the beat.
            span: the places where it begins and ends.
            at: the place that is reached.
            cadence: beats a minute.
        """
        start, end = span
        parts = 1 if self.still else stage.parts(number, max(self.size.width - 2, 1))
        column = min(int((at - start) / (end - start) * parts), parts - 1)
        new = self._film("strip").key != number
        self._film("strip").turn(number)
        self._film("word").turn(number)
        after = start + (end - start) * (column + 1) / parts
        if self.still:
            return after
        self._film("pointer").turn(Mark(number, column, parts))
        if new:
            return min(at + AFTER * cadence / 60.0, after)
        self._film("soles").turn(number)
        self._film("figure").turn((number, column * 2 >= parts > 1))
        return after
