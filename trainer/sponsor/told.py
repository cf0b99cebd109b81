"""The roster in plain words and for scripts: the same on the screens and in plain lines."""

from collections.abc import Iterator
from datetime import date
from typing import Any

from trainer.coach.dates import date_words
from trainer.coach.forecast import Measured
from trainer.coach.taskings import progress_words, until_words
from trainer.coach.words import chance_words, days_words, percent
from trainer.sponsor.advice import GO, WAIT, Advice, retest_words
from trainer.sponsor.roster import Row

WEAKEST, SHOWN_VERDICTS = 3, 4
QUICK_WORDS = (
    "Candidates marked ~ are read by one model of memory alone, which is much quicker and rougher: read by all models "
    "together, as whoever is opened, the chance can differ by ten in a hundred and more."
)


def row_lines(one: Advice, today: date) -> Iterator[str]:
    """Return a candidate of the roster as plain lines."""
    row = one.row
    when = days_words(row.days) + (f", {date_words(row.test_date)}" if row.test_date else "")
    if row.trouble:
        yield f"{row.handle}: {row.trouble}"
        return
    yield f"{'~ ' if row.quick else ''}{row.handle}: {when}. {one.what[0].upper()}{one.what[1:]}: {one.why}."
    yield f"  {known_words(row)}"
    if row.weakest:
        yield f"  {weakest_words(row)}"
    yield f"  {past_words(row, today)}"
    for line in tasking_lines(row, today):
        yield f"  {line}"
    if one.what in (GO, WAIT):
        yield f"  {retest_words(row, today)}"


def known_words(row: Row) -> str:
    """Return readiness with its band, and knowledge and execution apart."""
    if row.chance is None or row.knowledge is None or row.execution is None:
        return f"Mean recall on the date {percent(row.mean_recall)}; {row.asked} of {row.total} points asked."
    done = f"{percent(row.execution)}{', assumed' if row.assumed else ''}"
    apart = f"Knowledge {percent(row.knowledge)}, execution {done}; {row.asked} of {row.total} points asked."
    return f"{row.words}. {chance_words(row.chance)} {apart}"


def weakest_words(row: Row, number: int = WEAKEST) -> str:
    """Return the weakest measures with their chances of GO; nothing without a grade sheet."""
    told = "; ".join(f"{one.name} {percent(one.go)}" for one in row.weakest[:number])
    return f"Weakest: {told}." if told else ""


def tasking_lines(row: Row, today: date) -> list[str]:
    """Return the taskings of a candidate with their progress, a line each."""
    return [
        f"Tasking, {until_words(one, today)}; {progress_words(one)}: {work}."
        for one, work in zip(row.taskings, row.work, strict=True)
    ]


def past_words(row: Row, today: date) -> str:
    """Return when he last sat, how much in the last week, his last run and how his runs came out."""
    sat = f"Sat {ago(row.last_session, today)}, {row.questions_week} questions in 7 days"
    verdicts = ", ".join("GO" if one.go else "NO-GO" for one in reversed(row.graded[:SHOWN_VERDICTS]))
    broken = f", broken off ({row.broken_off}), which is no NO-GO" if row.broken_off else ""
    before = "; before it" if broken else ""
    return f"{sat}; run {ago(row.last_run, today)}{broken}{f'{before}: {verdicts}' if verdicts else ''}."


def ago(day: date | None, today: date) -> str:
    """Return a day of the past in words."""
    if day is None:
        return "never"
    days = (today - day).days
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days ago" if days > 0 else f"on {day.isoformat()}")


def plain_row(one: Advice, today: date) -> dict[str, Any]:
    """Return a candidate of the roster for scripts."""
    row = one.row
    return {
        "candidate": row.id,
        "handle": row.handle,
        "deck": row.deck,
        "test_date": row.test_date.isoformat() if row.test_date else None,
        "days_left": row.days,
        "chance": row.chance._asdict() if row.chance else None,
        "tested_today": row.tested_now,
        "readiness": row.words,
        "knowledge": row.knowledge,
        "execution": row.execution,
        "execution_assumed": row.assumed,
        "measures": [_measure(measure) for measure in row.weakest],
        "last_session": row.last_session.isoformat() if row.last_session else None,
        "questions_week": row.questions_week,
        "last_run": row.last_run.isoformat() if row.last_run else None,
        "last_run_broken_off": row.broken_off or None,
        "verdicts": [{"day": held.day.isoformat(), "where": held.where, "go": held.go} for held in row.verdicts],
        "taskings": [
            {
                "until": tasking.until.isoformat(),
                "open": tasking.until >= today,
                "work": list(tasking.work),
                "points": len(tasking.points),
                "asked": tasking.asked,
                "right": tasking.right,
                "done": tasking.done,
            }
            for tasking in row.taskings
        ],
        "advice": one.what,
        "why": one.why,
        "retest_after_hours": row.retest_hours,
        "filter_alone": row.quick,
        "trouble": row.trouble,
    }


def _measure(one: Measured) -> dict[str, Any]:
    return {
        "id": one.id,
        "kind": one.kind,
        "knowledge": one.knowledge,
        "execution": one.execution,
        "go": one.go,
        "trials": {"go": one.trials.go, "nogo": one.trials.nogo},
    }
