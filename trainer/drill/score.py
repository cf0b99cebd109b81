"""Movement to Score: what voice, feet, arms, sword and body do, beat by beat."""

from typing import NamedTuple

from trainer.drill.feet import Footfall
from trainer.drill.length import Length
from trainer.drill.movement import (
    BOTH,
    PIVOT,
    STAYS,
    Cue,
    Stance,
    Word,
)

USUAL_CADENCE = 120.0
"""Steps a minute where no stance of a movement states a cadence: TC 3-21.5, 2012, 4-5."""


class FootAct(NamedTuple):
    """What one foot (or both) does on one beat; `length` is in the deck's unit.

    `steady` marks a footfall of a stance: there, in place means beside the other foot.
    """

    foot: str
    place: str
    length: float = 0.0
    against: str | None = None
    contact: str | None = None
    lift: Length | None = None
    toes: float | None = None
    steady: bool = False


class Beat(NamedTuple):
    """One beat: what happens on it and the state of the arms and the sword after it.

    `acts` are in the order in which they happen, after `turn` (degrees clockwise, of the body). `counts`
    are the numbers of the movement's counts on this beat, from 1; none in a steady stance.
    """

    beat: float
    said: tuple[Word, ...] = ()
    cues: tuple[str, ...] = ()
    acts: tuple[FootAct, ...] = ()
    turn: float = 0.0
    left_arm: str = "still"
    right_arm: str = "still"
    sword: str | None = None
    cadence: float = USUAL_CADENCE
    counts: tuple[int, ...] = ()

    @property
    def strikes(self) -> str | None:
        """The foot that comes down on this beat: left, right, both or None."""
        feet = {act.foot for act in self.acts if act.place not in (PIVOT, STAYS)}
        if len(feet) > 1:
            return BOTH
        return feet.pop() if feet else None

    @property
    def place(self) -> str | None:
        """The place of the footfall, else of whatever the feet do."""
        places = [act.place for act in self.acts]
        striking = [place for place in places if place not in (PIVOT, STAYS)]
        return next(iter(striking or places), None)


class Score(NamedTuple):
    """One performance, from a steady stance before the first word to the steady stance after."""

    movement: str
    from_stance: str
    to: str
    at_zero: str | None
    beats: tuple[Beat, ...]
    falls: tuple[Footfall, ...]
    leads_next: str | None

    def at(self, beat: float) -> Beat:
        """Return the beat of that number.

        Raises:
            KeyError: if the score has none.
        """
        for entry in self.beats:
            if entry.beat == beat:
                return entry
        raise KeyError(beat)

    @property
    def last_count(self) -> float:
        """The beat of the last count."""
        return max((fall.row.beat for fall in self.falls), default=0.0)


class Performance(NamedTuple):
    """A movement as somebody performs it: right, or with a fault applied.

    `silent` are beats on which a dropped count leaves nothing. `tempo` is a factor of the cadence.
    """

    words: tuple[Word, ...]
    cues: tuple[Cue, ...]
    falls: tuple[Footfall, ...]
    before: Stance
    after: Stance
    silent: frozenset[float] = frozenset()
    tempo: float = 1.0
