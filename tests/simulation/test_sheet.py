"""The true chance of GO against scipy, against drawn tests and against the program's own rule."""

import random

import pytest
from scipy.stats import binom, poisson_binom

from tests.simulation.ours import KNOWN, sheet
from tests.simulation.sheet import Shape, at_least, deck, drawn_test, measures_go, tail, true_go
from trainer.memory.readiness import Forecast


def test_the_deck_is_like_the_real_one() -> None:
    on = deck()
    assert len(on.items) == len(set(on.items)) == 150
    assert len(on.minors) == 10
    assert on.to_pass == 8
    assert {len(points) for points in on.minors.values()} == {6, 7}
    assert {on.groups[item][1] for item in on.items} == {"words", "feet", "counts", "faults"}
    assert all(on.groups[item][0] == movement for movement, points in on.minors.items() for item in points)
    assert all(on.confusable[twin] == (item,) for item in on.items for twin in on.confusable[item])


def test_a_shape_that_cannot_be_is_refused() -> None:
    with pytest.raises(ValueError, match="30 points are too few for 10 measures: give 65 or more"):
        deck(Shape(points=30))


@pytest.mark.parametrize(("trials", "needed", "chance"), [(3, 2, 0.9), (3, 2, 0.135), (5, 4, 0.6), (3, 0, 0.2)])
def test_trials_against_scipy(trials: int, needed: int, chance: float) -> None:
    assert tail(trials, needed, chance) == pytest.approx(binom.sf(needed - 1, trials, chance))


@pytest.mark.parametrize("needed", range(6))
def test_measures_against_scipy(needed: int) -> None:
    chances = [0.9, 0.8, 0.7, 0.6, 0.5]
    assert at_least(needed, chances) == pytest.approx(poisson_binom.sf(needed - 1, chances))


def test_perfect_recall_leaves_execution_alone() -> None:
    on = deck()
    # Ten measures of Bin(3, .9) >= 2, eight of them.
    assert true_go(on, lambda item: 1.0) == pytest.approx(binom.sf(7, 10, 0.972))
    assert measures_go(on, lambda item: 0.0) == pytest.approx([binom.sf(1, 3, 0.135)] * 10)


def test_drawn_tests_pass_as_often_as_the_chance_says() -> None:
    on = deck()
    rng = random.Random(4)
    recall = {item: rng.uniform(0.9, 1.0) for item in on.items}
    passed = sum(drawn_test(on, recall.__getitem__, rng) for _ in range(4000))
    assert passed / 4000 == pytest.approx(true_go(on, recall.__getitem__), abs=0.03)


def test_the_program_reckons_the_same_sheet_alike() -> None:
    on = deck()
    rng = random.Random(5)
    recall = {item: rng.uniform(0.85, 1.0) for item in on.items}
    forecast = Forecast(sheet(on), random.Random(1), KNOWN).at({item: [r] for item, r in recall.items()}, [1.0])
    assert forecast.chance.go == pytest.approx(true_go(on, recall.__getitem__), abs=1e-5)
