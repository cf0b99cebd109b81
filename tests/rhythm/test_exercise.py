"""What is due on which beat, worked out by hand, and on every movement of the shipped decks."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.decks.measured import SHIPPED, read
from tests.rhythm.calling import calling_deck, made
from trainer.drill.unrolling import score
from trainer.rhythm.exercise import LEVELS, exercise, first_letter

DECKS = {path.stem: read(path) for path in sorted(SHIPPED.glob("*.toml"))}
EVERY = [
    pytest.param(deck, movement, stance, id=f"{name}-{movement.id}-{stance}")
    for name, deck in DECKS.items()
    for movement in deck.movements
    for stance in movement.from_stances
]


@pytest.mark.parametrize(
    ("movement", "stance", "dues"),
    [
        # Feet alternate back from beat 0: two beats before it the same foot, three before it the other one.
        ("flank", "marching", [("Guard", -4, "right"), ("right flank", -2, "right"), ("MARCH", 0, "right")]),
        ("halt", "double time", [("Élan", -3, "other"), ("HALT", 0, "either")]),
        ("off", "halted", [("Double", -2, None), ("MARCH", 0, None)]),
        ("side-halt", "side step", [("Squad", -3, "apart"), ("HALT", 0, "together")]),
        ("drum", "half step", [("right", 2, "right"), ("left", 3, "left")]),
    ],
)
def test_what_is_due(movement: str, stance: str, dues: list[tuple[str, float, str | None]]) -> None:
    assert [(one.say, one.beat, one.foot) for one in made(movement, stance).dues] == dues


def test_cadences_of_the_levels() -> None:
    """Sixty in the hundred at the first level; called at the halt, the cadence is the one it leads to."""
    assert [made("flank", "marching", level).cadence for level in (1, 2, 3, 4)] == [72, 120, 120, 120]
    assert [made("off", "halted", level).cadence for level in (1, 2)] == [108, 180]
    assert [made("off", "halted", level).speed for level in (1, 2)] == [0.6, 1.0]


def test_the_grader_speaks_first_with_the_decks_own_room() -> None:
    flank, halt = made("flank", "marching"), made("halt", "marching")
    assert (flank.prompt, flank.room) == (("Right flank",), 5)
    assert (halt.prompt, halt.room) == (("Halt",), 4)


def test_the_drum_comes_after_the_prompt_on_its_foot_and_not_always_alike() -> None:
    found = set()
    for seed in range(60):
        drum = made("drum", "half step", seed=seed)
        assert drum.cue_at is not None
        assert drum.foot_at(drum.cue_at) == "right"
        assert drum.cue_at > drum.room
        found.add((drum.first, drum.cue_at))
    assert len(found) > 6


def test_he_does_not_know_which_foot_begins() -> None:
    assert {made("flank", "marching", seed=seed).first for seed in range(20)} == {"left", "right"}
    assert made("off", "halted").first is None


def test_the_strong_beat_is_the_left_foots() -> None:
    for seed in range(6):
        flank = made("flank", "marching", seed=seed)
        assert all(flank.strong(beat) == (flank.foot_at(beat) == "left") for beat in range(-3, 9))
    assert [made("off", "halted").strong(beat) for beat in range(4)] == [True, False, True, False]


def test_a_beat_that_fades_is_there_for_four_steps() -> None:
    assert [LEVELS[3].shows(beat) for beat in range(6)] == [True] * 4 + [False] * 2
    assert all(level.shows(1000) for level in LEVELS[:3])


@pytest.mark.parametrize(("deck", "movement", "stance"), EVERY)
def test_the_feet_of_the_words_are_those_of_the_score(deck: object, movement: object, stance: str) -> None:
    """Every word with a foot of its own falls, in the score, on a beat that this foot strikes."""
    made_one = exercise(deck, movement, stance, LEVELS[1], random.Random(1))  # type: ignore[arg-type]
    for foot in ("left", "right"):
        played = score(deck, movement, stance, foot)  # type: ignore[arg-type]
        for due in made_one.dues:
            strikes = played.at(due.beat).strikes
            if due.foot in ("left", "right"):
                assert strikes == due.foot
            elif due.foot in ("same", "other"):
                assert (strikes == played.at_zero) == (due.foot == "same")
            elif due.foot in ("together", "apart"):
                assert (played.at(due.beat).place == "close") == (due.foot == "together")
            elif due.foot is None:
                assert strikes is None


def test_a_stance_that_it_does_not_start_from_is_an_error() -> None:
    deck = calling_deck()
    with pytest.raises(KeyError):
        exercise(deck, deck.movement("flank"), "halted", LEVELS[0], random.Random(1))


@pytest.mark.parametrize(
    ("word", "letter"),
    [("MARCH", "m"), ("right flank", "r"), ("Élan", "e"), (" “Guard”", "g"), ("2", "2"), ("", ""), ("Шаг", "ш")],
)
def test_first_letter(word: str, letter: str) -> None:
    assert first_letter(word) == letter


@given(st.text())
def test_a_first_letter_is_its_own_first_letter(word: str) -> None:
    assert first_letter(first_letter(word)) == first_letter(word)
