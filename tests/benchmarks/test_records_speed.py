"""Speed of the record: one durable entry, and reading 5,000 checked events."""

from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.records.samples import CANDIDATE, DEVICE, START, moment, question
from trainer.records.clock import guarded
from trainer.records.log import Log

EVENTS = 5_000


@pytest.fixture(scope="module")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("records") / "record.db"
    with Log.create(path, CANDIDATE, DEVICE) as log:
        for number in range(0, EVENTS, 50):
            log.append_many(question(number, 50), moment(number))
    return path


def test_one_question_recorded(benchmark: BenchmarkFixture, filled: Path) -> None:
    """Three answers of one question on the disk, in a record that holds 5,000."""
    with Log.open(filled, DEVICE) as log:
        benchmark(log.append_many, question(1), moment(EVENTS))


def test_a_record_opened(benchmark: BenchmarkFixture, filled: Path) -> None:
    benchmark(lambda: Log.open(filled).close())


def test_events_read(benchmark: BenchmarkFixture, filled: Path) -> None:
    with Log.open(filled) as log:
        assert len(benchmark(log.events)) >= EVENTS


def test_everything_verified(benchmark: BenchmarkFixture, filled: Path) -> None:
    with Log.open(filled) as log:
        assert benchmark(log.verify) == []


@pytest.mark.parametrize("error_ms", [0, -(365 * 86_400_000)], ids=["sane clock", "leaping clock"])
def test_times_guarded(benchmark: BenchmarkFixture, error_ms: int) -> None:
    readings = [(i, START + i * 60_000 + (error_ms if i // 50 % 2 else 0)) for i in range(EVENTS)]
    assert len(benchmark(guarded, readings)) == EVENTS
