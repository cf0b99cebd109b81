"""A candidate's progress: readiness with its band, the curve to the test, measures, what to work on."""

from collections.abc import Sequence

from trainer.coach.candidate import Candidate
from trainer.coach.dates import date_words, day_of, days_left
from trainer.coach.forecast import Outlook
from trainer.coach.standing import Standing
from trainer.coach.today import today
from trainer.coach.words import HONESTY, assumed_lines, chance_words, days_words, percent, readiness_words
from trainer.drill.grade_sheet import MINOR
from trainer.records.clock import Moment
from trainer.report.page import Block, Heading, Page, Pairs, Paragraph, Picture, Table
from trainer.report.sheets import FOOT, movement_blocks
from trainer.report.svg import Place, curve_svg
from trainer.sponsor.sheet import NO_VERDICT, latest, sheets

WORK_ON = 3
"""Movements whose footprints are printed: those that weigh most."""


def progress_page(candidate: Candidate, standing: Standing, moment: Moment) -> Page:
    """Return a candidate's sheet.

    Args:
        candidate: whose it is.
        standing: his standing on the deck.
        moment: the present.
    """
    outlook = standing.outlook(candidate, moment, curve=True)
    profile = candidate.profile
    days = days_left(profile.test_date, day_of(moment))
    weakest = today(candidate, standing, moment).weakest
    blocks: list[Block] = [
        Pairs(
            (
                (
                    "Test",
                    f"{date_words(profile.test_date)}, {days_words(days)}" if profile.test_date else "no date yet",
                ),
                ("Points asked", f"{outlook.asked} of {outlook.total}"),
                ("Graded runs", str(standing.history.runs)),
                *_last_run(candidate, standing),
            )
        ),
        Heading(_head(outlook)),
        *_curve(standing, candidate, outlook, moment, days),
        Heading("Measures, what weighs most first"),
        _measures(outlook),
        *(Paragraph(line) for line in assumed_lines(outlook)),
        Heading("Work on"),
    ]
    blocks += [
        Paragraph(f"{one.name}: {'; '.join(one.reasons)}" if one.reasons else one.name) for one in weakest[:WORK_ON]
    ]
    for movement in _weakest_movements(standing, candidate, outlook, moment):
        blocks += movement_blocks(standing.deck, standing.deck.movement(movement))
    return Page(
        f"Progress: {profile.handle}",
        f"{standing.deck.title}; {date_words(day_of(moment))}",
        tuple(blocks),
        f"{HONESTY} {FOOT}",
    )


def _last_run(candidate: Candidate, standing: Standing) -> Sequence[tuple[str, str]]:
    """Return how the last run on the ground came out, with what it means that one was broken off."""
    last = latest(sheets(candidate.events(), standing.deck))
    if last is None:
        return ()
    meant = f". {NO_VERDICT}" if last.broken_off else ""
    return (("Last run", f"{date_words(last.on)}: {last.outcome}{meant}"),)


def _weakest_movements(standing: Standing, candidate: Candidate, outlook: Outlook, moment: Moment) -> Sequence[str]:
    """Return the ids of the movements that weigh most; by recall where the deck has no grade sheet."""
    if outlook.chance is None:
        ordered = sorted(standing.movements(candidate, moment), key=lambda one: one.recall)
        return [one.id for one in ordered[:WORK_ON]]
    minors = sorted((one for one in outlook.measures if one.kind == MINOR), key=lambda one: one.go)
    return [one.id for one in minors[:WORK_ON]]


def _head(outlook: Outlook) -> str:
    if outlook.chance is None:
        return f"Mean recall on the date: {percent(outlook.mean_recall)}"
    return f"{readiness_words(outlook)}. {chance_words(outlook.chance)}"


def _curve(
    standing: Standing, candidate: Candidate, outlook: Outlook, moment: Moment, days: int | None
) -> Sequence[Block]:
    if not days or days < 0 or not outlook.curve:
        return ()
    now, test_at = standing.now(moment), standing.test_at(candidate, moment)
    span = max(test_at - now, 1e-9)
    places = [Place(days * (date - now) / span, c.go, c.low, c.high) for date, c in outlook.curve]
    name = "if nothing more is practised"
    lines = tuple(
        f"day {p.day:5.1f}   {percent(p.go):>10}   {percent(p.low)} to {percent(p.high)}" for p in places[::6]
    )
    return (Picture(curve_svg([(name, places)]), f"Chance of a GO by days from today, {name}, with its band.", lines),)


def _measures(outlook: Outlook) -> Table:
    rows = tuple(
        (
            one.name,
            "-" if one.knowledge is None else percent(one.knowledge),
            percent(one.execution),
            percent(one.go),
            f"{one.asked} of {one.points}" if one.points else "-",
            f"{one.trials.go} of {one.trials.go + one.trials.nogo}" if sum(one.trials) else "-",
        )
        for one in sorted(outlook.measures, key=lambda one: one.go)
    )
    head = ("Measure", "knowledge", "execution", "GO", "asked", "trials GO")
    return Table(head, rows, frozenset({1, 2, 3, 4, 5}))
