"""The roster: what a sponsor sees of one candidate, read from his record; a pure function of record, deck and day.

A row is read for nine in the morning of its day, or for the last event of that day where that is later, so that the
hour at which a sponsor looks changes nothing.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta, timezone
from typing import NamedTuple

from trainer.coach.candidate import Candidate, Profile
from trainer.coach.dates import day_of, days_left
from trainer.coach.forecast import Forecaster, Measured
from trainer.coach.history import GROUND, TEST_HOUR, History, history, local_day, test_day
from trainer.coach.past import Held, held_tests
from trainer.coach.standing import open_standing
from trainer.coach.taskings import Tasking, noted_trials, taskings, work_words
from trainer.coach.words import readiness_words
from trainer.drill.deck import Deck
from trainer.memory.blend import Model
from trainer.memory.readiness import Chance
from trainer.memory.recall import Learner
from trainer.quiz.points import FAULTS, Point, points
from trainer.records.clock import Moment
from trainer.records.corrections import effective
from trainer.records.events import Event
from trainer.sponsor.opening import retest_from
from trainer.sponsor.sheet import BROKEN_OFF, Sheet, latest, sheets

WEEK = 7
"""Days of a week, today among them."""


class MovementRow(NamedTuple):
    """A movement of the deck: mean recall of its points on the candidate's date, and trials seen on the ground."""

    id: str
    recall: float
    go: int
    nogo: int


class FaultRow(NamedTuple):
    """A fault of the deck: recall of its point on the candidate's date, and how often graders noted it."""

    movement: str
    fault: str
    recall: float
    seen: int


class Row(NamedTuple):
    """What the roster shows of one candidate.

    Attributes:
        id: of the candidate.
        handle: what he is called.
        deck: id of his deck, "" where it cannot be used.
        deck_title: its title.
        deck_name: the deck as his record names it: an id or a path.
        test_date: the date of his test.
        days: to the test; negative once it has passed.
        chance: of a GO on that date; now where no test lies ahead; None where the deck has no grade sheet.
        tested_now: the chance if he were tested on the day of the roster.
        words: readiness in words.
        assumed: whether execution rests on assumptions alone.
        asked: points that were asked so far, of `total`.
        total: points of the deck.
        mean_recall: over all points, on the date.
        measures: every measure of the sheet, knowledge and execution apart.
        movements: every movement of the deck.
        faults: every fault of the deck's movements.
        last_session: the day of the last answer.
        questions_week: questions answered in the last seven days.
        last_run: the day of the last run on the ground.
        broken_off: why the last run was broken off, in words; "" where it was not.
        verdicts: tests that came to a verdict, the latest first.
        no_test_before: the earliest moment of a retest in ms since 1970 UTC, None where nothing has to be waited for.
        retest_hours: the wait after a NO-GO by the deck, None where it sets none.
        taskings: those that are open, and the last one that is over.
        work: what each of them names, in words.
        quick: whether this was read from the recall filter alone.
        trouble: a sentence where record or deck cannot be read; then nothing else is known.
    """

    id: str
    handle: str
    deck: str = ""
    deck_title: str = ""
    deck_name: str = ""
    test_date: date | None = None
    days: int | None = None
    chance: Chance | None = None
    tested_now: float | None = None
    words: str = ""
    assumed: bool = True
    asked: int = 0
    total: int = 0
    mean_recall: float = 0.0
    measures: tuple[Measured, ...] = ()
    movements: tuple[MovementRow, ...] = ()
    faults: tuple[FaultRow, ...] = ()
    last_session: date | None = None
    questions_week: int = 0
    last_run: date | None = None
    broken_off: str = ""
    verdicts: tuple[Held, ...] = ()
    no_test_before: int | None = None
    retest_hours: int | None = None
    taskings: tuple[Tasking, ...] = ()
    work: tuple[str, ...] = ()
    quick: bool = False
    trouble: str = ""

    @property
    def weakest(self) -> tuple[Measured, ...]:
        """The measures by their chance of GO, the lowest first."""
        return tuple(sorted(self.measures, key=lambda one: one.go))

    @property
    def graded(self) -> tuple[Held, ...]:
        """Verdicts of runs on the ground, the latest first."""
        return tuple(one for one in self.verdicts if one.where == GROUND)

    @property
    def knowledge(self) -> float | None:
        """Mean over the minors of the chance that all they need is known; None without a grade sheet."""
        known = [one.knowledge for one in self.measures if one.knowledge is not None]
        return sum(known) / len(known) if known else None

    @property
    def execution(self) -> float | None:
        """Mean over the minors of the chance that a trial of who knows it succeeds; None without a grade sheet."""
        done = [one.execution for one in self.measures if one.knowledge is not None]
        return sum(done) / len(done) if done else None


def read_row(candidate: Candidate, deck: Deck, moment: Moment, quick: bool) -> Row:
    """Return the row of a candidate.

    Args:
        candidate: his record, open.
        deck: his deck.
        moment: the present; its day counts.
        quick: whether the recall filter alone is read; else all models together, as the candidate himself sees them.

    Raises:
        LogError: one sentence, if the record cannot be read.
    """
    events, profile = candidate.events(), candidate.profile
    at = reading_moment(events, moment)
    all_points, past, plain, reader, forecaster = _reading(candidate, deck, at, quick)
    test_at = max(past.now, test_day(past.now, at, profile.test_date)) if profile.test_date else past.now
    outlook = forecaster.outlook(reader, plain, past.now, test_at, [past.now])
    recalls = reader.recall([point.id for point in all_points], test_at, past.now)
    recall = dict(zip(all_points, recalls, strict=True))
    runs = sheets(events, deck)
    given = _taskings(taskings(events, all_points, past.today, deck.id), past.today)
    wait = retest_from(deck, runs, moment.offset) if deck.grade_sheet else None
    return Row(
        candidate.id,
        profile.handle,
        deck.id,
        deck.title,
        profile.deck,
        profile.test_date,
        days_left(profile.test_date, past.today),
        outlook.chance,
        outlook.curve[0][1].go if outlook.curve else None,
        readiness_words(outlook),
        outlook.assumed,
        outlook.asked,
        outlook.total,
        outlook.mean_recall,
        outlook.measures,
        _movements(deck, recall, past),
        _faults(events, deck, recall),
        _last_session(events),
        sum(number for day, number in past.questions_by_day.items() if 0 <= (past.today - day).days < WEEK),
        max((run.on for run in runs), default=None),
        _broken_off(runs),
        held_tests(events, deck),
        wait.at_ms if wait else None,
        deck.grade_sheet.retest_after_hours if deck.grade_sheet else None,
        given,
        tuple(work_words(deck, all_points, one.work) for one in given),
        quick,
    )


def _broken_off(runs: Sequence[Sheet]) -> str:
    last = latest(runs)
    return BROKEN_OFF.get(last.broken_off, last.broken_off) if last is not None and last.broken_off else ""


def unread(candidate: str, profile: Profile, trouble: str) -> Row:
    """Return the row of a candidate whose record or deck cannot be read."""
    return Row(candidate, profile.handle or candidate[:8], test_date=profile.test_date, trouble=trouble)


def reading_moment(events: Sequence[Event], moment: Moment) -> Moment:
    """Return the moment that a row is read for: the hour of a test on the day, or the day's last event if later."""
    zone = timezone(timedelta(minutes=moment.offset))
    day = day_of(moment)
    morning = round(datetime(day.year, day.month, day.day, TEST_HOUR, tzinfo=zone).timestamp() * 1000)
    end = morning + (24 - TEST_HOUR) * 3_600_000
    times = (event.header.at_ms for event in events if morning < event.header.at_ms < end)
    return Moment(max([morning, *times]), moment.offset)


class _Reading(NamedTuple):
    points: Sequence[Point]
    past: History
    plain: Learner
    reader: Model
    forecaster: Forecaster


def _reading(candidate: Candidate, deck: Deck, at: Moment, quick: bool) -> _Reading:
    if not quick:
        standing = open_standing(candidate, deck, at)
        return _Reading(standing.points, standing.history, standing.learner, standing.reader, standing.forecaster)
    all_points = points(deck)
    past = history(candidate.events(), all_points, at, deck.id)
    learner = Learner()
    learner.fold(sorted(past.evidence, key=lambda one: one.at))
    return _Reading(all_points, past, learner, learner, Forecaster(deck, all_points, past.trials, past.runs))


def _movements(deck: Deck, recall: Mapping[Point, float], past: History) -> tuple[MovementRow, ...]:
    found = []
    for movement in deck.movements:
        shares = [share for point, share in recall.items() if point.movement == movement.id]
        go, nogo = past.trials.get(movement.id, (0, 0))
        found.append(MovementRow(movement.id, sum(shares) / len(shares) if shares else 0.0, go, nogo))
    return tuple(found)


def _faults(events: Sequence[Event], deck: Deck, recall: Mapping[Point, float]) -> tuple[FaultRow, ...]:
    noted = noted_trials(effective(events).events, deck.id)
    seen = Counter((one.measure, fault) for one in noted for fault in one.faults)
    movements = {movement.id for movement in deck.movements}
    return tuple(
        FaultRow(point.movement, point.place, share, seen[point.movement, point.place])
        for point, share in recall.items()
        if point.family == FAULTS and point.movement in movements
    )


def _last_session(events: Sequence[Event]) -> date | None:
    last = next((event for event in reversed(events) if event.kind == "answer"), None)
    return local_day(last.header.at_ms, last.header.offset) if last else None


def _taskings(found: Sequence[Tasking], today: date) -> tuple[Tasking, ...]:
    still_open = [one for one in found if one.until >= today]
    over = [one for one in found if one.until < today]
    return (*still_open, *over[-1:])
