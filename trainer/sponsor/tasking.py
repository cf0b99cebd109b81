"""Taskings given: to several candidates at once, what to work on and until when; everything is checked before any is.

Each candidate has a record of his own, so all cannot be written at one stroke: who has it and who has not is told.
"""

from collections.abc import Iterable, Sequence
from datetime import date
from difflib import get_close_matches
from typing import NamedTuple

from trainer.authoring.shelf import DeckError, open_deck
from trainer.coach.candidate import Candidate, CandidateError, checked_handle, open_candidate
from trainer.coach.dates import date_words, day_of
from trainer.coach.taskings import LAST_RUN, last_run_faults, named, noted_trials, work_words
from trainer.drill.deck import Deck
from trainer.paths import Home
from trainer.quiz.points import Point, points
from trainer.records.bodies import check_body
from trainer.records.clock import Moment
from trainer.records.corrections import effective
from trainer.records.drafts import tasking, void
from trainer.records.errors import LogError
from trainer.records.events import Draft, EventError
from trainer.sponsor.graders import sponsor_of

FURTHEST_DAYS = 366
LONGEST_NOTE = 400
LAST_RUN_SAID = "last-run"
"""How the faults of the last run are written in a list of work."""


class TaskingError(CandidateError):
    """A tasking that cannot be given so; the message says why, a line for every candidate where they differ."""


class Order(NamedTuple):
    """What is to be given: work as it was written, the last day, the sponsor, a note to the candidate."""

    work: tuple[str, ...]
    until: date
    sponsor: str = ""
    note: str = ""


class Given(NamedTuple):
    """A tasking as one candidate got it: handle, its work in words, points it names; or why he did not get it."""

    candidate: str
    handle: str
    work: str
    points: int
    trouble: str = ""


class _Ready(NamedTuple):
    candidate: Candidate
    deck: Deck
    points: Sequence[Point]
    draft: Draft
    names: int


def give(home: Home, candidates: Iterable[str], order: Order, now: Moment) -> list[Given]:
    """Give a tasking to candidates, by id.

    Returns:
        One for each, in order; one with `trouble` could not be written although everything had been checked.

    Raises:
        TaskingError: where it cannot be given to every one of them; then nobody gets it.
        LogError: one sentence, where a record cannot be read; then nobody gets it.
    """
    checked = checked_order(order, day_of(now))
    opened: list[Candidate] = []
    try:
        ready, refused = [], []
        for one in dict.fromkeys(candidates):
            candidate = open_candidate(home, one)
            opened.append(candidate)
            try:
                ready.append(_ready(home, candidate, checked))
            except (TaskingError, DeckError) as error:
                refused.append(f"{candidate.profile.handle}: {error}")
        if refused:
            raise TaskingError("\n".join(["Nobody was given anything.", *refused]))
        if not ready:
            raise TaskingError("Say to whom the tasking is given.")
        return [_write(one, now) for one in ready]
    finally:
        for candidate in opened:
            candidate.close()


def checked_order(order: Order, today: date) -> Order:
    """Return an order whose day, note and sponsor can be written.

    Raises:
        TaskingError: with a sentence that says what to change.
    """
    work = tuple(dict.fromkeys(word.strip() for word in order.work if word.strip()))
    if not work:
        raise TaskingError(
            "A tasking names at least one thing to work on: a movement, a family, or the last run's faults."
        )
    days = (order.until - today).days
    if not 0 <= days <= FURTHEST_DAYS:
        far = "has passed" if days < 0 else "is more than a year away"
        raise TaskingError(f"{date_words(order.until)} {far}; give the last day of the tasking anew.")
    note = " ".join(order.note.split())
    if len(note) > LONGEST_NOTE or not note.isprintable():
        raise TaskingError(f"The note to a tasking is one text of at most {LONGEST_NOTE} characters that can be shown.")
    return Order(work, order.until, checked_handle(order.sponsor) if order.sponsor.strip() else "", note)


def resolved(deck: Deck, all_points: Sequence[Point], work: Iterable[str]) -> list[str]:
    """Return work as the record keeps it: movements by id, whether they were given by id or by name.

    Args:
        deck: the deck.
        all_points: its points.
        work: words, or lists of them with commas or semicolons; a name with a comma in it stays whole.

    Raises:
        TaskingError: where a word names nothing of the deck, with the nearest that would.
    """
    ids = {movement.name.casefold(): movement.id for movement in deck.movements}

    def kept(word: str) -> str:
        movement, slash, family = word.rpartition("/") if "/" in word else (word, "", "")
        whole = ids.get(movement.strip().casefold(), movement.strip()) + slash + family.strip()
        known = whole == LAST_RUN or named(whole, all_points)
        return LAST_RUN if word == LAST_RUN_SAID else whole if known else ""

    found = []
    for text in (part.strip() for word in work for part in word.split(";")):
        for word in [text] if kept(text) else [part.strip() for part in text.split(",")]:
            if word and not kept(word):
                raise TaskingError(f"“{word}” is nothing of the deck {deck.title}.{_nearest(word, deck)}")
            found += [kept(word)] if word else []
    return list(dict.fromkeys(found))


def withdraw(home: Home, candidate_id: str, tasking_id: str, now: Moment) -> None:
    """Take a tasking back; it stays in the record beside the event that takes it back.

    Raises:
        TaskingError: where the record has no such tasking that holds.
        LogError: one sentence, if it could not be recorded.
    """
    candidate = open_candidate(home, candidate_id)
    try:
        holding = effective(candidate.events()).events
        if not any(event.kind == "tasking" and event.header.id == tasking_id for event in holding):
            raise TaskingError("There is no such tasking in this record any more.")
        candidate.log.append_many([void(tasking_id)], now)
    finally:
        candidate.close()


def _ready(home: Home, candidate: Candidate, order: Order) -> _Ready:
    if not candidate.profile.deck:
        raise TaskingError("no deck was chosen yet, so there is nothing that a tasking could name.")
    deck = open_deck(candidate.profile.deck, home)
    all_points = points(deck)
    work = resolved(deck, all_points, order.work)
    faults = last_run_faults(noted_trials(effective(candidate.events()).events, deck.id), all_points)
    if LAST_RUN in work and not faults:
        raise TaskingError("no fault was noted in his last run; name movements instead.")
    ids = {point for word in work for point in (faults if word == LAST_RUN else named(word, all_points))}
    more = {"deck": deck.id}
    sponsor = order.sponsor or sponsor_of(candidate.events())
    more |= {"sponsor": sponsor} if sponsor else {}
    more |= {"note": order.note} if order.note else {}
    draft = tasking(work=work, until=order.until.isoformat(), **more)
    try:
        check_body(draft.kind, draft.body)
    except EventError as error:
        raise TaskingError(str(error)) from error
    return _Ready(candidate, deck, all_points, draft, len(ids))


def _write(one: _Ready, now: Moment) -> Given:
    handle = one.candidate.profile.handle
    work = one.draft.body["work"]
    words = work_words(one.deck, one.points, work if isinstance(work, list) else ())
    try:
        one.candidate.log.append_many([one.draft], now)
    except LogError as error:
        return Given(one.candidate.id, handle, words, one.names, str(error))
    return Given(one.candidate.id, handle, words, one.names)


def _nearest(word: str, deck: Deck) -> str:
    known = [movement.id for movement in deck.movements]
    close = get_close_matches(word.partition("/")[0].casefold(), known, 1, 0.5)
    return f" Did you mean “{close[0]}”?" if close else f" It has {', '.join(known)}."


def given_lines(given: Sequence[Given], until: date) -> list[str]:
    """Return what was given to whom, a sentence each."""
    return [
        f"{one.handle}: NOT written. {one.trouble}"
        if one.trouble
        else f"{one.handle}: {one.work}; {one.points} point{'' if one.points == 1 else 's'}, until {date_words(until)}."
        for one in given
    ]
