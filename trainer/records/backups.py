"""Three generations of backup copies of a record."""

import os
from itertools import islice

from trainer.records import disk, errors
from trainer.records.clock import Moment
from trainer.records.log import Head, Log

GENERATIONS = 3
APART_MS = 20 * 60 * 60_000
"""A backup older than this becomes the next generation, a younger one is replaced: the three reach back over three
days of use, and not over three sittings of one evening."""


def backup(log: Log, folder: str | os.PathLike[str], now: Moment) -> str:
    """Copy a record into a folder, check the copy, and only then let it count.

    The copy is written under another name, synced, opened, compared and checked; then the generations move on
    (.1 is the newest) and the folder is synced. Whatever fails on the way, the copies that were there stay, at worst
    one number further. Where the newest copy already holds the same and is sound, nothing is written.

    Args:
        log: the open record.
        folder: where the copies are kept; made if it is not there.
        now: the clock; however wrong, at worst a generation too many or too few is kept apart.

    Returns:
        The path of the newest copy.

    Raises:
        LogError: one sentence about the record or the copy.
    """
    folder = os.path.abspath(folder)
    stem = os.path.splitext(os.path.basename(log.path))[0]
    paths = [os.path.join(folder, f"{stem}.{number}.db") for number in range(1, GENERATIONS + 1)]
    newest = _sound_head(paths[0])
    if newest is not None and newest == log.head:
        return paths[0]
    fresh = os.path.join(folder, f"{stem}.new.db")
    try:
        os.makedirs(folder, mode=0o700, exist_ok=True)
        _remove(fresh)  # left by a backup that was cut short
        _copy(log, fresh, now)
        if newest is not None and _is_apart(paths[0], now):
            # Only sound copies move on; a damaged one never pushes out a sound one.
            sound = (path for path in paths if path == paths[0] or _sound_head(path) is not None)
            kept = list(islice(sound, GENERATIONS - 1))
            for old, new in reversed(list(zip(kept, paths[1:], strict=False))):
                os.replace(old, new)
        os.replace(fresh, paths[0])
        disk.sync_folder(folder)
    except OSError as error:
        _remove(fresh)
        raise errors.from_system(fresh, error) from error
    except BaseException:
        _remove(fresh)
        raise
    return paths[0]


def _copy(log: Log, fresh: str, now: Moment) -> None:
    os.close(os.open(fresh, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    head = log.head
    log.copy_to(fresh)
    os.utime(fresh, (now.at_ms / 1000, now.at_ms / 1000))
    with open(fresh, "rb+") as file:
        os.fsync(file.fileno())
    with Log.open(fresh) as copy:
        troubles = copy.verify()
        # Another process may have added to the record since, never taken away.
        if troubles or copy.head.place < head.place:
            raise errors.LogDamagedError(fresh, troubles[0] if troubles else "the copy is not whole")


def _sound_head(path: str) -> Head | None:
    """What a copy holds, if it is there and sound.

    It was checked whole when it was made; what has happened to it since shows in its hashes or in SQLite's quick check.
    """
    if not os.path.exists(path):
        return None
    try:
        with Log.open(path) as copy:
            copy.events()
            return copy.head
    except errors.LogError:
        return None


def _is_apart(path: str, now: Moment) -> bool:
    return abs(now.at_ms - os.stat(path).st_mtime * 1000) >= APART_MS


def _remove(path: str) -> None:
    for name in (path, path + "-journal"):
        if os.path.exists(name):
            os.unlink(name)
