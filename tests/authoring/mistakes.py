"""Mistakes that authors make: what they change in a sound deck, where it shows, and what they are told."""

from typing import NamedTuple


class Mistake(NamedTuple):
    """`old` becomes `new`; the complaint stands in the line of `at` (in `new` if not said) and holds `told`."""

    name: str
    old: str
    new: str
    told: str
    at: str | None = None


FLANK_WORDS = """  { say = "Right flank", beat = -2, foot = "right" },
  { say = "WHEEL", beat = 0, foot = "right", executes = true },"""
FLANK_COUNTS = """  { beat = 1, foot = "left", place = "step", length = "12 in" },
  { beat = 2, foot = "right", place = "step", turn = "90 right", sword = "carry" },"""

WRITING = [
    Mistake("typographic quotes", '"Guard, halt"', "“Guard, halt”", "typographic quote"),
    Mistake(
        "no quotes",
        'to = "halted"\ncalled_on = "either"',
        'to = halted\ncalled_on = "either"',
        "straight quotes",
        "to = halted",
    ),
    Mistake("comma between rows", '"Side", beat = -2 },', '"Side", beat = -2 }', "comma is missing", 'say = "STAND"'),
    Mistake("comma in a row", '"STAND", beat = 0', '"STAND" beat = 0', "comma is missing"),
    Mistake("colon", 'id = "halt"', 'id: "halt"', "write = instead of :"),
    Mistake("quote left open", '"Guard, halt"', '"Guard, halt', "not closed in its line"),
    Mistake("list left open", '"Level, dry ground."]', '"Level, dry ground."', "not closed", "cautions ="),
    Mistake("row over two lines", '"Side", beat = -2 },', '"Side",\n beat = -2 },', "same line", '"Side",'),
    Mistake(
        "name given twice",
        'to = "halted"\ncalled_on = "either"',
        'to = "halted"\nto = "halted"\ncalled_on = "either"',
        "given twice",
        'to = "halted"\ncalled_on = "either"',
    ),
    Mistake(
        "stance given twice",
        '[stance."marking time"]',
        "[stance.halted]",
        "opened twice",
        "[stance.halted]\ncadence = 120",
    ),
    Mistake("a date", '"Guard, halt"', "2026-07-01", "no dates"),
    Mistake("hidden character", "Guard, halt", "Guard,\\u200b halt", "U+200B"),
    Mistake(
        "True",
        'say = "STAND", beat = 0, executes = true',
        'say = "STAND", beat = 0, executes = True',
        "true or false, in small letters",
    ),
]

NAMES = [
    Mistake(
        "unknown in a count",
        'length = "12 in" },\n  { beat = 2',
        'lenght = "12 in" },\n  { beat = 2',
        "Did you mean 'length'?",
        "lenght",
    ),
    Mistake("unknown in a word", '{ say = "Side", beat', '{ sya = "Side", say = "Side", beat', "Did you mean 'say'?"),
    Mistake("unknown in a cue", 'sound = "double"', 'sound = "double", sond = "x"', "Did you mean 'sound'?"),
    Mistake("unknown in a fault", 'seen_by = "grader"', 'seen_by = "grader", seen = "x"', "Did you mean 'seen_by'?"),
    Mistake(
        "unknown in a change", "{ count = 1, later = 1 }", "{ count = 1, later = 1, latr = 1 }", "Did you mean 'later'?"
    ),
    Mistake("unknown in a stance", 'lift = "2 in"', 'lift = "2 in"\nlfit = "2 in"', "Did you mean 'lift'?", "lfit"),
    Mistake(
        "unknown in a cycle",
        '{ foot = "right", place = "side" },\n  { foot = "left"',
        '{ foot = "right", place = "side", plac = "side" },\n  { foot = "left"',
        "Did you mean 'place'?",
        "plac =",
    ),
    Mistake("unknown in the sheet", "trials = 4", "trials = 4\ntrial = 4", "Did you mean 'trials'?", "trial ="),
    Mistake(
        "unknown in a major", 'text = "Loses bearing."', 'text = "Loses bearing.", txt = "x"', "Did you mean 'text'?"
    ),
    Mistake("unknown in the head", 'unit = "in"', 'unit = "in"\nunits = "in"', "Did you mean 'unit'?", "units"),
    Mistake("unknown in the sole", 'ball = "9 in"', 'ball = "9 in", bal = "9 in"', "Did you mean 'ball'?"),
    Mistake(
        "unknown in a movement",
        'cued_by = "drum"',
        'cued_by = "drum"\ncue_by = "drum"',
        "Did you mean 'cued_by'?",
        "cue_by",
    ),
    Mistake("unknown block", "[grade_sheet]", "[grade]\n[grade_sheet]", "Did you mean 'grade_sheet'?", "[grade]"),
    Mistake("nothing near", 'cued_by = "drum"', 'cued_by = "drum"\nzzz = 1', "Known here: id, name, from", "zzz"),
    Mistake(
        "feet for foot",
        '{ beat = 1, foot = "other"',
        '{ feet = "left", beat = 1, foot = "other"',
        "Did you mean 'foot'?",
    ),
    Mistake("source in a count", 'tell = "Off with the left foot."', 'source = "1"', "belongs to the [[movement]]"),
    Mistake("source in a fault", 'seen_by = "grader"', 'seen_by = "grader", source = "1"', "above its counts"),
    Mistake("drop outside shows", 'seen_by = "grader"', 'seen_by = "grader", drop = true', "shows = [ … ]"),
    Mistake(
        "tell in a change",
        "{ count = 1, later = 1 }",
        '{ count = 1, later = 1, tell = "x" }',
        "belongs to a row of faults",
    ),
    Mistake(
        "step in a count",
        'place = "step" },\n  { beat = 2, foot = "right", place = "close" }',
        'place = "step", step = "1 in" },\n  { beat = 2, foot = "right", place = "close" }',
        "a [stance.…]",
        'step = "1 in"',
    ),
    Mistake(
        "cautions in a movement",
        'cued_by = "drum"',
        'cued_by = "drum"\ncautions = ["x"]',
        "belongs to [deck]",
        'cautions = ["x"]',
    ),
    Mistake("title at the top", "[deck]\n", 'title = "x"\n[deck]\n', "move it below the line [deck]", 'title = "x"'),
    Mistake(
        "foot in the movement",
        'cued_by = "drum"',
        'cued_by = "drum"\nfoot = "left"',
        "a row of counts",
        'foot = "left"\ncues',
    ),
]

MISSING = [
    Mistake("title", 'title = "Marching test, Gate Guard"\n', "", "'title' is missing in [deck]", "[deck]"),
    Mistake(
        "to",
        'from = ["side step right"]\nto = "halted"\n',
        'from = ["side step right"]\n',
        "'to' is missing in the [[movement]]",
        '[[movement]]\nid = "side-halt"',
    ),
    Mistake("beat", '{ say = "Side", beat = -2 }', '{ say = "Side" }', "'beat' is missing in a row of words"),
    Mistake("tell", 'tell = "No snap", ', "", "'tell' is missing in a row of faults", '"off-flat"'),
    Mistake("needed", "needed = 3\n", "", "'needed' is missing in [grade_sheet]", "[grade_sheet]"),
]

VALUES = [
    Mistake("unit", 'unit = "in"', 'unit = "inch"', "one of in, ft, cm, m"),
    Mistake("called_on", 'called_on = "together"', 'called_on = "togehter"', "Did you mean 'together'?"),
    Mistake("foot", 'foot = "other"', 'foot = "othr"', "one of left, right, same, other, both"),
    Mistake("foot of a word", 'beat = -2, foot = "right"', 'beat = -2, foot = "rigth"', "Did you mean 'right'?"),
    Mistake(
        "foot of a cue", 'beat = 0, sound = "single"', 'beat = 0, foot = "both", sound = "single"', "one of left, right"
    ),
    Mistake("place", 'foot = "other", place = "step"', 'foot = "other", place = "stpe"', "Did you mean 'step'?"),
    Mistake(
        "contact", '"same", place = "close"', '"same", place = "close", contact = "toe"', "one of slide, ball, heel"
    ),
    Mistake("against", '"same", place = "close"', '"same", place = "close", against = "ball"', "one of toe, heel"),
    Mistake("arms", '"close", arms = "still"', '"close", arms = "stil"', "Did you mean 'still'?"),
    Mistake("left arm", '"close", arms = "still"', '"close", left_arm = "up"', "one of swing, pinned, still"),
    Mistake("count every", "{ count = 1, later = 1 }", '{ count = "evry", drop = true }', "Did you mean 'every'?"),
    Mistake("count 0", "{ count = 1, later = 1 }", "{ count = 0, later = 1 }", "from 1 to 64"),
    Mistake("stance after", "{ count = 1, later = 1 }", '{ stance = "before", arms = "still" }', "can only be 'after'"),
    Mistake("drop", "{ count = 1, later = 1 }", "{ count = 1, drop = false }", "drop = true"),
    Mistake("id", 'id = "side-halt"', 'id = "Side Halt"', "Did you mean 'side-halt'?"),
    Mistake("empty name", '"Guard, halt"', '""', "is empty"),
    Mistake("blank name", '"Guard, halt"', '"  "', "nothing but spaces"),
    Mistake(
        "no counts",
        '[\n  { beat = 1, foot = "left", place = "step", tell = "Off with the left foot." },\n]',
        "[]",
        "'counts' is empty",
    ),
    Mistake("text for a list", 'from = ["side step right"]', 'from = "side step right"', "put it in [ ]"),
    Mistake("row for a list", 'sources = ["Gate Order 1 (invented)"]', "sources = { a = 1 }", "list of rows"),
    Mistake("list for a text", 'name = "Guard, halt"', 'name = ["Guard, halt"]', "take the [ ] away"),
    Mistake("number for a text", 'pass = "75 %"', "pass = 75", 'like "75 %"'),
    Mistake(
        "number for a length",
        'shows = [ { count = 1, length = "full" } ]',
        "shows = [ { count = 1, length = 30 } ]",
        'like "30 in"',
    ),
    Mistake(
        "every count in its own way", "{ count = 1, later = 1 }", '{ counts = "every", later = 1 }', 'count = "every"'
    ),
    Mistake(
        "the stance after in its own way",
        "{ count = 1, later = 1 }",
        '{ after = true, lift = "1 in" }',
        'stance = "after"',
    ),
    Mistake("text for a number", "trials = 4", 'trials = "4"', "whole number without quotes"),
    Mistake("fraction of a trial", "trials = 4", "trials = 4.5", "whole number"),
    Mistake("text for a beat", 'say = "Side", beat = -2', 'say = "Side", beat = "-2"', "number without quotes"),
    Mistake(
        "text for a switch",
        '"STAND", beat = 0, executes = true',
        '"STAND", beat = 0, executes = "true"',
        "true or false, without quotes",
    ),
    Mistake(
        "number for a switch", '"STAND", beat = 0, executes = true', '"STAND", beat = 0, executes = 1', "true or false"
    ),
    Mistake("text for a row", 'text = "Leaves the surface." }', 'text = "Leaves the surface." }, "x"', "row in braces"),
    Mistake("quarter of a beat", 'beat = 2, foot = "same"', 'beat = 2.25, foot = "same"', "whole or a half number"),
    Mistake("far beat", 'say = "Side", beat = -2', 'say = "Side", beat = -200', "at least -64"),
    Mistake("length without unit", 'lift = "2 in"', 'lift = "2"', "a number and a unit"),
    Mistake("unknown unit", 'step = "30 in"', 'step = "30 inches"', "units: in, ft, cm, m"),
    Mistake("turn", 'turn = "90 right"\n', 'turn = "right 90"\n', '"90 right"'),
    Mistake("cadence in words", "cadence = [100, 120]", 'cadence = "quick"', "a range of two"),
    Mistake("cadence of one", "cadence = [100, 120]", "cadence = [100]", "a range of two"),
    Mistake("cadence too slow", "cadence = 100\n", "cadence = 2\n", "at least 20"),
    Mistake("range reversed", "cadence = [100, 120]", "cadence = [120, 100]", "starts with the slower"),
    Mistake("share over the whole", 'pass = "75 %"', 'pass = "175 %"', "not above 100 %"),
    Mistake("no trials", "trials = 4", "trials = 0", "at least 1"),
    Mistake("wait", 'retest_after = "24 h"', 'retest_after = "a day"', '"24 h" or "2 d"'),
    Mistake("tempo", "{ count = 1, later = 1 }", '{ tempo = "faster" }', '"+4 %"'),
]

CHANGES = [
    Mistake("no target", "{ count = 1, later = 1 }", "{ later = 1 }", "names one thing that it changes"),
    Mistake("two targets", "{ count = 1, later = 1 }", "{ count = 1, word = 1, later = 1 }", "names one thing"),
    Mistake("nothing set", "{ count = 1, later = 1 }", "{ count = 1 }", "not what changes on it"),
    Mistake(
        "place of a word",
        "{ count = 1, later = 1 }",
        '{ word = 1, beat = -1, place = "step" }',
        "nothing that a word has",
    ),
    Mistake("say of a cue", "{ count = 1, later = 1 }", '{ cue = 1, say = "x" }', "nothing that a cue has"),
    Mistake("beat of a tempo", "{ count = 1, later = 1 }", '{ tempo = "+4 %", beat = 1 }', "stands alone"),
    Mistake(
        "foot of a stance",
        "{ count = 1, later = 1 }",
        '{ stance = "after", foot = "left" }',
        "nothing that a stance has",
    ),
    Mistake("step of a count", "{ count = 1, later = 1 }", '{ count = 1, step = "2 in" }', "nothing that a count has"),
    Mistake("later with more", "{ count = 1, later = 1 }", '{ count = 1, later = 1, arms = "still" }', "stands alone"),
    Mistake("later by nothing", "{ count = 1, later = 1 }", "{ count = 1, later = 0 }", "moves nothing"),
    Mistake("count that is not there", "{ count = 1, later = 1 }", "{ count = 9, drop = true }", "there is no count 9"),
    Mistake("word that is not there", "{ count = 1, later = 1 }", "{ word = 3, beat = -1 }", "there is no word 3"),
    Mistake("cue that is not there", "{ count = 1, later = 1 }", "{ cue = 1, drop = true }", "has none"),
    Mistake("changes nothing", "{ count = 1, later = 1 }", '{ count = 1, foot = "left" }', "changes nothing"),
    Mistake("neither shown nor seen", ', seen_by = "grader"', "", "how it shows nor who sees it", '"off-flat"'),
    Mistake("before the command", "{ count = 1, later = 1 }", "{ count = 1, beat = -1 }", "to or before beat 0"),
    Mistake("sword of a change", "{ count = 1, later = 1 }", '{ count = 1, sword = "cary" }', "Did you mean 'carry'?"),
]

TRADE = [
    Mistake(
        "movement twice",
        'id = "side-halt"',
        'id = "halt"',
        "the movement 'halt' is there twice",
        'id = "halt"\nname = "Halt from',
    ),
    Mistake(
        "fault twice",
        '"flank-wide"',
        '"flank-small"',
        "the fault 'flank-small' is there twice",
        'tell = "Full step first"',
    ),
    Mistake(
        "minor twice", '"right-flank", "halt"]', '"right-flank", "halt", "halt"]', "minor measure 'halt' is there twice"
    ),
    Mistake("major twice", '"surface"', '"bearing"', "major measure 'bearing' is there twice", "Leaves the surface"),
    Mistake("major like a minor", '"surface"', '"halt"', "minor measure already", "Leaves the surface"),
    Mistake("reserved id", 'id = "side-halt"', 'id = "grade-sheet"', "kept for"),
    Mistake(
        "stance twice", 'from = ["side step right"]', 'from = ["side step right", "side step right"]', "there twice"
    ),
    Mistake(
        "stance unknown", 'from = ["side step right"]', 'from = ["side step rigth"]', "Did you mean 'side step right'?"
    ),
    Mistake(
        "to unknown",
        'to = "halted"\ncalled_on = "together"',
        'to = "stopped"\ncalled_on = "together"',
        "there is no [stance] called 'stopped'",
        'to = "stopped"',
    ),
    Mistake(
        "measure without movement", '"right-flank", "halt"]', '"right-flnk", "halt"]', "Did you mean 'right-flank'?"
    ),
    Mistake("needed over trials", "needed = 3", "needed = 5", "only 4 trials"),
    Mistake(
        "no executing word",
        '"STAND", beat = 0, executes = true',
        '"STAND", beat = 0',
        "no word that executes",
        'words = [\n  { say = "Side"',
    ),
    Mistake(
        "two executing words",
        '"Side", beat = -2',
        '"Side", beat = -2, executes = true',
        "only one word",
    ),
    Mistake("executes off beat 0", '"MARCH", beat = 0', '"MARCH", beat = 1', "stands on beat 0"),
    Mistake(
        "executed by another", '"MARCH", beat = 0', '"MARCH", speaker = "grader", beat = 0', "leave the speaker out"
    ),
    Mistake("word after", '"Side", beat = -2', '"Side", beat = 2', "negative beats"),
    Mistake(
        "two words at once",
        '"Side", beat = -2 },',
        '"Side", beat = -2 },\n  { say = "step", beat = -2 },',
        "both on beat -2",
        'say = "step"',
    ),
    Mistake("count on beat 0", 'beat = 1, foot = "other"', 'beat = 0, foot = "other"', "counts come after beat 0"),
    Mistake(
        "counts out of order",
        'beat = 1, foot = "right", place = "side"',
        'beat = 3, foot = "right", place = "side"',
        "in their order",
        'beat = 2, foot = "left", place = "close" },\n]\n\n[[movement]]\nid = "drum',
    ),
    Mistake(
        "foot without place",
        ', place = "side" },\n  { beat = 2, foot = "left"',
        ' },\n  { beat = 2, foot = "left"',
        "add a place",
        'beat = 1, foot = "right" }',
    ),
    Mistake(
        "length of a close", '"same", place = "close"', '"same", place = "close", length = "half"', "a length goes with"
    ),
    Mistake(
        "against a step", '"other", place = "step"', '"other", place = "step", against = "toe"', "goes with the place"
    ),
    Mistake("sword not listed", 'sword = "carry"', 'sword = "carri"', "Did you mean 'carry'?"),
    Mistake("cue not first", 'beat = 0, sound = "single"', 'beat = 2, sound = "single"', "its first cue, beat 0"),
    Mistake("cue twice", 'beat = 1, sound = "double"', 'beat = 0, sound = "double"', "a cue on beat 0 already"),
    Mistake(
        "needs together, no close",
        'from = ["marching"]\nto = "halted"\ncalled_on = "either"',
        'from = ["marking time"]\nto = "halted"\ncalled_on = "together"',
        "give that stance a cycle with a close",
        'called_on = "together"\nturn',
    ),
    Mistake("halted on the march", 'from = ["halted"]', 'from = ["halted", "marching"]', "in 'marching' the feet move"),
    Mistake(
        "called on a foot at the halt",
        'called_on = "halted"',
        'called_on = "left"',
        "no foot strikes",
        'from = ["halted"]',
    ),
    Mistake(
        "from the halt without a foot",
        'beat = 1, foot = "left", place = "step", tell',
        'beat = 1, place = "step", tell',
        "must say its foot",
    ),
    Mistake(
        "same from the halt",
        'beat = 1, foot = "left", place = "step", tell',
        'beat = 1, foot = "same", place = "step", tell',
        "no foot strikes there",
    ),
    Mistake(
        "foot of a word at the halt",
        '"Forward", beat = -2',
        '"Forward", beat = -2, foot = "left"',
        "no foot strikes on beat -2",
    ),
    Mistake("either with written feet", 'foot = "other", place', 'foot = "left",  place', "says same or other"),
    Mistake(
        "either with the foot of a word", '"Guard", beat = -2', '"Guard", beat = -2, foot = "left"', "either foot here"
    ),
    Mistake("turn that does not add up", 'turn = "90 right"\n', 'turn = "90 left"\n', "add up to 90 right"),
    Mistake(
        "closing foot",
        'foot = "same", place = "close", arms',
        'foot = "same", place = "step", arms',
        "feet 30 in apart",
    ),
    Mistake(
        "never halts",
        '{ beat = 1, foot = "other", place = "step" },\n'
        '  { beat = 2, foot = "same", place = "close", arms = "still" },',
        '{ beat = 1, arms = "still" },',
        "no count brings the feet to a halt",
    ),
    Mistake(
        "stance without step",
        'step = "30 in"\n',
        'place = "step"\n',
        "needs the length of its step",
        'place = "step"\narms',
    ),
    Mistake(
        "stance that closes", 'lift = "2 in"', 'lift = "2 in"\nplace = "close"', "on every beat", 'place = "close"\n'
    ),
    Mistake(
        "cycle of one foot",
        '{ foot = "left", place = "close" },\n]\n\n[grade',
        '{ foot = "right", place = "close" },\n]\n\n[grade',
        "strike twice running",
    ),
    Mistake("ball beyond the toe", 'ball = "9 in"', 'ball = "19 in"', "between heel and toe"),
    # A right flank called right, left, left: a step is missing between the preparatory word and the one that executes.
    Mistake(
        "a step missing between the words",
        '"WHEEL", beat = 0, foot = "right"',
        '"WHEEL", beat = 0, foot = "left"',
        "called_on says the right foot",
    ),
    Mistake(
        "a step missing before the first count",
        'beat = 1, foot = "left", place = "step", length = "12 in"',
        'beat = 1, foot = "right", place = "step", length = "12 in"',
        "count 1 cannot be the right foot on beat 1",
    ),
    Mistake(
        "word on the wrong foot",
        'beat = -2, foot = "right"',
        'beat = -1, foot = "right"',
        "One step is missing or one too many",
    ),
    Mistake(
        "two counts of one foot",
        'beat = 2, foot = "right", place = "step", turn',
        'beat = 2, foot = "left", place = "step", turn',
        "A step of the right foot is missing",
    ),
]
MISTAKES = WRITING + NAMES + MISSING + VALUES + CHANGES + TRADE
