"""The file of an evening: what is kept stays, what was cut off never counted."""

import os
import stat
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.group.journal import Entry, EveningError, Journal

STEPS: list[Entry] = [
    {"step": "begin", "names": ["Ada", "Bjørn"]},
    {"step": "grade", "gave": {"Ada": True}},
    {"step": "end"},
]


def kept(path: Path) -> Journal:
    journal = Journal(path)
    for step in STEPS:
        journal.add(step)
    return journal


def test_steps_come_back_in_order(tmp_path: Path) -> None:
    assert kept(tmp_path / "a" / "evening.jsonl").entries() == STEPS


def test_nobody_else_may_read_it(tmp_path: Path) -> None:
    journal = kept(tmp_path / "home" / "evenings" / "evening.jsonl")
    assert stat.S_IMODE(journal.path.stat().st_mode) == 0o600
    assert [stat.S_IMODE(folder.stat().st_mode) for folder in journal.path.parents[:2]] == [0o700, 0o700]


def test_a_step_that_does_not_fit_what_another_window_kept_is_refused(tmp_path: Path) -> None:
    one = kept(tmp_path / "evening.jsonl")
    other = Journal(one.path)
    assert other.entries() == STEPS
    other.add({"step": "skip"})
    with pytest.raises(EveningError, match="in another window"):
        one.add({"step": "end"})
    assert one.entries() == [*STEPS, {"step": "skip"}], "and once it is read again it goes on"
    one.add({"step": "end"})
    assert other.path.read_bytes().endswith(b'{"step":"end"}\n')


@pytest.mark.parametrize("name", ["write", "fsync"])
def test_a_step_that_could_not_be_settled_never_counted(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    journal = kept(tmp_path / "evening.jsonl")

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as during:
        during.setattr(os, name, full)
        with pytest.raises(EveningError, match="No space left"):
            journal.add({"step": "skip"})
    journal.add({"step": "end"})
    assert journal.entries() == [*STEPS, {"step": "end"}]


@settings(max_examples=60)
@given(st.data())
def test_a_cut_anywhere_loses_the_cut_step_alone(data: st.DataObject) -> None:
    import tempfile

    with tempfile.TemporaryDirectory() as folder:
        journal = kept(Path(folder) / "evening.jsonl")
        whole = journal.path.read_bytes()
        cut = data.draw(st.integers(0, len(whole)))
        journal.path.write_bytes(whole[:cut])
        left = whole[:cut].count(b"\n")
        assert journal.entries() == STEPS[:left]
        journal.add({"step": "skip"})
        assert journal.entries() == [*STEPS[:left], {"step": "skip"}]


@pytest.mark.parametrize("line", [b"{", b"[]", b"3", b'{"step":3}', b"\xff", b"{}", b"[" * 100_000, b""])
def test_a_damaged_line_is_told_by_its_number(tmp_path: Path, line: bytes) -> None:
    journal = kept(tmp_path / "evening.jsonl")
    lines = journal.path.read_bytes().split(b"\n")
    journal.path.write_bytes(b"\n".join([lines[0], line, *lines[1:]]))
    with pytest.raises(EveningError, match=r"line 2: this is no step of an evening"):
        journal.entries()


def test_what_is_not_there_or_too_large_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(EveningError, match="cannot be read"):
        Journal(tmp_path / "none").entries()
    big = tmp_path / "big"
    with big.open("wb") as file:
        file.truncate(9 * 2**20)
    with pytest.raises(EveningError, match="too large"):
        Journal(big).entries()


def test_a_place_that_cannot_be_written_is_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(EveningError, match="cannot be kept"):
        Journal(tmp_path / "file" / "evening.jsonl").add({"step": "end"})
