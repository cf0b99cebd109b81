"""A small deck of an invented unit, as its author would write it."""

import tomllib

from trainer.authoring.building import build
from trainer.drill.deck import Deck

TEXT = """
[deck]
id = "quay-guard"
title = "Marching test, quay guard"
unit = "in"
sword = ["carry", "order"]

[stance.marching]
cadence = 120
step = "30 in"
arms = "swing"
[stance."half step"]
cadence = 120
step = "15 in"
[stance."side step"]
cadence = 120
step = "15 in"
cycle = [ { foot = "right", place = "side" }, { foot = "left", place = "close" } ]
[stance.halted]
arms = "still"

[grade_sheet]
pass = "75 %"
trials = 4
needed = 3
minors = ["right-flank", "left-flank", "change-step", "halt"]
majors = [ { id = "bearing", text = "Loses military bearing." } ]
retest_after = "24 h"

[[movement]]
id = "change-step"
name = "Change step, march"
from = ["marching"]
to = "marching"
called_on = "right"
source = "Quay order 1 (invented)"
words = [ { say = "Change step", beat = -2 }, { say = "MARCH", beat = 0, executes = true } ]
counts = [
  { beat = 1, foot = "left", place = "step", tell = "One more full step." },
  { beat = 1.5, foot = "right", place = "toe to heel", tell = "Toe to heel." },
  { beat = 2, foot = "left", place = "step", tell = "Off again." },
]
faults = [
  { id = "walked", tell = "The close takes a whole beat", shows = [
    { count = 2, beat = 2 }, { count = 3, beat = 3 },
  ] },
  { id = "flat", tell = "Command without inflection", seen_by = "grader" },
]

[[movement]]
id = "right-flank"
name = "Right flank, march"
from = ["marching"]
to = "marching"
called_on = "right"
turn = "90 right"
words = [
  { say = "Number one", beat = -8, speaker = "grader" },
  { say = "Right flank", beat = -2 },
  { say = "MARCH", beat = 0, executes = true },
]
counts = [
  { beat = 1, foot = "left", place = "step", tell = "One more step." },
  { beat = 2, foot = "right", place = "step", turn = "90 right", tell = "Turn and step off." },
]
faults = [ { id = "early", tell = "Turns a count early", shows = [
  { count = 1, turn = "90 right" }, { count = 2, turn = "none" },
] } ]

[[movement]]
id = "left-flank"
name = "Left flank, march"
from = ["marching"]
to = "marching"
called_on = "left"
turn = "90 left"
words = [ { say = "Left flank", beat = -2 }, { say = "MARCH", beat = 0, executes = true } ]
counts = [
  { beat = 1, foot = "right", place = "step", tell = "One more step." },
  { beat = 2, foot = "left", place = "step", turn = "90 left", tell = "Turn and step off." },
]

[[movement]]
id = "halt"
name = "Guard, halt"
from = ["marching"]
to = "halted"
called_on = "either"
words = [ { say = "Guard", beat = -2 }, { say = "HALT", beat = 0, executes = true } ]
counts = [
  { beat = 1, foot = "other", place = "step", tell = "One more step." },
  { beat = 2, foot = "same", place = "close", arms = "still", tell = "Close." },
]

[[movement]]
id = "side-halt"
name = "Guard, halt, from the side step"
from = ["side step"]
to = "halted"
called_on = "together"
words = [ { say = "Guard", beat = -2 }, { say = "HALT", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "right", place = "side" }, { beat = 2, foot = "left", place = "close" } ]

[[movement]]
id = "forward"
name = "Forward, march"
from = ["halted"]
to = "marching"
called_on = "halted"
words = [ { say = "Forward", beat = -2 }, { say = "MARCH", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "left", place = "step", arms = "swing", tell = "Step off." } ]

[[movement]]
id = "tap-halt"
name = "Tap halt"
from = ["half step"]
to = "halted"
cued_by = "drum"
called_on = "right"
cues = [ { beat = 0, sound = "single" }, { beat = 1, sound = "single" }, { beat = 2, sound = "single" } ]
counts = [
  { beat = 1, foot = "left", place = "step", length = "half", tell = "Half step." },
  { beat = 2, foot = "right", place = "close", contact = "slide", arms = "still", tell = "Close." },
]
"""


def sample(*changes: tuple[str, str]) -> Deck:
    """Return the deck, with passages of its text replaced."""
    text = TEXT
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return build(tomllib.loads(text))
