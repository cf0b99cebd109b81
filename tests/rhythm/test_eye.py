"""Sensitivity and criterion against scipy, a published worked example and simulated graders."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import norm

from trainer.rhythm.eye import (
    FEWEST,
    MISSES,
    SEES,
    SEES_GHOSTS,
    TOO_FEW,
    UNSURE,
    Eye,
    Look,
    any_fault,
    eyes,
)

counts = st.integers(0, 400)


def test_worked_example_of_a_published_package() -> None:
    """statpsych for R, function signal(82, 46, 100, 100), as its reference page prints it."""
    eye = Eye(82, 18, 46, 54)
    assert eye.hit_rate == pytest.approx(0.8168317, abs=5e-8)
    assert eye.false_alarm_rate == pytest.approx(0.460396, abs=5e-7)
    assert eye.sensitivity == pytest.approx(1.002793, abs=5e-7)
    # Its bias is the threshold less half of d prime, which is the criterion.
    assert eye.criterion == pytest.approx(-0.4019603, abs=5e-8)


@given(counts, counts, counts, counts)
def test_agrees_with_scipy_and_is_never_infinite(hits: int, misses: int, alarms: int, rejections: int) -> None:
    eye = Eye(hits, misses, alarms, rejections)
    hit = norm.ppf((hits + 0.5) / (hits + misses + 1))
    alarm = norm.ppf((alarms + 0.5) / (alarms + rejections + 1))
    assert eye.sensitivity == pytest.approx(hit - alarm, abs=1e-9)
    assert eye.criterion == pytest.approx(-(hit + alarm) / 2, abs=1e-9)


@given(counts, counts, counts, counts)
def test_turned_round_it_says_the_opposite(hits: int, misses: int, alarms: int, rejections: int) -> None:
    one, two = Eye(hits, misses, alarms, rejections), Eye(alarms, rejections, hits, misses)
    assert one.sensitivity == pytest.approx(-two.sensitivity, abs=1e-9)
    assert one.criterion == pytest.approx(two.criterion, abs=1e-9)
    assert one.error == pytest.approx(two.error, rel=1e-12)


def simulated(sensitivity: float, criterion: float, trials: int, rng: random.Random) -> Eye:
    """A grader to whom a fault is a normal variable shifted by his sensitivity (Green and Swets 1966)."""
    eye = Eye()
    for number in range(2 * trials):
        there = number % 2 == 0
        felt = rng.gauss(sensitivity / 2 if there else -sensitivity / 2, 1.0)
        eye = eye.plus(there, felt > criterion)
    return eye


@pytest.mark.parametrize(("sensitivity", "criterion"), [(0.0, 0.0), (1.0, 0.0), (2.0, 0.5), (1.5, -0.7)])
def test_simulated_grader_is_found_as_he_is(sensitivity: float, criterion: float) -> None:
    eye = simulated(sensitivity, criterion, 20_000, random.Random(7))
    assert eye.sensitivity == pytest.approx(sensitivity, abs=0.05)
    assert eye.criterion == pytest.approx(criterion, abs=0.03)


def test_standard_error_is_what_repeated_tests_scatter_by() -> None:
    rng = random.Random(11)
    found = [simulated(1.0, 0.0, 60, rng) for _ in range(600)]
    values = [eye.sensitivity for eye in found]
    mean = sum(values) / len(values)
    scatter = (sum((value - mean) ** 2 for value in values) / (len(values) - 1)) ** 0.5
    assert scatter == pytest.approx(sum(eye.error for eye in found) / len(found), rel=0.1)


@pytest.mark.parametrize(
    ("eye", "verdict"),
    [
        (Eye(), TOO_FEW),
        (Eye(FEWEST - 1, 0, 0, 50), TOO_FEW),
        (Eye(50, 0, 0, FEWEST - 1), TOO_FEW),
        (Eye(FEWEST, 0, 0, 20), SEES),
        (Eye(10, 0, 10, 0), SEES_GHOSTS),
        (Eye(1, 9, 0, 20), MISSES),
        (Eye(3, 3, 1, 5), SEES_GHOSTS),
        (Eye(3, 2, 1, 8), UNSURE),
    ],
)
def test_what_an_eye_is_told(eye: Eye, verdict: str) -> None:
    assert eye.verdict == verdict


def test_a_wrong_fault_is_a_miss_of_the_one_and_a_false_alarm_of_the_other() -> None:
    found = eyes(
        [Look("small", "late"), Look("small", "small"), Look(None, "late"), Look(None, None)], ["small", "late"]
    )
    assert found == {"small": Eye(1, 1, 0, 2), "late": Eye(0, 0, 2, 2)}


def test_any_fault_asks_only_whether_there_was_one() -> None:
    looks = [Look("small", "late"), Look("small", None), Look(None, "late"), Look(None, None)]
    assert any_fault(looks) == Eye(1, 1, 1, 1)


names = st.sampled_from([None, "a", "b", "c"])


@given(st.lists(st.tuples(names, names)))
def test_every_performance_is_a_trial_of_every_fault(pairs: list[tuple[str | None, str | None]]) -> None:
    for eye in eyes([Look(*pair) for pair in pairs], ["a", "b", "c"]).values():
        assert sum(eye) == len(pairs)
