"""The plan to the test against worked examples of the model, and what every plan must be."""

from math import exp
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.memory.forward_model import CEPEDA_2008
from trainer.memory.forward import OUT_OF_REACH, Outline, outline
from trainer.memory.habit import Habit
from trainer.memory.readiness import Forecast, Major, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.rehearsal import DOUBTS, Rehearsal, Sessions, sessions, typical

UNEVEN = (3, 3, 3, 4, 4, 4, 5, 6, 16, 17)
EVEN = (6, 7) * 5


def sheet(sizes: tuple[int, ...], to_pass: int = 8) -> Sheet:
    minors = tuple(Minor(f"m{m}", tuple(f"m{m}.p{p}" for p in range(size))) for m, size in enumerate(sizes))
    return Sheet(minors, (Major("bearing"),), 2, 3, to_pass)


def planned(sizes: tuple[int, ...], questions: float, days: float = 21.0, **changes: object) -> Outline:
    forecast = Forecast(sheet(sizes), Random(1), draws=40)
    arguments = {"learner": Learner(), "habit": Habit(0.9, questions), "seen": (), **changes}
    return outline(forecast=forecast, now=0.0, test_at=days, **arguments)  # type: ignore[arg-type]


def test_sessions_are_as_far_apart_as_the_habit_says() -> None:
    assert sessions(0.0, 3.0, 1.0) == Sessions((0.0, 1.0, 2.0), 1.0)
    assert sessions(0.0, 3.0, 1.0, sat_today=True).times == (1.0, 2.0)
    assert sessions(10.0, 15.0, 0.5).times == (10.0, 12.0, 14.0)
    assert sessions(0.0, 0.1, 1.0).times == ()
    long = sessions(0.0, 400.0, 1.0)
    assert len(long.times) * long.each == pytest.approx(400, rel=0.02)
    years = sessions(0.0, 4_000.0, 1.0)
    assert (len(years.times), years.each) == (40, 10.0), "a clock that is years off must not make a plan endless"
    assert years.times[-1] > 3_800.0


def test_four_expected_askings_leave_what_the_model_says() -> None:
    """Studied on days 0, 1, 4, 11 and tested on 28 with delta .25, d .137, tau0 .0318: strength .333128.

    The figures are worked by hand from the formulas of `traces`.
    """
    fit = CEPEDA_2008._replace(delta=0.25, d=0.137, tau0=0.0318, theta=0.2465, sigma=0.03)
    ahead = Sessions((0.0, 1.0, 4.0, 11.0), 1.0)
    rehearsal = Rehearsal(Learner(), ["a"], (), 0.0, 28.0, ahead, fit)
    course = rehearsal.course(["a"], 1.0)
    assert course.sessions == {"a": (0, 1, 2, 3)}
    found = rehearsal.recalls(course)["a"][len(DOUBTS) - 1 :: len(DOUBTS)]
    # Who knew it before recalls it for certain by then; of the others, the mean over difficulties spread by .03.
    offsets = [exp(-((step * 0.01875) ** 2) / (2 * 0.03**2)) for step in range(-4, 5)]
    mean = sum(
        weight / (1.0 + exp((0.2465 + step * 0.01875 - 0.333128) / 0.03))
        for step, weight in zip(range(-4, 5), offsets, strict=True)
    ) / sum(offsets)
    for recall, known in zip(found, rehearsal.at_now[0], strict=True):
        assert (recall - known) / (1.0 - known) == pytest.approx(mean, abs=0.015)


def test_the_first_reading_is_the_learners_own() -> None:
    learner = Learner([Evidence("a", 0.0, True, 0), Evidence("a", 1.0, True, 0), Evidence("b", 1.0, False, 4)])
    rehearsal = Rehearsal(learner, ["a", "b", "c"], ["a", "b"], 2.0, 9.0, sessions(2.0, 9.0, 0.9))
    nothing = rehearsal.course((), 10.0)
    for item, recall in zip("abc", learner.recall("abc", 9.0, 2.0), strict=True):
        mean = sum(w * r for w, r in zip(rehearsal.weights, rehearsal.recalls(nothing)[item], strict=True))
        assert mean == pytest.approx(recall, abs=1e-4)


def test_typical_parameters_of_who_was_never_asked_are_the_priors() -> None:
    fit = typical(Learner().weights())
    assert fit.d == pytest.approx(0.1408)  # .08 .11 .137 .17 .22 weighing .1 .2 .4 .2 .1
    assert fit.delta == pytest.approx(0.2625)
    assert fit.theta == pytest.approx(0.24575)
    assert fit.sigma == pytest.approx(0.03)


def test_with_little_time_what_is_large_is_given_up_and_no_more_than_the_rule_allows() -> None:
    plan = planned(UNEVEN, 8.0)
    assert set(plan.given_up) == {"m8", "m9"}
    assert len(plan.carried) == 32
    assert set(plan.measures) | set(plan.given_up) == {f"m{n}" for n in range(10)}
    all_needed = Forecast(sheet(UNEVEN, to_pass=10), Random(1), draws=0)
    assert outline(Learner(), all_needed, 0.0, 21.0, Habit(0.9, 8.0), ()).given_up == ()


def test_with_much_time_everything_is_carried() -> None:
    plan = planned(UNEVEN, 120.0)
    assert plan.given_up == ()
    assert plan.go.go > 0.8
    assert not plan.out_of_reach


def test_out_of_reach_is_said_and_what_more_a_day_would_change() -> None:
    plan = planned(EVEN, 5.0, days=6.0, more=40.0)
    assert plan.out_of_reach
    assert plan.go.go < OUT_OF_REACH
    assert plan.more.questions == 40.0
    assert plan.more.go > plan.go.go + 0.1


def test_the_curve_begins_where_he_stands_and_ends_at_the_plan() -> None:
    plan = planned(EVEN, 60.0, dates=(0.0, 7.0, 14.0, 21.0))
    assert plan.curve[0].planned == plan.curve[0].resting
    assert plan.curve[-1].planned == plan.go
    assert plan.curve[-1].resting == plan.resting
    assert all(day.planned.go >= day.resting.go for day in plan.curve)
    assert all(day.planned.low <= day.planned.go <= day.planned.high for day in plan.curve)


@pytest.mark.parametrize("test_at", [0.0, -1.0, float("inf"), float("nan")])
def test_no_plan_without_a_test_ahead(test_at: float) -> None:
    with pytest.raises(ValueError, match="needs a test that lies ahead"):
        planned(EVEN, 20.0, days=test_at)


def test_a_test_within_hours_leaves_no_session_and_still_a_plan() -> None:
    plan = planned(EVEN, 20.0, days=0.1)
    assert plan.sessions == 0
    assert plan.go == plan.resting


@settings(deadline=None, max_examples=30)
@given(st.integers(0, 10**6))
def test_any_plan_carries_enough_and_is_no_worse_than_rest(seed: int) -> None:
    rng = Random(seed)
    sizes = tuple(rng.randint(1, 9) for _ in range(rng.randint(1, 7)))
    to_pass = rng.randint(0, len(sizes))
    forecast = Forecast(sheet(sizes, to_pass), Random(1), draws=10)
    evidence = [
        Evidence(rng.choice(forecast.items), rng.uniform(0, 5), rng.random() < 0.7, rng.choice((0, 4)))
        for _ in range(rng.randint(0, 60))
    ]
    seen = {one.item for one in evidence}
    arguments = (Learner(evidence), forecast, 5.0, 5.0 + rng.uniform(0.1, 30), Habit(rng.random(), rng.uniform(1, 50)))
    plan = outline(*arguments, seen, more=10.0)
    assert len(plan.measures) >= max(1, to_pass)
    assert plan.go.go >= plan.resting.go - 0.011
    assert plan.more.go >= plan.go.go
    assert plan.carried == {item for m in forecast.sheet.minors if m.id in plan.measures for item in m.points}
    assert plan == outline(*arguments, sorted(seen), more=10.0)
