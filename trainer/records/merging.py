"""Events from elsewhere against those that are here: what is new, what conflicts, what the clocks say."""

import sqlite3
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import NamedTuple

from trainer.records import store
from trainer.records.clock import Moment
from trainer.records.events import Event, canonical_bytes

AHEAD_MS = 24 * 60 * 60_000
"""An event brought in from another laptop whose clock is further ahead than this does not move the order time of
what is recorded here; common practice, no source."""


class Merged(NamedTuple):
    """What bringing events in from another laptop did.

    Attributes:
        new: events that came in.
        known: events that were here already, byte for byte.
        conflicting: ids that are here with other content; what was here is kept.
        copied: devices with two events of one number: their record was copied, and both copies were used.
        ahead: devices whose clock is more than a day ahead of this one, and by how many ms at most.
        back: devices whose clock went back by more than a day between two events that came in, and by how many ms.
        own: events that came in under the id of this very device.
    """

    new: int = 0
    known: int = 0
    conflicting: tuple[str, ...] = ()
    copied: tuple[str, ...] = ()
    ahead: Mapping[str, int] = {}
    back: Mapping[str, int] = {}
    own: int = 0


def bring_in(connection: sqlite3.Connection, device: str, events: Sequence[Event], now: Moment) -> Merged:
    """Write what is new into an open record, within a transaction of the caller's.

    Args:
        connection: the record's.
        device: id of this laptop.
        events: checked, in the order in which they came in elsewhere.
        now: the clock as read.
    """
    here = {name: bytes(sha) for name, sha in connection.execute("SELECT id, sha FROM event")}
    fresh, conflicting = told_apart(events, here)
    rows = [
        (place, event.header.id, event.header.device, event.header.seq, event.header.tick_ms, sha, stored)
        for place, (event, sha, stored) in enumerate(fresh, len(here) + 1)
    ]
    connection.executemany("INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?)", rows)
    came = [event for event, _, _ in fresh]
    store.keep_ahead(connection, [one.header.id for one in came if one.header.tick_ms > now.at_ms + AHEAD_MS])
    copied = connection.execute(
        "SELECT DISTINCT device FROM event GROUP BY device, seq HAVING count(*) > 1 ORDER BY device"
    ).fetchall()
    return Merged(
        len(came),
        len(events) - len(came) - len(conflicting),
        tuple(conflicting),
        tuple(str(row[0]) for row in copied),
        ahead(came, now),
        back(came),
        sum(event.header.device == device for event in came),
    )


def told_apart(
    events: Sequence[Event], here: Mapping[str, bytes]
) -> tuple[list[tuple[Event, bytes, bytes]], list[str]]:
    """Return the events that are not here, each with its hash and its bytes, and the ids that are here as others."""
    seen = dict(here)
    fresh: list[tuple[Event, bytes, bytes]] = []
    conflicting: list[str] = []
    for event in events:
        stored = canonical_bytes(event)
        sha = sha256(stored).digest()
        known = seen.setdefault(event.header.id, sha)
        if known != sha:
            conflicting.append(event.header.id)
        elif event.header.id not in here and known is sha:
            fresh.append((event, sha, stored))
    return fresh, conflicting


def ahead(came: Sequence[Event], now: Moment) -> dict[str, int]:
    """Return the devices whose clock is more than a day ahead of this one, and by how many ms at most."""
    found: dict[str, int] = {}
    for event in came:
        by = event.header.at_ms - now.at_ms
        if by > AHEAD_MS:
            found[event.header.device] = max(by, found.get(event.header.device, 0))
    return found


def back(came: Sequence[Event]) -> dict[str, int]:
    """Return the devices whose clock went back by more than a day between two events, and by how many ms."""
    found: dict[str, int] = {}
    before: dict[str, int] = {}
    for event in sorted(came, key=lambda one: (one.header.device, one.header.seq)):
        device, at_ms = event.header.device, event.header.at_ms
        by = before.get(device, at_ms) - at_ms
        if by > AHEAD_MS:
            found[device] = max(by, found.get(device, 0))
        before[device] = at_ms
    return found
