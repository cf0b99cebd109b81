"""What the body of each kind of event must hold, and the checks of what comes from outside."""

from collections.abc import Callable, Mapping
from typing import Any

from trainer.records.events import LARGEST_MS, Event, EventError

LARGEST_WHOLE = 2**53 - 1
"""Largest whole number in a body: the largest every JSON reader keeps exact (RFC 8259, 2017, section 6)."""

LONGEST_WORD = 200
LONGEST_VALUE = 1000
LONGEST_NOTE = 4000
MOST_WORDS = 500


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


WHY_BROKEN_OFF = ("injury", "weather", "time", "equipment", "other")
"""Why a run was broken off; chosen and not typed, so that nothing private travels with it."""
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
    "broken off": {"run": _word, "why": _one_of(*WHY_BROKEN_OFF)},
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
    "broken off": {"deck": _word, "grader": _word, "on": _date},
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
- `broken off`: a run that its evaluator stopped before it was decided, and `why`: it has no verdict, and its trials
  are as good as any.
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
