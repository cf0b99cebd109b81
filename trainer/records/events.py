"""Events, their ids and their canonical bytes.

An event is a header, a kind and a body. Bodies hold whole numbers, short words and true or false only: never a
fraction, whose text could differ between machines and so change a hash.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

Value = bool | int | str | Sequence[str] | Mapping[str, Any]
Body = Mapping[str, Value]

LARGEST_MS = 253_402_300_799_999 - 86_400_000
"""Largest clock reading: the end of the year 9999 (the last that the calendar of Python has) less a day for time zones.
The time field of a UUIDv7 would hold more (RFC 9562, 2024, section 5.7)."""


class EventError(ValueError):
    """An event that cannot be recorded; the message is a sentence that says what is wrong and where."""


class Header(NamedTuple):
    """What every event carries, whatever its kind.

    Attributes:
        id: UUIDv7, unique everywhere; gives no order.
        candidate: random id of the person, 8 to 64 of a-z, 0-9 and hyphen.
        device: random id of the laptop that recorded it, same shape.
        seq: 1, 2, 3 … for each candidate and device.
        prev: SHA-256 (hex) of the previous event of that candidate and device, "" for the first.
        at_ms: the clock as read, ms since 1970 UTC; may be wrong.
        offset: local time minus UTC as read, in minutes.
        tick_ms: what events are ordered by; see `trainer.records.clock`.
    """

    id: str
    candidate: str
    device: str
    seq: int
    prev: str
    at_ms: int
    offset: int
    tick_ms: int


class Event(NamedTuple):
    """Something that happened."""

    header: Header
    kind: str
    body: Body


class Draft(NamedTuple):
    """A kind and a body before they are recorded."""

    kind: str
    body: Body


def order(event: Event) -> tuple[int, str, int, str]:
    """Key that puts events of one candidate in the same order on every laptop."""
    header = event.header
    return (header.tick_ms, header.device, header.seq, header.id)


# ---------------------------------------------------------------- ids and bytes


def new_id(at_ms: int, entropy: bytes) -> str:
    """A UUIDv7 (RFC 9562, 2024, section 5.7) from a clock reading and ten random bytes.

    Args:
        at_ms: ms since 1970 UTC, 0 to `LARGEST_MS`.
        entropy: ten random bytes; six of their eighty bits give way to version and variant.
    """
    if not 0 <= at_ms <= LARGEST_MS or len(entropy) != 10:
        raise ValueError(f"an id needs 0 to {LARGEST_MS} ms and ten random bytes")
    high = 0x7000 | (int.from_bytes(entropy[:2], "big") & 0x0FFF)
    low = (0b10 << 62) | (int.from_bytes(entropy[2:], "big") & (2**62 - 1))
    text = f"{at_ms:012x}{high:04x}{low:016x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"


def canonical_bytes(event: Event) -> bytes:
    """The bytes that are stored and hashed: one JSON object, sorted keys, ASCII, no blanks."""
    whole = event.header._asdict()
    whole["kind"] = event.kind
    whole["body"] = event.body
    text = json.dumps(whole, sort_keys=True, separators=(",", ":"), ensure_ascii=True, allow_nan=False)
    return text.encode("ascii")


def parse_many(stored: Sequence[bytes]) -> list[Event]:
    """Events from stored bytes whose hashes were checked before.

    Raises:
        EventError: where the bytes are not events.
    """
    try:
        # One call for all of them: starting the parser costs more than parsing.
        wholes = json.loads((b"[" + b",".join(stored) + b"]").decode("ascii"))
        if len(wholes) != len(stored):
            raise EventError("the stored bytes are not one event each")
        return [
            Event(
                Header(
                    w["id"], w["candidate"], w["device"], w["seq"], w["prev"], w["at_ms"], w["offset"], w["tick_ms"]
                ),
                w["kind"],
                w["body"],
            )
            for w in wholes
        ]
    except (KeyError, TypeError, ValueError, RecursionError) as error:
        raise EventError("the stored bytes are not events") from error
