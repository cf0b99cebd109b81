"""A snapshot comes back equal, or not at all."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import SnapshotError, pack, unpack

ANSWERS = [Evidence(f"wärts.{n % 5}", 0.7 * n, n % 3 > 0, 4 * (n % 2)) for n in range(40)]


def test_restored_is_refolded_and_stays_so() -> None:
    restored = unpack(pack(Learner(ANSWERS[:30])))
    assert restored == Learner(ANSWERS[:30])
    assert restored.weights() == Learner(ANSWERS[:30]).weights()
    assert restored.first_at == 0.0
    restored.fold(ANSWERS[30:])
    refolded = Learner(ANSWERS)
    assert restored == refolded
    assert restored.weights() == refolded.weights()
    items = ["wärts.0", "wärts.4", "never asked"]
    assert restored.recall(items, 40.0, 30.0) == refolded.recall(items, 40.0, 30.0)


def test_a_late_answer_to_a_restored_learner() -> None:
    restored = unpack(pack(Learner(ANSWERS[1:])))
    restored.fold(ANSWERS[:1])
    assert restored == Learner(ANSWERS)


def test_nobody_asked_yet() -> None:
    restored = unpack(pack(Learner()))
    assert restored == Learner()
    assert restored.first_at is None


PACKED = pack(Learner(ANSWERS[:6]))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(PACKED) - 1), st.integers(0, 7))
def test_any_flipped_bit_is_refused(place: int, bit: int) -> None:
    damaged = bytearray(PACKED)
    damaged[place] ^= 1 << bit
    with pytest.raises(SnapshotError):
        unpack(bytes(damaged))


@settings(max_examples=60, deadline=None)
@given(st.integers(0, len(PACKED) - 1))
def test_any_cut_is_refused(length: int) -> None:
    with pytest.raises(SnapshotError):
        unpack(PACKED[:length])


def test_bytes_of_something_else_are_refused() -> None:
    with pytest.raises(SnapshotError, match="another version"):
        unpack(b"SQLite format 3\0" * 10)
