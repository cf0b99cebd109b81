"""How long the forecast by all models takes, on 150 points and 5,000 answers; `--benchmark-enable -n 0` times it.

Bars: the forecast 60 ms; an answer told to rivals and trust .5 ms beside the filter's own share.
"""

import marshal
from collections.abc import Callable
from random import Random
from typing import Any, NamedTuple, cast

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from trainer.memory.blend import Blend, Blended
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.readiness import Forecast, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import pack, unpack
from trainer.memory.trust import Trust

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


class Kept(NamedTuple):
    """A learner, and what rivals and trust learnt beside him, as they are cached."""

    learner: bytes
    blend: bytes
    trust: bytes


def timed(benchmark: BenchmarkFixture) -> Callable[..., Any]:
    return cast("Callable[..., Any]", benchmark.pedantic)


@pytest.fixture(scope="module")
def kept() -> Kept:
    rng = Random(5000)
    answers = [
        Evidence(rng.choice(POINTS), NOW * n / 5000, rng.random() < 0.8, rng.choice((0, 0, 4))) for n in range(5000)
    ]
    blend = Blend()
    trust = Trust(Blended(Learner(), blend))
    for one in answers:
        trust.take(one, 0.8)
        blend.take(one, 0.8)
    return Kept(pack(Learner(answers)), marshal.dumps(blend.state()), marshal.dumps(trust.state()))


def opened(kept: Kept) -> Trust:
    blend = Blend()
    blend.restore(marshal.loads(kept.blend))
    trust = Trust(Blended(Hierarchy(unpack(kept.learner), GROUPS), blend))
    trust.restore(marshal.loads(kept.trust))
    return trust


def test_the_sheet_forecast_by_all_models(benchmark: BenchmarkFixture, kept: Kept) -> None:
    forecast = Forecast(SHEET, Random(1))

    def read(trust: Trust) -> float:
        return forecast.curve(trust, [TEST], NOW)[0].chance.go

    timed(benchmark)(read, setup=lambda: ((opened(kept),), {}), rounds=15, warmup_rounds=2)


def test_what_was_learnt_opened_from_the_cache(benchmark: BenchmarkFixture, kept: Kept) -> None:
    timed(benchmark)(lambda: opened(kept), rounds=15, warmup_rounds=2)


def test_an_answer_told_to_rivals_and_trust(benchmark: BenchmarkFixture, kept: Kept) -> None:
    trust = opened(kept)
    blended = cast("Blended", trust.model)
    at = iter(range(1, 100_000))

    def take() -> None:
        answer = Evidence("m3/1", NOW + next(at), True, 0)
        trust.take(answer, 0.8)
        blended.blend.take(answer, 0.8)

    timed(benchmark)(take, rounds=60, warmup_rounds=3)
