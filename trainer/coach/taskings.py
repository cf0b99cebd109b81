"""Taskings: what a sponsor gave to work on, how far it is done, and which points it brings into a sitting.

The work of a tasking names movements, families of a movement (`halt/feet`), families of the whole deck (`feet`), single
points by id, or the faults of the last run. A tasking is open until its date. A point counts as worked off once it was
right at its last asking after the tasking was given; the tasking is done once each of its points was right once.
"""

from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from trainer.coach.history import GROUND, local_day
from trainer.coach.naming import point_title
from trainer.drill.deck import Deck
from trainer.quiz.points import COUNTS, FAULTS, FEET, SHEET, WORDS, Point
from trainer.records.corrections import effective
from trainer.records.events import Body, Event

LAST_RUN = "faults-of-last-run"
"""Work of a tasking: every fault noted in the last run that was held before it was given."""
FAMILIES = (WORDS, FEET, COUNTS, FAULTS)
FRESH_DAYS = 7
"""Faults seen NO-GO in a run come back into sittings for so many days; common practice, no source."""


class Tasking(NamedTuple):
    """One tasking and its progress.

    Attributes:
        id: of its event.
        given: the day on which it was given.
        until: its last day.
        work: what it names, as written.
        unknown: what of that the deck does not have.
        points: ids of the points it names, in the order of the deck.
        asked: how many of them were asked since.
        right: how many were right at their last asking since.
        once: how many were right at least once since.
        waiting: the points that were not right at their last asking since.
        sponsor: who gave it, "" if not said.
        note: what he wrote to it.
    """

    id: str
    given: date
    until: date
    work: tuple[str, ...]
    unknown: tuple[str, ...]
    points: tuple[str, ...]
    asked: int
    right: int
    once: int
    waiting: tuple[str, ...]
    sponsor: str
    note: str

    @property
    def done(self) -> bool:
        """Whether each of its points was right once after it was given."""
        return self.once == len(self.points) > 0


class Noted(NamedTuple):
    """One trial on the ground as the grader noted it: its place in the record, day, run, measure, mark, faults."""

    place: int
    day: date
    run: str
    measure: str
    go: bool
    faults: tuple[str, ...]


Answers = Sequence[tuple[int, str, bool]]
"""Places in the record, points, marks of the answers that count."""


def taskings(
    events: Sequence[Event], points: Sequence[Point], today: date, deck_id: str | None = None
) -> tuple[Tasking, ...]:
    """Return every tasking of a record on a deck, whether open or over, the one that ends first at the front.

    Args:
        events: all events of a candidate, in order.
        points: the points of his deck.
        today: the day.
        deck_id: id of that deck; taskings and runs that name another are left out.
    """
    if not any(event.kind == "tasking" for event in events):
        return ()
    told = effective(events).events
    answers, noted = _answers(told, points), noted_trials(told, deck_id)
    found = [
        _tasking(place, event, points, answers, [one for one in noted if one.place < place])
        for place, event in enumerate(told)
        if event.kind == "tasking" and _on_deck(event.body, deck_id)
    ]
    return tuple(sorted(found, key=lambda one: (one.until < today, one.until, one.given)))


def open_taskings(
    events: Sequence[Event], points: Sequence[Point], today: date, deck_id: str | None = None
) -> tuple[Tasking, ...]:
    """Return the taskings whose date has not passed, the one that ends first at the front; arguments of `taskings`."""
    return tuple(one for one in taskings(events, points, today, deck_id) if one.until >= today)


def wished(events: Sequence[Event], points: Sequence[Point], today: date, deck_id: str | None = None) -> frozenset[str]:
    """Return the points that a sitting should bring: those that open taskings name, and faults seen NO-GO lately.

    A point that was right at its last asking since then is left to the plan. Arguments of `taskings`.
    """
    found = {point for one in open_taskings(events, points, today, deck_id) for point in one.waiting}
    if any(event.kind == "trial" for event in events):
        told = effective(events).events
        since = today - timedelta(days=FRESH_DAYS)
        seen = [one for one in noted_trials(told, deck_id) if not one.go and one.day > since]
        last = {fault: one.place for one in seen for fault in _faults(one)}
        right = _right_at_last(_answers(told, points))
        for point in points:
            place = last.get((point.movement, point.place)) if point.family == FAULTS else None
            if place is not None and right.get(point.id, -1) < place:
                found.add(point.id)
    return frozenset(found)


def noted_trials(told: Sequence[Event], deck_id: str | None = None) -> list[Noted]:
    """Return the trials of runs on the ground that count, in the order of the record.

    Args:
        told: events with their corrections made.
        deck_id: runs that name another deck are left out.
    """
    return [
        Noted(
            place,
            date.fromisoformat(str(body["on"])) if "on" in body else local_day(header.at_ms, header.offset),
            str(body["run"]),
            str(body["measure"]),
            bool(body["go"]),
            tuple(map(str, body["faults"])) if isinstance(body["faults"], list | tuple) else (),
        )
        for place, (header, kind, body) in enumerate(told)
        if kind == "trial" and _on_deck(body, deck_id) and body.get("held", GROUND) == GROUND and "prompt" not in body
    ]


def last_run_faults(noted: Sequence[Noted], points: Sequence[Point]) -> tuple[str, ...]:
    """Return the points of every fault noted in the last run, by its day and then by its place in the record."""
    if not noted:
        return ()
    last = max(noted, key=lambda one: (one.day, one.place)).run
    faults = {fault for one in noted if one.run == last for fault in _faults(one)}
    return tuple(p.id for p in points if p.family == FAULTS and (p.movement, p.place) in faults)


def _faults(one: Noted) -> list[tuple[str, str]]:
    """Return movement and place of the points that a trial's faults are: a failed major is a fault of the sheet."""
    found = [(one.measure, fault) for fault in one.faults]
    # Which measures are majors only the deck knows; for a minor the sheet has no such point, so nothing comes of it.
    return found if one.go else [*found, (SHEET, one.measure)]


def named(work: str, points: Sequence[Point]) -> tuple[str, ...]:
    """Return the points that one word of work names: a movement, a family or both, or a point; none if unknown."""
    movement, _, family = work.partition("/")
    of_movement = [point for point in points if point.movement == movement]
    if of_movement:
        return tuple(point.id for point in of_movement if family in ("", point.family))
    return tuple(point.id for point in points if work in (point.id, point.family))


def _on_deck(body: Body, deck_id: str | None) -> bool:
    return deck_id is None or body.get("deck", deck_id) == deck_id


def _answers(told: Sequence[Event], points: Iterable[Point]) -> Answers:
    facts = {point.id: point.fact for point in points}
    return [
        (place, str(event.body["point"]), bool(event.body["right"]))
        for place, event in enumerate(told)
        if event.kind == "answer" and facts.get(str(event.body["point"])) == event.body["fact"]
    ]


def _right_at_last(answers: Answers) -> dict[str, int]:
    """Return the place of the last answer of every point that was right at it."""
    last = {point: (place, right) for place, point, right in answers}
    return {point: place for point, (place, right) in last.items() if right}


def _tasking(place: int, event: Event, points: Sequence[Point], answers: Answers, noted: Sequence[Noted]) -> Tasking:
    body = event.body
    work = tuple(str(word) for word in body["work"]) if isinstance(body["work"], list | tuple) else ()
    resolved = {word: last_run_faults(noted, points) if word == LAST_RUN else named(word, points) for word in work}
    wanted = frozenset(point for found in resolved.values() for point in found)
    since = [(point, right) for at, point, right in answers if at > place and point in wanted]
    last = dict(since)
    ordered = tuple(point.id for point in points if point.id in wanted)
    return Tasking(
        event.header.id,
        local_day(event.header.at_ms, event.header.offset),
        date.fromisoformat(str(body["until"])),
        work,
        tuple(word for word, found in resolved.items() if not found),
        ordered,
        len(last),
        sum(last.values()),
        len({point for point, right in since if right}),
        tuple(point for point in ordered if not last.get(point)),
        str(body.get("sponsor", "")),
        str(body.get("note", "")),
    )


# ---------------------------------------------------------------- words


def work_words(deck: Deck, points: Sequence[Point], work: Iterable[str]) -> str:
    """Return the work of a tasking in words, such as `Halt; feet of Right flank, march`."""
    return "; ".join(_one_work(deck, points, word) for word in work) or "nothing"


def _one_work(deck: Deck, points: Sequence[Point], word: str) -> str:
    if word == LAST_RUN:
        return "the faults of the last run"
    movement, _, family = word.partition("/")
    names = {one.id: one.name for one in deck.movements} | {SHEET: "the grade sheet"}
    if movement in names and family in ("", *FAMILIES):
        return f"{family} of {names[movement]}" if family else names[movement]
    if word in FAMILIES:
        return f"all {word}"
    point = next((one for one in points if one.id == word), None)
    return point_title(deck, point) if point else f"“{word}”, which the deck does not have"


def progress_words(one: Tasking) -> str:
    """Return how far a tasking is done."""
    if not one.points:
        return "names nothing of this deck"
    if one.done:
        return f"done, {_many(len(one.points), 'point')} right since"
    return f"{one.asked} of {_many(len(one.points), 'point')} asked since, {one.right} right"


def until_words(one: Tasking, today: date) -> str:
    """Return the time that a tasking has left."""
    days = (one.until - today).days
    if days < 0:
        return f"over since {_many(-days, 'day')}"
    return {0: "until today", 1: "until tomorrow"}.get(days, f"{days} days left")


def tasking_lines(deck: Deck, points: Sequence[Point], given: Sequence[Tasking], today: date) -> Iterator[str]:
    """Return a line for every tasking, and one for its note where it has one."""
    for one in given:
        who = f" from {one.sponsor}" if one.sponsor else ""
        yield f"Tasking{who}, {until_words(one, today)}; {progress_words(one)}: {work_words(deck, points, one.work)}."
        if one.note:
            yield f"  {one.note}"


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")
