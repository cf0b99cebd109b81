"""Packets of this laptop: made from a candidate's record, read into one, and whose key is taken."""

import json
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import date
from pathlib import Path
from typing import NamedTuple

from trainer.coach.candidate import Candidate, CandidateError, device_id, profile_of, random_id
from trainer.coach.carrying import read_file, write_file
from trainer.coach.dates import date_words, day_of
from trainer.paths import Home, private_folder, write_private
from trainer.plain import visible
from trainer.records.clock import Moment
from trainer.records.log import Log
from trainer.records.merging import Merged
from trainer.records.packet import PROMISE, Packet, PacketError, packed, unpacked, without_notes
from trainer.records.signing import Key, SigningError, device_key, fingerprint

SHOWN = 8
"""Characters of a packet's hash that are shown on both sides."""
DAY_MS = 86_400_000


class PacketRefusedError(CandidateError):
    """A packet that was not made or not taken; the message is a sentence or two."""


class Made(NamedTuple):
    """A packet that was written: where, of whom, how many events, notes kept back, what to compare."""

    path: Path
    handle: str
    events: int
    kept_back: int
    sha: str
    fingerprint: str


class Taken(NamedTuple):
    """A packet that was read into a record."""

    candidate: str
    handle: str
    packet: Packet
    merged: Merged
    accepted: date
    newly_accepted: bool
    created: bool
    new_device: bool


def own_fingerprint(home: Home) -> str:
    """Return the fingerprint of this laptop's key, made the first time.

    Raises:
        PacketRefusedError: where there can be no key.
    """
    return fingerprint(_own_key(home).public)


def _own_key(home: Home) -> Key:
    try:
        return device_key(home.device_key, write_private)
    except SigningError as error:
        raise PacketRefusedError(str(error)) from error


def make_packet(candidate: Candidate, path: Path, notes: bool = False) -> Made:
    """Write everything in a candidate's record to a new file.

    Args:
        candidate: whose record it is.
        path: where no file is yet.
        notes: whether free texts go with it.

    Raises:
        PacketRefusedError: a sentence; nothing was written.
        LogError: one sentence, if the record cannot be read.
    """
    events = list(candidate.events())
    sent = events if notes else without_notes(events)
    try:
        key = device_key(candidate.home.device_key, write_private)
        content = packed(candidate.id, device_id(candidate.home), sent, key)
        write_file(path, content)
    except (PacketError, SigningError) as error:
        raise PacketRefusedError(str(error)) from error
    sha = unpacked(content).sha
    return Made(path, candidate.profile.handle, len(sent), len(events) - len(sent), sha, fingerprint(key.public))


def read_packet(
    home: Home, path: Path, now: Moment, *, accept: str = "", new: bool = False, candidate: str | None = None
) -> Taken:
    """Bring a packet into the record of its candidate, all or nothing.

    Args:
        home: where this user's things are kept.
        path: the file.
        now: the present.
        accept: fingerprint of a key that is taken from now on.
        new: make a record for a candidate who has none here.
        candidate: id of the only candidate whose packet is meant, if it matters.

    Raises:
        PacketRefusedError: a sentence; nothing was changed, or it says that the packet was taken and what was not kept.
        LogError: one sentence; nothing was changed.
    """
    try:
        packet = unpacked(read_file(path))
    except (PacketError, SigningError) as error:
        raise PacketRefusedError(str(error)) from error
    if candidate is not None and packet.candidate != candidate:
        raise PacketRefusedError(
            f"This packet is of {_named(packet)} and not of the candidate you named; nothing was taken."
        )
    on, newly = _accepted(home, packet, accept, now)
    created = not home.record(packet.candidate).exists()
    if created and not new:
        beside = f' --accept "{accept}"' if newly else ""
        raise PacketRefusedError(
            f"This packet is of {_named(packet)}, who has no record here. To take a new candidate in, say so: "
            f"--new{beside}."
        )
    with _record(home, packet.candidate, created) as log:
        merged = log.merge(packet.events, now)
        handle = profile_of(log.events()).handle
    again = _needs_new_device(home, merged)
    _keep(home, packet, on if newly else None, again)
    return Taken(packet.candidate, handle, packet, merged, on, newly, created, again)


@contextmanager
def _record(home: Home, candidate: str, created: bool) -> Iterator[Log]:
    """Open a candidate's record, or make it and take it away again if nothing can be put into it."""
    path = home.record(candidate)
    try:
        private_folder(home.records)
    except OSError as error:
        raise PacketRefusedError(f"The folder {home.root} cannot be used: {error.strerror}.") from error
    device = device_id(home)
    log = Log.create(path, candidate, device) if created else Log.open(path, device)
    try:
        yield log
    except BaseException:
        log.close()
        if created:
            with suppress(OSError):
                path.unlink()
        raise
    log.close()


def _named(packet: Packet) -> str:
    return visible(profile_of(packet.events).handle or packet.candidate)


def _needs_new_device(home: Home, merged: Merged) -> bool:
    """Whether another laptop records under this one's id, or events under it came from the future."""
    # A record that was copied shows it at every packet, so an id that could not be kept is made the next time.
    own = device_id(home)
    return own in merged.copied or own in merged.ahead


# ---------------------------------------------------------------- accepted keys


def accepted_keys(home: Home) -> dict[str, tuple[str, date]]:
    """Return the keys of other laptops that are taken: in hex, with their laptop and the day they were accepted.

    Raises:
        PacketRefusedError: where the file cannot be read; a key is then not silently forgotten.
    """
    path = home.accepted_keys
    try:
        kept = json.loads(path.read_text("utf-8"))
        return {str(key): (str(row["device"]), date.fromisoformat(row["on"])) for key, row in kept.items()}
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError) as error:
        raise PacketRefusedError(
            f"The keys you accepted, in {path}, cannot be read; move the file away and accept each key anew."
        ) from error


def _accepted(home: Home, packet: Packet, accept: str, now: Moment) -> tuple[date, bool]:
    """Return since when a packet's key is taken, and whether since just now."""
    known, key = accepted_keys(home), packet.key.hex()
    if key in known:
        return known[key][1], False
    if home.device_key.exists() and packet.key == _own_key(home).public:
        return day_of(now), False
    print_ = fingerprint(packet.key)
    if accept and accept.replace(" ", "").lower() == print_.replace(" ", ""):
        return day_of(now), True
    before = [on for device, on in known.values() if device == packet.device]
    other = f" That laptop came with another key before, accepted on {date_words(before[0])}." if before else ""
    wrong = " The fingerprint you gave is another one." if accept else ""
    raise PacketRefusedError(
        f"The packet of {_named(packet)} is signed with a key that you have not accepted: {print_}.{wrong}{other} Ask"
        " its owner, face to face or by telephone, what 'stepcall packet key' shows there. Only if it is the same,"
        f' accept it once: --accept "{print_}".'
    )


def _keep(home: Home, packet: Packet, on: date | None, new_device: bool) -> None:
    """Keep what a packet changes beside the record: a new id for this laptop, the day its key was accepted.

    The id comes first: without it more is recorded under one that another laptop uses, while a key is asked for again.
    """
    what = "this laptop could get no new id, and records under one that another laptop uses too"
    try:
        if new_device:
            write_private(home.device, random_id().encode("ascii") + b"\n")
        what = "its key could not be kept, and you will be asked for it again"
        if on is not None:
            _keep_key(home, packet, on)
    except OSError as error:
        why = error.strerror or str(error)
        raise PacketRefusedError(f"The packet was taken, but {what} ({why}); mend that and read it again.") from error


def _keep_key(home: Home, packet: Packet, on: date) -> None:
    known = accepted_keys(home) | {packet.key.hex(): (packet.device, on)}
    rows = {key: {"device": device, "on": day.isoformat()} for key, (device, day) in known.items()}
    write_private(home.accepted_keys, json.dumps(rows, indent=1).encode("ascii") + b"\n")


# ---------------------------------------------------------------- words


def taken_lines(taken: Taken) -> list[str]:
    """Return what reading a packet did, as plain sentences."""
    merged = taken.merged
    who = taken.handle or taken.candidate
    lines = [f"{who}: {_many(merged.new, 'new event')}, {merged.known} here already."]
    if taken.created:
        lines.append(f"A record was made for {who}.")
    if merged.own:
        lines.append(
            f"{_many(merged.own, 'event')} of them {'was' if merged.own == 1 else 'were'} recorded on this laptop"
            " before and no longer here."
        )
    if merged.conflicting:
        lines.append(
            f"{_many(len(merged.conflicting), 'event')} came with other content than the one that is here; what was"
            " here is kept. Ask the sender to run the doctor."
        )
    if merged.new:
        lines += [
            f"The record was copied and both copies were used on laptop {device[:8]}; everything is kept."
            for device in merged.copied
        ]
    if taken.new_device:
        lines.append("Another laptop records under the id of this one; this laptop has a new id from now on.")
    lines += [f"The clock of laptop {device[:8]} looks {_days(by)} ahead." for device, by in merged.ahead.items()]
    lines += [f"The clock of laptop {device[:8]} went back by {_days(by)}." for device, by in merged.back.items()]
    lines.append(f"Packet {taken.packet.sha[:SHOWN]}, key {fingerprint(taken.packet.key)}.")
    if taken.newly_accepted:
        lines.append("This key is accepted from now on; 'stepcall packet key' lists those that are.")
    lines.append(PROMISE.format(date=date_words(taken.accepted)))
    return lines


def made_lines(made: Made) -> list[str]:
    """Return what making a packet did, as plain sentences."""
    lines = [f"Written: {made.path}, {_many(made.events, 'event')} of {made.handle}, packet {made.sha[:SHOWN]}."]
    if made.kept_back:
        lines.append(f"{_many(made.kept_back, 'note')} kept back; --notes sends them along.")
    lines.append(f"Signed with the key of this laptop: {made.fingerprint}.")
    lines.append("On a stick or card: let the system eject it before you take it out.")
    return lines


def _days(ms: int) -> str:
    return _many(round(ms / DAY_MS), "day")


def _many(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")
