"""The Army deck against its published standard: TC 3-21.5, Drill and Ceremonies, cited by edition and paragraph.

Where a value stands in no text that was read, the check says `from memory` and stands beside one that does not.
"""

from itertools import pairwise
from typing import Any

import pytest

from tests.decks.measured import (
    SHIPPED,
    Route,
    balls,
    checked,
    feet_of_words,
    front,
    heels,
    kept_up,
    read,
    seconds,
    strikes,
)
from trainer.drill.footprints import footprints, totals
from trainer.drill.length import Length
from trainer.drill.unrolling import score

ARMY = read(SHIPPED / "us_army_individual_drill.toml")
OTHER = {"left": "right", "right": "left"}
BOTH_FEET = pytest.mark.parametrize("foot", ["left", "right"])


def stride(movement_id: str, beats: int) -> float:
    """Return the ground that a steady stance covers on each of some beats after a movement."""
    last = score(ARMY, ARMY.movement(movement_id)).last_count
    _, stands = kept_up(ARMY, movement_id, last + beats)
    return (front(stands[last + beats]) - front(stands[last])) / beats


def test_quick_time_is_120_steps_a_minute() -> None:
    # TC 3-21.5, 2012, 4-5; 2021, 4-16: half a second a beat.
    done, _ = kept_up(ARMY, "forward-march", 120)
    assert seconds(done, 0, 1) == 0.5
    assert seconds(done, 0, 120) == 60


def test_double_time_is_180_steps_a_minute_of_30_inches() -> None:
    # TC 3-21.5, 2012, 4-5; 180 paces of 30 in are 150 yards (arithmetic).
    done, stands = kept_up(ARMY, "double-time-from-halt", 180)
    assert seconds(done, 0, 180) == pytest.approx(60)
    assert front(stands[180]) - front(stands[0]) == 150 * 36


def test_full_step_is_30_inches_heel_to_heel() -> None:
    # TC 3-21.5, 2012, 4-5, 4-6.
    assert stride("forward-march", 10) == 30
    assert heels(ARMY, "change-step", "right", [1.0]) == [(0, 30)]


def test_120_paces_cover_100_yards_in_a_minute() -> None:
    # Infantry Training 1905 (UK), s. 11, for the same 30-inch pace at 120.
    done, stands = kept_up(ARMY, "forward-march", 120)
    assert front(stands[120]) - front(stands[0]) == 100 * 36
    assert seconds(done, 0, 120) == 60


def test_half_steps_cover_15_inches_a_beat_and_120_of_them_50_yards() -> None:
    # TC 3-21.5, 2012, 4-9; arithmetic.
    assert stride("half-step", 120) * 120 == 50 * 36
    assert stride("half-step", 1) == 15


def test_first_step_from_the_halt_is_the_left_except_in_the_right_step() -> None:
    # TC 3-21.5, 2012, 4-5.
    first = {m.id: m.counts[0].foot for m in ARMY.movements if m.called_on == "halted"}
    assert first.pop("right-step") == "right"
    assert set(first.values()) == {"left"}
    assert set(first) == {"forward-march", "left-step", "backward-march", "double-time-from-halt"}


def test_arms_swing_from_the_first_step_and_rest_at_the_halt() -> None:
    # TC 3-21.5, 2012, 4-6: 9 in to the front and 6 to the rear, which a deck tells in words.
    done = score(ARMY, ARMY.movement("forward-march"))
    assert (done.at(0).left_arm, done.at(1).left_arm, done.at(1).right_arm) == ("still", "swing", "swing")
    tell = ARMY.movement("forward-march").counts[0].tell
    assert "9 in" in tell
    assert "6 to the rear" in tell


@pytest.mark.parametrize("movement", ["rear-march", "right-flank", "left-flank"])
def test_arms_keep_swinging_in_a_pivot(movement: str) -> None:
    # TC 3-21.5, 2021, 2-9.
    for beat in score(ARMY, ARMY.movement(movement)).beats:
        assert (beat.left_arm, beat.right_arm) == ("swing", "swing")


@pytest.mark.parametrize("movement", ["halt", "half-step", "mark-time", "right-flank", "left-flank"])
@BOTH_FEET
def test_preparatory_execution_and_action_share_a_foot(movement: str, foot: str) -> None:
    # TC 3-21.5, 2021, 2-7 note, and in beats from the word of execution (arithmetic): -2, 0 and 2 on one foot, -1 and
    # 1 on the other.
    fixed = ARMY.movement(movement).called_on
    same = foot if fixed == "either" else fixed
    struck = strikes(ARMY, movement, foot)
    assert feet_of_words(ARMY, movement, foot) == [same, same]
    assert [struck[beat] for beat in (-2, 0, 2)] == [same] * 3
    assert [struck[beat] for beat in (-1, 1)] == [OTHER[same]] * 2


@BOTH_FEET
def test_halt_takes_two_counts_on_either_foot_and_30_inches(foot: str) -> None:
    # TC 3-21.5, 2012, 4-6; the body ends 30 in past the foot of HALT (arithmetic).
    halt = ARMY.movement("halt")
    assert [count.beat for count in halt.counts] == [1, 2]
    assert balls(ARMY, "halt", foot, [1.0, 2.0]) == [(0, 30), (0, 30)]
    done, stands = kept_up(ARMY, "halt", 3, foot)
    assert stands[3].left == stands[3].right
    assert [done.at(beat).strikes for beat in (1, 2, 3)] == [OTHER[foot], foot, None]


def test_a_foot_moves_60_in_the_march_and_30_from_the_halt_and_into_the_close() -> None:
    # Arithmetic on the 30-inch step.
    _, stands = kept_up(ARMY, "forward-march", 3)
    assert stands[1].left.y - stands[0].left.y == 30
    assert stands[2].right.y - stands[1].right.y == 60
    _, stands = kept_up(ARMY, "halt", 2, "left")
    assert stands[2].left.y - stands[1].left.y == 30


def test_change_step_words_and_feet() -> None:
    # TC 3-21.5, 2012, 4-7: both words on the right, one more left step, right toe to left heel, off with the left in
    # one count; so odd and even counts swap feet (arithmetic).
    assert feet_of_words(ARMY, "change-step") == ["right", "right"]
    done, _ = kept_up(ARMY, "change-step", 5)
    feet = [(beat.beat, beat.strikes) for beat in done.beats if beat.beat >= 0]
    assert feet == [
        (0, "right"), (1, "left"), (1.5, "right"), (2, "left"), (3, "right"), (4, "left"), (5, "right"),
    ]  # fmt: skip
    assert ARMY.movement("change-step").from_stances == ("marching",)


def test_change_step_heels() -> None:
    # Arithmetic on TC 3-21.5, 2012, 4-7, with a 12-inch sole: 78 in by beat 3, where three plain steps make 90.
    assert ARMY.sole.length == 12
    at = heels(ARMY, "change-step", "right", [1.0, 1.5, 2.0, 3.0])
    assert at == [(0, 30), (0, 18), (0, 48), (0, 78)]
    assert stride("forward-march", 3) * 3 == 90


def test_rear_march() -> None:
    # Arithmetic on a step measured from the other foot. The words' foot, the pivot and the left foot: from memory.
    assert feet_of_words(ARMY, "rear-march") == ["right", "right"]
    _, stands = kept_up(ARMY, "rear-march", 3)
    zero = stands[0].right.y
    assert [stands[beat].left.y - zero for beat in (1, 2, 3)] == [30, 30, -30]
    assert [stands[beat].right.y - zero for beat in (1, 2, 3)] == [0, 0, 0]
    assert (stands[1].body, stands[2].left.toes, stands[2].right.toes) == (0, 180, 180)


def test_right_flank() -> None:
    # Arithmetic on a step measured from the other foot: (0, 0), (0, 30), (30, 30). The words' foot: from memory.
    assert feet_of_words(ARMY, "right-flank") == ["right", "right"]
    assert balls(ARMY, "right-flank", "right", [1.0, 2.0]) == [(0, 30), (30, 30)]
    # the pivot takes no beat of its own
    assert [count.beat for count in ARMY.movement("right-flank").counts] == [1, 2]


def test_left_flank_mirrors_the_right_flank_point_by_point() -> None:
    beats = [float(beat) for beat in range(1, 9)]
    right, left = (balls(ARMY, f"{side}-flank", side, beats) for side in ("right", "left"))
    assert left == [(-x, y) for x, y in right]
    struck = strikes(ARMY, "right-flank")
    assert strikes(ARMY, "left-flank") == {beat: OTHER[foot] for beat, foot in struck.items() if foot}


@pytest.mark.parametrize(("movement", "corner"), [("right-flank", (30, 30, 90)), ("left-flank", (-30, 30, 270))])
def test_four_flanks_close_a_square(movement: str, corner: tuple[float, float, float]) -> None:
    route = Route(ARMY)
    assert route.does(movement).at == corner
    for _ in range(3):
        route.does(movement)
    assert route.at == (0, 0, 0)


def test_two_rears_restore_the_line_of_march() -> None:
    # A rear ends on the left; the next may be called two steps later, on the right.
    route = Route(ARMY).does("rear-march")
    assert route.at == (0, -30, 180)
    route.steps(1, 30).does("rear-march")
    assert route.at[2] == 0
    assert route.steps(1, 30).at == (0, 0, 0)


@BOTH_FEET
def test_half_step_and_resume(foot: str) -> None:
    # TC 3-21.5, 2012, 4-9: one more 30-inch step, then 15; to resume one more 15-inch step, then 30.
    assert balls(ARMY, "half-step", foot, [1.0, 2.0, 3.0]) == [(0, 30), (0, 45), (0, 60)]
    assert balls(ARMY, "forward-from-half-step", foot, [1.0, 2.0, 3.0]) == [(0, 15), (0, 45), (0, 75)]


def test_half_step_can_be_halted_and_resumed() -> None:
    # TC 3-21.5, 2012, 4-9, which allows forward and halt there among others.
    ends = {m.to for m in ARMY.movements if "half step" in m.from_stances}
    assert {"marching", "halted"} <= ends


@BOTH_FEET
def test_mark_time_takes_one_more_step_and_closes(foot: str) -> None:
    # TC 3-21.5, 2012, 4-10: same foot for both words, only while marching, one more step, trail foot alongside.
    mark = ARMY.movement("mark-time")
    assert mark.from_stances == ("marching",)
    assert balls(ARMY, "mark-time", foot, [1.0, 2.0, 3.0, 4.0]) == [(0, 30)] * 4
    assert feet_of_words(ARMY, "mark-time", foot) == [foot, foot]
    # from memory: 2 in
    assert ARMY.stance("marking time").lift == Length(2, "in")
    assert "from memory" in mark.unconfirmed


@pytest.mark.parametrize("side", ["right", "left"])
def test_side_step_is_15_inches_in_two_counts(side: str) -> None:
    # TC 3-21.5, 2012, 4-11: from the halt only.
    movement = ARMY.movement(f"{side}-step")
    assert movement.called_on == "halted"
    assert [count.place for count in movement.counts] == ["side", "close"]
    sign = 1 if side == "right" else -1
    done = score(ARMY, movement)
    whole = totals(done, footprints(ARMY, done))
    assert (whole.x, whole.y, whole.beats) == (15 * sign, 0, 2)


@pytest.mark.parametrize(("stance", "sign"), [("right step", 1), ("left step", -1)])
def test_side_step_is_halted_with_heels_together_and_one_more_side_step(stance: str, sign: int) -> None:
    # TC 3-21.5, 2012, 4-11; from the first word on 30 in and four beats in all (arithmetic).
    movement = ARMY.movement("side-step-halt")
    done = score(ARMY, movement, stance)
    stands = {stand.beat: stand for stand in footprints(ARMY, done)}
    for word in movement.call:
        assert stands[word.beat].left == stands[word.beat].right
    first, last = movement.call[0].beat, done.last_count
    assert last - first == 4
    assert stands[last].left == stands[last].right
    assert stands[last].left.x - stands[first].left.x == 30 * sign


def test_backward_march_is_15_inches_left_foot_first() -> None:
    # TC 3-21.5, 2012, 4-12: from the halt only.
    _, stands = kept_up(ARMY, "backward-march", 10)
    assert ARMY.movement("backward-march").called_on == "halted"
    assert stands[1].left.y - stands[0].left.y == -15
    assert (stands[10].right.y - stands[0].right.y) / 10 == -15


def test_quick_to_double_and_back_change_the_cadence_once() -> None:
    # TC 3-21.5, 2012, 4-5: 120 and 180. How many steps come before the change: from memory.
    cadences = [beat.cadence for beat in score(ARMY, ARMY.movement("double-time")).beats]
    assert sorted(set(cadences)) == [120, 180]
    assert cadences == sorted(cadences)
    cadences = [beat.cadence for beat in score(ARMY, ARMY.movement("quick-time")).beats]
    assert cadences == sorted(cadences, reverse=True)
    assert set(cadences) == {120, 180}


def test_every_movement_cites_its_edition_and_owns_up_to_memory() -> None:
    assert all(m.source.startswith("TC 3-21.5, 2012, 4-") for m in ARMY.movements)
    told = {m.id for m in ARMY.movements if m.unconfirmed}
    assert {"rear-march", "right-flank", "left-flank", "mark-time", "forward-from-mark-time"} <= told
    assert {"forward-march", "halt", "change-step", "half-step", "side-step-halt"}.isdisjoint(told)
    for movement in ARMY.movements:
        if movement.unconfirmed:
            assert "from memory" in movement.unconfirmed


def test_sheet_says_that_it_is_not_part_of_the_standard() -> None:
    sheet = ARMY.grade_sheet
    assert sheet is not None
    assert sheet.minors == tuple(movement.id for movement in ARMY.movements)
    assert any("program's own" in line for line in ARMY.sources)
    assert any("common practice, no source" in line for line in ARMY.sources)


def test_march_music_in_two_four_has_two_steps_a_measure() -> None:
    # Arithmetic: eight measures of 2/4 at 120 are sixteen steps and last 8 s; in 4/4 four steps a measure.
    done, _ = kept_up(ARMY, "forward-march", 32)
    assert seconds(done, 0, 8 * 2) == 8
    assert seconds(done, 0, 8 * 4) == 16


def rank(number: int, steps: int, place: str, length: str) -> dict[str, Any]:
    """Return a movement of some steps from the halt, with the trail foot brought up at the end."""
    feet = ("left", "right")
    counts: list[dict[str, Any]] = [
        {"beat": n + 1, "foot": feet[n % 2], "place": place, "length": length} for n in range(steps)
    ]
    counts.append({"beat": steps + 1, "foot": feet[steps % 2], "place": "close"})
    return {
        "id": f"rank-{number}-{place}-{steps}",
        "name": f"Rank {number}: {steps} {place}",
        "from": ["halted"],
        "to": "halted",
        "called_on": "halted",
        "words": [{"say": "Ranks", "beat": -2}, {"say": "MARCH", "beat": 0, "executes": True}],
        "counts": counts,
    }


def test_ranks_that_open_and_close_stand_where_they_stood() -> None:
    # TC 3-21.5 (four ranks): forward 2, 1, 0 and back 2, forward steps of 30 in and back steps of 15. Closing undoes
    # it in steps of the other length (arithmetic).
    opening = [rank(1, 2, "step", "30 in"), rank(2, 1, "step", "30 in"), rank(4, 2, "back", "15 in")]
    closing = [rank(1, 4, "back", "15 in"), rank(2, 2, "back", "15 in"), rank(4, 1, "step", "30 in")]
    head = {"id": "ranks", "title": "Ranks", "unit": "in", "cautions": ["Follow your unit's own standard."]}
    stances = {"halted": {"arms": "still"}, "marching": {"cadence": 120, "step": "30 in", "arms": "swing"}}
    deck = checked({"deck": head, "stance": stances, "movement": [*opening, *closing]})

    def moves(row: dict[str, Any]) -> float:
        return Route(deck).does(row["id"]).at[1]

    assert [moves(row) for row in opening] == [60, 30, -30]
    for out, home in zip(opening, closing, strict=True):
        assert moves(out) + moves(home) == 0
    # every gap between two ranks grows by the same 30 in
    places = [60, 30, 0, -30]
    assert {one - two for one, two in pairwise(places)} == {30}
