"""Corrections: voided, replaced, brought back, and those that cannot be applied."""

import random

from hypothesis import given
from hypothesis import strategies as st

from trainer.records import events
from trainer.records.corrections import effective
from trainer.records.events import Draft, Event, Header


def name(number: int) -> str:
    return events.new_id(number, bytes(10))


def row(*drafts: Draft) -> list[Event]:
    """Events 1, 2, 3 …, whose ids are name(1), name(2), name(3) …."""
    return [
        Event(Header(name(n), "candidate-1", "laptop-01", n, "", n, 0, n), *draft) for n, draft in enumerate(drafts, 1)
    ]


def held(*drafts: Draft) -> list[tuple[int, object]]:
    """What holds: number of the event and text of the note."""
    found = effective(row(*drafts))
    assert found.unheeded == []
    return [(event.header.seq, event.body["text"]) for event in found.events]


A, B = events.note("a"), events.note("b")


def test_without_corrections_everything_holds() -> None:
    assert held(A, B) == [(1, "a"), (2, "b")]


def test_voided_and_replaced() -> None:
    assert held(A, B, events.void(name(1))) == [(2, "b")]
    assert held(A, B, events.replacement(name(1), events.note("c"))) == [(1, "c"), (2, "b")]


def test_the_last_of_several_holds() -> None:
    c, d = events.note("c"), events.note("d")
    assert held(A, events.replacement(name(1), c), events.replacement(name(1), d)) == [(1, "d")]
    assert held(A, events.void(name(1)), events.replacement(name(1), d)) == [(1, "d")]
    assert held(A, events.replacement(name(1), d), events.void(name(1))) == []


def test_a_voided_correction_does_nothing() -> None:
    assert held(A, events.void(name(1)), events.void(name(2))) == [(1, "a")]
    assert held(A, events.void(name(1)), events.void(name(2)), events.void(name(3))) == []
    c, d = events.note("c"), events.note("d")
    replaced = [A, events.replacement(name(1), c), events.replacement(name(1), d)]
    assert held(*replaced, events.void(name(3))) == [(1, "c")]


def test_a_correction_that_comes_before_its_target_in_order_holds_too() -> None:
    """A clock that was wrong may put it there."""
    assert held(events.void(name(2)), A) == []


def test_what_cannot_be_applied_is_told_and_changes_nothing() -> None:
    found = effective(row(A, events.void(name(99)), events.replacement(name(1), events.setting("x", 1))))
    assert [event.header.seq for event in found.events] == [1]
    assert [unheeded.event for unheeded in found.unheeded] == [name(2), name(3)]
    assert "not in this record" in found.unheeded[0].reason
    assert "another kind (setting, not note)" in found.unheeded[1].reason


def test_a_ring_is_told_and_does_nothing() -> None:
    found = effective(row(A, events.void(name(3)), events.void(name(2)), events.void(name(1))))
    assert [unheeded.event for unheeded in found.unheeded] == [name(2), name(3)]
    assert found.events == []  # the fourth is outside the ring and holds
    outside = effective(row(A, events.void(name(3)), events.void(name(2))))
    assert [event.header.seq for event in outside.events] == [1]


def test_a_long_row_of_voidings_needs_no_deep_stack() -> None:
    for length in (20_000, 20_001):
        found = effective(row(A, *(events.void(name(n)) for n in range(1, length + 1))))
        assert len(found.events) == (length % 2 == 0)


@given(st.integers(2, 12), st.randoms(use_true_random=False))
def test_against_a_plain_reading_of_the_rule(count: int, chance: random.Random) -> None:
    """Random corrections of anything earlier, against the rule read off literally, last event first."""
    drafts: list[Draft] = [A]
    for number in range(2, count + 1):
        target = chance.randrange(1, number)
        voided = chance.random() < 0.5 or drafts[target - 1].kind == "correction"
        text = events.note(f"t{number}")
        correction = events.void(name(target)) if voided else events.replacement(name(target), text)
        drafts.append(text if chance.random() < 0.3 else correction)
    expected: dict[int, object] = {}
    stands = dict.fromkeys(range(1, count + 1), True)
    decided: dict[int, object] = {}
    for number in range(count, 0, -1):
        kind, body = drafts[number - 1]
        if kind != "correction":
            if stands[number]:
                expected[number] = decided.get(number, body["text"])
        elif stands[number]:
            target = next(n for n in range(1, count + 1) if name(n) == body["event"])
            if target in decided:
                continue
            decided[target] = body["body"]["text"] if body["how"] == "replace" else None  # type: ignore[index, call-overload]
            stands[target] = body["how"] == "replace"
    assert dict(held(*drafts)) == expected
