"""How long a roster takes, 200 candidates with 1,000 answers each. Run with `pytest --benchmark-enable -n 0`.

Bars: 2 s where nothing is new, 60 s from nothing.
"""

from collections.abc import Callable
from datetime import timedelta
from typing import Any, cast

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.benchmarks.conftest import Sized
from tests.sponsor.unit import DAY, NOW, answers, member
from trainer.paths import Home
from trainer.sponsor.kept_rows import FILE, rows

CANDIDATES, ANSWERS = (200, 4), (1_000, 40)
"""In full, and where nothing is timed."""


def timed(benchmark: BenchmarkFixture) -> Callable[..., Any]:
    return cast("Callable[..., Any]", benchmark.pedantic)


@pytest.fixture(scope="module")
def unit(tmp_path_factory: pytest.TempPathFactory, sized: Sized) -> Home:
    home = Home(tmp_path_factory.mktemp("roster"))
    for number in range(sized(*CANDIDATES)):
        member(home, f"Someone {number}", DAY + timedelta(days=number % 30), answers(number, sized(*ANSWERS)))
    return home


def test_a_roster_from_nothing(benchmark: BenchmarkFixture, unit: Home) -> None:
    def forget() -> None:
        for path in unit.cache.rglob(FILE):
            path.unlink()

    found = timed(benchmark)(lambda: rows(unit, NOW), setup=forget, rounds=1)
    assert all(row.chance is not None for row in found)


def test_a_roster_where_nothing_is_new(benchmark: BenchmarkFixture, unit: Home, sized: Sized) -> None:
    first = rows(unit, NOW)
    found = timed(benchmark)(lambda: rows(unit, NOW), rounds=5)
    assert found == first
    assert len(found) == sized(*CANDIDATES)
