"""Laws of the footprints: mirror images, closed squares, measured ground."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.drill.deck import Deck, usual_sole
from trainer.drill.footprints import Stand, footprints, heading_vector, totals
from trainer.drill.length import Length
from trainer.drill.movement import LEFT, RIGHT, Count, Movement, Stance, Word, other_foot
from trainer.drill.unrolling import score

MARCHING = Stance("marching", (120.0, 120.0), Length(30.0, "in"), left_arm="swing", right_arm="swing")
HALTED = Stance("halted")
PLACES = ["step", "close", "in place", "side", "back", "T", "toe to heel"]


def deck_of(*movements: Movement) -> Deck:
    return Deck("laws", "laws", "Laws", "in", usual_sole("in"), (MARCHING, HALTED), movements)


@st.composite
def movements(draw: st.DrawFn) -> Movement:
    """A movement whose feet alternate, with turns and footfalls of every kind."""
    called_on = draw(st.sampled_from([LEFT, RIGHT]))
    foot = called_on
    counts = []
    for beat in range(1, draw(st.integers(1, 6)) + 1):
        foot = other_foot(foot)
        counts.append(
            Count(
                float(beat),
                foot,
                draw(st.sampled_from(PLACES)),
                draw(st.sampled_from([None, "half", Length(12.0, "in")])),
                turn=draw(st.sampled_from([0.0, 0.0, 90.0, -90.0, 45.0, 180.0])),
            )
        )
    counts = [c if c.place in ("step", "side", "back") else c._replace(length=None) for c in counts]
    return Movement(
        "any", "Any", ("marching",), "marching", called_on, tuple(counts), (Word("Go", 0.0, executes=True),)
    )


def mirrored(movement: Movement) -> Movement:
    def flip(count: Count) -> Count:
        return count._replace(foot=other_foot(count.foot or LEFT), turn=-count.turn)

    return movement._replace(called_on=other_foot(movement.called_on), counts=tuple(map(flip, movement.counts)))


def flipped(stand: Stand) -> Stand:
    def foot(name: str) -> tuple[float, float, float]:
        one = stand.foot(name)
        return -one.x, one.y, -one.toes % 360

    return Stand(stand.beat, type(stand.left)(*foot(RIGHT)), type(stand.right)(*foot(LEFT)), -stand.body % 360)


def assert_same(one: Stand, two: Stand) -> None:
    for a, b in ((one.left, two.left), (one.right, two.right)):
        assert (a.x, a.y) == pytest.approx((b.x, b.y), abs=1e-9)
        assert math.cos(math.radians(a.toes - b.toes)) == pytest.approx(1.0)
    assert math.cos(math.radians(one.body - two.body)) == pytest.approx(1.0)


@given(movements())
def test_mirrored_feet_make_mirrored_prints(movement: Movement) -> None:
    """A movement called on the mirrored feet comes out mirrored, point by point (arithmetic)."""
    deck = deck_of(movement)
    prints = footprints(deck, score(deck, movement))
    twin = mirrored(movement)
    other = footprints(deck, score(deck, twin))
    shift = flipped(prints[0]).left
    for one, two in zip(prints, other, strict=True):
        flip = flipped(one)
        moved = flip._replace(
            left=flip.left._replace(x=flip.left.x - shift.x, y=flip.left.y - shift.y),
            right=flip.right._replace(x=flip.right.x - shift.x, y=flip.right.y - shift.y),
        )
        assert_same(moved, two)


@given(movements())
def test_the_origin_is_under_the_left_ball_and_only_acting_feet_move(movement: Movement) -> None:
    deck = deck_of(movement)
    done = score(deck, movement)
    prints = footprints(deck, done)
    assert (prints[0].left.x, prints[0].left.y) == (0, 0)
    for before, after, beat in zip(prints, prints[1:], done.beats[1:], strict=False):
        acting = {act.foot for act in beat.acts}
        for foot in {LEFT, RIGHT} - acting:
            one, two = before.foot(foot), after.foot(foot)
            assert (one.x, one.y) == (two.x, two.y), "a pivot on the ball moves heels only"


@given(movements())
def test_net_turn_is_the_sum_of_the_counts(movement: Movement) -> None:
    deck = deck_of(movement)
    done = score(deck, movement)
    prints = footprints(deck, done)
    turn = totals(done, prints).turn
    assert turn == sum(count.turn for count in movement.counts)
    assert prints[-1].body == turn % 360


@given(st.sampled_from([LEFT, RIGHT]), st.integers(1, 60))
def test_full_steps_cover_thirty_inches_each(foot: str, steps: int) -> None:
    """30-inch step: TC 3-21.5, 2012, 4-5; the sum is arithmetic."""
    counts = []
    at = foot
    for beat in range(1, steps + 1):
        at = other_foot(at)
        counts.append(Count(float(beat), at, "step"))
    movement = Movement("on", "On", ("marching",), "marching", foot, tuple(counts), (Word("Go", 0.0, executes=True),))
    deck = deck_of(movement)
    done = score(deck, movement)
    total = totals(done, footprints(deck, done))
    assert (total.x, total.y) == (0, 30 * steps)


@given(st.floats(-720, 720, allow_nan=False))
def test_heading_vector_is_a_unit_vector(heading: float) -> None:
    x, y = heading_vector(heading)
    assert math.hypot(x, y) == pytest.approx(1.0)
    assert (x, y) == pytest.approx((math.sin(math.radians(heading)), math.cos(math.radians(heading))), abs=1e-9)


def test_ball_of_the_foot_beside_the_other_heel() -> None:
    """Where the Air Force change step sets it (AFMAN 36-2203): the ball alongside the heel, 9 in behind."""
    counts = (Count(1.0, LEFT, "step"), Count(1.5, RIGHT, "ball to heel"), Count(2.0, LEFT, "step"))
    movement = Movement("cs", "CS", ("marching",), "marching", RIGHT, counts, (Word("Go", 0.0, executes=True),))
    deck = deck_of(movement)
    done = score(deck, movement)
    stands = {stand.beat: stand for stand in footprints(deck, done)}
    zero = stands[0].right.y
    assert [stands[1].left.y - zero, stands[1.5].right.y - zero, stands[2].left.y - zero] == [30, 21, 51]
