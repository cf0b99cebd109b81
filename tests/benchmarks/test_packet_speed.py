"""How long a packet of a year takes: 5,000 answers signed, checked, and merged into an empty record."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.records.samples import CANDIDATE, DEVICE, moment, question
from tests.records.travelling import SPONSOR, key_in, packet_of
from trainer.records.log import Log
from trainer.records.packet import unpacked


@pytest.fixture
def year(tmp_path: Path) -> Iterator[Log]:
    with Log.create(tmp_path / "year.db", CANDIDATE, DEVICE) as log:
        log.append_history([(draft, moment(number)) for number in range(1000) for draft in question(number, 5)])
        yield log


def test_sign(benchmark: BenchmarkFixture, year: Log, tmp_path: Path) -> None:
    key = key_in(tmp_path)
    raw = benchmark(packet_of, year, key)
    assert len(unpacked(raw).events) == 5000


def test_check(benchmark: BenchmarkFixture, year: Log, tmp_path: Path) -> None:
    raw = packet_of(year, key_in(tmp_path))
    assert len(benchmark(unpacked, raw).events) == 5000


def test_merge(benchmark: BenchmarkFixture, year: Log, tmp_path: Path) -> None:
    told, names = year.events(), iter(range(10_000))

    def merged() -> int:
        with Log.create(tmp_path / f"{next(names)}.db", CANDIDATE, SPONSOR) as log:
            return log.merge(told, moment(2000)).new

    assert benchmark.pedantic(merged, rounds=5) == 5000  # type: ignore[no-untyped-call]


def test_merge_again(benchmark: BenchmarkFixture, year: Log, tmp_path: Path) -> None:
    told = year.events()
    with Log.create(tmp_path / "sponsor.db", CANDIDATE, SPONSOR) as log:
        log.merge(told, moment(2000))
        assert benchmark(log.merge, told, moment(2001)).known == 5000
