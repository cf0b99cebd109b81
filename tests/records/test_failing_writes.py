"""Entries that cannot be written: a sentence, all or nothing, and the record goes on.

The suite often runs as root, for whom a read-only folder is no obstacle: such cases drop their rights in a child or
use a mount of their own. Where the system allows neither they are skipped, but on CI they fail.
"""

import contextlib
import os
import pickle
import resource
import sqlite3
import subprocess
import tempfile
import warnings
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.records.disks import assert_sentence, cannot, fill
from tests.records.samples import CANDIDATE, DEVICE, moment, question, questions_held
from trainer.records import drafts, errors
from trainer.records.errors import LogError
from trainer.records.log import Log

NOBODY = 65534


def refused_append(log: Log, kind: type[LogError], path: Path) -> None:
    """The entry is refused with a sentence; the record holds what it held and can be read on."""
    before, refusal = log.events(), None
    for number in range(100, 1000):
        try:
            log.append_many(question(number), moment(number))
        except LogError as error:
            refusal = error
            break
        before = log.events()
    assert type(refusal) is kind
    assert_sentence(refusal, path)
    assert log.events() == before
    assert log.verify() == []
    assert set(questions_held(before).values()) == {3}


def test_no_space_by_page_count(path: Path) -> None:
    with Log.open(path, DEVICE) as log:
        log._connection.execute("PRAGMA max_page_count = 40").fetchall()
        refused_append(log, errors.LogFullError, path)


def test_a_second_writer_is_told(path: Path) -> None:
    with Log.open(path, DEVICE) as log, contextlib.closing(sqlite3.connect(path, isolation_level=None)) as other:
        log._connection.execute("PRAGMA busy_timeout = 20")
        other.execute("BEGIN IMMEDIATE")
        refused_append(log, errors.LogBusyError, path)
        other.execute("ROLLBACK")
        log.append_many(question(50), moment(50))


def test_a_record_that_was_moved_away_is_not_written_to(path: Path) -> None:
    with Log.open(path, DEVICE) as log:
        moved = path.with_name("moved.db")
        path.rename(moved)
        before = moved.read_bytes()
        with pytest.raises(errors.LogMovedError) as caught:
            log.append_many(question(50), moment(50))
        assert_sentence(caught.value, path)
        path.write_bytes(before)  # another file in its place
        with pytest.raises(errors.LogMovedError):
            log.append_many(question(50), moment(50))
        assert path.read_bytes() == moved.read_bytes() == before


def test_a_full_medium(medium: Path) -> None:
    path = medium / "record.db"
    fill(path)
    with Log.open(path, DEVICE) as log:
        refused_append(log, errors.LogFullError, path)
        head = log.head
    with Log.open(path) as again:
        assert again.head == head


def test_a_record_made_on_a_full_medium_leaves_nothing_behind(medium: Path) -> None:
    with contextlib.suppress(OSError), (medium / "filler").open("wb") as file:
        while True:
            file.write(bytes(4096))
            file.flush()
    with pytest.raises(errors.LogFullError) as caught:
        Log.create(medium / "record.db", CANDIDATE, DEVICE)
    assert_sentence(caught.value, medium / "record.db")
    assert [p.name for p in medium.iterdir()] == ["filler"]


def test_a_read_only_medium(medium: Path) -> None:
    path = medium / "record.db"
    fill(path)
    subprocess.run(["mount", "-o", "remount,ro", str(medium)], check=True)
    with Log.open(path, DEVICE) as again:  # it can still be read
        assert len(again.events()) == 30
        refused_append(again, errors.LogReadOnlyError, path)
    with pytest.raises(errors.LogReadOnlyError) as caught:
        Log.create(medium / "other.db", CANDIDATE, DEVICE)
    assert_sentence(caught.value, medium / "other.db")


def in_child(work: Callable[[], object], *, unprivileged: bool = False) -> Any:
    """Run in a forked child, without the rights of root if asked, and hand back what it returns or raises."""
    if unprivileged and os.getuid() == 0 and not hasattr(os, "setresuid"):
        cannot("rights cannot be dropped here")
    reading, writing = os.pipe()
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", DeprecationWarning)  # the child only runs this function
        child = os.fork()
    if child == 0:
        try:
            if unprivileged and os.getuid() == 0:
                os.setgroups([])
                os.setresgid(NOBODY, NOBODY, NOBODY)
                os.setresuid(NOBODY, NOBODY, NOBODY)
            try:
                result: object = work()
            except LogError as error:
                result = (type(error).__name__, str(error))
            os.write(writing, pickle.dumps(result))
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as file:
        said = file.read()
    os.waitpid(child, 0)
    return pickle.loads(said)


@pytest.fixture
def open_folder() -> Iterator[Path]:
    """A folder that other users can reach, unlike pytest's own."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        folder.chmod(0o755)
        yield folder
        folder.chmod(0o755)


def append_one(path: Path) -> str:
    with Log.open(path, DEVICE) as log:
        log.append(*drafts.note("x"), moment(99))
    return "kept"


def test_a_read_only_folder(open_folder: Path) -> None:
    path = open_folder / "record.db"
    fill(path)
    path.chmod(0o666)
    open_folder.chmod(0o555)
    before = path.read_bytes()
    kind, text = in_child(lambda: append_one(path), unprivileged=True)
    assert kind in ("LogReadOnlyError", "LogCannotOpenError")
    assert_sentence(SaidByChildError(text), path, "folder")
    assert path.read_bytes() == before
    kind, text = in_child(lambda: Log.create(open_folder / "new.db", CANDIDATE, DEVICE), unprivileged=True)
    assert kind == "LogDeniedError"
    assert [p.name for p in open_folder.iterdir()] == ["record.db"]


class SaidByChildError(LogError):
    """A sentence that came from a child."""

    sentence = "{path}"


def test_a_read_only_file(open_folder: Path) -> None:
    path = open_folder / "record.db"
    fill(path)
    open_folder.chmod(0o777)
    path.chmod(0o444)
    before = path.read_bytes()
    kind, text = in_child(lambda: append_one(path), unprivileged=True)
    assert kind == "LogReadOnlyError"
    assert_sentence(SaidByChildError(text), path, "read-only")
    assert path.read_bytes() == before
    assert in_child(lambda: len(Log.open(path).events()), unprivileged=True) == 30


def test_a_file_that_may_not_be_read(open_folder: Path) -> None:
    path = open_folder / "record.db"
    fill(path)
    path.chmod(0o600)
    if os.getuid() == 0:
        kind, text = in_child(lambda: append_one(path), unprivileged=True)
    else:
        path.chmod(0o000)
        kind, text = in_child(lambda: append_one(path))
    assert kind == "LogDeniedError"
    assert_sentence(SaidByChildError(text), path, "may not open")


def test_a_cap_on_file_size(path: Path) -> None:
    """A quota of this kind is reported as a failed write and not as a full disk."""
    size = path.stat().st_size

    def capped() -> object:
        resource.setrlimit(resource.RLIMIT_FSIZE, (size + 4096, size + 4096))
        with Log.open(path, DEVICE) as log:
            for number in range(100, 200):
                log.append_many(question(number), moment(number))
        return "kept"

    kind, text = in_child(capped)
    assert kind == "LogIOFailedError"
    assert_sentence(SaidByChildError(text), path, "quota")
    with Log.open(path) as log:
        assert log.verify() == []
        held = questions_held(log.events())
    assert set(held.values()) == {3}
    assert set(range(10)) <= set(held)


def test_rights_are_really_dropped(open_folder: Path) -> None:
    """The permission tests above would pass as root without trying anything."""
    assert in_child(os.getuid, unprivileged=True) != 0
    open_folder.chmod(0o555)

    def attempt() -> str:
        try:
            (open_folder / "x").write_bytes(b"")
        except PermissionError:
            return "refused"
        return "written"

    assert in_child(attempt, unprivileged=True) == "refused"
