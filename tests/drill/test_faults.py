"""Every kind of change that a fault can show: what must differ, on which beat, and that nothing else does.

The expected differences follow from what each change means (DECK below, three counts on beats 1 to 3): feet and
turns differ on the beat that is changed, arms, sword and cadence from it until the stance after takes them back
on beat 4.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drill.conftest import load
from trainer.drill.deck import Deck
from trainer.drill.faults import apply_fault, changes_nothing, compare, flawed_score
from trainer.drill.movement import Change, Fault, Movement
from trainer.drill.score import FootAct
from trainer.drill.unrolling import right_performance, score

DECK = """
[deck]
id = "faults"
title = "Faults"
unit = "in"
sword = ["carry", "order"]
[stance.halted]
arms = "still"
[stance.marching]
cadence = 120
step = "30 in"
arms = "swing"
sword = "carry"
[[movement]]
id = "flank"
name = "Flank"
from = ["marching"]
to = "marching"
called_on = "right"
turn = "90 right"
words = [ { say = "Flank", beat = -2 }, { say = "MARCH", beat = 0, executes = true } ]
counts = [
  { beat = 1, foot = "left", place = "step", length = "12 in" },
  { beat = 2, foot = "right", place = "step", turn = "90 right" },
  { beat = 3, foot = "left", place = "step" },
]
faults = [ { id = "x", tell = "x", shows = [ SHOWS ] } ]
[[movement]]
id = "drum"
name = "Drum halt"
from = ["marching"]
to = "halted"
called_on = "right"
cued_by = "drum"
cues = [ { beat = 0, sound = "single" }, { beat = 1, sound = "double" } ]
counts = [ { beat = 1, foot = "left", place = "step" }, { beat = 2, foot = "right", place = "close", arms = "still" } ]
faults = [ { id = "x", tell = "x", shows = [ CUES ] } ]
"""
HARMLESS = '{ tempo = "+4 %" }'


def deck_with(shows: str = HARMLESS, cues: str = HARMLESS) -> Deck:
    return load(DECK.replace("SHOWS", shows).replace("CUES", cues))


def differences(deck: Deck, movement_id: str = "flank") -> dict[tuple[float, str], tuple[object, object]]:
    movement = deck.movement(movement_id)
    found = compare(deck, movement, movement.faults[0]).differences
    return {(one.beat, one.part): (one.right, one.flawed) for one in found}


def act(foot: str, place: str = "step", length: float = 30.0, **fields: object) -> tuple[FootAct, ...]:
    return (FootAct(foot, place, length)._replace(**fields),)  # type: ignore[arg-type]


NOTHING: tuple[FootAct, ...] = ()
LEFT_1 = act("left", length=12.0)
RIGHT_2 = act("right")
LEFT_3 = act("left")
VOICE = {word: ((word, None),) for word in ("Flank", "MARCH", "Turn")}
BOTH_ARMS = ("left arm", "right arm")


def lasting(beats: range, parts: tuple[str, ...], right: object, flawed: object) -> dict[tuple[float, str], object]:
    return {(float(beat), part): (right, flawed) for beat in beats for part in parts}


CASES = {
    "foot": (
        '{ count = 1, foot = "right" }',
        {(1, "left foot"): (LEFT_1, NOTHING), (1, "right foot"): (NOTHING, act("right", length=12.0))},
    ),
    "place": ('{ count = 3, place = "in place" }', {(3, "left foot"): (LEFT_3, act("left", "in place", 0.0))}),
    "length": ('{ count = 1, length = "full" }', {(1, "left foot"): (LEFT_1, act("left"))}),
    "half a step": ('{ count = 3, length = "half" }', {(3, "left foot"): (LEFT_3, act("left", length=15.0))}),
    "contact": ('{ count = 2, contact = "heel" }', {(2, "right foot"): (RIGHT_2, act("right", contact="heel"))}),
    "toes": ('{ count = 2, toes = "45 right" }', {(2, "right foot"): (RIGHT_2, act("right", toes=45.0))}),
    "set against": (
        '{ count = 3, place = "T", against = "toe" }',
        {(3, "left foot"): (LEFT_3, act("left", "T", 0.0, against="toe"))},
    ),
    "turn": ('{ count = 2, turn = "70 right" }', {(2, "body"): (90.0, 70.0)}),
    "turn the other way": ('{ count = 2, turn = "90 left" }', {(2, "body"): (90.0, -90.0)}),
    "turn a count early": (
        '{ count = 1, turn = "90 right" }, { count = 2, turn = "none" }',
        {(1, "body"): (0.0, 90.0), (2, "body"): (90.0, 0.0)},
    ),
    "one arm": ('{ count = 2, left_arm = "still" }', lasting(range(2, 4), ("left arm",), "swing", "still")),
    "both arms": ('{ count = 3, arms = "pinned" }', lasting(range(3, 4), BOTH_ARMS, "swing", "pinned")),
    "sword": ('{ count = 2, sword = "order" }', lasting(range(2, 4), ("sword",), "carry", "order")),
    "cadence": ("{ count = 2, cadence = 100 }", lasting(range(2, 4), ("cadence",), 120.0, 100.0)),
    "every count": ('{ count = "every", arms = "still" }', lasting(range(1, 4), BOTH_ARMS, "swing", "still")),
    "drop": ("{ count = 1, drop = true }", {(1, "left foot"): (LEFT_1, NOTHING)}),
    "drop with its turn": (
        "{ count = 2, drop = true }",
        {(2, "right foot"): (RIGHT_2, NOTHING), (2, "body"): (90.0, 0.0)},
    ),
    "word on another beat": (
        "{ word = 1, beat = -1 }",
        {(-2, "voice"): (VOICE["Flank"], ()), (-1, "voice"): ((), VOICE["Flank"])},
    ),
    "half a beat early": (
        "{ word = 1, beat = -2.5 }",
        {(-2.5, "voice"): ((), VOICE["Flank"]), (-2, "voice"): (VOICE["Flank"], ())},
    ),
    "another word": ('{ word = 1, say = "Turn" }', {(-2, "voice"): (VOICE["Flank"], VOICE["Turn"])}),
    "another speaker": ('{ word = 1, speaker = "guide" }', {(-2, "voice"): (VOICE["Flank"], (("Flank", "guide"),))}),
    "word left out": ("{ word = 1, drop = true }", {(-2, "voice"): (VOICE["Flank"], ())}),
    "words later": (
        '{ word = "every", later = 1 }',
        {
            (-2, "voice"): (VOICE["Flank"], ()),
            (-1, "voice"): ((), VOICE["Flank"]),
            (0, "voice"): (VOICE["MARCH"], ()),
            (1, "voice"): ((), VOICE["MARCH"]),
        },
    ),
    "second word and after later": (
        "{ word = 2, later = 1 }",
        {(0, "voice"): (VOICE["MARCH"], ()), (1, "voice"): ((), VOICE["MARCH"])},
    ),
    "arms of the stance after": (
        '{ stance = "after", arms = "still" }',
        lasting(range(4, 5), BOTH_ARMS, "swing", "still"),
    ),
    "sword of the stance after": (
        '{ stance = "after", sword = "order" }',
        lasting(range(4, 5), ("sword",), "carry", "order"),
    ),
    "cadence of the stance after": (
        '{ stance = "after", cadence = 100 }',
        lasting(range(4, 5), ("cadence",), 120.0, 100.0),
    ),
    "step of the stance after": (
        '{ stance = "after", step = "20 in" }',
        {(4, "right foot"): (act("right"), act("right", length=20.0))},
    ),
    "contact of the stance after": (
        '{ stance = "after", contact = "slide" }',
        {(4, "right foot"): (act("right"), act("right", contact="slide"))},
    ),
    "tempo": ('{ tempo = "+5 %" }', lasting(range(-3, 5), ("cadence",), 120.0, 126.0)),
    "counts later": (
        # After beat 1 a beat passes without a foot; everything from count 2 on comes a beat late.
        "{ count = 2, later = 1 }",
        {
            (2, "right foot"): (RIGHT_2, NOTHING),
            (2, "body"): (90.0, 0.0),
            (3, "left foot"): (LEFT_3, NOTHING),
            (3, "right foot"): (NOTHING, RIGHT_2),
            (3, "body"): (0.0, 90.0),
            (4, "left foot"): (NOTHING, LEFT_3),
            (4, "right foot"): (act("right"), NOTHING),
            (5, "left foot"): (act("left"), NOTHING),
            (5, "right foot"): (NOTHING, act("right")),
        },
    ),
    "count on another beat": (
        # The right foot has just struck and the left comes on beat 4, so nothing can fall between them.
        "{ count = 3, beat = 4 }",
        {
            (3, "left foot"): (LEFT_3, NOTHING),
            (4, "left foot"): (NOTHING, LEFT_3),
            (4, "right foot"): (act("right"), NOTHING),
            (5, "left foot"): (act("left"), NOTHING),
            (5, "right foot"): (NOTHING, act("right")),
        },
    ),
}


@pytest.mark.parametrize("name", CASES)
def test_change_shows_where_it_says_and_nowhere_else(name: str) -> None:
    shows, expected = CASES[name]
    assert differences(deck_with(shows)) == expected


def test_length_in_another_unit() -> None:
    ((_, (_, flawed)),) = differences(deck_with('{ count = 3, length = "2 ft" }')).items()
    assert isinstance(flawed, tuple)
    assert flawed[0].length == pytest.approx(24.0, rel=1e-12)


CUE_CASES = {
    "another sound": ('{ cue = 2, sound = "roll" }', {(1, "cue"): (("double",), ("roll",))}),
    "on another beat": ("{ cue = 2, beat = 2 }", {(1, "cue"): (("double",), ()), (2, "cue"): ((), ("double",))}),
    "left out": ("{ cue = 1, drop = true }", {(0, "cue"): (("single",), ())}),
    "all later": (
        '{ cue = "every", later = 1 }',
        {(0, "cue"): (("single",), ()), (1, "cue"): (("double",), ("single",)), (2, "cue"): ((), ("double",))},
    ),
}


@pytest.mark.parametrize("name", CUE_CASES)
def test_change_of_a_cue(name: str) -> None:
    shows, expected = CUE_CASES[name]
    assert differences(deck_with(cues=shows), "drum") == expected


DROPPED = deck_with()
FLANK = DROPPED.movement("flank")
numbers = st.integers(1, 3)
fields = st.dictionaries(
    st.sampled_from(["left_arm", "right_arm"]), st.sampled_from(["swing", "pinned", "still"]), min_size=1
)


def fault(*changes: Change) -> Fault:
    return Fault("x", "x", changes)


@given(st.sampled_from(["count", "word"]), st.integers(1, 2) | st.none())
def test_an_empty_change_changes_nothing(target: str, number: int | None) -> None:
    empty = fault(Change(target, number))
    assert changes_nothing(DROPPED, FLANK, empty)
    assert flawed_score(DROPPED, FLANK, empty) == score(DROPPED, FLANK)


@given(fields)
def test_every_is_each_one_by_one(given_fields: dict[str, str]) -> None:
    every = fault(Change("count", None, tuple(given_fields.items())))
    each = fault(*(Change("count", number, tuple(given_fields.items())) for number in (1, 2, 3)))
    assert flawed_score(DROPPED, FLANK, every) == flawed_score(DROPPED, FLANK, each)


@given(numbers, st.integers(1, 12).map(lambda halves: halves / 2))
def test_later_shifts_the_count_and_all_after_it(number: int, later: float) -> None:
    right = right_performance(DROPPED, FLANK, "marching", "right")
    done = apply_fault(right, fault(Change("count", number, later=later)), "right")
    beats = [fall.row.beat for fall in right.falls]
    assert [fall.row.beat for fall in done.falls] == [
        beat + later if row >= number else beat for row, beat in enumerate(beats, 1)
    ]
    assert [fall.row._replace(beat=0) for fall in done.falls] == [fall.row._replace(beat=0) for fall in right.falls]


@given(numbers, st.integers(1, 8).map(lambda halves: halves / 2), st.integers(1, 8).map(lambda halves: halves / 2))
def test_later_twice_is_later_once_by_the_sum(number: int, one: float, two: float) -> None:
    right = right_performance(DROPPED, FLANK, "marching", "right")
    twice = fault(Change("count", number, later=one), Change("count", number, later=two))
    once = fault(Change("count", number, later=one + two))
    assert apply_fault(right, twice, "right") == apply_fault(right, once, "right")


@given(numbers, fields)
def test_a_change_taken_back_changes_nothing(number: int, given_fields: dict[str, str]) -> None:
    there = Change("count", number, tuple(given_fields.items()))
    back = Change("count", number, tuple((name, None) for name in given_fields))
    assert changes_nothing(DROPPED, FLANK, fault(there, back))


def test_a_row_that_is_not_there_is_an_error() -> None:
    for target in ("count", "word", "cue"):
        with pytest.raises(ValueError, match=f"there is no {target} 9"):
            flawed_score(DROPPED, FLANK, fault(Change(target, 9, drop=True)))


def test_same_and_other_are_said_of_the_foot_of_beat_0(plain_deck: Deck) -> None:
    movement: Movement = plain_deck.movement("halt")
    swapped = fault(Change("count", 1, (("foot", "same"),)))
    for foot in ("left", "right"):
        assert flawed_score(plain_deck, movement, swapped, foot=foot).at(1.0).strikes == foot
