"""A screen whose pictures are turned by a ticker, as in films."""

from textual.screen import Screen

from trainer.screens.ticker import ways_of
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
