"""Readiness of a candidate on a deck: knowledge from his answers and execution from observed runs, joined."""

import random
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from trainer.coach.history import Trials
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import MAJOR, MINOR
from trainer.memory.blend import Model
from trainer.memory.readiness import (
    ASSUMED,
    Assumptions,
    Chance,
    Forecast,
    Major,
    MeasureChance,
    Minor,
    Readiness,
    Sheet,
)
from trainer.memory.recall import Learner
from trainer.quiz.points import Point

SEED = 20
"""The same draws at every forecast, so that the band moves only when something was learnt."""


class Measured(NamedTuple):
    """One measure as a screen shows it.

    `knowledge` is None for a major; `asked` of `points` essential points were asked at least once; `trials`
    are those observed on the ground.
    """

    id: str
    kind: str
    name: str
    knowledge: float | None
    execution: float
    go: float
    asked: int
    points: int
    trials: Trials


class Outlook(NamedTuple):
    """The forecast of a candidate's grade sheet; `chance` is None where the deck has no grade sheet."""

    chance: Chance | None
    measures: tuple[Measured, ...]
    asked: int
    total: int
    mean_recall: float
    curve: tuple[tuple[float, Chance], ...] = ()

    @property
    def assumed(self) -> bool:
        """Whether execution rests on assumptions alone for every measure."""
        return all(measure.trials == Trials() for measure in self.measures)


class Forecaster:
    """Forecasts of one candidate on one deck; made anew when trials are recorded."""

    def __init__(
        self,
        deck: Deck,
        points: Sequence[Point],
        trials: Mapping[str, Trials],
        runs: int = 0,
        assumptions: Assumptions = ASSUMED,
    ) -> None:
        """Prepare the forecast.

        Args:
            deck: the deck.
            points: its teaching points.
            trials: observed trials of each measure; of a major, those that failed.
            runs: graded runs with a verdict; a major that did not fail in one was kept in it.
            assumptions: what holds of execution before anything is observed.
        """
        self.deck, self.points, self.trials = deck, points, trials
        self.essential = essential_points(points)
        sheet = deck.grade_sheet
        self._forecast: Forecast | None = None
        if sheet is not None:
            rule = sheet.rule
            minors = tuple(Minor(m, self.essential.get(m, ()), *trials.get(m, Trials())) for m in sheet.minors)
            majors = tuple(_major(m.id, trials.get(m.id, Trials()), runs) for m in sheet.majors)
            self._forecast = Forecast(
                Sheet(minors, majors, rule.needed, rule.trials, rule.minors_to_pass),
                random.Random(SEED),
                assumptions,
            )

    @property
    def sheet_forecast(self) -> Forecast | None:
        """The forecast of the sheet itself; None where the deck has no grade sheet."""
        return self._forecast

    def outlook(
        self, learner: Model, plain: Learner, now: float, test_at: float, curve: Sequence[float] = ()
    ) -> Outlook:
        """Forecast the test.

        Args:
            learner: what the candidate's answers taught of him, all models together.
            plain: the recall filter alone: the mean over all points is read from it, which is much quicker.
            now: the present, days.
            test_at: the test, days, on the same scale.
            curve: dates before the test at which the chance is wanted too, if nothing more is practised.
        """
        ids = [point.id for point in self.points]
        standings = plain.standings(ids, test_at, now)
        asked = {one.item for one in standings if one.answers}
        mean = sum(one.recall for one in standings) / len(standings) if standings else 0.0
        if self._forecast is None:
            return Outlook(None, (), len(asked), len(ids), mean)
        dates = [*curve, test_at]
        readings = self._forecast.curve(learner, dates, now)
        chances = tuple((date, reading.chance) for date, reading in zip(dates, readings, strict=True))
        last = readings[-1]
        return Outlook(last.chance, self._measures(last, asked), len(asked), len(ids), mean, chances if curve else ())

    def chance(self, learner: Model, now: float, date: float) -> Chance | None:
        """Return the chance at one date if nothing more is practised; None where the deck has no grade sheet."""
        if self._forecast is None:
            return None
        return self._forecast.curve(learner, [date], now)[0].chance

    def _measures(self, reading: Readiness, asked: set[str]) -> tuple[Measured, ...]:
        sheet = self.deck.grade_sheet
        names = {movement.id: movement.name for movement in self.deck.movements}
        names |= {major.id: major.text for major in sheet.majors} if sheet else {}

        def measured(one: MeasureChance, kind: str) -> Measured:
            essential = self.essential.get(one.id, ()) if kind == MINOR else ()
            return Measured(
                one.id,
                kind,
                names[one.id],
                one.knowledge,
                one.execution,
                one.go,
                len(asked.intersection(essential)),
                len(essential),
                self.trials.get(one.id, Trials()),
            )

        return tuple(measured(m, MINOR) for m in reading.minors) + tuple(measured(m, MAJOR) for m in reading.majors)


def _major(major: str, seen: Trials, runs: int) -> Major:
    return Major(major, kept=max(runs - seen.nogo, seen.go), failed=seen.nogo)


def essential_points(points: Sequence[Point]) -> dict[str, tuple[str, ...]]:
    """Return the ids of the essential points of every movement."""
    found: dict[str, tuple[str, ...]] = {}
    for point in points:
        if point.essential:
            found[point.movement] = (*found.get(point.movement, ()), point.id)
    return found
