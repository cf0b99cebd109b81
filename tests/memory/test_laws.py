"""The laws of the rivals against published worked examples."""

import math

import pytest

from trainer.memory.laws import (
    ActivationLaw,
    PerformanceLaw,
    activation,
    activation_decay,
    left,
    mean_age,
    performance,
    recalled,
    spacing,
)


@pytest.mark.parametrize(
    ("times", "at", "decay", "level", "recall"),
    [
        ((0,), 60, 0.177, -0.724699, 0.479718),
        ((0, 10), 610, 0.321364, -0.799929, 0.407046),
        ((0, 100, 200), 1200, 0.323666, -0.616624, 0.584834),
    ],
)
def test_activation_with_published_parameters(
    times: tuple[int, ...], at: int, decay: float, level: float, recall: float
) -> None:
    # Pavlik and Anderson (2005), Cognitive Science 29(4): a .177, c .217, tau -.704, s .255, seconds; worked by hand.
    law = ActivationLaw()
    decays: list[float] = []
    for number, time in enumerate(times):
        before = activation([time - earlier for earlier in times[:number]], decays)
        decays.append(activation_decay(before, law))
    reached = activation([at - time for time in times], decays)
    assert decays[-1] == pytest.approx(decay, abs=1e-6)
    assert reached == pytest.approx(level, abs=2e-6)
    assert recalled(reached, -0.704, 0.255) == pytest.approx(recall, abs=1e-6)


def test_nothing_practised_is_not_active() -> None:
    assert activation([], []) == -math.inf
    assert recalled(-math.inf, -0.704, 0.255) < 1e-300


@pytest.mark.parametrize(
    ("times", "at", "age", "decay", "level", "recall"),
    [
        ((0,), 10, 10.0, 0.04, 0.912011, 0.574509),
        ((0, 5), 10, 6.987505, 0.079147, 0.918920, 0.616093),
        ((0, 100), 200, 139.750106, 0.057271, 0.807674, 0.090450),
    ],
)
def test_performance_with_published_parameters(
    times: tuple[int, ...], at: int, age: float, decay: float, level: float, recall: float
) -> None:
    # Walsh et al. (2018), Journal of Experimental Psychology: General 147(9): b .04, m .08, tau .9, s .04, c .1, x .6;
    # worked by hand.
    law = PerformanceLaw()
    mean, massing = mean_age([at - time for time in times], law.x), spacing(times)
    reached = performance(len(times), mean, massing, law)
    assert mean == pytest.approx(age, abs=1e-6)
    assert law.b + law.m * massing == pytest.approx(decay, abs=1e-6)
    assert reached == pytest.approx(level, abs=1e-6)
    assert recalled(reached, 0.9, 0.04) == pytest.approx(recall, abs=1e-6)


def test_what_is_left_is_exponential_at_shape_nought_and_a_power_above() -> None:
    assert left(3.0, 2.0, 0.0) == pytest.approx(math.exp(-1.5))
    assert left(3.0, 2.0, 1.0) == pytest.approx(1.0 / 2.5)
    assert left(3.0, 2.0, 1e-7) == pytest.approx(math.exp(-1.5), rel=1e-6)
