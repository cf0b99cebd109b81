"""Everything that can be checked in a record, told in plain sentences."""

import sqlite3
from collections.abc import Iterable, Sequence
from hashlib import sha256

from trainer.records import errors, store
from trainer.records.bodies import check_event
from trainer.records.events import Event, EventError, canonical_bytes, parse_many

Row = tuple[int, str, str, int, int, bytes, bytes]
"""place, id, device, seq, tick_ms, sha, stored."""


def troubles(path: str, connection: sqlite3.Connection, candidate: str) -> list[str]:
    """Check an open record: SQLite's own full check, every hash, every event, every chain; a sentence for each find."""
    found: list[str] = []
    try:
        found += database_troubles(connection)
        rows = connection.execute(
            "SELECT place, id, device, seq, tick_ms, sha, stored FROM event ORDER BY place"
        ).fetchall()
    except sqlite3.Error as error:
        return [*found, str(errors.from_sqlite(path, error))]
    sound, changed = row_troubles(rows, candidate)
    # Where events were changed their successors cannot fit either; that would only repeat it.
    return found + (changed or chain_troubles(sound))


def database_troubles(connection: sqlite3.Connection) -> list[str]:
    """What SQLite's own full check finds; it does not notice changed content."""
    return [f"The file's structure is damaged: {line}." for line in store.check(connection, "integrity_check(20)")]


def sound_events(path: str, rows: Sequence[tuple[bytes, bytes]]) -> list[Event]:
    """Events from rows of hash and stored bytes.

    Raises:
        LogDamagedError: where one was changed.
    """
    for number, (sha, stored) in enumerate(rows, 1):
        if sha256(stored).digest() != sha:
            raise errors.LogDamagedError(path, f"event {number} of those read was changed")
    try:
        return parse_many([stored for _, stored in rows])
    except EventError as error:
        raise errors.LogDamagedError(path, str(error)) from error


def row_troubles(rows: Sequence[Row], candidate: str) -> tuple[list[Event], list[str]]:
    """Check each event by itself; return the sound ones and a sentence for each of the others."""
    sound: list[Event] = []
    troubles: list[str] = []
    for expected, (place, name, device, seq, tick, sha, stored) in enumerate(rows, 1):
        if place != expected:
            return sound, [*troubles, f"Event {expected} is missing: the next one there is number {place}."]
        try:
            event = _sound(stored, sha)
        except EventError as error:
            troubles.append(f"Event {place} was changed: {error}")
            continue
        header = event.header
        if (header.id, header.device, header.seq, header.tick_ms) != (name, device, seq, tick):
            troubles.append(f"Event {place} is filed under a wrong id, device, number or time.")
        elif header.candidate != candidate:
            troubles.append(f"Event {place} belongs to another candidate ({header.candidate}).")
        else:
            sound.append(event)
    return sound, troubles


def _sound(stored: bytes, sha: bytes) -> Event:
    if sha256(stored).digest() != sha:
        raise EventError("its hash does not fit.")
    event = parse_many([stored])[0]
    check_event(event)
    if canonical_bytes(event) != stored:
        raise EventError("it is not written as this program writes.")
    return event


def chain_troubles(events: Iterable[Event]) -> list[str]:
    """Check that every event follows from the one before it of its device, where that one is there."""
    troubles: list[str] = []
    for device, chain in _chains(events):
        hashes = {seq: {sha256(canonical_bytes(event)).hexdigest() for event in here} for seq, here in chain.items()}
        hashes[0] = {""}
        troubles += [
            f"Device {device}: event {seq} does not follow from event {seq - 1}."
            for seq in sorted(chain)
            if seq - 1 in hashes and any(event.header.prev not in hashes[seq - 1] for event in chain[seq])
        ]
    return troubles


def chain_remarks(events: Iterable[Event]) -> list[str]:
    """What the chains of a sound record tell of other laptops.

    A record that was copied and used twice has branches: both are kept. Where a number is missing, something was
    kept back when the record travelled, such as a note.
    """
    remarks: list[str] = []
    for device, chain in _chains(events):
        for seq in sorted(chain):
            if len(chain[seq]) > 1:
                remarks.append(
                    f"Device {device} has {len(chain[seq])} events with the number {seq}: the record was copied and"
                    " both copies were used; all are kept."
                )
            if seq > 1 and seq - 1 not in chain:
                remarks.append(
                    f"Device {device} has no event with the number {seq - 1}, but one with {seq}: something was kept"
                    " back when it travelled, such as a note."
                )
    return remarks


def _chains(events: Iterable[Event]) -> list[tuple[str, dict[int, list[Event]]]]:
    """The events of each device, by number."""
    chains: dict[str, dict[int, list[Event]]] = {}
    for event in events:
        chains.setdefault(event.header.device, {}).setdefault(event.header.seq, []).append(event)
    return sorted(chains.items())
