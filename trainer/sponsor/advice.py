"""What follows from the roster: who needs what first, who should go to the test this week, what a NO-GO would cost."""

from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta, timezone
from typing import NamedTuple

from trainer.coach.candidate import CandidateError
from trainer.coach.dates import date_words
from trainer.coach.history import TEST_HOUR
from trainer.coach.words import percent
from trainer.sponsor.roster import WEEK, Row

GO, WAIT, COULD, LATER, UNKNOWN = "should go", "should wait", "could go", "not this week", "not known"
"""What is advised: of those whose test is this week the first two, of others the next two."""
USUAL_CHANCE = 80
"""Percent at which somebody is sent to the test, unless the sponsor says otherwise; common practice, no source."""


class Advice(NamedTuple):
    """What is advised of one candidate, and why in a sentence."""

    row: Row
    what: str
    why: str


def checked_chance(text: str) -> int:
    """Read the chance at which a sponsor sends somebody to the test, in percent.

    Raises:
        CandidateError: where it is no whole percent from 1 to 99.
    """
    digits = text.strip().removesuffix("%").strip()
    if not (digits.isascii() and digits.isdigit() and len(digits) < 3 and int(digits) > 0):
        raise CandidateError(
            f"Give the chance in whole percent from 1 to 99, like {USUAL_CHANCE}, not “{text.strip()}”."
        )
    return int(digits)


def by_need(rows: Iterable[Row]) -> list[Row]:
    """Return rows by who needs most: the nearest test first, of one day the lowest chance; then those without a date.

    Those whose date has passed come with those who have none, those whose record cannot be read at the end.
    """

    def need(row: Row) -> tuple[int, int, float, str, str]:
        ahead = row.days is not None and row.days >= 0
        group = 2 if row.trouble else 0 if ahead else 1
        chance = row.chance.go if row.chance else row.mean_recall
        return group, (row.days or 0) if ahead else 0, chance, row.handle.casefold(), row.id

    return sorted(rows, key=need)


def advice(row: Row, asked: int, today: date, offset: int) -> Advice:
    """Return what is advised of one candidate.

    Args:
        row: his row, read on the day.
        asked: the chance that the sponsor asks for, in percent.
        today: the day.
        offset: local time minus UTC in minutes.
    """
    if row.trouble:
        return Advice(row, UNKNOWN, row.trouble)
    if row.chance is None or row.tested_now is None:
        return Advice(row, UNKNOWN, "his deck has no grade sheet, so there is no chance to go by")
    this_week = row.days is not None and 0 <= row.days < WEEK
    barred = _barred(row, today, offset)
    if this_week and row.test_date is not None:
        chance, when = row.chance.go, f"on {date_words(row.test_date)}"
    else:
        chance, when = row.tested_now, "if he were tested today"
    told = f"{percent(chance)} {when}"
    enough = chance * 100 >= asked
    if barred:
        return Advice(row, WAIT if this_week else LATER, f"{barred}; {told}")
    if not row.asked:
        return Advice(row, WAIT if this_week else LATER, "nothing was asked of him yet")
    assumed = "; no run was graded yet" if row.assumed else ""
    if this_week:
        return Advice(row, GO if enough else WAIT, told + assumed)
    return Advice(row, COULD if enough else LATER, told + assumed)


def cost_words(row: Row, today: date) -> str:
    """Return what a NO-GO on the date would cost: the wait, and the earliest day after it; today without a date."""
    if row.retest_hours is None:
        return "The deck sets no wait after a NO-GO."
    again = retest_day(_test_day(row, today), row.retest_hours)
    return f"A NO-GO costs {row.retest_hours} hours: no retest before {date_words(again)}."


def retest_words(row: Row, today: date) -> str:
    """Return what a NO-GO would cost, and on which day that would be; otherwise as `cost_words`."""
    told = cost_words(row, today)
    return told.replace("A NO-GO", f"A NO-GO on {date_words(_test_day(row, today))}") if row.retest_hours else told


def _test_day(row: Row, today: date) -> date:
    return row.test_date if row.test_date and row.test_date >= today else today


def decided_now(rows: Iterable[Row]) -> list[Row]:
    """Return the rows that were read by the recall filter alone although a test this week hangs on them."""
    near = [row for row in rows if row.quick and row.days is not None and 0 <= row.days < WEEK and row.asked]
    return by_need(near)


def retest_day(on: date, hours: int) -> date:
    """Return the earliest day of a retest after a NO-GO at the hour of a test."""
    return (datetime(on.year, on.month, on.day, TEST_HOUR) + timedelta(hours=hours)).date()


def week_lines(advised: Sequence[Advice], asked: int) -> list[str]:
    """Return in a few sentences who should go this week and who should wait, at the chance asked for."""
    lines = []
    for what, head in (
        (GO, f"This week, at {asked} % asked for, should go to the test"),
        (WAIT, "Should wait"),
        (COULD, "Have their test later, but would reach it today"),
    ):
        names = [f"{one.row.handle} ({one.why})" for one in advised if one.what == what]
        if names:
            lines.append(f"{head}: {'; '.join(names)}.")
    expected = [one.row.chance.go for one in advised if one.what == GO and one.row.chance]
    if expected:
        lines.append(f"Expected to pass of those who should go: {sum(expected):.1f} of {len(expected)}.")
    return lines or [f"Nobody has his test this week, and nobody would pass at {asked} % today."]


def _barred(row: Row, today: date, offset: int) -> str:
    """Return why he cannot be tested on his date (today, if that is not this week) for a NO-GO before it."""
    if row.no_test_before is None:
        return ""
    zone = timezone(timedelta(minutes=offset))
    until = datetime.fromtimestamp(row.no_test_before / 1000, zone)
    this_week = row.days is not None and 0 <= row.days < WEEK
    on = row.test_date if this_week and row.test_date else today
    test = datetime(on.year, on.month, on.day, TEST_HOUR, tzinfo=zone)
    return f"after his NO-GO no retest before {until.strftime('%Y-%m-%d %H:%M')}" if until > test else ""
