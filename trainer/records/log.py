"""The record of one candidate: an append-only SQLite file.

Nothing is ever changed or taken out; a correction is another event. Every event is stored as its canonical bytes with
their SHA-256, and the hashes are checked whenever events are read, since SQLite does not notice changed content.
"""

import os
import sqlite3
from collections.abc import Callable, Sequence
from hashlib import sha256
from types import TracebackType
from typing import NamedTuple, Self

from trainer.records import errors, store, verification
from trainer.records.bodies import check_body, check_id
from trainer.records.clock import Moment, next_tick
from trainer.records.events import (
    LARGEST_MS,
    Body,
    Draft,
    Event,
    EventError,
    Header,
    canonical_bytes,
    new_id,
    order,
)
from trainer.records.merging import Merged, bring_in


class Head(NamedTuple):
    """What a record holds, as a key for caches: number of events, and hash of the last that came in ("" for none)."""

    place: int
    sha: str


class Log:
    """An open record. One thread at a time; other processes may have the same record open.

    Attributes:
        path: absolute path of the file.
        candidate: id of the candidate whose record it is.
    """

    def __init__(
        self,
        path: str,
        connection: sqlite3.Connection,
        device: str | None = None,
        entropy: Callable[[int], bytes] = os.urandom,
    ) -> None:
        """Take over an open connection; use `Log.create` and `Log.open`."""
        self.path = path
        self._connection = connection
        self._device = device
        self._entropy = entropy
        # What is known of the file up to `place`; later rows may come from another process.
        self._place = self._tick = self._seq = 0
        self._prev = ""
        self._file = self._file_now()
        self.candidate = self._candidate()

    @classmethod
    def create(
        cls,
        path: str | os.PathLike[str],
        candidate: str,
        device: str,
        *,
        connect: store.Connect = store.connect,
        entropy: Callable[[int], bytes] = os.urandom,
    ) -> Self:
        """Make a new record and open it.

        Args:
            path: where no file is yet; the folder exists.
            candidate: random id of the candidate.
            device: random id of this laptop, kept outside the record.
            connect: opens the file.
            entropy: gives as many random bytes as asked, for ids.

        Raises:
            LogError: one sentence; nothing is left behind.
            EventError: where an id is not one.
        """
        check_id(candidate, "The candidate")
        check_id(device, "The device")
        store.make(os.path.abspath(path), candidate, connect)
        return cls.open(path, device, connect=connect, entropy=entropy)

    @classmethod
    def open(
        cls,
        path: str | os.PathLike[str],
        device: str | None = None,
        *,
        connect: store.Connect = store.connect,
        entropy: Callable[[int], bytes] = os.urandom,
    ) -> Self:
        """Open an existing record; a file that is refused is not touched.

        Args:
            path: the file.
            device: random id of this laptop; without it the record can only be read.
            connect: opens the file.
            entropy: gives as many random bytes as asked, for ids.

        Raises:
            LogError: one sentence.
            EventError: where the device is not an id.
        """
        if device is not None:
            check_id(device, "The device")
        full = os.path.abspath(path)
        connection = store.opened(full, connect)
        try:
            return cls(full, connection, device, entropy)
        except BaseException:
            connection.close()
            raise

    def close(self) -> None:
        """Close the file; nothing is waiting to be written."""
        self._connection.close()

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    # ------------------------------------------------------------ writing

    def append(self, kind: str, body: Body, now: Moment) -> Event:
        """Record one event; it is on the disk when this returns. As `append_many`."""
        return self.append_many([Draft(kind, body)], now)[0]

    def append_many(self, drafts: Sequence[tuple[str, Body]], now: Moment) -> list[Event]:
        """Record what belongs together, all or nothing; it is on the disk when this returns.

        Args:
            drafts: kinds and bodies, `Draft` or plain pairs.
            now: the clock as read; however wrong, it is never a reason to refuse.

        Raises:
            EventError: a sentence about a body that is not one; nothing is recorded.
            LogError: one sentence; the record holds either all or nothing of it, nearly always nothing.
        """
        return self.append_history([(draft, now) for draft in drafts])

    def append_history(self, past: Sequence[tuple[tuple[str, Body], Moment]]) -> list[Event]:
        """Record many events, each with the clock reading of its own time, all or nothing.

        For what happened before: a sheet filled on paper, an invented past. The order is that given.

        Args:
            past: kinds and bodies, each with its clock reading.

        Raises:
            EventError, LogError: as `append_many`.
        """
        if self._device is None:
            raise ValueError("this record was opened for reading, without a device")
        for (kind, body), _ in past:
            check_body(kind, body)
        with store.Transaction(self.path, self._connection) as connection:
            if self._file_now() != self._file:
                raise errors.LogMovedError(self.path)
            place, tick, seq, prev = self._latest()
            events, rows = [], []
            for (kind, body), read in past:
                now = _within_range(read)
                place, tick, seq = place + 1, next_tick(now.at_ms, tick), seq + 1
                name = new_id(now.at_ms, self._entropy(10))
                header = Header(name, self.candidate, self._device, seq, prev, now.at_ms, now.offset, tick)
                event = Event(header, kind, body)
                stored = canonical_bytes(event)
                sha = sha256(stored)
                prev = sha.hexdigest()
                events.append(event)
                rows.append((place, name, self._device, seq, tick, sha.digest(), stored))
            connection.executemany("INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?)", rows)
        self._place, self._tick, self._seq, self._prev = place, tick, seq, prev
        return events

    def merge(self, events: Sequence[Event], now: Moment) -> Merged:
        """Bring in events that were recorded elsewhere, all or nothing; doing it twice changes nothing.

        The record becomes the union by id. An id that is here with other content keeps what is here.

        Args:
            events: of this candidate, checked by `bodies.check_event`, in the order in which they came in elsewhere.
            now: the clock as read; it never makes an event refused.

        Raises:
            EventError: where an event belongs to another candidate; nothing is recorded.
            LogError: as `append_many`.
        """
        if self._device is None:
            raise ValueError("this record was opened for reading, without a device")
        for event in events:
            if event.header.candidate != self.candidate:
                raise EventError(f"The event {event.header.id} belongs to another candidate.")
        with store.Transaction(self.path, self._connection) as connection:
            if self._file_now() != self._file:
                raise errors.LogMovedError(self.path)
            return bring_in(connection, self._device, events, now)

    def _file_now(self) -> tuple[int, int] | None:
        """Which file stands at the path; SQLite would go on writing to one that was deleted."""
        try:
            found = os.stat(self.path)
        except OSError:
            return None
        return found.st_dev, found.st_ino

    def _latest(self) -> tuple[int, int, int, str]:
        """Last place and tick, and last seq and hash of this device, with what others have added since."""
        (place,) = self._connection.execute("SELECT max(place) FROM event WHERE place > ?", (self._place,)).fetchone()
        if place is None:
            return self._place, self._tick, self._seq, self._prev
        tick = store.latest_tick(self._connection, self._place)
        # In a record copied and used twice a seq may come twice; the chain goes on from the later one.
        row = self._connection.execute(
            "SELECT seq, sha FROM event WHERE place > ? AND device = ? ORDER BY seq DESC, place DESC LIMIT 1",
            (self._place, self._device),
        ).fetchone()
        seq, prev = (self._seq, self._prev) if row is None or row[0] < self._seq else (row[0], bytes(row[1]).hex())
        return place, max(tick, self._tick), seq, prev

    # ------------------------------------------------------------ reading

    @property
    def head(self) -> Head:
        """What the record holds now, as a key for caches."""
        row = self._rows("SELECT place, sha FROM event ORDER BY place DESC LIMIT 1")
        return Head(row[0][0], bytes(row[0][1]).hex()) if row else Head(0, "")

    def events(self, since: int = 0) -> list[Event]:
        """Events in order, each checked against its hash.

        Args:
            since: only those that came in after this place (that of an earlier `head`). An event that comes in late
                may belong before one that is there already.

        Raises:
            LogDamagedError: where an event was changed.
            LogError: where the file cannot be read.
        """
        rows = self._rows("SELECT sha, stored FROM event WHERE place > ?", (since,))
        events = verification.sound_events(self.path, rows)
        events.sort(key=order)
        return events

    def verify(self) -> list[str]:
        """Check everything: SQLite's own full check, every hash, every event, every chain.

        Returns:
            A plain sentence for each thing found; empty for a sound record. That a record was copied and both
            copies used, or that something was kept back elsewhere, is no damage: see `remarks`.
        """
        return verification.troubles(self.path, self._connection, self.candidate)

    def remarks(self) -> list[str]:
        """What is worth knowing of a sound record, a sentence each: copies that were both used, events kept back."""
        return verification.chain_remarks(self.events())

    def copy_to(self, path: str) -> None:
        """Write a whole copy into an empty file; it is neither synced nor checked. See `backups.backup`.

        Raises:
            LogError: one sentence about this record, or about the copy where that is the trouble.
        """
        try:
            self._connection.execute("VACUUM INTO ?", (path,))
        except sqlite3.Error as error:
            code = getattr(error, "sqlite_errorcode", 0) & 0xFF
            about = self.path if code in (sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_BUSY) else path
            raise errors.from_sqlite(about, error) from error

    def _candidate(self) -> str:
        rows = self._rows("SELECT candidate FROM record")
        if len(rows) != 1 or not isinstance(rows[0][0], str):
            raise errors.LogDamagedError(self.path, "it does not say whose it is")
        return str(rows[0][0])

    def _rows(self, sql: str, values: tuple[int, ...] = ()) -> list[tuple]:  # type: ignore[type-arg]
        try:
            return self._connection.execute(sql, values).fetchall()
        except sqlite3.Error as error:
            raise errors.from_sqlite(self.path, error) from error


def _within_range(now: Moment) -> Moment:
    """Keep a clock reading at the edge of what an id can hold; past it there is only nonsense."""
    return Moment(min(max(now.at_ms, 0), LARGEST_MS), min(max(now.offset, -1439), 1439))
