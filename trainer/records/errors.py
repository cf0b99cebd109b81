"""What can be wrong with a record on disk, each as one sentence that says what to do."""

import errno
import os
import sqlite3


class LogError(Exception):
    """A record that cannot be used as asked; the message is one sentence for the user.

    Attributes:
        path: the file it is about.
    """

    sentence = "The record {path} cannot be used ({detail}); run the doctor and keep the file."

    def __init__(self, path: str | os.PathLike[str], detail: str = "") -> None:
        self.path = os.fspath(path)
        self.detail = " ".join(detail.split())
        super().__init__(self.sentence.format(path=self.path, detail=self.detail))


class LogMissingError(LogError):
    """No such file or folder."""

    sentence = "There is no record at {path}; check the path, or put a backup copy there."


class LogExistsError(LogError):
    """A new record would overwrite a file."""

    sentence = "There is a file at {path} already, so no new record was made; open that one, or choose another name."


class LogIsFolderError(LogError):
    """A folder where a file should be."""

    sentence = "A folder stands at {path}, where a record should be; move the folder away or give the path of a file."


class LogEmptyError(LogError):
    """A file of 0 bytes, or one whose making was cut short."""

    sentence = (
        "The record {path} is empty, so nothing that was recorded is in it; put a backup copy in its place, or delete"
        " it if it was never used."
    )


class LogForeignError(LogError):
    """A sound SQLite file of another program."""

    sentence = "The file {path} belongs to another program and was left as it is; choose a record of this program."


class LogNotSQLiteError(LogError):
    """Not a database at all, or one whose first bytes were overwritten."""

    sentence = (
        "The file {path} is not a record, or its beginning was overwritten; put a backup copy in its place and keep"
        " the file for rescue."
    )


class LogNewerError(LogError):
    """Made by a later version of the program."""

    sentence = (
        "The record {path} was made by a newer version of this program ({detail}) and was left as it is; update the"
        " program."
    )


class LogDamagedError(LogError):
    """Cut short or changed."""

    sentence = "The record {path} is damaged ({detail}); keep the file, and put a backup copy in its place."


class LogBusyError(LogError):
    """Another process is writing and did not finish in time."""

    sentence = "The record {path} is open in another window that is writing to it; close that window and try again."


class LogReadOnlyError(LogError):
    """A medium, folder or file that cannot be written to."""

    sentence = (
        "Nothing can be written to the record {path}, for the file, its folder or the medium is read-only; copy the"
        " record to a folder of your own."
    )


class LogDeniedError(LogError):
    """No right to read, or to make a file there."""

    sentence = "You may not open the record {path}; ask its owner for the right to read and write it."


class LogFullError(LogError):
    """No space left."""

    sentence = (
        "There is no space left for the record {path}, so the last entry was not kept; free some space and try again."
    )


class LogIOFailedError(LogError):
    """The system reported a failed read or write."""

    sentence = (
        "Reading or writing the record {path} failed ({detail}), so the last entry may be missing; check the disk and"
        " its quota, then try again."
    )


class LogCannotOpenError(LogError):
    """The system would not open the file or its journal."""

    sentence = (
        "The record {path} or its journal cannot be opened; check that the folder exists, may be written to and is"
        " not full."
    )


class LogOnNetworkError(LogError):
    """A network drive, whose locks and syncs cannot be trusted."""

    sentence = (
        "The record {path} lies on a network drive ({detail}), where entries can be lost; keep the record on this"
        " computer and carry packets over the network instead."
    )


class LogMovedError(LogError):
    """Taken away or replaced while it was open."""

    sentence = (
        "The record {path} was moved, deleted or replaced while it was open, so nothing more was written to it; close"
        " the program, look which file is the right one, and start again."
    )


class LogUnsafeError(LogError):
    """SQLite would not take a setting that safety rests on."""

    sentence = "SQLite would not set {detail} for the record {path}, so it was not opened; update Python or SQLite."


_BY_CODE: dict[int, type[LogError]] = {
    sqlite3.SQLITE_PERM: LogDeniedError,
    sqlite3.SQLITE_BUSY: LogBusyError,
    sqlite3.SQLITE_LOCKED: LogBusyError,
    sqlite3.SQLITE_READONLY: LogReadOnlyError,
    sqlite3.SQLITE_IOERR: LogIOFailedError,
    sqlite3.SQLITE_CORRUPT: LogDamagedError,
    sqlite3.SQLITE_FULL: LogFullError,
    sqlite3.SQLITE_CANTOPEN: LogCannotOpenError,
    sqlite3.SQLITE_AUTH: LogDeniedError,
    sqlite3.SQLITE_NOTADB: LogNotSQLiteError,
}
_BY_ERRNO: dict[int, type[LogError]] = {
    errno.ENOENT: LogMissingError,
    errno.ENOTDIR: LogMissingError,
    errno.EEXIST: LogExistsError,
    errno.EISDIR: LogIsFolderError,
    errno.EACCES: LogDeniedError,
    errno.EPERM: LogDeniedError,
    errno.EROFS: LogReadOnlyError,
    errno.ENOSPC: LogFullError,
    errno.EDQUOT: LogFullError,
}


def from_sqlite(path: str | os.PathLike[str], error: sqlite3.Error) -> LogError:
    """The sentence for an error of SQLite."""
    code = getattr(error, "sqlite_errorcode", sqlite3.SQLITE_ERROR)
    return _BY_CODE.get(code & 0xFF, LogError)(path, str(error))


def from_system(path: str | os.PathLike[str], error: OSError) -> LogError:
    """The sentence for an error of the operating system."""
    return _BY_ERRNO.get(error.errno or 0, LogIOFailedError)(path, error.strerror or str(error))
