"""What comes of a call, written out by hand: the right foot, the wrong foot, heels apart, no command at all."""

import pytest

from tests.decks.measured import SHIPPED, read
from trainer.drill.called import AS_IT_SHOULD, NO_COMMAND, OTHER_FOOT, WAITS, Outcome, as_called, going_on
from trainer.drill.deck import Deck
from trainer.drill.footprints import footprints, totals
from trainer.drill.movement import Movement, Word
from trainer.drill.score import Score
from trainer.drill.unrolling import score, starts

ARMY = read(SHIPPED / "us_army_individual_drill.toml")
GUARD = read(SHIPPED / "harbour_guard_marching.toml")
EVERY = [
    pytest.param(deck, movement, stance, foot, id=f"{deck.standard}-{movement.id}-{stance}-{foot}")
    for deck in (ARMY, GUARD)
    for movement in deck.movements
    for stance, foot in starts(deck, movement)
]


def steps(played: Score, since: float = 0.0) -> list[tuple[float, str | None, str | None, float]]:
    return [(beat.beat, beat.strikes, beat.place, beat.turn) for beat in played.beats if beat.beat >= since]


def call(deck: Deck, movement_id: str, foot: str | None, stance: str | None = None) -> Outcome:
    movement = deck.movement(movement_id)
    return as_called(deck, movement, stance or movement.from_stances[0], foot, movement.call)


@pytest.mark.parametrize(("deck", "movement", "stance", "foot"), EVERY)
def test_a_right_call_gives_the_movement_itself(deck: Deck, movement: Movement, stance: str, foot: str) -> None:
    right = score(deck, movement, stance, foot)
    came = as_called(deck, movement, stance, right.at_zero, movement.words)
    assert came == (right, AS_IT_SHOULD, 0)


def test_called_on_the_wrong_foot_the_wrong_foot_leads() -> None:
    """Right flank on the left foot: the right foot takes the one more step, the left one steps off to the right."""
    assert call(ARMY, "right-flank", "left") == (call(ARMY, "right-flank", "left").score, OTHER_FOOT, 0)
    assert steps(call(ARMY, "right-flank", "left").score) == [
        (0, "left", "step", 0),
        (1, "right", "step", 0),
        (2, "left", "step", 90),
        (3, "right", "step", 0),
    ]


def test_a_change_step_on_the_wrong_foot_changes_back_to_it() -> None:
    assert steps(call(ARMY, "change-step", "left").score) == [
        (0, "left", "step", 0),
        (1, "right", "step", 0),
        (1.5, "left", "toe to heel", 0),
        (2, "right", "step", 0),
        (3, "left", "step", 0),
    ]


def test_a_turn_about_on_both_feet_steps_off_with_the_wrong_one() -> None:
    assert steps(call(ARMY, "rear-march", "left").score, 1) == [
        (1, "right", "step", 0),
        (2, None, "pivot", 180),
        (3, "right", "step", 0),
        (4, "left", "step", 0),
    ]


@pytest.mark.parametrize("stance", ["right step", "left step"])
def test_called_with_the_heels_apart_the_feet_close_first(stance: str) -> None:
    """The side step is finished first, then the one more and the close follow: everything comes a beat later."""
    lead, trail = ("right", "left") if stance == "right step" else ("left", "right")
    came = call(ARMY, "side-step-halt", lead, stance)
    assert (came.came, came.waited) == (WAITS, 1)
    assert steps(came.score) == [
        (0, lead, "side", 0),
        (1, trail, "close", 0),
        (2, lead, "side", 0),
        (3, trail, "close", 0),
        (4, None, None, 0),
    ]


@pytest.mark.parametrize("foot", ["left", "right"])
def test_without_the_word_of_execution_the_march_goes_on(foot: str) -> None:
    flank = ARMY.movement("right-flank")
    came = as_called(ARMY, flank, "marching", foot, (Word("Right flank", 0),), since=-3)
    other = "left" if foot == "right" else "right"
    assert came.came == NO_COMMAND
    assert [beat.strikes for beat in came.score.beats] == [other, foot, other, foot, other]
    assert {beat.place for beat in came.score.beats} == {"step"}
    assert [word.say for word in came.score.at(0).said] == ["Right flank"]
    assert came.score.to == "marching"


def test_without_the_word_of_execution_a_side_step_goes_on() -> None:
    halt = ARMY.movement("side-step-halt")
    came = as_called(ARMY, halt, "right step", "left", (Word("Squad", 0),), since=-2)
    assert [(b.strikes, b.place) for b in came.score.beats] == [
        ("left", "close"),
        ("right", "side"),
        ("left", "close"),
        ("right", "side"),
    ]


def test_the_words_stand_where_they_were_said() -> None:
    flank = ARMY.movement("right-flank")
    words = (Word("Right flank", -3), Word("MARCH", 0, executes=True))
    came = as_called(ARMY, flank, "marching", "right", words, since=-8)
    assert came.came == AS_IT_SHOULD
    assert came.score.beats[0].beat == -8
    assert [word.say for word in came.score.at(-3).said] == ["Right flank"]
    assert steps(came.score) == steps(score(ARMY, flank))


def test_ground_and_turn_of_a_wrong_call_follow_from_its_feet() -> None:
    """Called on the wrong foot the flank still covers one step on and one to the side: 30 in each."""
    came = call(ARMY, "right-flank", "left").score
    total = totals(came, footprints(ARMY, came))
    assert (total.turn, total.x, total.y, total.leads_next) == (90, 30, 30, "right")


def test_a_stance_that_it_does_not_start_from_is_an_error() -> None:
    with pytest.raises(KeyError):
        as_called(ARMY, ARMY.movement("right-flank"), "halted", None, ())


@pytest.mark.parametrize("beats", [1, 2, 3, 4, 9])
@pytest.mark.parametrize("first", ["left", "right"])
def test_a_stance_goes_on_beat_by_beat(first: str, beats: int) -> None:
    other = "left" if first == "right" else "right"
    for stance, places in (("marching", {"step"}), ("marking time", {"in place"}), ("backward march", {"back"})):
        played = going_on(ARMY, stance, first, beats)
        assert [beat.beat for beat in played.beats] == list(range(beats))
        assert [beat.strikes for beat in played.beats] == [(first, other)[n % 2] for n in range(beats)]
        assert {beat.place for beat in played.beats} == places


@pytest.mark.parametrize("beats", [1, 2, 5, 8])
@pytest.mark.parametrize("first", ["left", "right"])
def test_a_side_step_goes_on_row_by_row(first: str, beats: int) -> None:
    for stance, lead in (("right step", "right"), ("left step", "left")):
        played = going_on(ARMY, stance, first, beats)
        places = ("side", "close") if first == lead else ("close", "side")
        assert [beat.place for beat in played.beats] == [places[n % 2] for n in range(beats)]
        assert played.beats[0].strikes == first


def test_the_halt_goes_on_with_no_foot() -> None:
    played = going_on(GUARD, "halted", None, 6)
    assert [beat.strikes for beat in played.beats] == [None] * 6
    assert {(beat.left_arm, beat.right_arm, beat.sword) for beat in played.beats} == {("still", "still", "order")}


def test_the_ground_under_a_stance_that_goes_on() -> None:
    """Nine beats at 30 in: eight steps on from the first one, 240 in."""
    stands = footprints(ARMY, going_on(ARMY, "marching", "left", 9))
    assert max(stands[-1].left.y, stands[-1].right.y) - max(stands[0].left.y, stands[0].right.y) == 240
