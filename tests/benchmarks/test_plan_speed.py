"""How long the plan to the test takes. Run with `pytest tests/benchmarks --benchmark-enable -n 0`.

Bar: the start of a session with its plan 500 ms, 208 points (67 of them essential) and 5,000 answers.
"""

from collections.abc import Callable
from datetime import date
from random import Random
from typing import Any, cast

from pytest_benchmark.fixture import BenchmarkFixture

from tests.benchmarks.conftest import Sized
from trainer.memory.forward import Outline, outline
from trainer.memory.habit import Habit, plan_key
from trainer.memory.readiness import Forecast, Major, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import pack, unpack

ESSENTIAL = [f"p{n}" for n in range(67)]
POINTS = [*ESSENTIAL, *(f"q{n}" for n in range(141))]
SHEET = Sheet(
    tuple(Minor(f"m{n}", tuple(ESSENTIAL[n::14])) for n in range(14)), tuple(Major(f"M{n}") for n in range(4)), 3, 4, 9
)
NOW = 28.0


def answers(number: int) -> list[Evidence]:
    rng = Random(number)
    return [
        Evidence(rng.choice(POINTS), NOW * n / number, rng.random() < 0.7, rng.choice((0, 2, 4))) for n in range(number)
    ]


def test_the_plan_of_a_morning(benchmark: BenchmarkFixture, sized: Sized) -> None:
    packed = pack(Learner(answers(sized(5_000, 300))))

    def plan(learner: Learner) -> Outline:
        return outline(learner, Forecast(SHEET, Random(1)), NOW, 49.4, Habit(0.9, 41.0), POINTS, more=27.0)

    timed = cast("Callable[..., Any]", benchmark.pedantic)
    assert timed(plan, setup=lambda: ((unpack(packed),), {}), rounds=10, warmup_rounds=1).carried


def test_the_key_of_a_plan(benchmark: BenchmarkFixture, sized: Sized) -> None:
    evidence = answers(sized(5_000, 300))
    assert benchmark(lambda: plan_key(date(2031, 5, 1), date(2031, 6, 1), 15, "deck", (), evidence, NOW))
