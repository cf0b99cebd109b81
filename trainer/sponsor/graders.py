"""Who may grade: a qualification with an end, and nobody his own candidate unless told to."""

import json
from collections.abc import Iterable
from datetime import date
from typing import NamedTuple

from trainer.coach.candidate import CandidateError, checked_handle, read_date
from trainer.coach.dates import date_words
from trainer.paths import Home, write_private
from trainer.records.drafts import setting
from trainer.records.events import Draft, Event

SPONSOR = "sponsor"
"""Setting in a candidate's record: the name of his sponsor."""


class GradingError(CandidateError):
    """Something that keeps a run from being graded so; the message is a sentence or two."""


class Grader(NamedTuple):
    """Somebody who may grade until a day, that day included."""

    name: str
    until: date

    def ended(self, on: date) -> bool:
        """Whether his qualification has ended before a day."""
        return self.until < on


def graders(home: Home) -> tuple[Grader, ...]:
    """Return the graders that this laptop knows, by name.

    Raises:
        GradingError: where the file that keeps them cannot be read.
    """
    try:
        kept = json.loads(home.graders.read_text("utf-8"))
        found = [Grader(checked_handle(str(name)), date.fromisoformat(until)) for name, until in kept.items()]
    except FileNotFoundError:
        return ()
    except (OSError, ValueError, TypeError, AttributeError, CandidateError) as error:
        raise GradingError(
            f"The graders in {home.graders} cannot be read; move the file away and name them anew."
        ) from error
    return tuple(sorted(found, key=lambda grader: grader.name.casefold()))


def keep_grader(home: Home, name: str, until: str) -> Grader:
    """Keep a grader, or a new end of his qualification.

    Raises:
        CandidateError: where the name cannot be shown, the date is none, or the file cannot be written.
    """
    grader = Grader(checked_handle(name), read_date(until))
    others = [one for one in graders(home) if one.name.casefold() != grader.name.casefold()]
    rows = {one.name: one.until.isoformat() for one in [*others, grader]}
    try:
        write_private(home.graders, json.dumps(rows, indent=1).encode("ascii") + b"\n")
    except OSError as error:
        raise GradingError(f"The grader could not be kept in {home.graders}: {error.strerror}.") from error
    return grader


def sponsor_of(events: Iterable[Event]) -> str:
    """Return the name of a candidate's sponsor, "" where none is named."""
    name = ""
    for event in events:
        if event.kind == "setting" and event.body["name"] == SPONSOR:
            name = str(event.body["value"])
    return name


def sponsored_by(name: str) -> Draft:
    """Return the event that names a candidate's sponsor.

    Raises:
        CandidateError: where the name cannot be shown.
    """
    return setting(SPONSOR, checked_handle(name))


def admitted(known: Iterable[Grader], name: str, sponsor: str, on: date, told_by: str = "") -> Grader:
    """Return the grader of a run on a day.

    Args:
        known: the graders of this laptop.
        name: who is to grade.
        sponsor: the candidate's sponsor, "" if unknown.
        on: the day of the run.
        told_by: who said that he may grade his own candidate.

    Raises:
        GradingError: where he is not qualified on that day, or it is his own candidate and nobody told him to.
    """
    grader = next((one for one in known if one.name.casefold() == name.casefold()), None)
    if grader is None:
        raise GradingError(
            f"{name} is no grader on this laptop. Name him with the end of his qualification: "
            f"stepcall run grader '{name}' --until 2027-03-31."
        )
    if grader.ended(on):
        raise GradingError(
            f"{grader.name}'s qualification as a grader ended on {date_words(grader.until)}; choose another grader, or "
            "enter its new end."
        )
    if sponsor and sponsor.casefold() == grader.name.casefold() and not told_by:
        raise GradingError(
            f"{grader.name} is this candidate's sponsor, and nobody grades his own candidate unless told to. Choose "
            "another grader, or say who told him to; the sheet will show it."
        )
    return grader
