"""A packet: the events of one candidate as one signed text file.

A line of JSON for the head, a line for each event as it is stored, and a last line with key and signature. The
signature covers the exact bytes of all lines before it; it is checked first, and only bytes that passed are read as
events. Mail and editors add a byte order mark, other line ends and blank lines at the end: those are taken off before.

What a signature means is said in `PROMISE`, and no more than that.
"""

import json
from collections.abc import Callable, Iterable, Sequence
from hashlib import sha256
from typing import Any, NamedTuple

from trainer.records.bodies import check_event, check_id
from trainer.records.events import Event, EventError, canonical_bytes, parse_many
from trainer.records.signing import KEY_BYTES, SIGNATURE_BYTES, Key, fits

FORM = "stepcall-packet"
VERSION = 1
MOST_BYTES = 32 * 2**20
MOST_LINE = 64 * 2**10
"""Room for the longest note in any script: JSON in ASCII takes up to twelve bytes for a character."""
MOST_EVENTS = 100_000

PROMISE = (
    "Signed means: this file left a laptop holding the key you accepted on {date}, and nothing in it was changed since."
    " Whatever you have already received cannot be changed or removed unnoticed. It does not show who sat at the"
    " keyboard, that the grading was honest, that the clock was right, or that nothing was left out before the first"
    " exchange."
)


class PacketError(ValueError):
    """A file that is not taken for a packet; the message is one sentence or two: what is wrong, what to do."""


class Packet(NamedTuple):
    """A packet whose signature fits.

    Attributes:
        candidate: whose events these are.
        device: the laptop that it left.
        key: the key that signed it, 32 bytes; whether to trust it is for the reader to say.
        events: in order.
        sha: SHA-256 of the file's bytes as signed, in hex.
    """

    candidate: str
    device: str
    key: bytes
    events: tuple[Event, ...]
    sha: str


AGAIN = "ask for the packet again"


# ---------------------------------------------------------------- out


def packed(candidate: str, device: str, events: Sequence[Event], key: Key) -> bytes:
    """The bytes of a packet.

    Args:
        candidate: whose events these are.
        device: id of this laptop.
        events: all of that candidate.
        key: the key of this laptop.

    Raises:
        PacketError: where there are too many events, or one is longer than a reader takes.
        NoSigningError: where the library that signs is missing.
    """
    head = {"candidate": candidate, "device": device, "events": len(events), "form": FORM, "version": VERSION}
    lines = [_line(head), *(canonical_bytes(event) for event in events)]
    for line, event in zip(lines[1:], events, strict=True):
        if len(line) > MOST_LINE:
            raise PacketError(
                f"The {event.kind} {event.header.id} has {len(line)} bytes; a line of a packet has {MOST_LINE} at "
                "most, so none was made. Carry a copy of the record file instead; the doctor says where it is."
            )
    content = b"\n".join(lines) + b"\n"
    if len(events) > MOST_EVENTS or len(content) > MOST_BYTES - MOST_LINE:
        raise PacketError(f"This record is too large for a packet: {MOST_EVENTS} events and 32 MiB at most.")
    return content + _seal_line(key.public, key.sign(content)) + b"\n"


def without_notes(events: Iterable[Event]) -> list[Event]:
    """Leave out free texts, and corrections that hold one."""
    return [
        event
        for event in events
        if event.kind != "note" and not (event.kind == "correction" and event.body.get("kind") == "note")
    ]


def _seal_line(public: bytes, signature: bytes) -> bytes:
    return _line({"key": public.hex(), "sig": signature.hex()})


def _line(whole: dict[str, Any]) -> bytes:
    return json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=True).encode("ascii")


# ---------------------------------------------------------------- in


def unpacked(raw: bytes, verify: Callable[[bytes, bytes, bytes], bool] = fits) -> Packet:
    """Read a packet: the signature first, then what it covers.

    Args:
        raw: the bytes of the file.
        verify: tells whether a key made a signature over a content.

    Raises:
        PacketError: a sentence; nothing of the file is to be used.
        NoSigningError: where the library that checks signatures is missing.
    """
    if len(raw) > MOST_BYTES:
        raise PacketError(f"This file is larger than any packet ({MOST_BYTES // 2**20} MiB); choose the right file.")
    lines = _lines(_plain(raw))
    content = b"\n".join(lines[:-1]) + b"\n"
    key, signature = _seal(lines[-1])
    if not verify(key, signature, content):
        _refuse_newer(_object(lines[0]))  # a later form may be signed in another way
        raise PacketError(f"The signature does not fit: the packet was cut, changed or damaged on its way; {AGAIN}.")
    head = _head(lines[0])
    if head["events"] != len(lines) - 2:
        raise PacketError(f"The packet says {head['events']} events and holds {len(lines) - 2}; {AGAIN}.")
    events = tuple(_event(line, number) for number, line in enumerate(lines[1:-1], 2))
    for number, event in enumerate(events, 2):
        if event.header.candidate != head["candidate"]:
            raise PacketError(f"Line {number} of the packet belongs to another candidate; nothing was taken from it.")
    return Packet(head["candidate"], head["device"], key, events, sha256(content).hexdigest())


def _plain(raw: bytes) -> bytes:
    """Take off what mail and editors add; say what a file is that is no text."""
    if raw.startswith((b"\x1f\x8b", b"PK")):
        raise PacketError("This file is compressed; unpack it first, a packet is plain text.")
    if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise PacketError(f"This file was saved as UTF-16, which changes a packet; {AGAIN} as a file.")
    if raw.startswith(b"SQLite format 3\0"):
        raise PacketError("This file is a record and no packet; make a packet from it on the laptop where it is kept.")
    text = raw.removeprefix(b"\xef\xbb\xbf").replace(b"\r\n", b"\n")
    if not text.strip():
        raise PacketError(f"This file is empty; {AGAIN}.")
    return text


def _lines(text: bytes) -> list[bytes]:
    """The lines of a packet, at least the head and the seal."""
    if not text.endswith(b"\n"):
        raise PacketError(f"The packet is cut short: its last line does not end; {AGAIN}.")
    lines = text.rstrip(b"\n").split(b"\n")
    if not _claims_to_be_one(lines[0]):
        raise PacketError("This file is no packet; choose one that 'stepcall packet make' wrote.")
    if len(lines) - 2 > MOST_EVENTS:
        raise PacketError(f"This packet has more than {MOST_EVENTS} events; nothing was taken from it.")
    for number, line in enumerate(lines, 1):
        if len(line) > MOST_LINE:
            raise PacketError(f"Line {number} is longer than any line of a packet; {AGAIN}.")
    if len(lines) < 2:
        raise PacketError(f"The packet is cut short: its signature is missing; {AGAIN}.")
    return lines


def _claims_to_be_one(line: bytes) -> bool:
    return line.startswith(b"{") and f'"{FORM}"'.encode("ascii") in line[:MOST_LINE]


def _seal(line: bytes) -> tuple[bytes, bytes]:
    seal = _object(line)
    try:
        key, signature = bytes.fromhex(seal["key"]), bytes.fromhex(seal["sig"])
    except (KeyError, TypeError, ValueError):
        raise PacketError(f"The packet is cut short: its last line is no signature; {AGAIN}.") from None
    # Other spellings of the same line would let a damaged file pass.
    if len(key) != KEY_BYTES or len(signature) != SIGNATURE_BYTES or _seal_line(key, signature) != line:
        raise PacketError(f"The signature is not written as this program writes it; {AGAIN}.")
    return key, signature


def _head(line: bytes) -> dict[str, Any]:
    """The first line, whose signature fits; a later form is told apart from nonsense."""
    head = _object(line)
    _refuse_newer(head)
    try:
        if (head["form"], head["version"]) != (FORM, VERSION) or _line(head) != line or len(head) != 5:
            raise EventError("it is no head of this form")
        check_id(head["candidate"], "the candidate")
        check_id(head["device"], "the device")
        if isinstance(head["events"], bool) or not isinstance(head["events"], int):
            raise EventError("the number of events is no number")
    except (KeyError, EventError) as error:
        raise PacketError(
            f"The first line of the packet cannot be used ({error}); nothing was taken from it."
        ) from None
    return head


def _refuse_newer(head: dict[str, Any]) -> None:
    version = head.get("version")
    if head.get("form") == FORM and isinstance(version, int) and version > VERSION:
        raise PacketError("This packet was made by a newer version of this program; update this one, then read it.")


def _object(line: bytes) -> dict[str, Any]:
    try:
        found = json.loads(line.decode("ascii"))
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _event(line: bytes, number: int) -> Event:
    """One event, written exactly as this program writes it: that leaves no room for a second meaning."""
    try:
        event = parse_many([line])[0]
        check_event(event)
        if canonical_bytes(event) != line:
            raise EventError("it is not written as this program writes.")
    except RecursionError:
        raise PacketError(f"Line {number} of the packet is no event; nothing was taken from it.") from None
    except (EventError, ValueError) as error:
        raise PacketError(f"Line {number} of the packet is no event: {error} Nothing was taken from it.") from None
    return event
