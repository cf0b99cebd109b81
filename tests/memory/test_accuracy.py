"""Scores of forecasts against worked values, scipy, and sums over everything that could have come."""

from itertools import product
from math import log, prod, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trainer.memory.accuracy import assess, bins, brier, log_loss, surprise, wilson

SAID = [0.9, 0.9, 0.8, 0.7, 0.6, 0.6, 0.3, 0.3, 0.1, 0.1]
CAME = [True, True, True, False, True, True, False, True, False, False]

forecasts = st.lists(st.tuples(st.integers(0, 20).map(lambda n: n / 20), st.booleans()), min_size=1, max_size=30)


def test_ten_forecasts_worked_by_hand() -> None:
    assert brier(SAID, CAME) == pytest.approx(0.147)
    assert log_loss(SAID, CAME) == pytest.approx(0.443086, abs=5e-7)


@given(forecasts, st.randoms(use_true_random=False))
def test_the_order_of_forecasts_does_not_matter(pairs: list[tuple[float, bool]], rng: object) -> None:
    shuffled = list(pairs)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    one, other = (assess([p[0] for p in some], [p[1] for p in some]) for some in (pairs, shuffled))
    assert one[:6] == pytest.approx(other[:6])
    assert one.surprise == pytest.approx(other.surprise)
    assert [b.size for b in one.bins] == [b.size for b in other.bins]


@pytest.mark.parametrize(("successes", "trials"), [(0, 8), (7, 10), (8, 8), (30, 48), (1, 1)])
def test_wilsons_interval_against_scipy(successes: int, trials: int) -> None:
    expected = stats.binomtest(successes, trials).proportion_ci(0.95, method="wilson")
    assert wilson(successes, trials) == pytest.approx((expected.low, expected.high), abs=1e-12)


def test_wilsons_interval_of_seven_in_ten() -> None:
    assert wilson(7, 10) == pytest.approx((0.396778, 0.892209), abs=5e-7)


def test_surprise_is_the_excess_in_standard_deviations_over_all_that_could_come() -> None:
    said = [0.9, 0.75, 0.4, 0.2, 0.05]
    worlds = list(product([True, False], repeat=len(said)))
    chances = [prod(p if y else 1 - p for p, y in zip(said, came, strict=True)) for came in worlds]
    scores = [brier(said, came) for came in worlds]
    mean = sum(c * s for c, s in zip(chances, scores, strict=True))
    spread = sqrt(sum(c * (s - mean) ** 2 for c, s in zip(chances, scores, strict=True)))
    for came, score in zip(worlds, scores, strict=True):
        assert surprise(said, came) == pytest.approx((score - mean) / spread)
    assert assess(said, worlds[0]).brier_if_right == pytest.approx(mean)


def test_bins_tell_size_mean_and_share() -> None:
    found = bins([0.0, 0.05, 0.1, 0.55, 0.59, 1.0], [False, True, False, True, True, True])
    assert [(b.low, b.size, b.came) for b in found] == [(0.0, 2, 0.5), (0.1, 1, 0.0), (0.5, 2, 1.0), (0.9, 1, 1.0)]
    assert found[2].said == pytest.approx(0.57)
    assert (found[2].came_low, found[2].came_high) == wilson(2, 2)
    assert bins(SAID, CAME, 1)[0].size == 10


def test_a_forecast_that_was_sure_and_wrong_costs_no_more_than_the_clip() -> None:
    assert log_loss([1.0, 0.0], [False, False]) == pytest.approx(-log(1e-6) / 2)


def test_certainties_that_came_are_no_surprise() -> None:
    judged = assess([1.0, 0.0], [True, False])
    assert (judged.brier, judged.brier_if_right, judged.surprise) == (0.0, 0.0, 0.0)


def test_all_of_it_together() -> None:
    judged = assess(SAID, CAME, 5)
    assert (judged.number, judged.came, len(judged.bins)) == (10, 0.6, 4)
    assert judged.said == pytest.approx(0.53)
    assert judged.brier_if_right == pytest.approx(0.163)


@pytest.mark.parametrize(
    ("said", "came", "complaint"),
    [
        ([], [], "no forecasts"),
        ([0.5], [], "1 forecasts and 0 outcomes"),
        ([1.2], [True], "1.2 is no chance"),
        ([float("nan")], [True], "nan is no chance"),
    ],
)
def test_what_cannot_be_judged_is_refused(said: list[float], came: list[bool], complaint: str) -> None:
    for judge in (assess, brier, log_loss, surprise, bins):
        with pytest.raises(ValueError, match=complaint):
            judge(said, came)


@pytest.mark.parametrize(("successes", "trials"), [(0, 0), (-1, 4), (5, 4)])
def test_a_share_that_cannot_be_is_refused(successes: int, trials: int) -> None:
    with pytest.raises(ValueError, match="give at least one trial"):
        wilson(successes, trials)


def test_no_bins_are_refused() -> None:
    with pytest.raises(ValueError, match="0 bins"):
        bins(SAID, CAME, 0)
