"""A made deck whose movements are called in every way there is, and calls struck on it."""

import random

from tests.drill.conftest import load
from trainer.drill.deck import Deck
from trainer.rhythm.exercise import LEVELS, Exercise, exercise
from trainer.rhythm.grid import Grid
from trainer.rhythm.timing import Strike

DECK = """
[deck]
id = "calling"
title = "Calling"
unit = "in"
[stance.halted]
[stance.marching]
cadence = 120
step = "30 in"
arms = "swing"
[stance."double time"]
cadence = 180
step = "30 in"
[stance."side step"]
cadence = 96
step = "12 in"
cycle = [ { foot = "right", place = "side" }, { foot = "left", place = "close" } ]
[stance."half step"]
cadence = 120
step = "15 in"
[[movement]]
id = "flank"
name = "Right flank"
from = ["marching"]
to = "marching"
called_on = "right"
turn = "90 right"
words = [
  { say = "Right flank", beat = -9, speaker = "grader" },
  { say = "Guard", beat = -4 },
  { say = "right flank", beat = -2 },
  { say = "MARCH", beat = 0, executes = true },
]
counts = [
  { beat = 1, foot = "left", place = "step" },
  { beat = 2, foot = "right", place = "step", turn = "90 right" },
]
[[movement]]
id = "halt"
name = "Halt"
from = ["marching", "double time"]
to = "halted"
called_on = "either"
turn = "none"
words = [ { say = "Élan", beat = -3 }, { say = "HALT", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "other", place = "step" }, { beat = 2, foot = "same", place = "close" } ]
[[movement]]
id = "off"
name = "Step off"
from = ["halted"]
to = "double time"
called_on = "halted"
turn = "none"
words = [ { say = "Double", beat = -2 }, { say = "MARCH", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "left", place = "step" } ]
[[movement]]
id = "side-halt"
name = "Side halt"
from = ["side step"]
to = "halted"
called_on = "together"
turn = "none"
words = [ { say = "Squad", beat = -3 }, { say = "HALT", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "right", place = "side" }, { beat = 2, foot = "left", place = "close" } ]
[[movement]]
id = "drum"
name = "Drum halt"
from = ["half step"]
to = "halted"
cued_by = "drum"
called_on = "right"
turn = "none"
cues = [ { beat = 0, sound = "single" }, { beat = 1, sound = "double" } ]
counts = [ { beat = 2, foot = "right", place = "step" }, { beat = 3, foot = "left", place = "close" } ]
"""


def calling_deck() -> Deck:
    return load(DECK)


def made(movement: str, stance: str, level: int = 2, seed: int = 1) -> Exercise:
    deck = calling_deck()
    return exercise(deck, deck.movement(movement), stance, LEVELS[level - 1], random.Random(seed))


def flank_exercise(level: int = 2) -> Exercise:
    """A right flank whose grid begins with the left foot, so that odd beats are the right foot's."""
    return made("flank", "marching", level)._replace(first="left")


def struck(done: Exercise, grid: Grid, zero: int, late: float = 0.0) -> list[Strike]:
    """Return the strikes of a whole call with its word of execution on a beat of the grid."""
    keys = []
    for due in done.dues:
        time = grid.time_of(zero + due.beat)
        assert time is not None
        keys.append(Strike(time + late, due.letter if done.level.letters else " "))
    return keys
