"""Intervals against scipy, forecast scores against published ones."""

import math
import random

import pytest
from scipy import stats

from tests.simulation.course import Reading
from tests.simulation.policies import Forecasted
from tests.simulation.scores import accuracy, log_loss, mean_interval, mean_square, share_interval, t_quantile


@pytest.mark.parametrize("freedom", [1, 2, 3, 4, 7, 8, 47, 200])
def test_students_quantile_against_scipy(freedom: int) -> None:
    for share in (0.6, 0.9, 0.975, 0.995):
        assert t_quantile(share, freedom) == pytest.approx(stats.t.ppf(share, freedom), rel=1e-9)


def test_interval_of_paired_differences_against_scipy() -> None:
    rng = random.Random(2)
    one = [rng.random() for _ in range(12)]
    other = [value + rng.gauss(0.1, 0.2) for value in one]
    expected = stats.ttest_rel(other, one).confidence_interval(0.95)
    found = mean_interval([b - a for a, b in zip(one, other, strict=True)])
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high))


def test_a_single_value_has_no_interval() -> None:
    assert math.isnan(mean_interval([0.4]).low)


@pytest.mark.parametrize(("successes", "n"), [(0, 8), (7, 10), (8, 8), (30, 48)])
def test_interval_of_a_share_against_scipy(successes: int, n: int) -> None:
    expected = stats.binomtest(successes, n).proportion_ci(0.95, method="wilson")
    found = share_interval(successes, n)
    assert (found.low, found.high) == pytest.approx((expected.low, expected.high), abs=1e-12)


SAID = [0.9, 0.9, 0.8, 0.7, 0.6, 0.6, 0.3, 0.3, 0.1, 0.1]
CAME = [1.0, 1.0, 1.0, 0.0, 1.0, 1.0, 0.0, 1.0, 0.0, 0.0]


def test_brier_and_log_loss_worked_by_hand() -> None:
    assert mean_square(SAID, CAME) == pytest.approx(0.147)
    assert log_loss(SAID, CAME) == pytest.approx(0.443086, abs=1e-6)


def readings(said: list[float], truths: list[float], passed: list[bool], reach: float = 0.1) -> list[Reading]:
    return [Reading(7, Forecasted(s, s - reach, s + reach), t, p) for s, t, p in zip(said, truths, passed, strict=True)]


def test_scores_of_forecasts_worked_by_hand() -> None:
    scores = accuracy(readings([0.5, 0.55, 0.95, 0.0], [0.4, 0.45, 0.35, 0.001], [True, False, False, False]))
    # Bins: two forecasts .1 too high, one .6 too high, one right.
    assert scores.binned_mae == pytest.approx((2 * 0.1 + 0.6 + 0.001) / 4)
    assert scores.rmse == pytest.approx(math.sqrt((0.01 + 0.01 + 0.36 + 1e-6) / 4))
    assert scores.coverage == 0.75
    assert scores.open == 3
    assert scores.open_coverage == pytest.approx(2 / 3)
    assert [b.size for b in scores.bins] == [1, 2, 1]


def test_the_truth_is_the_perfect_forecast() -> None:
    rng = random.Random(6)
    truths = [rng.random() for _ in range(500)]
    scores = accuracy(readings(truths, truths, [rng.random() < truth for truth in truths]))
    assert scores.binned_mae == scores.rmse == 0.0
    assert scores.brier == scores.perfect_brier
    assert scores.coverage == 1.0


def test_sure_and_wrong_counts_as_open() -> None:
    assert accuracy(readings([0.999], [0.0], [False], 0.0)).open == 1
    assert accuracy(readings([0.0], [0.0], [False], 0.0)).open == 0
