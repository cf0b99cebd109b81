"""How a record's file is made and opened: what is refused, which settings hold, the schema.

SQLite is used with its rollback journal and the directory synced at each commit, since that alone was found to lose
nothing in simulated power cuts; the write-ahead log is not used.
"""

import os
import sqlite3
import stat
from collections.abc import Callable, Sequence
from types import TracebackType
from typing import Any

from trainer.records import errors
from trainer.records.disk import refuse_network, sync_folder

APPLICATION_ID = 0x53746570  # "Step" in ASCII
VERSION = 1
BUSY_MS = 5_000

Connect = Callable[[str], sqlite3.Connection]
"""Opens the file at a path; the seam into which tests put faults."""

_SETTINGS = (
    # Name, value to set, value read back.
    ("busy_timeout", str(BUSY_MS), BUSY_MS),
    ("journal_mode", "DELETE", "delete"),
    ("synchronous", "EXTRA", 3),
    ("fullfsync", "ON", 1),  # macOS: the drive's own cache too; without effect elsewhere
    ("foreign_keys", "ON", 1),
    ("recursive_triggers", "ON", 1),  # else INSERT OR REPLACE deletes past the trigger
    ("trusted_schema", "OFF", 0),
    ("cell_size_check", "ON", 1),
)

_SCHEMA = """
CREATE TABLE record (candidate TEXT NOT NULL) STRICT;
CREATE TABLE event (
    place INTEGER PRIMARY KEY,
    id TEXT NOT NULL UNIQUE,
    device TEXT NOT NULL,
    seq INTEGER NOT NULL,
    tick_ms INTEGER NOT NULL,
    sha BLOB NOT NULL,
    stored BLOB NOT NULL
) STRICT;
CREATE TRIGGER event_never_changes BEFORE UPDATE ON event
    BEGIN SELECT RAISE(ABORT, 'a record is only ever added to'); END;
CREATE TRIGGER event_never_goes BEFORE DELETE ON event
    BEGIN SELECT RAISE(ABORT, 'a record is only ever added to'); END;
CREATE TRIGGER event_never_replaced BEFORE INSERT ON event
    WHEN EXISTS (SELECT 1 FROM event WHERE id = NEW.id OR place = NEW.place)
    BEGIN SELECT RAISE(ABORT, 'a record is only ever added to'); END;
CREATE TRIGGER record_never_changes BEFORE UPDATE ON record
    BEGIN SELECT RAISE(ABORT, 'a record is only ever added to'); END;
CREATE TRIGGER record_never_goes BEFORE DELETE ON record
    BEGIN SELECT RAISE(ABORT, 'a record is only ever added to'); END;
CREATE TRIGGER record_has_one_candidate BEFORE INSERT ON record WHEN EXISTS (SELECT 1 FROM record)
    BEGIN SELECT RAISE(ABORT, 'a record has one candidate'); END;
"""

_AHEAD = "CREATE TABLE IF NOT EXISTS ahead (id TEXT PRIMARY KEY) STRICT"
"""Events from elsewhere whose clock was too far ahead; made when the first comes in. An older program need not know."""


def connect(path: str) -> sqlite3.Connection:
    """Open an existing file with the standard library; never makes one."""
    return sqlite3.connect(f"file:{_uri(path)}?mode=rw", uri=True, isolation_level=None)


def _uri(path: str, *, windows: bool = os.name == "nt") -> str:
    if windows:
        path = "/" + path.replace("\\", "/")
    return "//" + path.replace("%", "%25").replace("?", "%3f").replace("#", "%23")


class Transaction:
    """BEGIN IMMEDIATE; COMMIT at the end, ROLLBACK on any exception, also a keyboard interrupt."""

    def __init__(self, path: str, connection: sqlite3.Connection) -> None:
        self._path, self._connection = path, connection

    def __enter__(self) -> sqlite3.Connection:
        try:
            self._connection.execute("BEGIN IMMEDIATE")
        except sqlite3.Error as error:
            raise errors.from_sqlite(self._path, error) from error
        return self._connection

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        if error is None:
            try:
                self._connection.execute("COMMIT")
            except BaseException as failed:
                self._roll_back()
                if isinstance(failed, sqlite3.Error):
                    raise errors.from_sqlite(self._path, failed) from failed
                raise
            return
        self._roll_back()
        if isinstance(error, sqlite3.Error):
            raise errors.from_sqlite(self._path, error) from error

    def _roll_back(self) -> None:
        try:
            # After some failures SQLite has rolled back by itself.
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
        except sqlite3.Error:
            pass  # the first error tells more; the journal is rolled back when the file is next read


def make(path: str, candidate: str, connect: Connect = connect) -> None:
    """Make an empty record, readable by its owner only.

    Raises:
        LogError: one sentence; nothing is left behind.
    """
    refuse_network(path)
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except OSError as error:
        raise errors.from_system(path, error) from error
    try:
        connection = _connected(path, connect)
        try:
            settle(path, connection)
            with Transaction(path, connection):
                connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.execute(f"PRAGMA user_version = {VERSION}")
                for statement in _statements(_SCHEMA):
                    connection.execute(statement)
                connection.execute("INSERT INTO record VALUES (?)", (candidate,))
        finally:
            connection.close()
        sync_folder(os.path.dirname(path))
    except BaseException as error:
        os.unlink(path)
        if isinstance(error, OSError):
            raise errors.from_system(path, error) from error
        raise


def _statements(schema: str) -> list[str]:
    statements, begun = [], ""
    for line in schema.strip().splitlines():
        begun += line + "\n"
        if sqlite3.complete_statement(begun):
            statements.append(begun)
            begun = ""
    return statements


def keep_ahead(connection: sqlite3.Connection, ids: Sequence[str]) -> None:
    """Remember which events must not move the order time of what is recorded here."""
    if ids:
        connection.execute(_AHEAD)
        connection.executemany("INSERT OR IGNORE INTO ahead VALUES (?)", [(name,) for name in ids])


def latest_tick(connection: sqlite3.Connection, since: int) -> int:
    """The last order time among the events after a place that may move ours, 0 if there are none."""
    known = connection.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'ahead'").fetchone()
    but = " AND id NOT IN (SELECT id FROM ahead)" if known else ""
    (tick,) = connection.execute(f"SELECT max(tick_ms) FROM event WHERE place > ?{but}", (since,)).fetchone()  # noqa: S608
    return tick or 0


def opened(path: str, connect: Connect = connect) -> sqlite3.Connection:
    """Open an existing record; a file that is refused is not touched.

    Raises:
        LogError: one sentence.
    """
    refuse_network(path)
    _look_at_head(path)
    connection = _connected(path, connect)
    try:
        settle(path, connection)
        # Only now has the journal of a write that was cut short been rolled back, at worst to nothing.
        if not os.path.getsize(path):
            raise errors.LogEmptyError(path)
        _check_form(path, _pragma(connection, "application_id"), _pragma(connection, "user_version"))
        _check_whole(path, connection)
    except sqlite3.Error as error:
        connection.close()
        raise errors.from_sqlite(path, error) from error
    except BaseException:
        connection.close()
        raise
    return connection


def _connected(path: str, connect: Connect) -> sqlite3.Connection:
    try:
        return connect(path)
    except sqlite3.Error as error:
        raise errors.from_sqlite(path, error) from error


def _look_at_head(path: str) -> None:
    """Refuse by the first bytes, before SQLite may write to the file.

    The fields of the first 100 bytes are those of "Database File Format", sqlite.org, section 1.3.
    """
    try:
        mode = os.stat(path).st_mode
        if stat.S_ISDIR(mode):
            raise errors.LogIsFolderError(path)
        if not stat.S_ISREG(mode):
            raise errors.LogNotSQLiteError(path)  # reading a pipe would wait for ever
        with open(path, "rb") as file:
            head = file.read(100)
            size = file.seek(0, os.SEEK_END)
    except OSError as error:
        raise errors.from_system(path, error) from error
    if size == 0:
        raise errors.LogEmptyError(path)
    if len(head) < 100 or head[:16] != b"SQLite format 3\0":
        if _has_journal(path):
            return  # a power cut tore the first page; SQLite puts it back
        raise errors.LogNotSQLiteError(path)
    _check_form(path, int.from_bytes(head[68:72], "big"), int.from_bytes(head[60:64], "big"))


def _check_form(path: str, application: int, version: int) -> None:
    if application != APPLICATION_ID:
        raise errors.LogForeignError(path)
    if version > VERSION:
        raise errors.LogNewerError(path, f"its form {version}, known here {VERSION}")


def _has_journal(path: str) -> bool:
    """Whether a journal waits to be rolled back ("Database File Format", sqlite.org, section 3)."""
    try:
        with open(path + "-journal", "rb") as file:
            return file.read(8) == bytes.fromhex("d9d505f920a163d7")
    except OSError:
        return False


def settle(path: str, connection: sqlite3.Connection) -> None:
    """Make the settings that safety rests on, and refuse where one does not hold.

    Raises:
        LogError: one sentence.
    """
    try:
        for name, value, expected in _SETTINGS:
            connection.execute(f"PRAGMA {name} = {value}").fetchall()
            if _pragma(connection, name) != expected:
                raise errors.LogUnsafeError(path, f"{name} to {value}")
    except sqlite3.Error as error:
        raise errors.from_sqlite(path, error) from error


def _check_whole(path: str, connection: sqlite3.Connection) -> None:
    connection.execute("BEGIN")  # one lock over all of it, so that nobody writes in between
    try:
        found = check(connection, "quick_check(1)")
        # A last page cut in its middle is filled up with zeros, and SQLite goes on.
        if os.path.getsize(path) < _pragma(connection, "page_count") * _pragma(connection, "page_size"):
            found.append("it is cut short")
    finally:
        connection.execute("COMMIT")
    if found:
        raise errors.LogDamagedError(path, found[0])


def check(connection: sqlite3.Connection, pragma: str) -> list[str]:
    """What one of SQLite's own checks finds, a line each; empty for a sound structure."""
    found = [str(row[0]) for row in connection.execute(f"PRAGMA {pragma}")]
    return (
        [] if found == ["ok"] else [" ".join(line.removeprefix("*** in database main ***").split()) for line in found]
    )


def _pragma(connection: sqlite3.Connection, name: str) -> Any:
    row = connection.execute(f"PRAGMA {name}").fetchone()
    return None if row is None else row[0]
