"""Bodies, canonical bytes, ids and hashes."""

import subprocess
import sys
import uuid
from datetime import datetime, timedelta, timezone
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

import trainer
from trainer.records import bodies, drafts, events
from trainer.records.bodies import check_body, check_event
from trainer.records.events import Draft, Event, EventError, Header, canonical_bytes, new_id

ID = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f"
HEADER = Header(ID, "candidate-1", "laptop-01", 3, "ab" * 32, 1_790_000_000_000, -60, 1_790_000_000_001)
ANSWER = drafts.answer(
    point="harbour.halt.feet.1", fact="0f3a", right=True, choices=0, question="feet", ms=2300, session="s1"
)
DRAFTS = [
    ANSWER,
    drafts.trial(run="r1", measure="halt", number=2, go=False, faults=["flat", "late"], held="ground", grader="Fox"),
    drafts.run(
        run="r1", deck="harbour", grader="Owl", checked=["uniform"], plan=["halt"], until="2027-01-31", early=True
    ),
    drafts.verdict(run="r1", go=True, deck="harbour-guard-marching"),
    drafts.setting("test date", "2026-05-02"),
    drafts.setting("sound", False),
    drafts.setting("calibration", -34),
    drafts.setting("handle", ""),
    drafts.tasking(work=["halt", "rear-march"], until="2026-05-01", minutes=20),
    drafts.broken_off(run="r1", why="weather", deck="harbour", grader="Owl", on="2026-11-20"),
    drafts.note("Two lines,\nand a café.", about="r1"),
    drafts.timing(deck="harbour", movement="halt", level=2, cadence=108, words=2, feet=1, missed=0, session="s1"),
    drafts.timing(
        deck="harbour",
        movement="halt",
        level=3,
        cadence=120,
        words=4,
        feet=4,
        missed=1,
        session="s1",
        spread_us=31_250,
        drift_us=-1_200,
        mean_us=-56_000,
        remote=False,
    ),
    drafts.look(
        deck="harbour", movement="halt", shown="", said="late", placed=False, speed=50, level=1, ms=4000, session="s1"
    ),
    drafts.void(ID),
    drafts.replacement(ID, ANSWER),
]


@pytest.mark.parametrize("draft", DRAFTS)
def test_every_kind_survives_its_bytes(draft: Draft) -> None:
    event = Event(HEADER, *draft)
    check_event(event)
    stored = canonical_bytes(event)
    assert events.parse_many([stored, stored]) == [event, event]


def test_every_kind_is_tried() -> None:
    assert {draft.kind for draft in DRAFTS} == set(bodies.KINDS)


def test_the_bytes_are_written_in_one_way_only() -> None:
    """Written out by hand: sorted keys at every level, ASCII, no blanks."""
    event = Event(HEADER, "note", {"text": "é\n", "about": "x"})
    stored = canonical_bytes(event)
    assert stored == (
        b'{"at_ms":1790000000000,"body":{"about":"x","text":"\\u00e9\\n"},"candidate":"candidate-1",'
        b'"device":"laptop-01","id":"017f22e2-79b0-7cc3-98c4-dc0c0c07398f","kind":"note","offset":-60,"prev":"'
        + b"ab" * 32
        + b'","seq":3,"tick_ms":1790000000001}'
    )


@given(st.permutations(list(ANSWER.body)))
def test_the_order_of_fields_does_not_matter(names: list[str]) -> None:
    shuffled = Event(HEADER, "answer", {name: ANSWER.body[name] for name in names})
    assert canonical_bytes(shuffled) == canonical_bytes(Event(HEADER, *ANSWER))


def test_the_id_is_the_example_of_the_standard() -> None:
    """RFC 9562, 2024, appendix A.6: time 0x017F22E279B0, rand_a 0xCC3, rand_b 0x18C4DC0C0C07398F."""
    entropy = bytes.fromhex("0cc3") + (0x18C4DC0C0C07398F).to_bytes(8, "big")
    assert new_id(0x017F22E279B0, entropy) == ID


@pytest.mark.parametrize("hours", [-23, 0, 23])
def test_the_largest_clock_reading_has_a_date_in_every_time_zone(hours: int) -> None:
    zone = timezone(timedelta(hours=hours, minutes=59 if hours > 0 else 0))
    assert datetime.fromtimestamp(events.LARGEST_MS / 1000, zone).year == 9999


@given(st.integers(0, events.LARGEST_MS), st.binary(min_size=10, max_size=10))
def test_ids_are_version_7_to_the_standard_library(at_ms: int, entropy: bytes) -> None:
    name = new_id(at_ms, entropy)
    read = uuid.UUID(name)
    assert str(read) == name
    assert (read.version, read.variant, read.int >> 80) == (7, uuid.RFC_4122, at_ms)
    assert bodies.is_event_id(name)


@pytest.mark.parametrize(("at_ms", "entropy"), [(-1, bytes(10)), (events.LARGEST_MS + 1, bytes(10)), (0, bytes(9))])
def test_an_id_needs_its_parts(at_ms: int, entropy: bytes) -> None:
    with pytest.raises(ValueError, match="ten random bytes"):
        new_id(at_ms, entropy)


@pytest.mark.parametrize(
    "text",
    ["", ID.upper(), ID[:-1], ID.replace("-", ""), ID[:14] + "4" + ID[15:], ID[:19] + "c" + ID[20:], ID[:-1] + "g"],
)
def test_what_is_no_id(text: str) -> None:
    assert not bodies.is_event_id(text)


def changed(**fields: object) -> dict[str, object]:
    return {**ANSWER.body, **fields}


@pytest.mark.parametrize(
    ("kind", "body", "sentence"),
    [
        ("guess", {}, "no kind of event called 'guess'"),
        (3, {}, "no kind of event called 3"),
        ("answer", [], "must be fields and values"),
        ("answer", {}, "answer: the field point is missing"),
        ("answer", changed(speed=1), "no field called 'speed'; there are point, fact"),
        ("answer", changed(right=1), "the field right must be true or false, not 1"),
        ("answer", changed(ms=2.5), "the field ms must be a whole number from 0 to 9007199254740991, not 2.5"),
        ("answer", changed(ms=float("nan")), "whole number"),
        ("answer", changed(ms=-1), "not -1"),
        ("answer", changed(ms=2**53), "whole number"),
        ("answer", changed(choices=True), "whole number from 0 to 1000, not True"),
        ("answer", changed(point=""), "text of 1 to 200 characters"),
        ("answer", changed(point="x" * 201), "text of 1 to 200 characters, not 'xxxx"),
        ("answer", changed(point=7), "text of 1 to 200"),
        ("answer", changed(point="a\x1b[31m"), r"cannot be shown: 'a\\x1b\[31m'"),
        ("answer", changed(point="a\u202eb"), "cannot be shown"),
        ("answer", changed(point="a\ud800"), "cannot be shown"),
        ("answer", changed(point="a\nb"), "cannot be shown"),
        ("trial", {"run": "r", "measure": "m", "number": 0, "go": True, "faults": []}, "number must be a whole number"),
        ("trial", {"run": "r", "measure": "m", "number": 1, "go": True, "faults": "flat"}, "a list of at most"),
        ("trial", {"run": "r", "measure": "m", "number": 1, "go": True, "faults": ["a", 1]}, "faults, word 2, must be"),
        ("trial", {"run": "r", "measure": "m", "number": 1, "go": True, "faults": ["a"] * 501}, "at most 500"),
        ("verdict", {"run": "r", "go": True, "held": "hall"}, "one of ground, mock, group, training, not 'hall'"),
        ("verdict", {"run": "r", "go": True, "said": 1001}, "said must be a whole number"),
        ("setting", {"name": "n", "value": None}, "value must be text"),
        ("setting", {"name": "n", "value": 0.5}, "value must be text"),
        ("setting", {"name": "n", "value": 2**60}, "whole number"),
        ("setting", {"name": "n", "value": "x" * 1001}, "0 to 1000 characters"),
        ("tasking", {"work": [], "until": "2026-02-30"}, "until must be a date"),
        ("tasking", {"work": [], "until": "20260201"}, "until must be a date"),
        ("tasking", {"work": [], "until": 5}, "until must be a date"),
        ("note", {"text": "x" * 4001}, "1 to 4000"),
        ("note", {"text": "a\rb"}, "cannot be shown"),
        ("correction", {"event": "x", "how": "void"}, "must be the id of an event"),
        ("correction", {"event": ID, "how": "erase"}, "one of void, replace"),
        ("correction", {"event": ID, "how": "void", "kind": "note"}, "neither kind nor body"),
        ("correction", {"event": ID, "how": "replace"}, "needs the fields kind and body"),
        ("correction", {"event": ID, "how": "replace", "kind": "note", "body": 3}, "must be the new body"),
        ("correction", {"event": ID, "how": "replace", "kind": "note", "body": {}}, "note: the field text is missing"),
        ("correction", {"event": ID, "how": "replace", "kind": "correction", "body": {}}, "cannot be replaced"),
    ],
)
def test_a_bad_body_is_refused_with_a_sentence(kind: str, body: object, sentence: str) -> None:
    with pytest.raises(EventError, match=sentence) as caught:
        check_body(kind, body)
    text = str(caught.value)
    assert text.endswith(".")
    assert text.isprintable()
    assert len(text) < 300


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("id", "x"),
        ("candidate", "short"),
        ("candidate", "UPPERCASE"),
        ("device", None),
        ("device", "x" * 65),
        ("seq", 0),
        ("seq", -1),
        ("seq", 2**63),
        ("seq", True),
        ("prev", "ab"),
        ("prev", "AB" * 32),
        ("prev", None),
        ("at_ms", -1),
        ("at_ms", 2**63),
        ("at_ms", 1.0),
        ("offset", 1440),
        ("tick_ms", -1),
        ("tick_ms", 2**53),
    ],
)
def test_a_bad_header_is_refused_with_a_sentence(field: str, value: Any) -> None:
    event = Event(HEADER._replace(**{field: value}), *ANSWER)
    with pytest.raises(EventError, match=f"header: the field {field} must be"):
        check_event(event)


@pytest.mark.parametrize(
    "stored",
    [
        b"",
        b"{}",
        b"[]",
        b"3",
        b"\xff",
        b"{" * 5000,
        b"[" * 100_000,
        canonical_bytes(Event(HEADER, *ANSWER)) * 2,
        b"{},{}",
    ],
)
def test_bytes_that_are_no_event(stored: bytes) -> None:
    with pytest.raises(EventError):
        events.parse_many([stored])


def test_a_fraction_cannot_reach_the_bytes() -> None:
    with pytest.raises(ValueError, match="JSON"):
        canonical_bytes(Event(HEADER, "setting", {"name": "n", "value": float("inf")}))  # type: ignore[dict-item]
    # A finite one is stopped a step before, by the body's own check.
    with pytest.raises(EventError):
        check_body("setting", {"name": "n", "value": 1.5})


def test_the_order_is_that_of_the_ticks_and_then_fixed() -> None:
    def at(tick: int, device: str, seq: int, name: str) -> Event:
        return Event(HEADER._replace(tick_ms=tick, device=device, seq=seq, id=name), *ANSWER)

    rows = [at(1, "b", 9, "z"), at(2, "a", 2, "y"), at(2, "a", 2, "z"), at(2, "a", 3, "a"), at(2, "b", 1, "a")]
    assert sorted([rows[i] for i in (3, 0, 4, 2, 1)], key=events.order) == rows


def test_reading_records_is_cheap_to_import() -> None:
    """A verb has little time to start: nothing heavy may come along."""
    code = (
        "import sys, trainer.records.log, trainer.records.corrections;"
        "print(*{'pydantic','textual','dataclasses','inspect','asyncio','urllib','uuid'} & set(sys.modules))"
    )
    command = [sys.executable, "-S", "-c", code]
    root = Path(trainer.__file__).parents[1]
    found = subprocess.run(command, capture_output=True, text=True, check=True, cwd=root).stdout
    assert found.split() == []
