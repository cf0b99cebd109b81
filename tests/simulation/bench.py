"""Courses of many pupils in parallel, and what they add up to."""

from __future__ import annotations

import importlib.util
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from typing import NamedTuple, cast

from tests.simulation.course import DAYS, FIXED, OURS, Outcome, Reading, study
from tests.simulation.scores import Accuracy, Interval, accuracy, mean_interval, share_interval
from tests.simulation.sheet import USUAL, Shape, deck
from tests.simulation.worlds.common import World

HOME = Path(__file__).parent / "worlds"
WORLDS = ("traces", "activation", "exponential", "performance")
BAR_RANGE = (0.2, 0.8)
BAR_GAIN = 0.1
BAR_MAE, BAR_RMSE = 0.05, 0.15
BAR_COVERAGE = (0.75, 0.90)


class Job(NamedTuple):
    """One course; a world is a name of the bench or the path of a file."""

    world: str
    policy: str
    budget: int
    number: int
    seed: int
    days: int
    shape: Shape


class Row(NamedTuple):
    """A world, a budget and a policy: means over pupils, with intervals, and what a pupil cost in seconds."""

    world: str
    budget: int
    policy: str
    recall: Interval
    go: Interval
    passed: Interval
    questions: float
    seconds: float


class Comparison(NamedTuple):
    """Ours against fixed rotation on the same pupils: the fairer of the two rotations, and the difference in GO.

    `room` is what the oracle has over that rotation, where it was run. `gain` is the bar of 10 points (None where
    the rotation does not pass in between 20 and 80 percent), `no_worse` the other.
    """

    world: str
    budget: int
    rotation: str
    fixed: float
    ours: float
    difference: Interval
    room: float | None
    gain: bool | None
    no_worse: bool


class Judged(NamedTuple):
    """The forecasts of one world along the courses of one policy, all of them or of one date.

    Coverage is judged on the open forecasts alone (None without any): those that could only be 0 say nothing.
    """

    world: str
    policy: str
    days_before: int | None
    scores: Accuracy
    mae_ok: bool
    rmse_ok: bool
    coverage_ok: bool | None


class Results(NamedTuple):
    """Everything the table shows."""

    rows: tuple[Row, ...]
    comparisons: tuple[Comparison, ...]
    forecasts: tuple[Judged, ...]
    promises: tuple[Judged, ...]


def load_world(where: str) -> World:
    """The world of that name, or the class `World` of the file at that path.

    Raises:
        ValueError: No such world, or a file without one, in words that say what to do.
    """
    path = HOME / f"{where}.py" if where in WORLDS else Path(where)
    if not path.is_file():
        raise ValueError(f"there is no world {where!r}: give one of {', '.join(WORLDS)} or a Python file with a World")
    spec = importlib.util.spec_from_file_location(f"world_{path.stem}", path)
    if spec is None or spec.loader is None:
        raise ValueError(f"{path} is not a Python file: give one that defines a class World")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    found = getattr(module, "World", None)
    if found is None or not hasattr(found, "learner"):
        raise ValueError(f"{path} has no class World with a method learner(items, groups, rng): define one")
    world = cast("World", found())
    if not getattr(world, "name", ""):
        raise ValueError(f"the World in {path} has no name: give it one")
    return world


_world = cache(load_world)
_deck = cache(deck)


def run(job: Job) -> Outcome:
    """The outcome of one course; worlds and decks are kept from job to job."""
    world = _world(job.world)
    return study(world, job.policy, job.budget, job.number, job.seed, _deck(job.shape), job.days)


def jobs(
    worlds: Sequence[str],
    policies: Sequence[str],
    budgets: Sequence[int],
    pupils: int,
    seed: int = 1,
    days: int = DAYS,
    shape: Shape = USUAL,
) -> list[Job]:
    """Every course of a bench, pupil by pupil, so that a bench that is stopped has all of some pupils."""
    return [
        Job(world, policy, budget, number, seed, days, shape)
        for number in range(pupils)
        for world in worlds
        for budget in budgets
        for policy in policies
    ]


def outcomes(work: Sequence[Job], workers: int) -> Iterator[tuple[Job, Outcome]]:
    """Outcomes in the order of the jobs, whatever the number of processes."""
    if workers < 2:
        yield from ((job, run(job)) for job in work)
        return
    with get_context("spawn").Pool(workers) as pool:
        yield from zip(work, pool.imap(run, work, chunksize=1), strict=True)


def add_up(results: Iterable[tuple[Job, Outcome]]) -> Results:
    """Rows, comparisons and forecasts of all outcomes."""
    cells: dict[tuple[str, int, str], dict[int, Outcome]] = {}
    for job, outcome in results:
        cells.setdefault((job.world, job.budget, job.policy), {})[job.number] = outcome
    rows = tuple(_row(*key, list(found.values())) for key, found in cells.items())
    settings = list(dict.fromkeys((world, budget) for world, budget, _ in cells))
    compared = [_compared(world, budget, cells) for world, budget in settings]
    return Results(
        rows,
        tuple(one for one in compared if one is not None),
        tuple(_forecasts(cells, lambda outcome: outcome.readings, leave_out=True)),
        tuple(_forecasts(cells, lambda outcome: outcome.promises)),
    )


def _row(world: str, budget: int, policy: str, found: Sequence[Outcome]) -> Row:
    n = len(found)
    return Row(
        _world(world).name,
        budget,
        policy,
        _within(mean_interval([outcome.recall for outcome in found])),
        _within(mean_interval([outcome.go for outcome in found])),
        share_interval(sum(outcome.passed for outcome in found), n),
        sum(outcome.questions for outcome in found) / n,
        sum(outcome.seconds for outcome in found) / n,
    )


def _within(chance: Interval) -> Interval:
    """The interval of a chance, which ends at 0 and 1; few pupils make Student's wider."""
    return Interval(chance.mean, max(0.0, chance.low), min(1.0, chance.high)) if chance.low == chance.low else chance


def _compared(world: str, budget: int, cells: dict[tuple[str, int, str], dict[int, Outcome]]) -> Comparison | None:
    def mean(policy: str) -> float:
        found = cells[world, budget, policy].values()
        return sum(outcome.go for outcome in found) / len(found)

    rotations = [policy for policy in FIXED if (world, budget, policy) in cells]
    if not rotations or (world, budget, OURS) not in cells:
        return None
    rotation = max(rotations, key=mean)
    ours, fixed = cells[world, budget, OURS], cells[world, budget, rotation]
    difference = mean_interval([ours[number].go - fixed[number].go for number in ours])
    base = mean(rotation)
    return Comparison(
        _world(world).name,
        budget,
        rotation,
        base,
        mean(OURS),
        difference,
        mean("oracle") - base if (world, budget, "oracle") in cells else None,
        difference.mean >= BAR_GAIN if BAR_RANGE[0] <= base <= BAR_RANGE[1] else None,
        not difference.high < 0.0,
    )


def _forecasts(
    cells: dict[tuple[str, int, str], dict[int, Outcome]],
    of: Callable[[Outcome], tuple[Reading, ...]],
    leave_out: bool = False,
) -> Iterator[Judged]:
    """Forecasts judged by world and policy, all together and by date.

    Before anything was asked the forecast of no practice at all is the same for everybody: with `leave_out` the first
    date is not among all.
    """
    grouped: dict[tuple[str, str], list[Reading]] = {}
    for (world, _, policy), found in cells.items():
        for outcome in found.values():
            grouped.setdefault((world, policy), []).extend(of(outcome))
    for (world, policy), readings in grouped.items():
        days = sorted({reading.days_before for reading in readings}, reverse=True)
        together = [reading for reading in readings if not leave_out or reading.days_before != days[0]]
        if together:
            yield _judged(world, policy, None, together)
        for before in days:
            yield _judged(world, policy, before, [r for r in readings if r.days_before == before])


def _judged(world: str, policy: str, before: int | None, readings: Sequence[Reading]) -> Judged:
    scores = accuracy(readings)
    return Judged(
        _world(world).name,
        policy,
        before,
        scores,
        scores.binned_mae <= BAR_MAE,
        scores.rmse <= BAR_RMSE,
        BAR_COVERAGE[0] <= scores.open_coverage <= BAR_COVERAGE[1] if scores.open else None,
    )
