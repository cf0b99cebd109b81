"""What the player shows: one performance, or the right one and beside it one that departs from it."""

from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.describe import difference_lines
from trainer.drill.faults import Comparison, Difference, compare
from trainer.drill.movement import LEFT, Fault, Movement
from trainer.drill.score import Score
from trainer.drill.unrolling import score
from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import spread
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

RIGHT_NAME = "as it should be"
SPEED_WORDS = {1.0: "at cadence", 0.5: "at half speed", 0.25: "at quarter speed"}


class Take(NamedTuple):
    """One performance with its name."""

    name: str
    score: Score
    differ: tuple[tuple[str, float], ...] = ()


class Showing(NamedTuple):
    """What the player shows: a title, the right performance and, beside it, one that departs from it."""

    title: str
    right: Take
    flawed: Take | None = None
    differences: tuple[Difference, ...] = ()

    @property
    def takes(self) -> tuple[Take, ...]:
        """The performances, the right one first."""
        return (self.right, self.flawed) if self.flawed else (self.right,)


def showing(
    deck: Deck, movement: Movement, fault: Fault | None = None, stance: str | None = None, foot: str = LEFT
) -> Showing:
    """Return a movement to be played, beside it one of its faults if that can be played."""
    if fault is None or not fault.shows:
        return Showing(movement.name, Take(RIGHT_NAME, score(deck, movement, stance, foot)))
    return beside(movement.name, compare(deck, movement, fault, stance, foot), fault.tell)


def beside(title: str, comparison: Comparison, name: str) -> Showing:
    """Return a right and a flawed performance to be played side by side."""
    differ = tuple((one.part, one.beat) for one in comparison.differences)
    return Showing(
        title, Take(RIGHT_NAME, comparison.right), Take(name, comparison.flawed, differ), comparison.differences
    )


def head_rows(shown: Showing, flawed: bool, speed: float, cadence: float, width: int) -> list[Row]:
    """Return the title beside the speed, and beneath it which performance the strip shows.

    Args:
        shown: what is played.
        flawed: whether the strip shows the flawed one.
        speed: a factor of the cadence.
        cadence: beats a minute where it stands.
        width: cells.
    """
    fast = f"{SPEED_WORDS[speed]}, {cadence * speed:g} beats a minute"
    title = clip(visible(shown.title), max(width - columns(fast) - 2, 8))
    told, role = f"the strip shows it {RIGHT_NAME}", FAINT
    if shown.flawed and flawed:
        told, role = f"the strip shows: {visible(shown.flawed.name)}", WRONG
    return [spread([Span(title, STRONG)], [Span(fast, FAINT)], width), (Span(clip(told, width), role),)]


def label_row(shown: Showing, number: int, beat: float | None, unit: str, width: int) -> Row:
    """Return the name of a side; that of the flawed one says what departs on this beat."""
    name = clip(visible(shown.takes[number].name), width)
    if not number or beat is None:
        return (Span(name, INK if shown.flawed else FAINT),)
    here = [text for beats, text in difference_lines(shown.differences, unit) if beat in beats]
    return (Span(clip("! " + "; ".join(map(visible, here)), width), WRONG) if here else Span(name, BRASS),)
