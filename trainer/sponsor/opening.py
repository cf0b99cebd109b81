"""What stands before a run: who may grade, what is checked, how long a retest has to wait."""

import os
from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta, timezone

from trainer.coach.candidate import Candidate
from trainer.coach.history import local_day
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GradeSheet
from trainer.records.clock import Moment
from trainer.records.drafts import run as run_event
from trainer.records.events import Draft
from trainer.sponsor.graders import Grader, GradingError, admitted, sponsor_of
from trainer.sponsor.sheet import Sheet, latest, sheets

UNIFORM, EQUIPMENT, SWORD, CAUTIONS = "uniform", "equipment", "sword", "cautions"

HOUR_MS = 3_600_000


def gate(deck: Deck) -> tuple[str, ...]:
    """Return what is checked before a run: the sword only where the deck has one."""
    return (UNIFORM, EQUIPMENT, *((SWORD,) if deck.sword else ()), CAUTIONS)


def sheet_of(deck: Deck) -> GradeSheet:
    """Return a deck's grade sheet.

    Raises:
        GradingError: one sentence, where it has none.
    """
    if deck.grade_sheet is None:
        raise GradingError(f"The deck {deck.title} has no grade sheet, so no run can be graded by it.")
    return deck.grade_sheet


def retest_from(deck: Deck, before: Sequence[Sheet], offset: int) -> Moment | None:
    """Return the earliest moment of a retest, None where nothing has to be waited for.

    The wait counts from the last NO-GO; where only its day is known, from the end of that day.

    Args:
        deck: whose grade sheet says how long.
        before: the runs of the candidate.
        offset: local time minus UTC in minutes.
    """
    wait = sheet_of(deck).retest_after_hours
    last = latest([sheet for sheet in before if not sheet.broken_off])
    if wait is None or last is None or last.recorded is not False:
        return None
    if local_day(last.at_ms, offset) == last.on:
        return Moment(last.at_ms + wait * HOUR_MS, offset)
    midnight = datetime(last.on.year, last.on.month, last.on.day, tzinfo=timezone(timedelta(minutes=offset)))
    return Moment(round(midnight.timestamp() * 1000) + (24 + wait) * HOUR_MS, offset)


def opening(
    candidate: Candidate,
    deck: Deck,
    known: Iterable[Grader],
    now: Moment,
    *,
    grader: str,
    checked: Iterable[str],
    told_by: str = "",
    early: bool = False,
    plan: Sequence[str] = (),
    said: float | None = None,
    on: str = "",
    run: str = "",
) -> Draft:
    """Return the event that begins a run, everything checked; arguments and errors as of `begin`.

    For a sheet filled on paper `on` is its day (2026-03-31) and `run` an id that follows from what is on it.
    """
    written = sheet_of(deck)
    asked, passed = gate(deck), set(checked)
    missing = [one for one in asked if one not in passed]
    if missing:
        raise GradingError(f"Before a run: {', '.join(missing)} not checked yet.")
    day = local_day(now.at_ms, now.offset).fromisoformat(on) if on else local_day(now.at_ms, now.offset)
    admitted_one = admitted(known, grader, sponsor_of(candidate.events()), day, told_by)
    unknown = [measure for measure in plan if measure not in written.minors]
    if unknown:
        raise GradingError(f"The plan names '{unknown[0]}', which is no minor measure of this sheet.")
    wait = None if on else retest_from(deck, sheets(candidate.events(), deck), now.offset)
    too_soon = wait is not None and now.at_ms < wait.at_ms
    if wait is not None and too_soon and not early:
        raise GradingError(
            f"A retest is possible from {moment_words(wait)}; the standard sets {written.retest_after_hours} hours "
            "after a NO-GO. Whoever may shorten that can say so."
        )
    more: dict[str, str | int] = {"until": admitted_one.until.isoformat()}
    if said is not None:
        more["said"] = round(1000 * said)
    if told_by.strip():
        more["said_by"] = told_by.strip()
    if too_soon:
        more["early"] = True
    if on:
        more["on"] = on
    name = run or f"run-{os.urandom(8).hex()}"
    return run_event(run=name, deck=deck.id, grader=admitted_one.name, checked=list(asked), plan=plan, **more)


def moment_words(moment: Moment) -> str:
    """Return day and time where the clock stands, such as `2026-03-31 14:05`."""
    zone = timezone(timedelta(minutes=moment.offset))
    return datetime.fromtimestamp(moment.at_ms / 1000, zone).strftime("%Y-%m-%d %H:%M")
