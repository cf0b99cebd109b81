"""A habit counted by hand, and what makes a plan stale."""

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.memory.habit import Habit, habit, plan_key
from trainer.memory.recall import Evidence

TODAY = date(2031, 5, 20)


def ago(days: int) -> date:
    return TODAY - timedelta(days)


def test_nothing_practised_is_what_is_expected_of_everybody() -> None:
    assert habit({}, 41, TODAY) == Habit(pytest.approx(0.85), 41.0)  # type: ignore[arg-type]


def test_missed_days_count_and_today_only_once_it_was_sat() -> None:
    found = habit({ago(10): 30, ago(8): 20, ago(3): 40}, 30, TODAY)
    assert found.chance == pytest.approx((0.85 * 4 + 3) / (4 + 10))
    assert found.questions == pytest.approx((2 * 30 + 90) / 5)
    sat = habit({ago(10): 30, ago(8): 20, ago(3): 40, TODAY: 10}, 30, TODAY)
    assert sat.chance == pytest.approx((0.85 * 4 + 4) / (4 + 11))


def test_what_lies_more_than_three_weeks_back_is_forgotten() -> None:
    recent = {ago(day): 30 for day in (1, 2, 5)}
    assert habit({**recent, ago(200): 500}, 30, TODAY).questions == 30.0
    assert habit({**recent, ago(200): 5}, 30, TODAY).chance == pytest.approx((0.85 * 4 + 3) / (4 + 21))


@given(st.dictionaries(st.integers(-3, 60), st.integers(0, 200)), st.integers(5, 120))
def test_a_habit_is_a_chance_and_a_number_of_questions_that_were_seen(sat: dict[int, int], usual: int) -> None:
    found = habit({ago(days): asked for days, asked in sat.items()}, usual, TODAY)
    assert 0.0 < found.chance <= 1.0
    assert min([usual, *sat.values()]) <= found.questions <= max([usual, *sat.values()])


EVIDENCE = [Evidence("a", 1.0, True, 0), Evidence("b", 2.5, False, 4)]
SAME: dict[str, Any] = {
    "today": TODAY,
    "test": TODAY + timedelta(9),
    "minutes": 15,
    "deck": "hash",
    "wished": {"a", "b"},
    "evidence": EVIDENCE,
    "since": 3.0,
}


@pytest.mark.parametrize(
    "change",
    [
        {"today": TODAY + timedelta(1)},
        {"test": None},
        {"test": TODAY + timedelta(10)},
        {"minutes": 25},
        {"deck": "another"},
        {"wished": {"a"}},
        {"evidence": [EVIDENCE[0], EVIDENCE[1]._replace(right=True)]},
        {"evidence": EVIDENCE[:1]},
    ],
    ids=str,
)
def test_a_plan_is_stale_when_what_it_depends_on_has_changed(change: dict[str, Any]) -> None:
    assert plan_key(**{**SAME, **change}) != plan_key(**SAME)


def test_todays_own_answers_leave_the_plan_as_it_is() -> None:
    assert plan_key(**{**SAME, "evidence": [*EVIDENCE, Evidence("a", 3.1, True, 0)]}) == plan_key(**SAME)
    assert plan_key(**{**SAME, "wished": ["b", "a"]}) == plan_key(**SAME)
