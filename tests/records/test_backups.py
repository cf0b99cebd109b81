"""Backups: three generations, and none counts before it was opened and checked."""

from pathlib import Path

import pytest

from tests.records.apsw_disk import FailingDisk
from tests.records.samples import CANDIDATE, DEVICE, START, moment, question
from trainer.records import errors
from trainer.records.backups import backup
from trainer.records.clock import Moment
from trainer.records.log import Log

HOUR = 3_600_000


@pytest.fixture
def log(tmp_path: Path) -> Log:
    return Log.create(tmp_path / "fox.db", CANDIDATE, DEVICE)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "backups"


def at(hours: float) -> Moment:
    return Moment(START + round(hours * HOUR), 0)


def held(folder: Path) -> dict[str, int]:
    """How many events each copy holds; each must be sound."""
    found = {}
    for path in sorted(folder.iterdir()):
        with Log.open(path) as copy:
            assert copy.verify() == []
            found[path.name] = copy.head.place
    return found


def day(log: Log, folder: Path, hours: float) -> None:
    log.append_many(question(int(hours)), at(hours))
    backup(log, folder, at(hours))


def test_a_backup_holds_the_same(log: Log, folder: Path) -> None:
    log.append_many(question(1), moment(1))
    path = backup(log, folder, at(0))
    with Log.open(path, DEVICE) as copy:
        assert (copy.events(), copy.head, copy.candidate) == (log.events(), log.head, CANDIDATE)
        copy.append_many(question(2), moment(2))
    assert Path(path).stat().st_mode & 0o777 == 0o600


def test_three_generations_a_day_apart(log: Log, folder: Path) -> None:
    for number in range(5):
        day(log, folder, 24 * number)
    assert held(folder) == {"fox.1.db": 15, "fox.2.db": 12, "fox.3.db": 9}


def test_one_evening_does_not_push_out_the_days_before(log: Log, folder: Path) -> None:
    for hours in (0, 24, 48, 48.2, 48.4, 48.6):
        day(log, folder, hours)
    assert held(folder) == {"fox.1.db": 18, "fox.2.db": 6, "fox.3.db": 3}


def test_nothing_new_writes_nothing(log: Log, folder: Path) -> None:
    day(log, folder, 0)
    before = {p: p.stat().st_mtime_ns for p in folder.iterdir()}
    backup(log, folder, at(100))
    assert {p: p.stat().st_mtime_ns for p in folder.iterdir()} == before


def test_a_wild_clock_stops_no_backup(log: Log, folder: Path) -> None:
    for hours in (0, 30 * 365 * 24, 24, 48):
        day(log, folder, hours)
    assert held(folder) == {"fox.1.db": 12, "fox.2.db": 9, "fox.3.db": 6}


def test_a_damaged_record_is_not_backed_up(log: Log, folder: Path) -> None:
    for number in range(3):
        day(log, folder, 24 * number)
    before = {p.name: p.read_bytes() for p in folder.iterdir()}
    log.append_many(question(9), moment(9))
    log._connection.execute("DROP TRIGGER event_never_changes")
    log._connection.execute("UPDATE event SET sha = x'00' WHERE place = 2")
    with pytest.raises(errors.LogDamagedError, match="Event 2 was changed"):
        backup(log, folder, at(100))
    assert {p.name: p.read_bytes() for p in folder.iterdir()} == before


@pytest.mark.parametrize("hours", [48.5, 72])
def test_a_damaged_copy_does_not_count_and_pushes_nothing_out(log: Log, folder: Path, hours: float) -> None:
    for number in range(3):
        day(log, folder, 24 * number)
    newest = folder / "fox.1.db"
    newest.write_bytes(newest.read_bytes()[:5000])
    backup(log, folder, at(hours))
    assert held(folder) == {"fox.1.db": 9, "fox.2.db": 6, "fox.3.db": 3}


def test_a_damaged_copy_in_the_middle_does_not_push_out_the_sound_one_below(log: Log, folder: Path) -> None:
    for number in range(3):
        day(log, folder, 24 * number)
    middle = folder / "fox.2.db"
    content = bytearray(middle.read_bytes())
    at_word = content.index(b'"choices"')
    content[at_word + 1] ^= 1  # a flipped bit, which SQLite's own checks do not notice
    middle.write_bytes(content)
    day(log, folder, 72)
    assert held(folder) == {"fox.1.db": 12, "fox.2.db": 9, "fox.3.db": 3}


def test_what_a_cut_left_is_cleared_away(log: Log, folder: Path) -> None:
    day(log, folder, 0)
    (folder / "fox.new.db").write_bytes(b"half a copy")
    (folder / "fox.new.db-journal").write_bytes(b"and its journal")
    day(log, folder, 24)
    assert held(folder) == {"fox.1.db": 6, "fox.2.db": 3}


def test_no_space_for_a_copy_leaves_the_others(log: Log, medium: Path) -> None:
    day(log, medium, 0)
    before = held(medium)
    for number in range(60):
        log.append_many(question(number, 9), moment(number))
    with pytest.raises(errors.LogFullError) as caught:
        backup(log, medium, at(24))
    assert str(medium) in str(caught.value)
    assert held(medium) == before


def test_a_file_where_the_folder_should_be(log: Log, tmp_path: Path) -> None:
    (tmp_path / "backups").write_bytes(b"")
    with pytest.raises(errors.LogError) as caught:
        backup(log, tmp_path / "backups", at(0))
    assert str(tmp_path / "backups") in str(caught.value)


def test_every_failing_read_or_write_leaves_a_sound_newest_copy(log: Log, tmp_path: Path) -> None:
    """Fail the n-th input or output of a backup until it gets through: what was there is still there."""
    folder, disk = tmp_path / "backups", FailingDisk()
    day(log, folder, 0)
    log.append_many(question(1), moment(1))
    log.close()
    before, refusals = held(folder), 0
    for nth in range(1, 400):
        with Log.open(log.path, connect=disk.connect) as failing:
            disk.arm(nth, sticky=False)
            try:
                backup(failing, folder, at(24))
            except errors.LogError:
                refusals += 1
                assert held(folder) == before
            failed = disk.failed
            disk.disarm()
            if not failed:
                break
    else:
        pytest.fail("the backup never got through")
    assert refusals > 3
    assert held(folder) == {"fox.1.db": 6, "fox.2.db": 3}
