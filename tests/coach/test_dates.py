"""Dates in words, and the dates on which a test can be."""

import calendar
from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.coach.candidate import CandidateError
from trainer.coach.dates import FURTHEST_DAYS, checked_test_date, date_words, day_of, days_left
from trainer.records.clock import Moment

DAY = date(2026, 11, 24)


@given(st.dates(date(2000, 1, 1), date(2099, 12, 31)))
def test_words_are_those_of_the_calendar(day: date) -> None:
    """Against the standard library's own names, in the C locale in which the tests run."""
    names = calendar.day_name[day.weekday()], calendar.month_name[day.month]
    assert date_words(day) == f"{names[0]} {day.day} {names[1]} {day.year}"


@given(st.integers(0, 4_000_000_000_000), st.integers(-14 * 60, 14 * 60))
def test_the_day_is_that_of_the_place_where_the_clock_was_read(at_ms: int, offset: int) -> None:
    there = datetime(1970, 1, 1, tzinfo=UTC) + timedelta(milliseconds=at_ms, minutes=offset)
    assert day_of(Moment(at_ms, offset)) == there.date()


def test_today_is_still_a_test_date_and_yesterday_is_not() -> None:
    assert checked_test_date(DAY, DAY) == DAY
    with pytest.raises(CandidateError, match="Monday 23 November 2026 has passed"):
        checked_test_date(DAY - timedelta(1), DAY)


def test_a_date_years_away_is_taken_for_a_slip() -> None:
    last = DAY + timedelta(FURTHEST_DAYS)
    assert checked_test_date(last, DAY) == last
    with pytest.raises(CandidateError, match="look at the year again"):
        checked_test_date(last + timedelta(1), DAY)


def test_days_left() -> None:
    assert days_left(None, DAY) is None
    assert days_left(date(2026, 12, 31), DAY) == 37
    assert days_left(date(2026, 11, 20), DAY) == -4
