"""Small movements worked out by hand, one rule of the score or of the footprints each.

Lengths in inches on a sole of 12 by 4 whose ball is 9 from the heel. Steps of 30, cadence 120: TC 3-21.5, 2012, 4-5;
the rest is arithmetic on what each deck says.
"""

import pytest

from tests.drill.conftest import load
from trainer.drill.deck import Deck
from trainer.drill.faults import apply_fault, flawed_score
from trainer.drill.footprints import Stand, footprints, totals
from trainer.drill.score import Score
from trainer.drill.unrolling import right_performance, score

DECK = """
[deck]
id = "by-rule"
title = "One rule each"
unit = "in"
sword = ["carry", "order"]
[stance.marching]
cadence = 120
step = "30 in"
arms = "swing"
[stance."marking time"]
cadence = 120
lift = "2 in"
[stance.short]
cadence = 120
step = "SHORT in"
[stance.halted]
arms = "still"
[[movement]]
id = "one"
name = "One"
from = ["FROM"]
to = "TO"
called_on = "right"
words = [ { say = "Guard", beat = -2 }, { say = "GO", beat = 0, executes = true } ]
counts = [ COUNTS ]
FAULTS
"""


def deck_of(
    counts: str, start: str = "marching", to: str = "halted", short: str = "15", shows: str | None = None
) -> Deck:
    faults = f'faults = [ {{ id = "x", tell = "x", shows = [ {shows} ] }} ]' if shows else ""
    text = DECK.replace("COUNTS", counts).replace("FROM", start).replace("TO", to).replace("SHORT", short)
    return load(text.replace("FAULTS", faults))


def performed(deck: Deck) -> tuple[Score, dict[float, Stand]]:
    done = score(deck, deck.movement("one"))
    return done, {stand.beat: stand for stand in footprints(deck, done)}


def places(done: Score) -> dict[float, tuple[str | None, str | None]]:
    return {beat.beat: (beat.strikes, beat.place) for beat in done.beats if beat.beat >= 0}


STEP_AND_CLOSE = '{ beat = 1, foot = "left", place = "step" }, { beat = 2, foot = "right", place = "close" }'


@pytest.mark.parametrize("beat", [3, 4])
def test_feet_that_have_closed_stay_while_the_sword_still_moves(beat: int) -> None:
    deck = deck_of(f'{STEP_AND_CLOSE}, {{ beat = {beat}, arms = "still", sword = "order" }}')
    done, stands = performed(deck)
    after = {float(later): (None, None) for later in range(3, beat + 2)}
    assert places(done) == {0: ("right", "step"), 1: ("left", "step"), 2: ("right", "close"), **after}
    assert (done.at(beat).sword, done.at(beat).left_arm) == ("order", "still")
    assert stands[beat].left == stands[2].left
    assert stands[beat].right == stands[2].right
    total = totals(done, tuple(stands.values()))
    assert (total.beats, total.x, total.y, total.leads_next) == (beat, 0, 30, "left")


def test_a_count_that_names_no_foot_lets_the_feet_go_on_until_they_close() -> None:
    done, _ = performed(
        deck_of(
            '{ beat = 1, sword = "order" }, { beat = 2, foot = "right", place = "step" }, '
            '{ beat = 3, foot = "left", place = "close" }'
        )
    )
    assert places(done)[1] == ("left", "step")


def test_the_toes_turn_from_the_heading_before_the_beat() -> None:
    counts = (
        '{ beat = 1, foot = "left", place = "step", turn = "90 right", toes = "45 right" }, '
        '{ beat = 2, foot = "right", place = "close" }'
    )
    _, stands = performed(deck_of(counts))
    assert (stands[1].body, stands[1].left.toes, stands[1].right.toes) == (90, 45, 90)


@pytest.mark.parametrize(
    ("later", "left"),
    [
        # No turn comes: inwards, to the right of the left foot. The toe of the right foot is 3 in front of its ball;
        # the left sole lies across it, so its middle is 2 further on and its ball 3 from the middle.
        ('{ beat = 2, foot = "right", place = "step" }', (3, 5, 90)),
        # The coming turn is to the left, so the toes point there.
        ('{ beat = 2, foot = "right", place = "step", turn = "90 left" }', (-3, 5, 270)),
    ],
)
def test_a_t_points_to_the_coming_turn_and_inwards_without_one(later: str, left: tuple[float, float, float]) -> None:
    counts = f'{{ beat = 1, foot = "left", place = "T" }}, {later}'
    _, stands = performed(deck_of(counts, to="marching"))
    other = stands[0].right
    found = stands[1].left
    assert (found.x - other.x, found.y - other.y, found.toes) == pytest.approx(left)


def test_the_first_step_of_mark_time_brings_the_feet_together() -> None:
    _, stands = performed(deck_of('{ beat = 1, foot = "left", place = "step" }', to="marking time"))
    assert stands[1].left.y - stands[1].right.y == 30
    assert stands[2].right == stands[2].left == stands[1].left


@pytest.mark.parametrize("both", ['place = "pivot", turn = "180 right"', 'place = "in place"'])
def test_ground_ends_under_the_foot_that_came_down_last_where_a_count_moves_both(both: str) -> None:
    counts = f'{{ beat = 1, foot = "left", place = "step" }}, {{ beat = 2, foot = "both", {both} }}'
    done, stands = performed(deck_of(counts, to="marching"))
    total = totals(done, tuple(stands.values()))
    assert (total.beats, total.x, total.y) == (2, 0, 30)


def test_a_beat_that_a_dropped_count_left_is_taken_by_the_next() -> None:
    counts = (
        '{ beat = 1, foot = "left", place = "step" }, { beat = 2, foot = "right", place = "step" }, '
        '{ beat = 3, foot = "left", place = "close" }'
    )
    deck = deck_of(counts, shows="{ count = 2, drop = true }, { count = 3, beat = 2 }")
    movement = deck.movement("one")
    fault = movement.fault("x")
    assert fault is not None
    assert apply_fault(right_performance(deck, movement, "marching", "right"), fault, "right").silent == frozenset()
    assert places(flawed_score(deck, movement, fault))[2] == ("left", "close")


def test_after_a_beat_left_empty_the_feet_alternate_from_the_last_footfall() -> None:
    counts = '{ beat = 1, foot = "left", place = "step" }, { beat = 4, foot = "right", place = "close" }'
    deck = deck_of(counts, shows="{ count = 1, drop = true }")
    movement = deck.movement("one")
    fault = movement.fault("x")
    assert fault is not None
    strikes = [strikes for strikes, _ in places(flawed_score(deck, movement, fault)).values()]
    # Right on the word, nothing, left instead of right; then one beat is too few for the right foot twice running.
    assert strikes[:5] == ["right", None, "left", None, "right"]
    assert [strikes for strikes, _ in places(score(deck, movement)).values()][:5] == [
        *("right", "left", "right", "left", "right")
    ]


@pytest.mark.parametrize(("short", "full"), [("15", 30), ("18", 30), ("18.5", 18.5), ("24", 24)])
def test_a_gait_of_up_to_six_tenths_is_no_full_step(short: str, full: float) -> None:
    done, _ = performed(deck_of(STEP_AND_CLOSE, start="short", short=short))
    assert done.at(0).acts[0].length == float(short)
    assert done.at(1).acts[0].length == full


def test_turns_add_up_by_their_size_and_not_by_their_last_bit() -> None:
    """Three times 0.1 is not 0.3 in floating point (IEEE 754), a turn all the same."""
    assert 0.1 + 0.1 + 0.1 != 0.3
    turn = 'turn = "0.1 right"'
    counts = ", ".join(
        f'{{ beat = {beat}, foot = "{foot}", place = "step", {turn} }}'
        for beat, foot in ((1, "left"), (2, "right"), (3, "left"))
    )
    deck = load(
        DECK.replace("COUNTS", counts)
        .replace("FROM", "marching")
        .replace("TO", "marching")
        .replace("SHORT", "15")
        .replace("FAULTS", 'turn = "0.3 right"')
    )
    assert totals(*_done(deck)).turn == pytest.approx(0.3)


def _done(deck: Deck) -> tuple[Score, tuple[Stand, ...]]:
    done = score(deck, deck.movement("one"))
    return done, footprints(deck, done)
