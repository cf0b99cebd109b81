"""The deck to begin with: sound, in the right order, with a comment where an author hesitates."""

import re

from trainer.paths import shipped_decks
from trainer.plain import visible

SCHEMA_FILE = "deck.schema.json"
USUAL_TITLE = "Marching test, our unit"

_TEMPLATE = """#:schema @SCHEMA@
# A deck: one standard, its movements and its grade sheet. Everything below is an example: overwrite it.
#
#   stepcall deck check FILE     says what is wrong, by line
#   stepcall deck show FILE      shows what the program makes of it
#
# How it is written:
#   Text stands in straight quotes: "…". Numbers, true and false stand without.
#   A block begins with its name in brackets and ends where the next one begins.
#   A row { … } stays on one line. Between rows, and between the names in a row, there is a comma.
#
# Time is counted in beats, one beat is one footfall. Beat 0 is the word of execution; words before it have
# negative beats, counts after it positive ones, and half beats like 1.5 are allowed.

[deck]
id = "@ID@"              # small letters, digits and hyphens; never change it once people have practised
title = "@TITLE@"
unit = "in"                        # in, ft, cm or m: what the program shows lengths in
sources = [
  "Name your standard here: document, edition, date.",
]
cautions = [
  "Drill on level, dry ground, and keep your distance from the next man.",
  "Stop at once on pain or dizziness. Your unit's standard and its qualified instructors come first.",
]

# A stance is what the body does on every beat until the next command. One without step, lift or cycle stands still.
[stance.halted]
arms = "still"                     # swing, pinned or still; or left_arm and right_arm apart

[stance.marching]
cadence = 120                      # steps a minute, or a range: [100, 120]
step = "30 in"                     # every length has its unit
arms = "swing"

# How the test is decided. The minors are ids of movements below, a major is a rule that must not be broken.
[grade_sheet]
pass = "75 %"                      # the share of the minors that must be GO; or "8 of 9"
trials = 4                         # times that each minor is tried
needed = 3                         # times that it must be right
minors = ["step-off", "change-step"]
majors = [
  { id = "bearing", text = "Loses bearing." },
]
retest_after = "24 h"              # leave it out if the standard sets no wait
stop_when_decided = true           # false: every trial is made, also once a minor is GO or NO-GO
sequence = "free"                  # graded: the minors are graded in the order written here
bad_prompt = "grader"              # who rules that a prompt was bad, so that its trial does not count

# A movement from the halt: no foot strikes on the word of execution, so the first count says its foot.
[[movement]]
id = "step-off"
name = "Forward, march"
from = ["halted"]                  # the stances it can be called from
to = "marching"                    # the stance it ends in
called_on = "halted"
turn = "none"                      # the whole turn, checked against the counts: "none", "90 right", "180 left"
source = "Your standard, edition, paragraph"
words = [
  { say = "Forward", beat = -2 },
  { say = "MARCH", beat = 0, executes = true },
]
counts = [
  { beat = 1, foot = "left", place = "step", tell = "Step off with the left foot, a full step." },
]
faults = [
  # A fault that shows can be played: shows is a list of what differs from the movement above.
  { id = "wrong-foot", tell = "Steps off with the right foot", shows = [ { count = 1, foot = "right" } ] },
  { id = "late", tell = "Steps off a beat late", shows = [ { count = 1, later = 1 } ] },
  { id = "arms-hang", tell = "The arms do not swing", shows = [ { stance = "after", arms = "still" } ] },
  { id = "run-together", tell = "The two words run together", shows = [ { word = 1, beat = -1 } ] },
  # A fault that does not show is asked, not played: say who sees or hears it.
  { id = "flat", tell = "The word of execution has no snap", seen_by = "grader" },
]

# A movement on the march: called_on is the foot that strikes on the word of execution. Feet alternate from there,
# so every other foot follows; one that you write as well is checked.
[[movement]]
id = "change-step"
name = "Change step, march"
from = ["marching"]
to = "marching"
called_on = "right"                # right, left, either, together (the heels) or halted
turn = "none"
source = "Your standard, edition, paragraph"
words = [
  { say = "Change step", beat = -2, foot = "right" },
  { say = "MARCH", beat = 0, foot = "right", executes = true },
]
# place: step, back, side, in place, close, T, toe to heel, pivot or stays
# length: "full" (as if left out), "half", or a length with its unit; contact: slide, ball or heel
counts = [
  { beat = 1, foot = "left", place = "step", tell = "One more full step with the left foot." },
  { beat = 1.5, foot = "right", place = "toe to heel", tell = "The right toe to the left heel, half a beat later." },
  { beat = 2, foot = "left", place = "step", tell = "Step off again with the left foot." },
]
faults = [
  { id = "walked", tell = "Closes on a whole beat", shows = [ { count = 2, beat = 2 }, { count = 3, beat = 3 } ] },
  { id = "left-out", tell = "There is no close at all", shows = [ { count = 2, drop = true } ] },
  { id = "short", tell = "The last step is short", shows = [ { count = 3, length = "half" } ] },
  { id = "stiff", tell = "The arms hang while the feet change", shows = [ { count = "every", arms = "still" } ] },
  { id = "slow", tell = "The beat is too slow", shows = [ { tempo = "-5 %" } ] },
  { id = "wrong-word", tell = "Says another word", shows = [ { word = 1, say = "Change feet" } ] },
]
"""


def template(title: str = USUAL_TITLE, deck_id: str | None = None) -> str:
    """Return the text of a new deck.

    Args:
        title: the deck's title.
        deck_id: its id, made from the title if None.
    """
    text = _TEMPLATE.replace("@SCHEMA@", schema_place()).replace("@ID@", deck_id or id_from(title))
    return text.replace("@TITLE@", visible(title).replace("\\", "\\\\").replace('"', '\\"'))


def schema_place() -> str:
    """Return where an editor finds the JSON Schema of this program's decks."""
    return (shipped_decks() / SCHEMA_FILE).as_uri()


def id_from(title: str) -> str:
    """Return an id made of the letters and digits of a title."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")[:60].strip("-") or "our-unit"
