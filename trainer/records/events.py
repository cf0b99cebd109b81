"""Kinds of event, their bodies, canonical bytes, hashes and ids.

An event is a header, a kind and a body. Bodies hold whole numbers, short words and true or false only: never a
fraction, whose text could differ between machines and so change a hash.
"""

import json
from collections.abc import Callable, Iterable, Mapping, Sequence
from hashlib import sha256
from typing import Any, NamedTuple

Value = bool | int | str | Sequence[str] | Mapping[str, Any]
Body = Mapping[str, Value]

LARGEST_WHOLE = 2**53 - 1
"""Largest whole number in a body: the largest every JSON reader keeps exact (RFC 8259, 2017, section 6)."""
LARGEST_MS = 253_402_300_799_999 - 86_400_000
"""Largest clock reading: the end of the year 9999 (the last that the calendar of Python has) less a day for time zones.
The time field of a UUIDv7 would hold more (RFC 9562, 2024, section 5.7)."""
LONGEST_WORD = 200
LONGEST_VALUE = 1000
LONGEST_NOTE = 4000
MOST_WORDS = 500


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


def event_hash(stored: bytes) -> str:
    """SHA-256 over the stored bytes, in hex."""
    return sha256(stored).hexdigest()


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


# ---------------------------------------------------------------- checks


def _shown(value: object) -> str:
    text = ascii(value)
    return text if len(text) <= 60 else text[:57] + "…"


def _bool(value: object, place: str) -> None:
    if value is not True and value is not False:
        raise EventError(f"{place} must be true or false, not {_shown(value)}.")


def _whole(low: int, high: int = LARGEST_WHOLE) -> Callable[[object, str], None]:
    def check(value: object, place: str) -> None:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise EventError(f"{place} must be a whole number from {low} to {high}, not {_shown(value)}.")

    return check


def _text(longest: int, *, shortest: int = 1, lines: bool = False) -> Callable[[object, str], None]:
    def check(value: object, place: str) -> None:
        if not isinstance(value, str) or not shortest <= len(value) <= longest:
            raise EventError(f"{place} must be text of {shortest} to {longest} characters, not {_shown(value)}.")
        if not (value.replace("\n", "") if lines else value).isprintable():
            raise EventError(f"{place} holds a character that cannot be shown: {_shown(value)}.")

    return check


_word = _text(LONGEST_WORD)
_none_or_word = _text(LONGEST_WORD, shortest=0)
_setting_text = _text(LONGEST_VALUE, shortest=0)
_setting_whole = _whole(-LARGEST_WHOLE)


def _words(value: object, place: str) -> None:
    if not isinstance(value, list | tuple) or len(value) > MOST_WORDS:
        raise EventError(f"{place} must be a list of at most {MOST_WORDS} words, not {_shown(value)}.")
    for number, word in enumerate(value, 1):
        _word(word, f"{place}, word {number},")


def _one_of(*words: str) -> Callable[[object, str], None]:
    def check(value: object, place: str) -> None:
        if not isinstance(value, str) or value not in words:
            raise EventError(f"{place} must be one of {', '.join(words)}, not {_shown(value)}.")

    return check


def _setting_value(value: object, place: str) -> None:
    if isinstance(value, bool):
        return
    if isinstance(value, int):
        _setting_whole(value, place)
    else:
        _setting_text(value, place)


def _date(value: object, place: str) -> None:
    from datetime import date

    try:
        if not isinstance(value, str) or date.fromisoformat(value).isoformat() != value:
            raise ValueError
    except ValueError:
        raise EventError(f"{place} must be a date written 2026-03-31, not {_shown(value)}.") from None


_HEX = frozenset("0123456789abcdef")
_ID_CHARACTERS = frozenset("0123456789abcdefghijklmnopqrstuvwxyz-")


def is_event_id(value: object) -> bool:
    """Whether this is a UUIDv7 in lower case with its hyphens."""
    if not isinstance(value, str) or len(value) != 36:
        return False
    if value[14] != "7" or value[19] not in "89ab" or {value[8], value[13], value[18], value[23]} != {"-"}:
        return False
    digits = value[:8] + value[9:13] + value[14:18] + value[19:23] + value[24:]
    return _HEX.issuperset(digits)


def _event_id(value: object, place: str) -> None:
    if not is_event_id(value):
        raise EventError(f"{place} must be the id of an event (a UUIDv7), not {_shown(value)}.")


def _replacement(value: object, place: str) -> None:
    if not isinstance(value, Mapping):
        raise EventError(f"{place} must be the new body, not {_shown(value)}.")


_HELD = _one_of("ground", "mock", "group", "training")

_REQUIRED: dict[str, dict[str, Callable[[object, str], None]]] = {
    "answer": {
        "point": _word,
        "fact": _word,
        "right": _bool,
        "choices": _whole(0, 1000),
        "question": _word,
        "ms": _whole(0),
        "session": _word,
    },
    "trial": {"run": _word, "measure": _word, "number": _whole(1, 1000), "go": _bool, "faults": _words},
    "run": {"run": _word, "deck": _word, "grader": _word, "checked": _words},
    "verdict": {"run": _word, "go": _bool},
    "setting": {"name": _word, "value": _setting_value},
    "tasking": {"work": _words, "until": _date},
    "note": {"text": _text(LONGEST_NOTE, lines=True)},
    "timing": {
        "deck": _word,
        "movement": _word,
        "level": _whole(1, 9),
        "cadence": _whole(1, 1000),
        "words": _whole(0, 1000),
        "feet": _whole(0, 1000),
        "missed": _whole(0, 1000),
        "session": _word,
    },
    "look": {
        "deck": _word,
        "movement": _word,
        "shown": _none_or_word,
        "said": _none_or_word,
        "placed": _bool,
        "speed": _whole(1, 1000),
        "level": _whole(1, 9),
        "ms": _whole(0),
        "session": _word,
    },
    "correction": {"event": _event_id, "how": _one_of("void", "replace")},
}
_OPTIONAL: dict[str, dict[str, Callable[[object, str], None]]] = {
    "trial": {"deck": _word, "grader": _word, "held": _HELD, "on": _date, "prompt": _one_of("bad"), "ruled_by": _word},
    "run": {
        "on": _date,
        "until": _date,
        "said_by": _word,
        "early": _bool,
        "plan": _words,
        "said": _whole(0, 1000),
    },
    "verdict": {"deck": _word, "grader": _word, "held": _HELD, "said": _whole(0, 1000), "on": _date},
    "tasking": {"deck": _word, "sponsor": _word, "minutes": _whole(1, 1440), "note": _text(400)},
    "note": {"about": _word},
    "timing": {"spread_us": _whole(0), "drift_us": _setting_whole, "mean_us": _setting_whole, "remote": _bool},
    "correction": {"kind": _word, "body": _replacement},
}

KINDS = tuple(_REQUIRED)
"""The kinds of event.

- `answer`: one point of one question. `choices` is 0 for typed and ordering answers.
- `trial`: one trial of one measure in a run, with the faults seen. `held`: on the ground (default), as a mock test
  at the screen, in a study group, or for training in a run that had ended. `on`: the day, where a sheet filled on
  paper was entered later. One with a bad `prompt` does not count; `ruled_by` says who ruled so.
- `run`: a grade sheet begun: who grades and what was `checked` before. `until`: the end of his qualification;
  `said_by`: who told him to grade his own candidate; `early`: before the wait for a retest was over; `plan`: the
  measures in order; `said` as of a verdict.
- `verdict`: how a run ended. `said`: the chance of a GO that the program had forecast before it, in thousandths.
- `setting`: handle, deck, test date, minutes, theme …: the last one of a name holds.
- `tasking`: what a sponsor gave to work on (points, movements, families or measures), until which date; its `note`
  is meant for the candidate and goes where the tasking goes.
- `note`: the one free text.
- `timing`: one call struck on the beat: how many words, how many of them on their foot, how many missed; the spread
  of the strikes and their drift a beat where these could be told, the mean where the terminal was calibrated, all in
  microseconds. `cadence` in beats a minute. From a `remote` terminal only feet are kept.
- `look`: one performance looked at for a fault: the fault that was `shown` and the one that was `said`, by id, empty
  for none; whether it was `placed` on a beat where it shows; `speed` in percent of the cadence.
- `correction`: voids an event, or replaces its body by another of the same kind. A correction itself can only be
  voided.
"""


def check_body(kind: str, body: object) -> None:
    """Check a body that comes from outside.

    Raises:
        EventError: a sentence that names kind, field and value.
    """
    required = _REQUIRED.get(kind) if isinstance(kind, str) else None
    if required is None:
        raise EventError(f"There is no kind of event called {_shown(kind)}; there are {', '.join(KINDS)}.")
    if not isinstance(body, Mapping):
        raise EventError(f"The body of a kind of event ({kind}) must be fields and values, not {_shown(body)}.")
    optional = _OPTIONAL.get(kind, {})
    for name in required:
        if name not in body:
            raise EventError(f"{kind}: the field {name} is missing.")
    for name, value in body.items():
        check = required.get(name) or optional.get(name)
        if check is None:
            known = ", ".join((*required, *optional))
            raise EventError(f"{kind}: there is no field called {_shown(name)}; there are {known}.")
        check(value, f"{kind}: the field {name}")
    if kind == "correction":
        _check_correction(body)


def _check_correction(body: Mapping[str, Any]) -> None:
    if body["how"] == "void":
        if "kind" in body or "body" in body:
            raise EventError("correction: one that voids an event has neither kind nor body.")
        return
    if "kind" not in body or "body" not in body:
        raise EventError("correction: one that replaces an event needs the fields kind and body.")
    if body["kind"] == "correction":
        raise EventError("correction: a correction cannot be replaced; void it and record another.")
    check_body(body["kind"], body["body"])


def check_id(value: object, what: str) -> None:
    """Check the random id of a candidate or a device.

    Raises:
        EventError: where it is not 8 to 64 of a-z, 0-9 and hyphen.
    """
    if not isinstance(value, str) or not 8 <= len(value) <= 64 or not _ID_CHARACTERS.issuperset(value):
        raise EventError(f"{what} must be an id of 8 to 64 letters a-z, digits and hyphens, not {_shown(value)}.")


def _prev(value: object, place: str) -> None:
    if value != "" and not (isinstance(value, str) and len(value) == 64 and _HEX.issuperset(value)):
        raise EventError(f"{place} must be a SHA-256 in hex or empty, not {_shown(value)}.")


def check_event(event: Event) -> None:
    """Check header and body of an event that comes from outside.

    Raises:
        EventError: a sentence that names the field and the value.
    """
    header = event.header
    _event_id(header.id, "header: the field id")
    check_id(header.candidate, "header: the field candidate")
    check_id(header.device, "header: the field device")
    _whole(1)(header.seq, "header: the field seq")
    _prev(header.prev, "header: the field prev")
    _whole(0, LARGEST_MS)(header.at_ms, "header: the field at_ms")
    _whole(-1439, 1439)(header.offset, "header: the field offset")
    _whole(0)(header.tick_ms, "header: the field tick_ms")
    check_body(event.kind, event.body)


# ---------------------------------------------------------------- drafts


def answer(*, point: str, fact: str, right: bool, choices: int, question: str, ms: int, session: str) -> Draft:
    """One point of one question answered; `choices` is 0 for typed and ordering answers, `ms` the time taken."""
    body: dict[str, Value] = {
        "point": point,
        "fact": fact,
        "right": right,
        "choices": choices,
        "question": question,
        "ms": ms,
        "session": session,
    }
    return Draft("answer", body)


def trial(*, run: str, measure: str, number: int, go: bool, faults: Iterable[str] = (), **more: str) -> Draft:
    """One trial of a measure, counted from 1; more: deck, grader, held, on, prompt, ruled_by."""
    body: dict[str, Value] = {"run": run, "measure": measure, "number": number, "go": go, "faults": list(faults)}
    return Draft("trial", body | more)


def run(
    *, run: str, deck: str, grader: str, checked: Iterable[str], plan: Iterable[str] = (), **more: str | int
) -> Draft:
    """A grade sheet begun; more: on, until, said_by, early, said."""
    body: dict[str, Value] = {"run": run, "deck": deck, "grader": grader, "checked": list(checked)}
    order = list(plan)
    return Draft("run", body | more | ({"plan": order} if order else {}))


def verdict(*, run: str, go: bool, **more: str | int) -> Draft:
    """How a run ended; more: deck, grader, held, said, on."""
    body: dict[str, Value] = {"run": run, "go": go}
    return Draft("verdict", body | more)


def setting(name: str, value: bool | int | str) -> Draft:
    """A setting from now on."""
    return Draft("setting", {"name": name, "value": value})


def tasking(*, work: Iterable[str], until: str, **more: str | int) -> Draft:
    """What to work on until a date (2026-03-31); more: deck, sponsor, minutes, note."""
    body: dict[str, Value] = {"work": list(work), "until": until}
    return Draft("tasking", body | more)


def note(text: str, about: str | None = None) -> Draft:
    """A free text, about an event, a run or a point."""
    return Draft("note", {"text": text} if about is None else {"text": text, "about": about})


def timing(
    *, deck: str, movement: str, level: int, cadence: int, words: int, feet: int, missed: int, session: str, **more: int
) -> Draft:
    """One call struck on the beat; more: spread_us, drift_us, mean_us (microseconds), remote."""
    body: dict[str, Value] = {
        "deck": deck,
        "movement": movement,
        "level": level,
        "cadence": cadence,
        "words": words,
        "feet": feet,
        "missed": missed,
        "session": session,
    }
    return Draft("timing", body | more)


def look(
    *,
    deck: str,
    movement: str,
    shown: str,
    said: str,
    placed: bool,
    speed: int,
    level: int,
    ms: int,
    session: str,
) -> Draft:
    """One performance looked at for a fault; `shown` and `said` are ids of faults, empty where there was none."""
    body: dict[str, Value] = {
        "deck": deck,
        "movement": movement,
        "shown": shown,
        "said": said,
        "placed": placed,
        "speed": speed,
        "level": level,
        "ms": ms,
        "session": session,
    }
    return Draft("look", body)


def void(event: str) -> Draft:
    """A correction that takes an event out."""
    return Draft("correction", {"event": event, "how": "void"})


def replacement(event: str, by: Draft) -> Draft:
    """A correction that gives an event another body of the same kind."""
    return Draft("correction", {"event": event, "how": "replace", "kind": by.kind, "body": by.body})
