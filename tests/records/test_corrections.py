"""Corrections: voided, replaced, brought back, and those that cannot be applied."""

import random

from hypothesis import given
from hypothesis import strategies as st

from trainer.records import drafts, events
from trainer.records.corrections import effective
from trainer.records.events import Draft, Event, Header


def name(number: int) -> str:
    return events.new_id(number, bytes(10))


def row(*made: Draft) -> list[Event]:
    """Events 1, 2, 3 …, whose ids are name(1), name(2), name(3) …."""
    return [
        Event(Header(name(n), "candidate-1", "laptop-01", n, "", n, 0, n), *draft) for n, draft in enumerate(made, 1)
    ]


def held(*made: Draft) -> list[tuple[int, object]]:
    """What holds: number of the event and text of the note."""
    found = effective(row(*made))
    assert found.unheeded == []
    return [(event.header.seq, event.body["text"]) for event in found.events]


A, B = drafts.note("a"), drafts.note("b")


def test_without_corrections_everything_holds() -> None:
    assert held(A, B) == [(1, "a"), (2, "b")]


def test_voided_and_replaced() -> None:
    assert held(A, B, drafts.void(name(1))) == [(2, "b")]
    assert held(A, B, drafts.replacement(name(1), drafts.note("c"))) == [(1, "c"), (2, "b")]


def test_the_last_of_several_holds() -> None:
    c, d = drafts.note("c"), drafts.note("d")
    assert held(A, drafts.replacement(name(1), c), drafts.replacement(name(1), d)) == [(1, "d")]
    assert held(A, drafts.void(name(1)), drafts.replacement(name(1), d)) == [(1, "d")]
    assert held(A, drafts.replacement(name(1), d), drafts.void(name(1))) == []


def test_a_voided_correction_does_nothing() -> None:
    assert held(A, drafts.void(name(1)), drafts.void(name(2))) == [(1, "a")]
    assert held(A, drafts.void(name(1)), drafts.void(name(2)), drafts.void(name(3))) == []
    c, d = drafts.note("c"), drafts.note("d")
    replaced = [A, drafts.replacement(name(1), c), drafts.replacement(name(1), d)]
    assert held(*replaced, drafts.void(name(3))) == [(1, "c")]


def test_a_correction_that_comes_before_its_target_in_order_holds_too() -> None:
    """A clock that was wrong may put it there."""
    assert held(drafts.void(name(2)), A) == []


def test_what_cannot_be_applied_is_told_and_changes_nothing() -> None:
    found = effective(row(A, drafts.void(name(99)), drafts.replacement(name(1), drafts.setting("x", 1))))
    assert [event.header.seq for event in found.events] == [1]
    assert [unheeded.event for unheeded in found.unheeded] == [name(2), name(3)]
    assert "not in this record" in found.unheeded[0].reason
    assert "another kind (setting, not note)" in found.unheeded[1].reason


def test_a_ring_is_told_and_does_nothing() -> None:
    found = effective(row(A, drafts.void(name(3)), drafts.void(name(2)), drafts.void(name(1))))
    assert [unheeded.event for unheeded in found.unheeded] == [name(2), name(3)]
    assert found.events == []  # the fourth is outside the ring and holds
    outside = effective(row(A, drafts.void(name(3)), drafts.void(name(2))))
    assert [event.header.seq for event in outside.events] == [1]


def test_a_long_row_of_voidings_needs_no_deep_stack() -> None:
    for length in (20_000, 20_001):
        found = effective(row(A, *(drafts.void(name(n)) for n in range(1, length + 1))))
        assert len(found.events) == (length % 2 == 0)


@given(st.integers(2, 12), st.randoms(use_true_random=False))
def test_against_a_plain_reading_of_the_rule(count: int, chance: random.Random) -> None:
    """Random corrections of anything earlier, against the rule read off literally, last event first."""
    made: list[Draft] = [A]
    for number in range(2, count + 1):
        target = chance.randrange(1, number)
        voided = chance.random() < 0.5 or made[target - 1].kind == "correction"
        text = drafts.note(f"t{number}")
        correction = drafts.void(name(target)) if voided else drafts.replacement(name(target), text)
        made.append(text if chance.random() < 0.3 else correction)
    expected: dict[int, object] = {}
    stands = dict.fromkeys(range(1, count + 1), True)
    decided: dict[int, object] = {}
    for number in range(count, 0, -1):
        kind, body = made[number - 1]
        if kind != "correction":
            if stands[number]:
                expected[number] = decided.get(number, body["text"])
        elif stands[number]:
            target = next(n for n in range(1, count + 1) if name(n) == body["event"])
            if target in decided:
                continue
            decided[target] = body["body"]["text"] if body["how"] == "replace" else None  # type: ignore[index, call-overload]
            stands[target] = body["how"] == "replace"
    assert dict(held(*made)) == expected
