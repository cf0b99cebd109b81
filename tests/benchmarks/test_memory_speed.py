"""How long memory takes, on 150 points and 5,000 answers. Run with `pytest tests/benchmarks --benchmark-enable -n 0`.

Bars: next question 20 ms, forecast of 150 points 60 ms.
"""

from collections.abc import Callable
from random import Random
from typing import Any, cast

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from trainer.memory.planner import Asked, Candidate, Item, plan
from trainer.memory.readiness import Forecast, Major, Minor, Readiness, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import pack, unpack

POINTS = [f"p{n}" for n in range(150)]
SHEET = Sheet(
    tuple(Minor(f"m{n}", tuple(POINTS[n::12]), 3, 1) for n in range(12)),
    tuple(Major(f"M{n}") for n in range(5)),
    needed=3,
    trials=4,
    minors_to_pass=9,
)
NOW, TEST = 28.0, 35.0


def answers(number: int) -> list[Evidence]:
    rng = Random(number)
    return [
        Evidence(rng.choice(POINTS), NOW * n / number, rng.random() < 0.8, rng.choice((0, 0, 4))) for n in range(number)
    ]


def timed(benchmark: BenchmarkFixture) -> Callable[..., Any]:
    return cast("Callable[..., Any]", benchmark.pedantic)


@pytest.fixture(scope="module", params=[1000, 5000], ids=lambda number: f"{number} answers")
def packed(request: pytest.FixtureRequest) -> bytes:
    return pack(Learner(answers(request.param)))


def test_one_answer_folded(benchmark: BenchmarkFixture, packed: bytes) -> None:
    def fresh() -> tuple[tuple[Learner], dict[str, object]]:
        return (unpack(packed),), {}

    timed(benchmark)(
        lambda learner: learner.fold([Evidence("p7", NOW, True, 0)]), setup=fresh, rounds=200, warmup_rounds=5
    )


def test_a_thousand_answers_folded(benchmark: BenchmarkFixture) -> None:
    evidence = answers(1000)
    timed(benchmark)(lambda: Learner(evidence), rounds=5, warmup_rounds=1)


def test_forecast_of_the_whole_sheet_with_band(benchmark: BenchmarkFixture, packed: bytes) -> None:
    def forecast(learner: Learner) -> Readiness:
        return Forecast(SHEET, Random(1)).curve(learner, [TEST], NOW)[0]

    timed(benchmark)(forecast, setup=lambda: ((unpack(packed),), {}), rounds=20, warmup_rounds=2)


def test_curve_of_eight_dates(benchmark: BenchmarkFixture, packed: bytes) -> None:
    forecast = Forecast(SHEET, Random(1))
    timed(benchmark)(
        lambda learner: forecast.curve(learner, [NOW + n for n in range(8)], NOW),
        setup=lambda: ((unpack(packed),), {}),
        rounds=5,
        warmup_rounds=1,
    )


def test_next_point_after_an_answer(benchmark: BenchmarkFixture, packed: bytes) -> None:
    def warm() -> tuple[tuple[Learner], dict[str, object]]:
        learner = unpack(packed)
        learner.recall(POINTS, TEST, NOW)
        return (learner,), {}

    def next_point(learner: Learner) -> str | None:
        learner.fold([Evidence("p7", NOW, True, 0)])
        candidates = [
            Candidate(Item(item, (item[:2],)), recall, True, rank, seen=True)
            for rank, (item, recall) in enumerate(zip(POINTS, learner.recall(POINTS, TEST, NOW), strict=True))
        ]
        return plan(candidates, [Asked((("p7", True),))], TEST - NOW).next

    timed(benchmark)(next_point, setup=warm, rounds=50, warmup_rounds=2)


def test_snapshot_packed(benchmark: BenchmarkFixture, packed: bytes) -> None:
    learner = unpack(packed)
    benchmark(pack, learner)


def test_snapshot_loaded(benchmark: BenchmarkFixture, packed: bytes) -> None:
    benchmark(unpack, packed)
