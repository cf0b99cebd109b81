"""Calling the step as an exercise: the level, the stance that goes on, what is due on which beat.

The candidate marches on in the stance that the movement starts from, and calls when he likes: the foot of each beat
is given, the moment is his.
"""

import math
import random
from typing import NamedTuple
from unicodedata import category, normalize

from trainer.drill.deck import Deck
from trainer.drill.feet import Anchor, cycle_row, foot_at_zero, settle_feet, stance_foot
from trainer.drill.movement import CLOSE, LEFT, RIGHT, Movement, Stance
from trainer.rhythm.grid import cadences, slowed

EITHER, SAME, OTHER, TOGETHER, APART = "either", "same", "other", "together", "apart"
PROMPT_ROOM = 4
"""Beats between the last word of the grader's prompt and the first word of the call: common practice, no source."""


class Level(NamedTuple):
    """One level: what helps, and whether the first letter of each word is typed rather than one key struck.

    `fades_after` is the number of steps after which neither feet nor beat are shown or heard; None if they stay.
    """

    number: int
    name: str
    slow: bool = False
    foot_named: bool = False
    feet_shown: bool = False
    letters: bool = False
    fades_after: int | None = None

    def shows(self, beat: float) -> bool:
        """Whether a beat, counted from the first step, is still to be seen and heard."""
        return self.fades_after is None or beat < self.fades_after

    def strikes(self, character: str | None) -> bool:
        """Whether a key that prints this calls a word: any sign where first letters are typed, else the space."""
        return character is not None and character.isprintable() and (character != " ") == self.letters


LEVELS = (
    Level(1, "slow, the foot of each word named", slow=True, foot_named=True, feet_shown=True),
    Level(2, "at cadence, the feet shown", feet_shown=True),
    Level(3, "at cadence, the beat alone", letters=True),
    Level(4, "a beat that fades after four steps", letters=True, fades_after=4),
)


class Due(NamedTuple):
    """One strike that is due: a word of the call or, in a movement that is cued and has none, a step of its counts.

    `beat` is counted from beat 0 of the movement; `number` is the word's or the count's, from 1. `foot` is left,
    right, either, same or other (than the word of execution), together or apart (heels), None where no foot strikes.
    """

    number: int
    say: str
    beat: float
    foot: str | None
    executes: bool = False

    @property
    def letter(self) -> str:
        """The key of its first letter."""
        return first_letter(self.say)


class Exercise(NamedTuple):
    """A movement to be called from a stance.

    `first` is the foot that strikes on beat 0 of the grid, None at the halt; `cadence` the beats a minute of the grid.
    `cue_at` is the beat of the grid on which the first cue falls, None for a movement that is called.
    """

    deck: Deck
    movement: Movement
    stance: Stance
    level: Level
    cadence: float
    first: str | None
    cue_at: int | None = None

    @property
    def speed(self) -> float:
        """The part of the usual cadence at which it runs."""
        return self.cadence / usual_cadence(self.deck, self.movement, self.stance)

    @property
    def moves(self) -> bool:
        """Whether feet strike while the call is waited for."""
        return self.stance.moves

    def foot_at(self, beat: int) -> str | None:
        """Return the foot that strikes on a beat of the grid while the stance goes on."""
        if self.stance.cycle:
            return self.stance.cycle[self._row(beat)].foot
        return Anchor(0, self.first).foot_at(beat) if self.first in (LEFT, RIGHT) else None

    def heels_at(self, beat: int) -> str | None:
        """Return whether the heels come together on a beat of the grid; None in a stance where they never do."""
        if self.stance.together is None:
            return None
        return TOGETHER if self.stance.cycle[self._row(beat)].place == CLOSE else APART

    def strong(self, beat: int) -> bool:
        """Whether a beat of the grid is a strong one: the left foot's, and every other one at the halt."""
        foot = self.foot_at(beat)
        return foot == LEFT if foot in (LEFT, RIGHT) else beat % 2 == 0

    @property
    def prompt(self) -> tuple[str, ...]:
        """What the grader says first: his words in the deck, else the name of the movement."""
        said = tuple(word.say for word in self.movement.words if word.speaker is not None)
        return said or (self.movement.name,)

    @property
    def room(self) -> int:
        """Beats that are left between the prompt and the first word: the deck's, else the usual ones."""
        grader = [word.beat for word in self.movement.words if word.speaker is not None]
        first = min((one.beat for one in self.dues), default=0.0)
        return max(math.ceil(first - max(grader)), 1) if grader and max(grader) < first else PROMPT_ROOM

    @property
    def by_steps(self) -> bool:
        """Whether steps are struck and not words: a movement to a drum that has no words."""
        return bool(self.movement.cued_by) and not self.movement.call

    @property
    def dues(self) -> tuple[Due, ...]:
        """What is to be struck, in order."""
        return _dues(self)

    def _row(self, beat: int) -> int:
        start = next((number for number, row in enumerate(self.stance.cycle) if row.foot == self.first), 0)
        return (start + beat) % len(self.stance.cycle)


def exercise(
    deck: Deck,
    movement: Movement,
    stance: str,
    level: Level,
    rng: random.Random,
    cadence: float | None = None,
) -> Exercise:
    """Return an exercise; which foot begins, and when a drum sets in, is drawn.

    Args:
        deck: the deck.
        movement: the movement.
        stance: the name of a stance that it starts from.
        level: the level.
        rng: what is drawn from.
        cadence: beats a minute at which it is practised; the middle of the stance's own if None. Slow levels slow it.

    Raises:
        KeyError: if the movement does not start from that stance.
    """
    if stance not in movement.from_stances:
        raise KeyError(stance)
    held = deck.stance(stance)
    wanted = cadence or usual_cadence(deck, movement, held)
    first = rng.choice((LEFT, RIGHT)) if held.moves else None
    made = Exercise(deck, movement, held, level, slowed(wanted) if level.slow else wanted, first)
    return made._replace(cue_at=_cue_beat(made, rng)) if movement.cued_by else made


def usual_cadence(deck: Deck, movement: Movement, stance: Stance) -> float:
    """Return the beats a minute at which a movement is called: of its stance, at the halt of the stance it leads to."""
    own = cadences(stance if stance.cadence else deck.stance(movement.to))
    return own[len(own) // 2]


def first_letter(word: str) -> str:
    """Return the key of a word's first letter: without case and accents; its first sign where it has no letter."""
    plain = normalize("NFD", word.strip().casefold())
    return next((sign for sign in plain if category(sign)[0] == "L"), plain[:1])


def _cue_beat(made: Exercise, rng: random.Random) -> int:
    """Return a beat for the first cue: past the prompt's room, not to be foreseen, on the foot that it belongs to."""
    beat = made.room + len(made.prompt) + rng.randrange(2, 8)
    foot = foot_at_zero(made.movement, made.stance, made.foot_at(beat) or LEFT)
    tries = range(beat, beat + 2 * max(len(made.stance.cycle), 2))
    if made.movement.called_on == TOGETHER:
        return next((one for one in tries if made.heels_at(one) == TOGETHER), beat)
    return next((one for one in tries if made.foot_at(one) == foot), beat)


def _dues(made: Exercise) -> tuple[Due, ...]:
    movement, stance = made.movement, made.stance
    zero = foot_at_zero(movement, stance)
    if made.by_steps:
        falls = settle_feet(movement, zero, stance)
        struck = [(number, fall) for number, fall in enumerate(falls, 1) if fall.strikes]
        return tuple(Due(number, str(fall.foot), fall.row.beat, fall.foot) for number, fall in struck)
    return tuple(
        Due(number, word.say, word.beat, _due_foot(movement, stance, zero, word.beat), word.executes)
        for number, word in enumerate(movement.call, 1)
    )


def _due_foot(movement: Movement, stance: Stance, zero: str | None, beat: float) -> str | None:
    if zero is None or beat != math.floor(beat):
        return None
    if movement.called_on == EITHER:
        return EITHER if beat == 0 else SAME if beat % 2 == 0 else OTHER
    if movement.called_on == TOGETHER:
        row = cycle_row(stance, movement, zero, int(beat))
        return None if row is None else TOGETHER if row.place == CLOSE else APART
    return stance_foot(stance, movement, zero, int(beat))
