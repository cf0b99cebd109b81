"""What goes from an evening into the records of those who were there, with their consent."""

from collections.abc import Mapping
from hashlib import sha256

from trainer.coach.candidate import create, settings
from trainer.coach.here import last_person, remember
from trainer.coach.session import LONGEST_ANSWER_MS
from trainer.group.evening import Evening
from trainer.group.journal import EveningError
from trainer.group.turns import LIVE
from trainer.paths import Home
from trainer.quiz.points import Point
from trainer.records.clock import Moment
from trainer.records.drafts import answer as answer_event
from trainer.records.drafts import trial as trial_event
from trainer.records.events import Draft
from trainer.records.log import Log

GROUP = "group"
PREFIX = "evening-"
"""How the name of an evening begins in a record."""


def session_of(evening: Evening, name: str) -> str:
    """Return the name under which one person's answers of an evening stand in a record."""
    return f"{PREFIX}{evening.id}-{sha256(name.encode()).hexdigest()[:8]}"


def drafts_for(evening: Evening, name: str, known: Mapping[str, Point], now: Moment) -> list[tuple[Draft, Moment]]:
    """Return the events of one person: his answers, and his performances as the most of the graders saw them.

    A performance on which the hands were even is left out: the group does not know.

    Args:
        evening: the evening.
        name: the person.
        known: the deck's points by id; answers to points that it no longer has are left out.
        now: when the performances are recorded; answers keep their own time.
    """
    session = session_of(evening, name)
    found: list[tuple[Draft, Moment]] = []
    for who, told in evening.answers:
        if who != name:
            continue
        for point, right in told.marks:
            if point in known:
                event = answer_event(
                    point=point,
                    fact=known[point].fact,
                    right=right,
                    choices=told.choices,
                    question=told.kind,
                    ms=min(max(0, told.ms), LONGEST_ANSWER_MS),
                    session=session,
                )
                found.append((event, Moment(told.at_ms, told.offset)))
    numbers: dict[str, int] = {}
    for one in evening.graded:
        go = sum(one.gave.values())
        if one.turn.kind != LIVE or one.turn.performer != name or 2 * go == len(one.gave):
            continue
        numbers[one.turn.measure] = number = numbers.get(one.turn.measure, 0) + 1
        event = trial_event(
            run=session,
            measure=one.turn.measure,
            number=number,
            go=2 * go > len(one.gave),
            faults=one.faults,
            deck=evening.deck.id,
            held=GROUP,
        )
        found.append((event, now))
    return found


def new_record(evening: Evening, name: str, home: Home, known: Mapping[str, Point], now: Moment) -> int:
    """Make a record on this laptop for somebody who has none, put his evening into it; return how many events that is.

    Who used the laptop last stays the one whom the program greets.

    Raises:
        EveningError, CandidateError, LogError: a sentence; a record that was made already can be chosen then.
    """
    if evening.handed.get(name):
        raise EveningError(f"{name}'s answers went home with him already.")
    last = last_person(home)
    candidate = create(home, settings(name, evening.deck.id), now)
    try:
        return hand_over(evening, name, candidate.log, known, now)
    finally:
        candidate.close()
        if last:
            remember(home, last)


def hand_over(evening: Evening, name: str, log: Log, known: Mapping[str, Point], now: Moment) -> int:
    """Put one person's evening into a record, once; return how many events that are.

    Raises:
        EveningError: where it went into a record already, or into this one under another name.
        LogError: one sentence, where the record cannot be written; nothing is then noted as handed over.
    """
    if evening.handed.get(name):
        raise EveningError(f"{name}'s answers went home with him already.")
    if log.candidate in evening.handed.values():
        raise EveningError("Somebody else's answers of this evening went into that record; choose another.")
    session = session_of(evening, name)
    drafts = drafts_for(evening, name, known, now)
    there = any(event.body.get("session", event.body.get("run")) == session for event in log.events())
    if drafts and not there:
        log.append_history(drafts)
    evening.hand_over(name, log.candidate)
    return len(drafts)
