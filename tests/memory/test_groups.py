"""What movements and families share of prior knowledge, against sums over every combination of effects."""

from itertools import product
from math import exp, prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.memory.grid import KNOWN_BEFORE
from trainer.memory.groups import KNOWN, PRIOR, STEPS, SUREST, Cell, effects, known_before, odds_of

MOVEMENTS, FAMILIES = ("halt", "right flank", "rear march"), ("words", "feet")
CELLS = list(product(MOVEMENTS, FAMILIES))

told = st.lists(
    st.tuples(st.sampled_from(CELLS), st.floats(-6.0, 8.0).map(lambda logit: exp(logit))), min_size=1, max_size=24
)


def exactly(points: list[tuple[Cell, float]], wanted: Cell) -> float:
    """Chance that an unseen point of a cell was known, summed over every combination of the five effects."""
    whole = known = 0.0
    for steps in product(range(STEPS), repeat=len(MOVEMENTS) + len(FAMILIES)):
        of = dict(zip(MOVEMENTS + FAMILIES, steps, strict=True))
        shares = [(KNOWN[of[movement] + of[family]], odds) for (movement, family), odds in points]
        weight = prod(PRIOR[step] for step in steps) * prod(1.0 - share + odds * share for share, odds in shares)
        whole += weight
        known += weight * KNOWN[of[wanted[0]] + of[wanted[1]]]
    return known / whole


def unseen(points: list[tuple[Cell, float]], cell: Cell) -> float:
    return known_before(effects(points).on(cell))


@settings(max_examples=12, deadline=None)
@given(told, st.sampled_from(CELLS))
def test_near_the_sum_over_every_combination(points: list[tuple[Cell, float]], cell: Cell) -> None:
    assert unseen(points, cell) == pytest.approx(exactly(points, cell), abs=0.08)


def test_one_answer_is_as_near_as_can_be() -> None:
    points = [(CELLS[0], 30.0)]
    assert unseen(points, CELLS[0]) == pytest.approx(exactly(points, CELLS[0]), abs=0.02)
    assert unseen(points, CELLS[1]) == pytest.approx(exactly(points, CELLS[1]), abs=0.02)


def test_nothing_told_leaves_the_prior() -> None:
    assert unseen([], CELLS[0]) == pytest.approx(KNOWN_BEFORE, abs=1e-12)
    assert unseen([(CELLS[0], 1.0)], CELLS[0]) == pytest.approx(KNOWN_BEFORE, abs=1e-12)
    assert unseen([(("other", "other"), 50.0)], CELLS[0]) == pytest.approx(KNOWN_BEFORE, abs=1e-12)


def test_feet_of_eight_movements_say_something_about_the_ninth() -> None:
    right = [((f"m{n % 8}", "feet"), 20.0) for n in range(10)]
    wrong = [((f"m{n % 8}", "feet"), 0.02) for n in range(10)]
    assert unseen(right, ("m9", "feet")) > 0.5
    assert unseen(wrong, ("m9", "feet")) < 0.1
    assert unseen(right, ("m9", "words")) == pytest.approx(KNOWN_BEFORE, abs=1e-12)
    assert unseen(right, ("m1", "words")) > KNOWN_BEFORE


@settings(max_examples=150, deadline=None)
@given(told, st.sampled_from(CELLS), st.floats(1.01, 1000.0), st.sampled_from(CELLS))
def test_more_right_in_a_group_never_lowers_the_unseen_of_that_group(
    points: list[tuple[Cell, float]], cell: Cell, more: float, other: Cell
) -> None:
    if not set(cell) & set(other):
        return
    assert unseen([*points, (cell, more)], other) >= unseen(points, other) - 1e-9
    place = next((n for n, (where, _) in enumerate(points) if where == cell), None)
    if place is not None:
        better = [*points]
        better[place] = (cell, points[place][1] * more)
        assert unseen(better, other) >= unseen(points, other) - 1e-9


@settings(max_examples=40, deadline=None)
@given(told, st.integers(0, 23))
def test_a_point_does_not_confirm_itself(points: list[tuple[Cell, float]], place: int) -> None:
    cell, odds = points[place % len(points)]
    others = [point for n, point in enumerate(points) if n != place % len(points)]
    # The effects are fitted once, with the point; taking it out is then as good as never having put it in.
    assert known_before(effects(points).on(cell), odds) == pytest.approx(exactly(others, cell), abs=0.12)


@given(st.floats(0.0, 1.0))
def test_odds_undo_the_prior(known: float) -> None:
    odds = odds_of(known)
    assert 1.0 / SUREST <= odds <= SUREST
    if 1e-5 < known < 1.0 - 1e-5:
        assert KNOWN_BEFORE * odds / (KNOWN_BEFORE * odds + 1.0 - KNOWN_BEFORE) == pytest.approx(known)
