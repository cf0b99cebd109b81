"""Which movements are taken for each other."""

import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring.building import build
from trainer.drill.deck import Deck
from trainer.drill.movement import Count, Movement, other_foot
from trainer.drill.similar import MIRROR, RIVALS_FROM, Likeness, rivals

SHIPPED = sorted(Path(__file__).parents[2].joinpath("decks").glob("*.toml"))
HEAD = """
[deck]
id = "quay-guard"
title = "Quay guard"
unit = "in"
[stance.marching]
cadence = 120
step = "30 in"
[stance."to the right"]
cadence = 120
step = "15 in"
cycle = [ { foot = "right", place = "side" }, { foot = "left", place = "close" } ]
[stance."to the left"]
cadence = 120
step = "15 in"
cycle = [ { foot = "left", place = "side" }, { foot = "right", place = "close" } ]
[stance.halted]
"""
MARCHING = 'from = ["marching"]\nto = "marching"\n'


def movement(name: str, called_on: str, say: str, counts: str, route: str = MARCHING) -> str:
    return f"""
[[movement]]
id = "{name}"
name = "{name}"
called_on = "{called_on}"
{route}
words = [ {{ say = "{say}", beat = -2 }}, {{ say = "MARCH", beat = 0, executes = true }} ]
counts = [ {counts} ]
"""


RIGHT_FLANK = movement(
    "right-flank",
    "right",
    "Right flank",
    '{ beat = 1, place = "step", left_arm = "pinned" }, { beat = 2, place = "step", turn = "90 right" }',
)
LEFT_FLANK = movement(
    "left-flank",
    "left",
    "Left flank",
    '{ beat = 1, place = "step", left_arm = "pinned" }, { beat = 2, foot = "left", place = "step", turn = "90 left" }',
)
CHANGE_STEP = movement(
    "change-step",
    "right",
    "Change step",
    '{ beat = 1, place = "step" }, { beat = 1.5, place = "toe to heel" }, { beat = 2, place = "step" }',
)
REAR = movement(
    "rear",
    "right",
    "Rear",
    '{ beat = 1, place = "step" }, { beat = 2, place = "pivot", turn = "180 right" }, { beat = 3, place = "step" }',
)
HALT = movement(
    "halt",
    "either",
    "Guard",
    '{ beat = 1, foot = "other", place = "step" }, { beat = 2, foot = "same", place = "close" }',
    'from = ["marching"]\nto = "halted"\n',
)
SIDES = [
    movement(
        f"{side}-step",
        "halted",
        f"{side} step",
        f'{{ beat = 1, foot = "{side}", place = "side" }}, '
        f'{{ beat = 2, foot = "{other_foot(side)}", place = "close" }}',
        f'from = ["halted"]\nto = "to the {side}"\n',
    )
    for side in ("right", "left")
]


def deck(*movements: str) -> Deck:
    return build(tomllib.loads(HEAD + "".join(movements)))


def first_two(one: Deck) -> float:
    """How alike the first two movements of a deck are."""
    return Likeness(one).of(one.movements[0].id, one.movements[1].id)


WHOLE = deck(CHANGE_STEP, RIGHT_FLANK, REAR, LEFT_FLANK, HALT, *SIDES)


@pytest.mark.parametrize(
    ("one", "two"), [("right-flank", "left-flank"), ("left-flank", "right-flank"), ("right-step", "left-step")]
)
def test_a_movement_with_left_and_right_swapped_is_the_mirror(one: str, two: str) -> None:
    # Feet written or given by the beat, turns, the same arm in both, and stances whose cycles are mirrored.
    judge = Likeness(WHOLE)
    assert judge.mirrors[one] == two
    assert judge.of(one, two) == MIRROR
    assert rivals(WHOLE)[one][0] == two


@pytest.mark.parametrize("one", ["change-step", "rear", "halt"])
def test_a_movement_without_a_mirror_or_that_is_its_own_has_none(one: str) -> None:
    assert one not in Likeness(WHOLE).mirrors


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('turn = "90 left"', 'turn = "45 left"'),
        ('called_on = "left"', 'called_on = "either"'),
        ("beat = -2", "beat = -4"),
        ('to = "marching"', 'to = "halted"'),
    ],
)
def test_a_mirror_differs_in_nothing_but_sides(old: str, new: str) -> None:
    assert LEFT_FLANK.count(old) == 1
    changed = deck(RIGHT_FLANK, LEFT_FLANK.replace(old, new).replace('foot = "left", ', ""))
    assert "right-flank" not in Likeness(changed).mirrors


def test_change_step_and_rear_march_are_rivals() -> None:
    # Both are called on the right foot with one more left step (common practice, no source).
    assert "rear" in rivals(WHOLE)["change-step"]
    assert "change-step" in rivals(WHOLE)["rear"]


def test_movements_with_nothing_in_common_are_no_rivals() -> None:
    assert "right-step" not in rivals(WHOLE)["change-step"]
    assert Likeness(WHOLE).of("right-step", "rear") == 0


def test_a_shared_word_makes_a_likeness_and_the_word_of_execution_does_not() -> None:
    shared = deck(HALT, REAR.replace('say = "Rear"', 'say = "Guard rear"'))
    plain = deck(HALT, REAR)
    march = deck(HALT, REAR.replace('say = "MARCH"', 'say = "HALT"'))
    assert first_two(shared) > first_two(plain)
    assert first_two(march) == first_two(plain)


def test_a_word_that_most_calls_share_tells_nothing() -> None:
    calls = [
        REAR.replace('say = "Rear"', f'say = "Guard {name}"').replace('"rear"', f'"{name}"')
        for name in ("rear", "wheel", "incline")
    ]
    with_it, without = deck(*calls), deck(*(call.replace("Guard ", "") for call in calls))
    assert first_two(with_it) == first_two(without)


def test_the_likest_come_first_and_ties_keep_the_order_of_the_deck() -> None:
    judge = Likeness(WHOLE)
    for one in WHOLE.movements:
        order = judge.order(one.id)
        assert sorted(order) == sorted(other.id for other in WHOLE.movements if other is not one)
        marks = [judge.of(one.id, other) for other in order]
        assert marks == sorted(marks, reverse=True)
    ids = [movement.id for movement in WHOLE.movements]
    tied = [other for other in judge.order("right-step") if judge.of("right-step", other) == 0]
    assert tied == sorted(tied, key=ids.index)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_likeness_is_symmetric_and_rivalry_mutual_in_shipped_decks(path: Path) -> None:
    whole = build(tomllib.loads(path.read_text(encoding="utf-8")))
    judge, found = Likeness(whole), rivals(whole)
    for one in whole.movements:
        for two in whole.movements:
            assert judge.of(one.id, two.id) == judge.of(two.id, one.id)
            assert 0 <= judge.of(one.id, two.id) <= 1
            if one is not two:
                alike = judge.of(one.id, two.id) >= RIVALS_FROM
                assert (two.id in found[one.id]) == (one.id in found[two.id]) == alike


@pytest.mark.parametrize(
    ("stem", "one", "two"),
    [
        ("us_army_individual_drill", "right-flank", "left-flank"),
        ("harbour_guard_marching", "turn-starboard", "turn-port"),
        ("harbour_guard_marching", "side-starboard", "side-port"),
    ],
)
def test_mirrors_of_the_shipped_decks(stem: str, one: str, two: str) -> None:
    path = next(path for path in SHIPPED if path.stem == stem)
    judge = Likeness(build(tomllib.loads(path.read_text(encoding="utf-8"))))
    assert judge.mirrors[one] == two
    assert judge.mirrors[two] == one


FEET = st.sampled_from(["left", "right"])
PLACES = st.sampled_from(["step", "close", "T"])
TURNS = st.sampled_from([0.0, 90.0, -180.0])


@given(
    FEET,
    st.lists(st.tuples(FEET, PLACES, TURNS), max_size=4),
)
def test_any_movement_and_its_mirror_image_are_found(called: str, rows: list[tuple[str, str, float]]) -> None:
    def made(name: str, swap: bool) -> Movement:
        counts = tuple(
            Count(float(beat), other_foot(foot) if swap else foot, place, turn=-turn if swap else turn)
            for beat, (foot, place, turn) in enumerate(rows, 1)
        )
        on = other_foot(called) if swap else called
        return Movement(name, name, ("marching",), "marching", on, counts)

    pair = WHOLE._replace(movements=(made("one", False), made("two", True)))
    assert Likeness(pair).mirrors["one"] == "two"
