"""Dates in words, and the dates on which a test can be."""

from datetime import date

from trainer.coach.candidate import CandidateError
from trainer.coach.history import local_day
from trainer.records.clock import Moment

FURTHEST_DAYS = 3 * 366
"""A test further away than this is a slip of the keyboard."""
_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)


def day_of(moment: Moment) -> date:
    """Return the calendar day of a clock reading where it was made."""
    return local_day(moment.at_ms, moment.offset)


def days_left(test_date: date | None, day: date) -> int | None:
    """Return the days from a day to the test, None without a date."""
    return (test_date - day).days if test_date else None


def date_words(day: date) -> str:
    """Return a date in full, such as `Thursday 31 December 2026`, whatever the language of the system."""
    return f"{_WEEKDAYS[day.weekday()]} {day.day} {_MONTHS[day.month - 1]} {day.year}"


def checked_test_date(day: date, today_is: date) -> date:
    """Return a date that a test can still be on.

    Raises:
        CandidateError: with a sentence, if it has passed or is years away.
    """
    days = (day - today_is).days
    if days < 0:
        raise CandidateError(f"{date_words(day)} has passed; the test date is today or later.")
    if days > FURTHEST_DAYS:
        raise CandidateError(f"{date_words(day)} is more than three years away; look at the year again.")
    return day
