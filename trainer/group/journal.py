"""The file of an evening: one line a step, on the disk at once, so that it goes on wherever it was interrupted."""

import json
import os
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from trainer.paths import private_folder

Entry = Mapping[str, Any]
LARGEST = 8 * 2**20
"""Bytes of the longest evening that is read."""

GONE_ON = (
    "This evening has gone on in another window, and a step from here would not fit. Leave it, then open it again: "
    "nothing is lost."
)


class EveningError(ValueError):
    """An evening that cannot be read or gone on with; the message is one sentence or two."""


class Journal:
    """Where the steps of one evening are kept."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self._end: int | None = None
        """Bytes of the steps that are known here, None before the first."""

    def add(self, entry: Entry) -> None:
        """Keep one step; it is on the disk when this returns.

        Raises:
            EveningError: where it cannot be written, or somebody else wrote a step meanwhile; it is then not kept.
        """
        line = json.dumps(entry, ensure_ascii=True, separators=(",", ":")).encode("ascii") + b"\n"
        try:
            private_folder(self.path.parent)
            handle = os.open(self.path, os.O_RDWR | os.O_CREAT | getattr(os, "O_BINARY", 0), 0o600)
            try:
                # A step that was cut off by a power failure never counted, and must not spoil the one after it.
                whole = _end_of_last_line(handle)
                if self._end is not None and whole != self._end:
                    raise EveningError(GONE_ON)
                os.ftruncate(handle, whole)
                os.lseek(handle, whole, os.SEEK_SET)
                _write(handle, line, whole)
                self._end = whole + len(line)
            finally:
                os.close(handle)
        except OSError as error:
            raise EveningError(
                f"The evening cannot be kept in {self.path}: {error.strerror}. Free some room or mend the folder, then "
                "go on; nothing before this step is lost."
            ) from error

    def entries(self) -> list[Entry]:
        """Return all steps; a last line that was cut off is left out.

        Raises:
            EveningError: where the file cannot be read as an evening.
        """
        try:
            if self.path.stat().st_size > LARGEST:
                raise EveningError(f"{self.path} is too large to be an evening; move it away and start a new one.")
            lines = self.path.read_bytes().split(b"\n")
        except OSError as error:
            raise EveningError(f"The evening {self.path} cannot be read: {error.strerror}.") from error
        found: list[Entry] = []
        for number, line in enumerate(lines[:-1], 1):  # what follows the last line end was cut off
            try:
                entry = json.loads(line.decode("ascii"))
            except (ValueError, RecursionError):
                entry = None
            if not isinstance(entry, dict) or not isinstance(entry.get("step"), str):
                raise EveningError(f"{self.path}, line {number}: this is no step of an evening; start a new one.")
            found.append(entry)
        self._end = sum(len(line) + 1 for line in lines[:-1])
        return found


def _write(handle: int, line: bytes, end: int) -> None:
    """Write a line and settle it; where that fails the file ends as it did before, for the step does not count."""
    left = memoryview(line)
    try:
        while left:
            left = left[os.write(handle, left) :]
        os.fsync(handle)
    except OSError:
        with suppress(OSError):
            os.ftruncate(handle, end)
        raise


def _end_of_last_line(handle: int) -> int:
    """Return where the last whole line ends, in bytes."""
    end = os.lseek(handle, 0, os.SEEK_END)
    while end > 0:
        os.lseek(handle, end - 1, os.SEEK_SET)
        if os.read(handle, 1) == b"\n":
            return end
        end -= 1
    return 0
