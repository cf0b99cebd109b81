"""The plan to the test date: which measures to carry, and what keeping to it would come to.

A share of the minor measures must be GO, so practice belongs where it turns a NO-GO into a GO. The candidate's
sessions to come are rehearsed for one set of measures after another: all of them, then without the one that ended
weakest, down to as many as must be GO. The set with the highest chance of a GO is carried, the larger one where
little lies between them. Where every chance is next to nothing, the set with the highest mean recall.

Everything here is expectation: nothing is drawn but the execution behind the bands, so equal arguments give equal
plans. Tried on synthetic learners only; no person has been measured.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import isfinite
from typing import NamedTuple

from trainer.memory.habit import Habit
from trainer.memory.readiness import Chance, Forecast, Minor, Readiness
from trainer.memory.rehearsal import Asked, Readable, Rehearsal, sessions
from trainer.memory.traces import Fit

LITTLE = 0.01
"""A smaller set must promise this much more than a larger one, or the larger one is carried."""
NEXT_TO_NOTHING = 0.0001
"""Chances below this say nothing of which set is best."""
OUT_OF_REACH = 0.1


class More(NamedTuple):
    """What more questions in every session would come to."""

    questions: float
    go: float


class Day(NamedTuple):
    """The chance of a GO if the test were on this date: with the sessions planned until then, and with none."""

    at: float
    planned: Chance
    resting: Chance


class Outline(NamedTuple):
    """The plan.

    Attributes:
        carried: Ids of the points that the sessions are for.
        measures: Minor measures that carry the test, the weakest at the end of the plan first.
        given_up: Minor measures that the rule allows to let go, the weakest first.
        go: Chance of a GO if the plan and the habit are kept.
        resting: The same with no further practice.
        recall: Mean recall of the essential points on the test date if the plan is kept.
        sessions: Sessions to come by the habit; not a whole number where several are taken together.
        more: What more questions in every session would come to.
        curve: Chances by date, where dates were asked for.
        out_of_reach: Whether even the best plan stays below `OUT_OF_REACH`.
    """

    carried: frozenset[str]
    measures: tuple[str, ...]
    given_up: tuple[str, ...]
    go: Chance
    resting: Chance
    recall: float
    sessions: float
    more: More
    curve: tuple[Day, ...]
    out_of_reach: bool


class _Trial(NamedTuple):
    """A set of minors tried in rehearsal."""

    minors: tuple[Minor, ...]
    course: Asked
    reading: Readiness
    recall: float


def outline(
    learner: Readable,
    forecast: Forecast,
    now: float,
    test_at: float,
    habit: Habit,
    seen: Collection[str],
    *,
    more: float = 0.0,
    sat_today: bool = False,
    dates: Sequence[float] = (),
    fit: Fit | None = None,
) -> Outline:
    """Plan the sessions from now to the test.

    Args:
        learner: What the candidate remembers.
        forecast: The forecast of the sheet that decides.
        now: The present, days.
        test_at: The test, days.
        habit: Chance of a session a day, and questions a session.
        seen: Ids of the points that were ever asked.
        more: Questions a session that ten more minutes would add.
        sat_today: Whether today's session is over; else one begins now.
        dates: Dates of the curve, from now to the test.
        fit: How the candidate learns (`rehearsal.typical` of the recall filter), where `learner` has other nodes.

    Raises:
        ValueError: No test lies ahead.
    """
    if not isfinite(test_at) or test_at <= now:
        raise ValueError("a plan needs a test that lies ahead: give a later date")
    ahead = sessions(now, test_at, habit.chance, sat_today)
    rehearsal = Rehearsal(learner, forecast.items, seen, now, test_at, ahead, fit)
    trials = _trials(rehearsal, forecast, habit.questions)
    best = _best(trials)
    larger = habit.questions + more
    with_more = max(
        _tried(rehearsal, forecast, trial.minors, larger).reading.chance.go
        for trial in {id(t): t for t in (best, trials[0])}.values()
    )
    kept = {minor.id for minor in best.minors}
    order = sorted(best.reading.minors, key=lambda minor: minor.go)
    nothing = Asked({})
    return Outline(
        frozenset(item for minor in best.minors for item in minor.points),
        tuple(minor.id for minor in order if minor.id in kept),
        tuple(minor.id for minor in order if minor.id not in kept),
        best.reading.chance,
        forecast.at(rehearsal.recalls(nothing), rehearsal.weights).chance,
        best.recall,
        len(ahead.times) * ahead.each,
        More(more, max(with_more, best.reading.chance.go)),
        tuple(
            Day(
                at,
                forecast.at(rehearsal.recalls_at(best.course, at), rehearsal.weights).chance,
                forecast.at(rehearsal.recalls_at(nothing, at), rehearsal.weights).chance,
            )
            for at in dates
        ),
        best.reading.chance.go < OUT_OF_REACH,
    )


def _trials(rehearsal: Rehearsal, forecast: Forecast, questions: float) -> list[_Trial]:
    """All minors, then without the weakest one again and again, as far as the rule allows."""
    minors = forecast.sheet.minors
    trials = [_tried(rehearsal, forecast, minors, questions)]
    while len(minors) > max(1, forecast.sheet.minors_to_pass):
        chances = {minor.id: minor.go for minor in trials[-1].reading.minors}
        # Of equally weak ones the later goes, for practice begins with the earlier.
        weakest = min(reversed([minor for minor in minors if minor.points] or minors), key=lambda m: chances[m.id])
        minors = tuple(minor for minor in minors if minor != weakest)
        trials.append(_tried(rehearsal, forecast, minors, questions))
    return trials


def _tried(rehearsal: Rehearsal, forecast: Forecast, minors: tuple[Minor, ...], questions: float) -> _Trial:
    course = rehearsal.course({item for minor in minors for item in minor.points}, questions)
    recalls = rehearsal.recalls(course)
    reading = forecast.at(recalls, rehearsal.weights)
    means = [sum(map(float.__mul__, rehearsal.weights, by_kind)) for by_kind in recalls.values()]
    return _Trial(minors, course, reading, sum(means) / len(means) if means else 1.0)


def _best(trials: Sequence[_Trial]) -> _Trial:
    """The highest chance of a GO, or the largest set that comes close to it; where all are next to nothing, recall."""
    most = max(trial.reading.chance.go for trial in trials)
    if most < NEXT_TO_NOTHING:
        return max(trials, key=lambda trial: trial.recall)
    return next(trial for trial in trials if trial.reading.chance.go >= most - LITTLE * min(1.0, 10.0 * most))
