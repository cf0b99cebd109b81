"""What goes wrong with files, each as a clear sentence and an untouched file."""

import contextlib
import os
import sqlite3
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tests.records.disks import assert_sentence, fill
from tests.records.samples import CANDIDATE, DEVICE
from trainer.records import disk, errors, store
from trainer.records.errors import LogError
from trainer.records.log import Log


def state(folder: Path) -> dict[str, bytes | None]:
    return {p.name: p.read_bytes() if p.is_file() else None for p in folder.iterdir()}


# ---------------------------------------------------------------- files that are refused


def half(path: Path) -> None:
    os.truncate(path, path.stat().st_size // 2)


def nothing(path: Path) -> None:
    os.truncate(path, 0)


def overwritten(path: Path) -> None:
    with path.open("r+b") as file:
        file.write(b"\xa5" * 64)


def short(path: Path) -> None:
    os.truncate(path, 60)


def text_file(path: Path) -> None:
    path.write_text("Name,Rank\n" * 100)


def folder_instead(path: Path) -> None:
    path.unlink()
    path.mkdir()


def pipe(path: Path) -> None:
    path.unlink()
    os.mkfifo(path)


def gone(path: Path) -> None:
    path.unlink()


def foreign(path: Path, mode: str = "delete") -> None:
    path.unlink()
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute(f"PRAGMA journal_mode = {mode}").fetchall()
        other.execute("CREATE TABLE recipe (name)")


def foreign_wal(path: Path) -> None:
    foreign(path, "wal")


def other_application(path: Path) -> None:
    with contextlib.closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA application_id = 7")


def newer(path: Path) -> None:
    with contextlib.closing(sqlite3.connect(path)) as other:
        other.execute(f"PRAGMA user_version = {store.VERSION + 1}")


def without_tables(path: Path) -> None:
    path.unlink()
    with contextlib.closing(sqlite3.connect(path)) as other:
        other.execute(f"PRAGMA application_id = {store.APPLICATION_ID}")
        other.execute("PRAGMA user_version = 1")


def nobodys(path: Path) -> None:
    with contextlib.closing(sqlite3.connect(path, isolation_level=None)) as other:
        other.execute("DROP TRIGGER record_never_goes")
        other.execute("DELETE FROM record")


REFUSED: list[tuple[Callable[[Path], None], type[LogError], str]] = [
    (half, errors.LogDamagedError, "is damaged"),
    (nothing, errors.LogEmptyError, "is empty"),
    (overwritten, errors.LogNotSQLiteError, "its beginning was overwritten"),
    (short, errors.LogNotSQLiteError, "is not a record"),
    (text_file, errors.LogNotSQLiteError, "is not a record"),
    (folder_instead, errors.LogIsFolderError, "A folder stands at"),
    (pipe, errors.LogNotSQLiteError, "is not a record"),
    (gone, errors.LogMissingError, "There is no record at"),
    (foreign, errors.LogForeignError, "belongs to another program"),
    (foreign_wal, errors.LogForeignError, "belongs to another program"),
    (other_application, errors.LogForeignError, "belongs to another program"),
    (newer, errors.LogNewerError, "newer version of this program (its form 2, known here 1)"),
    (without_tables, errors.LogError, "cannot be used"),
    (nobodys, errors.LogDamagedError, "does not say whose it is"),
]


@pytest.mark.parametrize(("fault", "kind", "part"), REFUSED, ids=[f.__name__ for f, _, _ in REFUSED])
def test_a_file_is_refused_with_a_sentence_and_left_as_it_is(
    path: Path, fault: Callable[[Path], None], kind: type[LogError], part: str
) -> None:
    fault(path)
    before = state(path.parent)
    with pytest.raises(LogError) as caught:
        Log.open(path, DEVICE)
    assert type(caught.value) is kind
    assert_sentence(caught.value, path, part)
    assert state(path.parent) == before


def test_every_cut_of_a_file_is_refused(path: Path) -> None:
    whole = path.read_bytes()
    for size in range(0, len(whole), 1021):
        path.write_bytes(whole[:size])
        with pytest.raises(LogError) as caught:
            Log.open(path)
        assert_sentence(caught.value, path)
        assert path.read_bytes() == whole[:size]


def test_a_device_file_is_refused() -> None:
    for name in ("/dev/full", "/dev/zero", "/dev/null"):
        if os.path.exists(name):
            with pytest.raises(errors.LogNotSQLiteError):
                Log.open(name)
            with pytest.raises(errors.LogExistsError):
                Log.create(name, CANDIDATE, DEVICE)


def test_a_path_through_a_file_or_a_missing_folder(path: Path) -> None:
    for bad in (path / "x.db", path.parent / "no such folder" / "x.db"):
        with pytest.raises(errors.LogMissingError) as opening:
            Log.open(bad)
        with pytest.raises(errors.LogMissingError) as making:
            Log.create(bad, CANDIDATE, DEVICE)
        assert_sentence(opening.value, bad)
        assert_sentence(making.value, bad)


def test_a_new_record_never_overwrites(path: Path) -> None:
    before = state(path.parent)
    with pytest.raises(errors.LogExistsError) as caught:
        Log.create(path, CANDIDATE, DEVICE)
    assert_sentence(caught.value, path)
    assert state(path.parent) == before


@pytest.mark.parametrize("name", ["a b?c#d%e%20f.db", "ä-日本.db", "'; DROP TABLE event; --.db", "file:x.db", "-.db"])
def test_odd_names_are_only_names(tmp_path: Path, name: str) -> None:
    fill(tmp_path / name)
    with Log.open(tmp_path / name) as log:
        assert len(log.events()) == 30
    assert [p.name for p in tmp_path.iterdir()] == [name]


def test_a_link_loop_is_a_sentence(tmp_path: Path) -> None:
    loop = tmp_path / "loop.db"
    loop.symlink_to(loop)
    with pytest.raises(LogError) as caught:
        Log.open(loop)
    assert_sentence(caught.value, loop)


# ---------------------------------------------------------------- settings that do not hold


class Stubborn(sqlite3.Connection):
    """SQLite that ignores one setting."""

    ignored = ""

    def execute(self, sql: str, *arguments: Any) -> sqlite3.Cursor:
        if sql.startswith(f"PRAGMA {self.ignored} ="):
            sql = f"PRAGMA {self.ignored}"
        return super().execute(sql, *arguments)


@pytest.mark.parametrize(
    "setting", ["synchronous", "recursive_triggers", "cell_size_check", "foreign_keys", "fullfsync"]
)
def test_a_setting_that_does_not_hold_is_a_refusal(path: Path, setting: str) -> None:
    kind = type("Stubborn", (Stubborn,), {"ignored": setting})
    with pytest.raises(errors.LogUnsafeError) as caught:
        Log.open(path, connect=lambda p: sqlite3.connect(p, factory=kind, isolation_level=None))
    assert_sentence(caught.value, path, setting)


def test_a_record_turned_to_another_journal_is_turned_back(path: Path) -> None:
    with contextlib.closing(sqlite3.connect(path)) as other:
        other.execute("PRAGMA journal_mode = wal").fetchall()
    with Log.open(path) as log:
        assert len(log.events()) == 30
        assert path.read_bytes()[18:20] == b"\1\1"


# ---------------------------------------------------------------- network drives

MOUNTS = r"""
22 1 254:0 / / rw,relatime shared:1 - ext4 /dev/vda rw
23 22 0:21 / /proc rw - proc proc rw
40 22 0:50 / /home/fox/share rw - nfs4 server:/x rw
41 40 0:51 / /home/fox/share/stick rw - vfat /dev/sdb1 rw
42 22 0:52 / /mnt/two\040words rw - cifs //server/x rw
43 22 0:53 / /mnt/over rw - ext4 /dev/vdb rw
44 43 0:54 / /mnt/over rw - fuse.sshfs fox@server: rw
broken line
"""


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("/home/fox/record.db", "ext4"),
        ("/home/fox/share/record.db", "nfs4"),
        ("/home/fox/shared/record.db", "ext4"),
        ("/home/fox/share/stick/record.db", "vfat"),
        ("/mnt/two words/record.db", "cifs"),
        ("/mnt/over/record.db", "fuse.sshfs"),
        ("/mnt/over", "fuse.sshfs"),
    ],
)
def test_the_file_system_of_a_path(path: str, kind: str) -> None:
    assert disk.file_system(path, MOUNTS) == kind


@pytest.mark.parametrize("kind", ["nfs", "nfs4", "cifs", "smb3", "9p", "fuse.sshfs"])
def test_network_drives_are_refused(path: Path, kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(disk, "file_system", lambda *_: kind)
    with pytest.raises(errors.LogOnNetworkError) as opening:
        Log.open(path)
    assert_sentence(opening.value, path, "network drive", f"({kind})")
    with pytest.raises(errors.LogOnNetworkError):
        Log.create(path.with_name("new.db"), CANDIDATE, DEVICE)
    assert [p.name for p in path.parent.iterdir()] == ["record.db"]


@pytest.mark.skipif(not Path("/proc/self/mountinfo").exists(), reason="only Linux tells its mounts this way")
def test_the_file_system_of_this_machine_is_found(medium: Path) -> None:
    mounts = Path("/proc/self/mountinfo").read_text(errors="surrogateescape")
    assert disk.file_system(os.path.realpath(medium), mounts) == "tmpfs"


@pytest.mark.parametrize(
    ("path", "is_network"),
    [
        (r"\\server\share\x.db", True),
        (r"\\?\UNC\server\share\x.db", True),
        (r"\\?\C:\x.db", False),
        (r"\\.\C:\x.db", False),
        (r"C:\x.db", False),
        ("/home/x.db", False),
    ],
)
def test_windows_shares(path: str, is_network: bool) -> None:
    assert disk.is_network_path(path) is is_network


def test_a_windows_share_is_refused() -> None:
    with pytest.raises(errors.LogOnNetworkError, match="a network share"):
        disk.refuse_network(r"\\server\share\x.db")


def test_where_the_system_does_not_tell_its_mounts_nothing_is_refused(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(name: str, *_: object, **__: object) -> None:
        raise FileNotFoundError(name)

    monkeypatch.setattr(disk, "file_system", lambda *_: "nfs")
    monkeypatch.setattr(disk, "open", refuse, raising=False)
    disk.refuse_network(str(path))


def test_a_windows_path_as_sqlite_reads_it() -> None:
    """By "URI Filenames", sqlite.org, section 3.1: file:///C:/Documents%20and%20Settings/fred/Desktop/data.db."""
    assert store._uri(r"C:\100% #1?\x.db", windows=True) == "///C:/100%25 %231%3f/x.db"


def test_the_sqlite_in_use_is_new_enough() -> None:
    """STRICT tables came with 3.37.0 (sqlite.org, release log, 2021-11-27)."""
    assert sqlite3.sqlite_version_info >= (3, 37, 0)
    assert sys.version_info >= (3, 11)
