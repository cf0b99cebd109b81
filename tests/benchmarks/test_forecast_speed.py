"""How long the forecast by all models takes, on 150 points and 5,000 answers; `--benchmark-enable -n 0` times it.

Bar: the forecast 60 ms.
"""

from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any, cast

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.benchmarks.conftest import Sized
from trainer.coach.history import Manner
from trainer.coach.kept_mind import fold, keep
from trainer.coach.mind import Mind
from trainer.memory.blend import Model
from trainer.memory.readiness import Forecast, Minor, Sheet
from trainer.memory.recall import Evidence

GROUPS = {
    f"m{movement}/{place}": (f"m{movement}", ("words", "feet", "counts", "faults")[place % 4])
    for movement in range(15)
    for place in range(10)
}
POINTS = tuple(GROUPS)
SHEET = Sheet(
    tuple(Minor(f"m{n}", tuple(f"m{n}/{place}" for place in range(6))) for n in range(10)), (), 2, 3, minors_to_pass=8
)
NOW, TEST = 28.0, 35.0


def timed(benchmark: BenchmarkFixture) -> Callable[..., Any]:
    return cast("Callable[..., Any]", benchmark.pedantic)


@pytest.fixture(scope="module")
def answers(sized: Sized) -> list[Evidence]:
    """28 daily sittings of some 180 answers, one every 20 seconds, of whom four in five are right."""
    rng = Random(5000)
    number, days = sized(5000, 200), int(NOW)
    times = (float(n * days // number) + (n * days % number) / days * 20 / 86_400 for n in range(number))
    return [Evidence(rng.choice(POINTS), at, rng.random() < 0.8, rng.choice((0, 0, 4))) for at in times]


@pytest.fixture(scope="module")
def file(answers: list[Evidence], tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("kept") / "fold.bin"
    mind = Mind(GROUPS)
    mind.fold(answers)
    keep(mind, answers, [Manner()] * len(answers), path)
    return path


def opened(answers: list[Evidence], file: Path) -> Mind:
    mind, behind = fold(answers, [Manner()] * len(answers), GROUPS, file)
    assert behind == 0
    return mind


def test_the_sheet_forecast_by_all_models(benchmark: BenchmarkFixture, answers: list[Evidence], file: Path) -> None:
    forecast = Forecast(SHEET, Random(1))

    def read(reader: Model) -> float:
        return forecast.curve(reader, [TEST], NOW)[0].chance.go

    timed(benchmark)(read, setup=lambda: ((opened(answers, file).reader,), {}), rounds=15, warmup_rounds=2)


def test_what_was_learnt_opened_from_the_cache(
    benchmark: BenchmarkFixture, answers: list[Evidence], file: Path
) -> None:
    timed(benchmark)(lambda: opened(answers, file), rounds=15, warmup_rounds=2)


def test_an_answer_folded_by_all_models(benchmark: BenchmarkFixture, answers: list[Evidence], file: Path) -> None:
    mind = opened(answers, file)
    at = iter(range(1, 100_000))

    def take() -> None:
        mind.fold([Evidence("m3/1", NOW + next(at), True, 0)])

    timed(benchmark)(take, rounds=60, warmup_rounds=3)
