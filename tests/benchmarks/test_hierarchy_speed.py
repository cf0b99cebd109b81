"""How long borrowing takes, on 208 points and 5,000 answers: `pytest tests/benchmarks --benchmark-enable -n 0`.

Bars: next question 20 ms, all points read and the sheet forecast 60 ms.
"""

from collections.abc import Callable
from random import Random
from typing import Any, cast

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.benchmarks.conftest import Sized
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.readiness import Forecast, Major, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import pack, unpack

MOVEMENTS = [f"m{n}" for n in range(26)]
GROUPS = {
    f"{movement}/{place}": (movement, ("words", "feet", "counts", "faults")[place % 4])
    for movement in MOVEMENTS
    for place in range(8)
}
POINTS = tuple(GROUPS)
SHEET = Sheet(
    tuple(Minor(movement, tuple(f"{movement}/{place}" for place in range(6))) for movement in MOVEMENTS[:12]),
    tuple(Major(f"M{n}") for n in range(5)),
    needed=3,
    trials=4,
    minors_to_pass=9,
)
NOW, TEST = 28.0, 35.0


def timed(benchmark: BenchmarkFixture) -> Callable[..., Any]:
    return cast("Callable[..., Any]", benchmark.pedantic)


@pytest.fixture(scope="module")
def packed(sized: Sized) -> bytes:
    rng, number = Random(5000), sized(5000, 300)
    answers = [
        Evidence(rng.choice(POINTS), NOW * n / number, rng.random() < 0.8, rng.choice((0, 0, 4))) for n in range(number)
    ]
    return pack(Learner(answers))


def test_every_point_read_and_the_sheet_forecast(benchmark: BenchmarkFixture, packed: bytes) -> None:
    def read(hierarchy: Hierarchy) -> float:
        hierarchy.recall(POINTS, TEST, NOW)
        return Forecast(SHEET, Random(1)).curve(hierarchy, [TEST], NOW)[0].chance.go

    timed(benchmark)(read, setup=lambda: ((Hierarchy(unpack(packed), GROUPS),), {}), rounds=20, warmup_rounds=2)


def test_every_point_read_after_an_answer(benchmark: BenchmarkFixture, packed: bytes) -> None:
    def warm() -> tuple[tuple[Hierarchy], dict[str, object]]:
        hierarchy = Hierarchy(unpack(packed), GROUPS)
        hierarchy.recall(POINTS, TEST, NOW)
        return (hierarchy,), {}

    def answer(hierarchy: Hierarchy) -> list[float]:
        hierarchy.fold([Evidence("m3/1", NOW, True, 0)])
        return hierarchy.recall(POINTS, TEST, NOW)

    timed(benchmark)(answer, setup=warm, rounds=30, warmup_rounds=2)
