"""What Today says: the test, readiness, the weakest measures and why, what changed, what one sitting would be."""

from collections.abc import Collection, Mapping
from datetime import date
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.dates import days_left
from trainer.coach.forecast import Measured, Outlook
from trainer.coach.naming import point_title, point_words
from trainer.coach.pace import questions_for
from trainer.coach.plan import tonight
from trainer.coach.session import Session
from trainer.coach.standing import Standing
from trainer.coach.taskings import open_taskings, progress_words, until_words, work_words
from trainer.coach.words import percent
from trainer.drill.grade_sheet import MAJOR
from trainer.quiz.points import Point
from trainer.records.clock import Moment

LIKELY = 0.5
MOST_WEAK = 12
"""Weakest measures that are looked into; a screen shows as many as fit, three at least."""


class Weak(NamedTuple):
    """A weak measure: its chance of GO (without a grade sheet its mean recall) and why it is not higher."""

    name: str
    share: float
    reasons: tuple[str, ...]


class Today(NamedTuple):
    """Everything that Today shows.

    `days` to the test are negative once it has passed and None without a date; `changed` are sentences on points
    whose fact is no longer the one that was answered; `questions` fit the candidate's `minutes`; of the `needed`
    measures that must be GO to pass so many are `likely`, their chance of GO at least one half.
    `taskings` has a line for every open tasking, the one that ends first at the front.
    """

    handle: str
    deck: str
    day: date
    test_date: date | None
    days: int | None
    outlook: Outlook
    weakest: tuple[Weak, ...]
    changed: tuple[str, ...]
    questions_today: int
    points_today: int
    questions: int
    minutes: int
    needed: int = 0
    likely: int = 0
    taskings: tuple[str, ...] = ()


def today(candidate: Candidate, standing: Standing, moment: Moment) -> Today:
    """Return what Today says now; the standing was opened on the same day."""
    profile, past = candidate.profile, standing.history
    outlook, sheet = standing.outlook(candidate, moment), standing.deck.grade_sheet
    points_today = sum(practice.last_day == past.today for practice in standing.practice.values())
    return Today(
        profile.handle,
        standing.deck.title,
        past.today,
        profile.test_date,
        days_left(profile.test_date, past.today),
        outlook,
        _weakest(candidate, standing, outlook, moment),
        _changed(standing),
        past.questions_by_day.get(past.today, 0),
        points_today,
        questions_for(profile.minutes, past.question_ms),
        profile.minutes,
        sheet.rule.minors_to_pass if sheet else 0,
        sum(measure.kind != MAJOR and measure.go >= LIKELY for measure in outlook.measures),
        tuple(
            f"{until_words(one, past.today)}; {progress_words(one)}: "
            f"{work_words(standing.deck, standing.points, one.work)}"
            for one in open_taskings(candidate.events(), standing.points, past.today, standing.deck.id)
        ),
    )


def likely_words(now: Today) -> str:
    """Return how many of the measures that must be GO are likely; nothing without a grade sheet."""
    if not now.needed:
        return ""
    if now.likely >= now.needed:
        return f"the {_many(now.needed, 'measure')} you need {'is' if now.needed == 1 else 'are'} likely"
    verb = "is" if now.likely == 1 else "are"
    return f"{now.likely or 'none'} of the {_many(now.needed, 'measure')} you need {verb} likely"


def practised_words(now: Today) -> str:
    """Return what was practised today, and how much of the deck was asked so far."""
    asked = f"{now.outlook.asked} of {now.outlook.total} points asked so far"
    if not now.questions_today:
        return f"Nothing practised yet today; {asked}."
    return f"Practised today: {_many(now.questions_today, 'question')} on {_many(now.points_today, 'point')}; {asked}."


def _weakest(candidate: Candidate, standing: Standing, outlook: Outlook, moment: Moment) -> tuple[Weak, ...]:
    now, test_at = standing.now(moment), standing.test_at(candidate, moment)

    def recalls(points: list[Point]) -> dict[Point, float]:
        found = standing.reader.recall([point.id for point in points], test_at, now)
        return dict(zip(points, found, strict=True))

    if outlook.chance is None:
        movements = [(one, recalls(_points_of(standing, one.id))) for one in standing.deck.movements]
        weak = [
            Weak(one.name, sum(recall.values()) / len(recall), _knowledge_reasons(standing, recall))
            for one, recall in movements
            if recall
        ]
        return tuple(sorted(weak, key=lambda one: one.share)[:MOST_WEAK])
    measures = sorted(outlook.measures, key=lambda measure: measure.go)[:MOST_WEAK]
    return tuple(
        Weak(one.name, one.go, _reasons(standing, one, recalls(_points_of(standing, one.id, essential=True))))
        for one in measures
    )


def _points_of(standing: Standing, movement: str, essential: bool = False) -> list[Point]:
    return [point for point in standing.points if point.movement == movement and (point.essential or not essential)]


def _reasons(standing: Standing, measure: Measured, recall: Mapping[Point, float]) -> tuple[str, ...]:
    go, nogo = measure.trials
    if measure.kind == MAJOR:
        if nogo:
            return (f"failed in {nogo} of {_many(go + nogo, 'observed test')}",)
        return (f"kept in {_many(go, 'observed test')}" if go else "a major; assumed, no test was observed yet",)
    seen = (f"{nogo} of {_many(go + nogo, 'observed trial')} NO-GO",) if nogo else ()
    return (*seen, *_knowledge_reasons(standing, recall))


def _knowledge_reasons(standing: Standing, recall: Mapping[Point, float]) -> tuple[str, ...]:
    asked = {point: share for point, share in recall.items() if point.id in standing.practice}
    never = len(recall) - len(asked)
    if not recall:
        return ()
    if not asked:
        return (f"none of its {_many(never, 'point')} asked yet",)
    reasons = (f"{never} of {_many(len(recall), 'point')} never asked",) if never else ()
    weakest = min(asked, key=lambda point: asked[point])
    return (*reasons, f"weakest: {point_words(standing.deck, weakest)}, recall {percent(asked[weakest])}")


def _changed(standing: Standing) -> tuple[str, ...]:
    points = {point.id: point for point in standing.points}
    return tuple(
        f"{point_title(standing.deck, points[point])}; "
        f"{_many(answers, 'answer')} no longer count{'s' if answers == 1 else ''}"
        for point, answers in standing.history.changed.items()
    )


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")


def tonight_line(candidate: Candidate, standing: Standing, moment: Moment, wished: Collection[str] = ()) -> str:
    """Return what the next sitting is for, and what the plan to the test has to say first; one line.

    It makes the plan where there is none yet, which takes a moment.
    """
    sitting = Session(candidate, standing, moment, wished=wished)
    line = f"For {tonight(standing.points, standing.deck, sitting.plan(moment).open, sitting.size)}."
    plan = standing.plan(candidate, moment, wished)
    if plan is not None and plan.out_of_reach:
        return f"{line} The date is out of reach by your habit: r, then p, says more."
    if plan is not None and plan.given_up:
        names = ", ".join(standing.deck.movement(measure).name for measure in plan.given_up)
        return f"{line} The plan lets go: {names}."
    return line
