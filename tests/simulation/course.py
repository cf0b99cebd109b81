"""One pupil through one course of study under one policy, and what came of it."""

from __future__ import annotations

import random
from collections.abc import Callable
from time import process_time
from typing import NamedTuple

from tests.simulation.ours import Filtered, Ours, OursEssential, OursUnplanned, WeakestNow
from tests.simulation.policies import (
    QUESTION_DAYS,
    AtRandom,
    Doubling,
    Forecasted,
    Greedy,
    Oracle,
    Policy,
    Rotation,
    Setting,
    Weakest,
)
from tests.simulation.sheet import Deck, drawn_test, true_go
from tests.simulation.worlds.common import World

DAYS = 21
OURS = "ours"
FIXED = ("fixed, essential", "fixed, all")
POLICIES: dict[str, Callable[[Setting], Policy]] = {
    "random": AtRandom,
    FIXED[0]: lambda setting: Rotation(setting, setting.deck.essential),
    FIXED[1]: lambda setting: Rotation(setting, setting.deck.items),
    "doubling gap": Doubling,
    "weakest now": WeakestNow,
    OURS: Ours,
    "ours, unplanned": OursUnplanned,
    "ours, essential": OursEssential,
    "truth, greedy": Greedy,
    "truth, weakest": Weakest,
    "oracle": Oracle,
}
FORECAST_DAYS = (21, 14, 10, 7, 5, 3, 2, 1)
"""Days before the test on which the program's forecast is read: after that day's practice, the first before any."""


class Reading(NamedTuple):
    """A forecast of GO on the test day, its truth, and a test drawn of that.

    Read in the evening it is of nothing more practised; made in the morning, by a plan, of what practice will lead to.
    """

    days_before: int
    forecast: Forecasted
    truth: float
    passed: bool


class Outcome(NamedTuple):
    """What a course led to: mean true recall of essential points on the test day, true chance of GO, one drawn test.

    `readings` are the forecasts of nothing more practised, `promises` those of the plans that were made.
    """

    recall: float
    go: float
    passed: bool
    questions: int
    readings: tuple[Reading, ...]
    promises: tuple[Reading, ...]
    seconds: float


def study(world: World, policy: str, budget: int, number: int, seed: int, deck: Deck, days: int = DAYS) -> Outcome:
    """Pupil `number` of a world through `days` days; the test is on the morning after the last.

    Pupil, habits and luck follow from the seed, the world and the number alone, so that policies and budgets are
    compared on the same pupils; the n-th answer to a point has the same luck under every policy.
    """
    key = f"{seed}/{world.name}/{number}"
    pupil = world.learner(deck.items, deck.groups, random.Random(f"{key}/pupil"))
    luck = {item: random.Random(f"{key}/{item}") for item in deck.items}
    test_day = float(days)
    practised = days_practised(random.Random(f"{key}/habit"), days)
    started = process_time()
    setting = Setting(deck, test_day, budget, practised, pupil, random.Random(f"{key}/policy"))
    chooser = POLICIES[policy](setting)
    forecaster = chooser if isinstance(chooser, Filtered) else None
    readings: list[Reading] = []
    planned: dict[int, Forecasted] = {}
    asked = 0

    def read(now: float, days_before: int) -> None:
        if forecaster is None or days_before not in FORECAST_DAYS:
            return
        truth = true_go(deck, lambda item: pupil.recall(item, test_day))
        forecast = forecaster.forecast(now)
        passed = random.Random(f"{key}/{budget}/{days_before}").random() < truth
        readings.append(Reading(days_before, forecast, truth, passed))

    read(0.0, days)
    for day in range(days):
        now = float(day)
        if day in practised:
            chooser.begin(now)
            if isinstance(chooser, Ours) and chooser.planned is not None and days - day in FORECAST_DAYS:
                planned[days - day] = chooser.planned
            for _ in range(budget):
                item = chooser.choose(now)
                if item is None:
                    break
                chooser.took(item, now, pupil.answer(item, now, deck.choices(item), luck[item]))
                now += QUESTION_DAYS
                asked += 1
        if day:
            read(now, days - day)
    recalls = {item: pupil.recall(item, test_day) for item in deck.essential}
    go = true_go(deck, recalls.__getitem__)
    passed = drawn_test(deck, recalls.__getitem__, random.Random(f"{key}/test"))
    return Outcome(
        sum(recalls.values()) / len(recalls),
        go,
        passed,
        asked,
        tuple(readings),
        tuple(Reading(before, forecast, go, passed) for before, forecast in planned.items()),
        process_time() - started,
    )


def days_practised(rng: random.Random, days: int) -> frozenset[int]:
    """Days on which a pupil practises: the first, and the others unless missed, by a habit of his own."""
    missed = rng.betavariate(2.0, 10.0)
    return frozenset(day for day in range(days) if rng.random() >= missed or day == 0)
