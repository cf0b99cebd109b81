"""A disk that can be watched, cut and made to fail: SQLite file systems for the seam of `Log.open`.

apsw brings its own SQLite and lets a file system be written in Python. `Adapted` makes its connection look like the
standard library's, so that the code under test is the real one.
"""

import collections
import itertools
import os
import random
import sqlite3
from collections.abc import Callable
from typing import Any

import apsw

SECTOR = 512
_KEPT = apsw.SQLITE_OPEN_MAIN_DB | apsw.SQLITE_OPEN_MAIN_JOURNAL
_names = itertools.count()

Operation = tuple[Any, ...]
Image = dict[str, bytearray]


class Adapted:
    """An apsw connection in the clothes of a `sqlite3.Connection`, as far as a record uses one."""

    def __init__(self, path: str, vfs: str, *, lie_about_sync: bool = False) -> None:
        self._lie = lie_about_sync
        self._connection = self._translated(apsw.Connection, path, apsw.SQLITE_OPEN_READWRITE, vfs)

    def _translated(self, call: Callable[..., Any], *arguments: Any) -> Any:
        try:
            return call(*arguments)
        except apsw.Error as error:
            translated = sqlite3.OperationalError(str(error))
            translated.sqlite_errorcode = getattr(error, "extendedresult", 0) or getattr(error, "result", 1)
            raise translated from error

    def execute(self, sql: str, values: tuple[Any, ...] = ()) -> Any:
        if self._lie and sql.startswith("PRAGMA synchronous"):
            sql = "PRAGMA synchronous = OFF" if "=" in sql else "SELECT 3"
        rows = self._translated(lambda: list(self._connection.execute(sql, values)))
        return _Rows(rows)

    def executemany(self, sql: str, rows: list[tuple[Any, ...]]) -> None:
        self._translated(lambda: list(self._connection.executemany(sql, rows)))

    @property
    def in_transaction(self) -> bool:
        return bool(self._connection.in_transaction)

    def close(self) -> None:
        self._connection.close(True)


class _Rows(list[tuple[Any, ...]]):
    def fetchall(self) -> list[tuple[Any, ...]]:
        return self

    def fetchone(self) -> tuple[Any, ...] | None:
        return self[0] if self else None


# ---------------------------------------------------------------- a disk that writes down what is done


class RecordingDisk(apsw.VFS):
    """Passes everything on and writes down every write, cut, sync and unlink."""

    def __init__(self) -> None:
        self.operations: list[Operation] = []
        self.label = f"recording-{next(_names)}"
        super().__init__(self.label, "")

    def xOpen(self, name: Any, flags: list[int]) -> "apsw.VFSFile":  # noqa: N802
        return _RecordingFile(self, name, flags)

    def xDelete(self, name: str, sync_folder: bool) -> None:  # noqa: N802
        super().xDelete(name, sync_folder)
        self.operations.append(("delete", os.path.basename(name), sync_folder))

    def connect(self, path: str) -> Any:
        return Adapted(path, self.label)

    def connect_without_sync(self, path: str) -> Any:
        return Adapted(path, self.label, lie_about_sync=True)


def _base(name: Any) -> str:
    return os.path.basename(name.filename() if isinstance(name, apsw.URIFilename) else name or "temporary")


class _RecordingFile(apsw.VFSFile):
    def __init__(self, disk: RecordingDisk, name: Any, flags: list[int]) -> None:
        self.name = _base(name)
        self.kept = bool(flags[0] & _KEPT)
        self.operations = disk.operations
        super().__init__("", name, flags)
        self._note("create")

    def _note(self, what: str, *more: Any) -> None:
        if self.kept:
            self.operations.append((what, self.name, *more))

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        super().xWrite(data, offset)
        self._note("write", offset, bytes(data))

    def xTruncate(self, size: int) -> None:  # noqa: N802
        super().xTruncate(size)
        self._note("cut", size)

    def xSync(self, flags: int) -> None:  # noqa: N802
        super().xSync(flags)
        self._note("sync")


class _Platter:
    """What a disk holds after some operations: settled bytes, waiting writes, settled and waiting names."""

    def __init__(self, base: dict[str, bytes]) -> None:
        self.data = {n: bytearray(content) for n, content in enumerate(base.values())}
        self.names = dict(zip(base, self.data, strict=True))
        self.settled_names = dict(self.names)
        self.waiting: dict[int, list[Operation]] = collections.defaultdict(list)
        self.waiting_names: list[tuple[str, int | None]] = []

    def do(self, operation: Operation) -> None:
        what, name = operation[:2]
        if what == "create":
            if name not in self.names:
                self.names[name] = len(self.data)
                self.data[len(self.data)] = bytearray()
                self.waiting_names.append((name, self.names[name]))
        elif what in ("write", "cut"):
            self.waiting[self.names[name]].append(operation)
        elif what == "sync":
            file = self.names[name]
            for waiting in self.waiting.pop(file, []):
                _apply(self.data[file], waiting)
            self.settle_names(len(self.waiting_names))  # a journalling file system orders names before data
        elif what == "delete":
            self.names.pop(name, None)
            self.waiting_names.append((name, None))
            if operation[2]:
                self.settle_names(len(self.waiting_names))

    def settle_names(self, count: int) -> None:
        for name, file in self.waiting_names[:count]:
            if file is None:
                self.settled_names.pop(name, None)
            else:
                self.settled_names[name] = file
        del self.waiting_names[:count]


def _apply(image: bytearray, operation: Operation) -> None:
    if operation[0] == "cut":
        size = operation[2]
        del image[size:]
        image.extend(bytes(size - len(image)))
    else:
        offset, data = operation[2:]
        image.extend(bytes(max(0, offset + len(data) - len(image))))
        image[offset : offset + len(data)] = data


def after_power_cut(base: dict[str, bytes], operations: list[Operation], chance: random.Random) -> Image:
    """The files as a power cut right after these operations may leave them.

    What was synced is kept; a sync also settles the names made or unlinked before. Of the rest, names reach the disk
    in order up to a random point, and each unsynced piece of 512 bytes by the toss of a coin.
    """
    platter = _Platter(base)
    for operation in operations:
        platter.do(operation)
    platter.settle_names(chance.randint(0, len(platter.waiting_names)))
    image: Image = {}
    for name, file in platter.settled_names.items():
        content = bytearray(platter.data[file])
        for operation in platter.waiting.get(file, []):
            for piece in _pieces(operation):
                if chance.random() < 0.5:
                    _apply(content, piece)
        image[name] = content
    return image


def _pieces(operation: Operation) -> list[Operation]:
    if operation[0] == "cut":
        return [operation]
    what, name, offset, data = operation
    return [(what, name, offset + at, data[at : at + SECTOR]) for at in range(0, len(data), SECTOR)]


# ---------------------------------------------------------------- a disk that fails


class FailingDisk(apsw.VFS):
    """Fails the n-th input or output after `arm`, once or from there on."""

    def __init__(self) -> None:
        self.label = f"failing-{next(_names)}"
        self.disarm()
        super().__init__(self.label, "")

    def arm(self, at: int, *, sticky: bool, code: int = apsw.SQLITE_IOERR) -> None:
        self.left, self.sticky, self.code, self.failed = at, sticky, code, 0

    def disarm(self) -> None:
        self.left, self.sticky, self.code, self.failed = 0, False, 0, 0

    def step(self) -> None:
        """Count one input or output, and fail it if it is its turn."""
        if not self.code:
            return
        self.left -= 1
        if self.left == 0 or (self.sticky and self.left < 0):
            self.failed += 1
            raise apsw.exception_for(self.code)

    def xOpen(self, name: Any, flags: list[int]) -> "apsw.VFSFile":  # noqa: N802
        self.step()
        return _FailingFile(self, name, flags)

    def xDelete(self, name: str, sync_folder: bool) -> None:  # noqa: N802
        self.step()
        super().xDelete(name, sync_folder)

    def xAccess(self, name: str, flags: int) -> bool:  # noqa: N802
        self.step()
        return bool(super().xAccess(name, flags))

    def connect(self, path: str) -> Any:
        return Adapted(path, self.label)


class _FailingFile(apsw.VFSFile):
    def __init__(self, disk: FailingDisk, name: Any, flags: list[int]) -> None:
        self.step = disk.step
        super().__init__("", name, flags)

    def xRead(self, amount: int, offset: int) -> bytes:  # noqa: N802
        self.step()
        return bytes(super().xRead(amount, offset))

    def xWrite(self, data: bytes, offset: int) -> None:  # noqa: N802
        self.step()
        super().xWrite(data, offset)

    def xTruncate(self, size: int) -> None:  # noqa: N802
        self.step()
        super().xTruncate(size)

    def xSync(self, flags: int) -> None:  # noqa: N802
        self.step()
        super().xSync(flags)

    def xFileSize(self) -> int:  # noqa: N802
        self.step()
        return int(super().xFileSize())

    def xLock(self, level: int) -> None:  # noqa: N802
        self.step()
        super().xLock(level)
