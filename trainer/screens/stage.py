"""One performance as a screen plays it: strip, soles from above, the figure from the side, words, beat by beat.

Every picture is drawn before it is due. What stands at a time is a function of the clock alone.
"""

from collections.abc import Collection, Hashable, Iterator
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.describe import beat_number, describe_beat
from trainer.drill.gait import full_step
from trainer.drill.movement import BOTH, LEFT, RIGHT
from trainer.drill.score import Beat, Score
from trainer.plain import visible
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.axis import lay_axis
from trainer.screens.widgets.figure import Pose, draw_figure, pose_words
from trainer.screens.widgets.film import Draw
from trainer.screens.widgets.ground import lay_ground
from trainer.screens.widgets.soles import draw_soles
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, Row, Span
from trainer.screens.widgets.strip import Hidden, draw_pointer, draw_strip

USUAL_FULL = 30.0
"""Where no stance of a deck steps, the figure's legs need some length: inches, common practice, no source."""
FOOT_WORDS = {LEFT: "LEFT", RIGHT: "RIGHT", BOTH: "BOTH"}


class Mark(NamedTuple):
    """What stands at a time: the number of a beat, and how many of `parts` columns have passed to the next."""

    number: int
    column: int = 0
    parts: int = 1

    @property
    def passing(self) -> bool:
        """Whether half of the way to the next beat is done."""
        return self.column * 2 >= self.parts > 1


class Stage:
    """A score with everything that is drawn of it.

    Args:
        deck: the deck.
        score: the performance.
        differ: parts and beats that depart from the standard.
        hide: parts and beats that are not to be seen in the strip.
        numbered: whether prints carry foot and beat.
    """

    def __init__(
        self,
        deck: Deck,
        score: Score,
        differ: Collection[tuple[str, float]] = (),
        hide: Collection[Hidden] = (),
        numbered: bool = True,
    ) -> None:
        self.deck, self.score = deck, score
        self.differ, self.hide = frozenset(differ), tuple(hide)
        self.ground = lay_ground(deck, score)
        self._numbered = numbered
        self._full = full_step(deck)
        self._feet = [beat.strikes for beat in score.beats]

    @property
    def beats(self) -> tuple[Beat, ...]:
        """The beats of the score."""
        return self.score.beats

    def marks(self) -> Iterator[Hashable]:
        """Yield the keys of every beat, for what changes on beats only."""
        yield from range(len(self.beats))

    def parts(self, index: int, width: int) -> int:
        """Return how many columns of a strip lie between a beat and the next."""
        beats = self.beats
        if index + 1 >= len(beats):
            return lay_axis(self.score, width, beats[index].beat).width
        apart = beats[index + 1].beat - beats[index].beat
        return max(round(apart * lay_axis(self.score, width, beats[index].beat).width), 1)

    def strip(self, key: Hashable) -> Draw:
        """Return the strip under its pointer's line; the key is the number of a beat."""
        beat = self._beat(key).beat

        def draw(width: int, height: int) -> list[Row]:  # noqa: ARG001
            rows = draw_strip(
                self.score,
                beat,
                width,
                hide=self.hide,
                differ=self.differ,
                full=self._full,
                unit=self.deck.unit,
            )
            return rows[1:]

        return draw

    def strip_height(self, width: int) -> int:
        """Return the most rows that any page of the strip takes under its pointer's line."""
        pages = {lay_axis(self.score, width, beat.beat): number for number, beat in enumerate(self.beats)}
        return max(len(self.strip(number)(width, 0)) for number in pages.values())

    def pointer(self, key: Hashable) -> Draw:
        """Return the line of the pointer; the key is a `Mark`."""
        mark = key if isinstance(key, Mark) else Mark(0)
        here = self.beats[mark.number].beat
        after = self.beats[mark.number + 1].beat if mark.number + 1 < len(self.beats) else here + 1.0
        at = here + (after - here) * mark.column / mark.parts
        # The pointer stays in front of the next beat until that beat is there.
        return lambda width, _: [draw_pointer(self.score, at, width, differ=self.differ)]

    def soles(self, key: Hashable) -> Draw:
        """Return the soles from above; the key is the number of a beat."""
        beat = self._beat(key).beat
        return lambda width, height: draw_soles(self.ground, beat, width, height, numbered=self._numbered)

    def figure(self, key: Hashable) -> Draw:
        """Return the figure with its arms and heading in words; the key: number of a beat, whether a foot passes."""
        index, passing = key if isinstance(key, tuple) else (0, False)
        pose = Pose(self.ground.treads[index], self.beats[index], self._next_foot(index) if passing else None)
        full = self._full or USUAL_FULL

        def draw(width: int, height: int) -> list[Row]:
            words = pose_words(pose)
            room = max(height - len(words), 3)
            return [*draw_figure(pose, full, width, min(room, width * 2 // 3 + 1)), *words][:height]

        return draw

    def word(self, key: Hashable) -> Draw:
        """Return the foot of a beat as one word, for who wants no movement; the key is the number of a beat."""
        beat = self._beat(key)
        foot = FOOT_WORDS.get(beat.strikes or "", "-")
        said = " ".join(visible(word.say) for word in beat.said)
        row = [Span(f"beat {beat_number(beat.beat):<5}", FAINT), Span(f"{foot:<7}", BRASS), Span(said, STRONG)]
        return lambda *_: [tuple(row)]

    def tells(self, key: Hashable) -> Draw:
        """Return what happens on a beat in words; the key is the number of a beat."""
        index = key if isinstance(key, int) else 0
        beat, before = self.beats[index], self.beats[index - 1] if index else None
        said = "; ".join(visible(text) for text in describe_beat(beat, before, self.deck.unit))
        voice = " ".join(visible(word.say) for word in beat.said)
        cues = " ".join(visible(cue) for cue in beat.cues)
        counts = " and ".join(map(str, beat.counts))
        head = [Span(f"beat {beat_number(beat.beat)}" + (f", count {counts}" if counts else ""), BRASS)]
        if voice or cues:
            head.append(Span(f"  {voice or cues}", STRONG))

        def draw(width: int, height: int) -> list[Row]:
            lines = wrapped(said[:1].upper() + said[1:] + ".", max(width, 8))
            return [tuple(head), *((Span(line, INK),) for line in lines)][: height or None]

        return draw

    def _beat(self, key: Hashable) -> Beat:
        return self.beats[key if isinstance(key, int) else 0]

    def _next_foot(self, index: int) -> str | None:
        feet = [foot for foot in self._feet[index + 1 : index + 2] if foot in (LEFT, RIGHT)]
        return feet[0] if feet else None
