"""Small decks of other published standards: each loads without findings and gives the published numbers."""

import tomllib

import pytest

from tests.decks.measured import STANDARDS, Route, balls, checked, feet_of_words, front, kept_up, read, seconds, strikes
from trainer.drill.deck import Deck
from trainer.drill.footprints import footprints, totals
from trainer.drill.length import Length
from trainer.drill.unrolling import score

MARINES, AIR_FORCE, CANADA, UK, IDR = (
    read(STANDARDS / f"{name}.toml") for name in ("us_marine_corps", "us_air_force", "canada", "uk_1905", "us_idr_1911")
)


def steady(deck: Deck, movement: str) -> tuple[float, float]:
    """Return ground a beat and beats a minute in the stance after a movement, over sixty beats."""
    last = score(deck, deck.movement(movement)).last_count
    done, stands = kept_up(deck, movement, last + 60)
    ground = front(stands[last + 60]) - front(stands[last])
    return ground / 60, 3600 / seconds(done, last, last + 60)


def sideways(deck: Deck, movement: str) -> tuple[float, float]:
    """Return the ground of the first side step, and of ten of them."""
    _, stands = kept_up(deck, movement, 20)
    return stands[2].left.x - stands[0].left.x, stands[20].left.x - stands[0].left.x


@pytest.mark.parametrize(
    ("deck", "movement", "step", "cadence"),
    [
        # MCO P5060.20
        (MARINES, "forward-march", 30, 120),
        (MARINES, "half-step", 15, 120),
        (MARINES, "double-time", 36, 180),
        # AFMAN 36-2203, DAFPAM 34-1203; 120 is the upper end of 100 to 120
        (AIR_FORCE, "forward-from-mark-time", 24, 110),  # the middle of 100 to 120
        (AIR_FORCE, "half-step", 12, 120),
        (AIR_FORCE, "double-time", 30, 180),
        # A-DH-201-000/PT-000, chapter 3
        (CANADA, "quick-march", 75, 120),
        (CANADA, "step-short", 55, 120),
        (CANADA, "step-out", 75, 120),
        (CANADA, "double-march", 100, 180),
        # Infantry Training 1905 (UK), s. 11
        (UK, "quick-march", 30, 120),
        (UK, "double-march", 40, 180),
        # Infantry Drill Regulations 1911 to 1917 (US)
        (IDR, "to-the-rear", -30, 120),
        (IDR, "half-step", 15, 120),
        (IDR, "double-time", 36, 180),
        (IDR, "half-step-in-double-time", 18, 180),
    ],
)
def test_steady_step_and_cadence(deck: Deck, movement: str, step: float, cadence: float) -> None:
    assert deck.movement(movement)
    if step < 0:
        # after a turn about, the march goes the other way
        assert (
            balls(deck, movement, "right", [4.0, 5.0, 6.0])[-1][1] - balls(deck, movement, "right", [5.0])[0][1] == step
        )
        return
    assert steady(deck, movement) == pytest.approx((step, cadence))


@pytest.mark.parametrize(
    ("deck", "movement", "cadence"),
    [
        (MARINES, "slow-time", 60),  # MCO P5060.20
        (CANADA, "slow-march", 60),  # A-DH-201-000/PT-000, chapter 3
        (CANADA, "funeral-march", 80),  # the same: a funeral procession
        (UK, "slow-march", 75),  # Infantry Training 1905, s. 11
    ],
)
def test_slow_cadences(deck: Deck, movement: str, cadence: float) -> None:
    assert steady(deck, movement)[1] == pytest.approx(cadence)


@pytest.mark.parametrize(
    ("deck", "movement", "length"),
    [
        (MARINES, "right-step", 12),  # MCO P5060.20
        (AIR_FORCE, "right-step", 12),  # AFMAN 36-2203
        (CANADA, "side-pace-right", 25),  # A-DH-201-000/PT-000, chapter 3
        (UK, "right-close", 15),  # Infantry Training 1905, s. 11
        (IDR, "right-step", 15),  # Infantry Drill Regulations 1911 to 1917
    ],
)
def test_side_step(deck: Deck, movement: str, length: float) -> None:
    assert sideways(deck, movement) == (length, 10 * length)


def test_uk_1905_distances() -> None:
    # Infantry Training 1905, s. 11: 120 paces cover 100 yards in a minute, 180 paces 200 yards in a minute.
    for movement, paces, yards in (("quick-march", 120, 100), ("double-march", 180, 200)):
        done, stands = kept_up(UK, movement, paces)
        assert front(stands[paces]) - front(stands[0]) == yards * 36
        assert seconds(done, 0, paces) == pytest.approx(60)


def test_canadian_paces_are_metric_and_the_sole_with_them() -> None:
    # A-DH-201-000/PT-000, chapter 3: the double pace is one metre; the inch is exactly 2.54 cm.
    _, stands = kept_up(CANADA, "double-march", 180)
    assert front(stands[180]) - front(stands[0]) == pytest.approx(180 * Length(1, "m").to("cm"))
    assert CANADA.sole.length == pytest.approx(12 * 2.54)


def test_air_force_quick_time_is_a_range() -> None:
    # AFMAN 36-2203: 100 to 120 steps a minute.
    data = tomllib.loads((STANDARDS / "us_air_force.toml").read_text("utf-8"))
    assert checked(data).stance("marching").cadence == (100, 120)


def test_air_force_rear_is_short_before_and_after_the_pivot_with_arms_still() -> None:
    # AFMAN 36-2203: 12 in and 12 in about the pivot, arms held; balls 0, 12, pivot, -12, then -36 (arithmetic).
    done, stands = kept_up(AIR_FORCE, "to-the-rear", 4)
    zero = stands[0].right.y
    assert [stands[1].left.y - zero, stands[3].left.y - zero, stands[4].right.y - zero] == [12, -12, -36]
    assert (stands[2].left.toes, stands[2].right.toes, stands[2].body) == (180, 180, 180)
    assert [(done.at(beat).left_arm, done.at(beat).right_arm) for beat in (1, 2)] == [("still", "still")] * 2
    assert done.at(3).left_arm == "swing"


def test_air_force_resumes_from_mark_time_on_the_left_after_lifts_of_4_inches() -> None:
    # AFMAN 36-2203.
    assert feet_of_words(AIR_FORCE, "forward-from-mark-time") == ["left", "left"]
    done = score(AIR_FORCE, AIR_FORCE.movement("forward-from-mark-time"))
    assert [act.lift for beat in done.beats if beat.beat <= 1 for act in beat.acts] == [Length(4, "in")] * 5


@pytest.mark.parametrize("movement", ["quick-time", "double-time-halt"])
@pytest.mark.parametrize("foot", ["left", "right"])
def test_air_force_words_are_four_steps_apart_in_double_time(movement: str, foot: str) -> None:
    # AFMAN 36-2203; the cadence changes within the movement.
    first, last = AIR_FORCE.movement(movement).call
    assert last.beat - first.beat == 4
    assert feet_of_words(AIR_FORCE, movement, foot) == [foot, foot]
    done = score(AIR_FORCE, AIR_FORCE.movement(movement), foot=foot)
    assert {beat.cadence for beat in done.beats if beat.beat < 3} == {180}
    assert done.at(3).cadence == 120


def test_idr_rear_is_called_on_the_right_and_turns_on_both_balls() -> None:
    # Infantry Drill Regulations 1911 to 1917: about on the balls of both feet and off with the left.
    assert feet_of_words(IDR, "to-the-rear") == ["right", "right"]
    done = score(IDR, IDR.movement("to-the-rear"))
    assert [(act.foot, act.place, act.contact) for act in done.at(2).acts] == [("both", "pivot", "ball")]
    assert done.at(3).strikes == "left"
    assert totals(done, footprints(IDR, done)).turn == 180


def test_idr_flanks_are_called_on_the_foot_of_the_turn_and_mirror_each_other() -> None:
    # Infantry Drill Regulations 1911 to 1917.
    for side in ("right", "left"):
        assert feet_of_words(IDR, f"{side}-flank") == [side, side]
    beats = [1.0, 2.0, 3.0, 4.0]
    right, left = (balls(IDR, f"{side}-flank", side, beats) for side in ("right", "left"))
    assert right == [(0, 30), (30, 30), (60, 30), (90, 30)]
    assert left == [(-x, y) for x, y in right]
    assert Route(IDR).does("right-flank").does("left-flank", "left").heading == 0


def test_idr_mark_time_starts_from_the_halt_and_covers_no_ground() -> None:
    # Infantry Drill Regulations 1911 to 1917: about 2 in, also from the halt.
    done, stands = kept_up(IDR, "mark-time-from-halt", 20)
    assert stands[20].left[:2] == stands[0].left[:2]
    assert strikes(IDR, "mark-time-from-halt")[1] == "left"
    assert [done.at(beat).acts[0].lift for beat in (1, 2, 20)] == [Length(2, "in")] * 3


def test_idr_double_time_resumes_with_its_own_full_step() -> None:
    # Infantry Drill Regulations 1911 to 1917: 18 in at half step in double time, 36 in full.
    data = tomllib.loads((STANDARDS / "us_idr_1911.toml").read_text("utf-8"))
    resume = next(dict(row) for row in data["movement"] if row["id"] == "half-step-in-double-time")
    resume |= {"id": "resume", "from": ["half step in double time"], "to": "double time"}
    resume["counts"] = [{"beat": 1, "foot": "other", "place": "step"}]
    assert balls(checked({**data, "movement": [resume]}), "resume", "left", [1.0, 2.0]) == [(0, 36), (0, 72)]
