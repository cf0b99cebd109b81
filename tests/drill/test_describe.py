"""Facts in words: feet, lengths, turns, arms; and what a fault changes."""

import pytest

from trainer.drill.describe import (
    describe_act,
    describe_beat,
    describe_differences,
    difference_lines,
)
from trainer.drill.faults import Difference
from trainer.drill.length import Length
from trainer.drill.movement import PIVOT, STAYS, STRIKING_PLACES
from trainer.drill.score import Beat, FootAct

PLACES = (*STRIKING_PLACES, PIVOT, STAYS)


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (FootAct("left", "step"), "left foot steps a step"),
        (FootAct("right", "step", 15.0, contact="slide"), "right foot steps 15 in, sliding"),
        (FootAct("left", "step", 30.0, contact="heel"), "left foot steps 30 in, heel first"),
        (FootAct("left", "back", 15.0), "left foot steps 15 in back"),
        (FootAct("right", "side", 15.0), "right foot steps 15 in to the side"),
        (FootAct("left", "T", against="heel", toes=90.0),
         "left foot sets a T against the heel of the right foot, toes 90 right"),
        (FootAct("left", "close"), "left foot closes beside the right foot"),
        (FootAct("right", "in place", lift=Length(2.0, "in")), "right foot strikes in place, lifted 2 in"),
        (FootAct("both", "pivot"), "both feet pivot on the balls"),
        (FootAct("both", "stays"), "both feet stay where they are"),
    ],
)  # fmt: skip
def test_what_a_foot_does_in_words(act: FootAct, words: str) -> None:
    assert describe_act(act, "in") == words


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("foot", ["left", "right", "both"])
def test_every_place_has_words_of_its_own(place: str, foot: str) -> None:
    others = [describe_act(FootAct(foot, other, 15.0), "in") for other in PLACES if other != place]
    assert describe_act(FootAct(foot, place, 15.0), "in") not in others


def test_arms_and_sword_are_named_as_they_change() -> None:
    before = Beat(0, left_arm="swing", right_arm="pinned", sword="carry")
    beat = Beat(1, acts=(FootAct("left", "step", 30.0),), left_arm="pinned", right_arm="pinned", sword="carry")
    assert describe_beat(beat, before, "in") == ("left foot steps 30 in", "left arm pinned")
    assert describe_beat(beat, beat, "in") == ("left foot steps 30 in",)
    assert describe_beat(Beat(1), Beat(0), "in") == ("stands fast",)


@pytest.mark.parametrize(
    ("difference", "words"),
    [
        (Difference(2, "left arm", "pinned", "swing"), "beat 2: left arm swings instead of pinned"),
        (Difference(2, "body", 90.0, 0.0), "beat 2: body does not turn where it should turn 90 right"),
        (Difference(2, "body", 0.0, 90.0), "beat 2: body turns 90 right where it should not turn"),
        (Difference(2, "body", 90.0, 60.0), "beat 2: body turns 60 right instead of 90 right"),
        (Difference(-1, "voice", (("stand", None),), ()), 'beat -1: "stand" is not said'),
        (Difference(1.5, "left foot", (FootAct("left", "close"),), ()),
         "beat 1.5: left foot does not strike where it should close beside the right foot"),
        (Difference(1, "left foot", (), (FootAct("left", "step", 15.0),)),
         "beat 1: left foot steps 15 in where it should not strike"),
        (Difference(1.5, "left foot", (FootAct("left", "step", 15.0),), (FootAct("left", "close", contact="slide"),)),
         "beat 1.5: left foot closes beside the right foot, sliding, where it should step 15 in"),
        (Difference(1, "cadence", 108.0, 116.64), "beat 1: 116.64 beats a minute instead of 108"),
        (Difference(1, "sword", "carry", "present"), "beat 1: sword present instead of carry"),
    ],
)  # fmt: skip
def test_a_difference_in_words(difference: Difference, words: str) -> None:
    assert describe_differences([difference], "in") == [words]


def test_the_same_thing_on_beats_in_a_row_is_said_once_and_both_arms_together() -> None:
    both = [Difference(beat, f"{side} arm", "pinned", "swing") for beat in (2, 3, 4) for side in ("left", "right")]
    one = [Difference(6, "left arm", "pinned", "swing")]
    assert describe_differences(both + one) == [
        "beats 2 to 4: arms swing instead of pinned",
        "beat 6: left arm swings instead of pinned",
    ]


def test_a_word_on_another_beat_is_told_as_moved() -> None:
    word = (("stand", None),)
    moved = [Difference(-2, "voice", word, ()), Difference(-1, "voice", (), word)]
    assert difference_lines(moved) == [((-2, -1), '"stand" is said on beat -1 instead of -2')]
    assert difference_lines(moved[1:]) == [((-1,), 'beat -1: "stand" is said where it should not be')]
