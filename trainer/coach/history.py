"""Events to evidence: corrections made, changed facts left out, times guarded against wild clocks."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, datetime, timedelta, timezone
from typing import NamedTuple

from trainer.memory.recall import Evidence
from trainer.quiz.points import Point
from trainer.records.clock import Moment, guarded_with_now
from trainer.records.corrections import effective
from trainer.records.events import Event

DAY_MS = 86_400_000
TEST_HOUR = 9
"""Hour of the test on its day, local time; the forecast is for then."""
GROUND = "ground"


class Practice(NamedTuple):
    """What was practised of one point."""

    answers: int = 0
    first_day: date | None = None
    last_day: date | None = None
    right_on_last_day: int = 0


class Manner(NamedTuple):
    """How an answer was asked for and given: kind of question, seconds taken (None where that is not known)."""

    kind: str = ""
    seconds: float | None = None


class Trials(NamedTuple):
    """Observed trials of one measure: right and wrong ones."""

    go: int = 0
    nogo: int = 0


class History(NamedTuple):
    """What a candidate's record says, ready for the memory model and the planner.

    `now` is the present in days, on the scale of the evidence; `manners` has one for each of `evidence`. `changed`
    are points whose fact is no longer the one that was answered, with the number of answers that therefore do not
    count. `trials` are those seen on the ground, of minors and of majors; `runs` is the number of graded runs that
    came to a verdict.
    """

    evidence: tuple[Evidence, ...]
    manners: tuple[Manner, ...]
    practice: Mapping[str, Practice]
    changed: Mapping[str, int]
    trials: Mapping[str, Trials]
    runs: int
    question_ms: tuple[int, ...]
    questions_by_day: Mapping[date, int]
    now: float
    today: date


def local_day(at_ms: int, offset: int) -> date:
    """Return the calendar day of a clock reading where it was made."""
    return datetime.fromtimestamp(at_ms / 1000, timezone(timedelta(minutes=offset))).date()


def test_day(now: float, moment: Moment, test_date: date) -> float:
    """Return the hour of the test in days, on the scale of `now`; not before now."""
    zone = timezone(timedelta(minutes=moment.offset))
    start = datetime(test_date.year, test_date.month, test_date.day, TEST_HOUR, tzinfo=zone)
    ahead = start.timestamp() * 1000 - moment.at_ms
    return now + max(0.0, ahead / DAY_MS)


def history(events: Sequence[Event], points: Sequence[Point], moment: Moment, deck_id: str | None = None) -> History:
    """Fold a candidate's events.

    Args:
        events: all events of his record, in order.
        points: the points of the deck he studies.
        moment: the present, as this laptop's clock has it.
        deck_id: id of that deck; trials and verdicts that name another deck are left out, for a measure of the same
            id may be another one there. Those that name no deck count, and so do all where this is None.
    """
    readings = [(event.header.tick_ms, event.header.at_ms) for event in events]
    times, now_ms = guarded_with_now(readings, moment.at_ms)
    time_of = {event.header.id: at for event, at in zip(events, times, strict=True)}
    facts = {point.id: point.fact for point in points}
    evidence: list[Evidence] = []
    manners: list[Manner] = []
    practice: dict[str, Practice] = {}
    changed: dict[str, int] = {}
    questions: dict[tuple[str, int], Event] = {}
    trials: dict[str, Trials] = {}
    runs: set[str] = set()
    for event in effective(events).events:
        if event.kind == "trial" and _seen_on_the_ground(event, deck_id):
            measure = str(event.body["measure"])
            seen = trials.get(measure, Trials())
            trials[measure] = Trials(seen.go + bool(event.body["go"]), seen.nogo + (not event.body["go"]))
        if event.kind == "verdict" and _seen_on_the_ground(event, deck_id):
            runs.add(str(event.body["run"]))
        if event.kind != "answer":
            continue
        point = str(event.body["point"])
        if point not in facts:
            continue
        questions.setdefault((str(event.body["session"]), event.header.at_ms), event)
        if event.body["fact"] != facts[point]:
            changed[point] = changed.get(point, 0) + 1
            continue
        right, choices = bool(event.body["right"]), event.body["choices"]
        evidence.append(Evidence(point, time_of[event.header.id] / DAY_MS, right, int(str(choices))))
        manners.append(Manner(str(event.body["question"]), int(str(event.body["ms"])) / 1000))
        day = local_day(event.header.at_ms, event.header.offset)
        practice[point] = practised(practice.get(point, Practice()), day, right)
    # A point answered again since its fact changed is known by those answers; there is nothing left to tell.
    untold = {point: count for point, count in changed.items() if point not in practice}
    return History(
        tuple(evidence),
        tuple(manners),
        practice,
        untold,
        trials,
        len(runs),
        tuple(int(str(event.body["ms"])) for event in questions.values()),
        _by_day(questions.values()),
        now_ms / DAY_MS,
        local_day(moment.at_ms, moment.offset),
    )


def _seen_on_the_ground(event: Event, deck_id: str | None) -> bool:
    named = event.body.get("deck")
    counts = event.body.get("held", GROUND) == GROUND and "prompt" not in event.body
    return counts and (deck_id is None or named is None or named == deck_id)


def practised(before: Practice, day: date, right: bool) -> Practice:
    """Return the practice of a point with one more answer."""
    same_day = before.last_day == day
    return Practice(
        before.answers + 1,
        before.first_day or day,
        day,
        (before.right_on_last_day if same_day else 0) + right,
    )


def _by_day(questions: Iterable[Event]) -> dict[date, int]:
    counted: dict[date, int] = {}
    for event in questions:
        day = local_day(event.header.at_ms, event.header.offset)
        counted[day] = counted.get(day, 0) + 1
    return counted
