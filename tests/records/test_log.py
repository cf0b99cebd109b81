"""The record itself: what is written is there, in order, and nothing else ever happens to it."""

import contextlib
import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trainer
from tests.records.samples import CANDIDATE, DEVICE, START, moment, question, questions_held, small_folder
from trainer.records import drafts, events, store, verification
from trainer.records.clock import Moment
from trainer.records.errors import LogDamagedError, LogError
from trainer.records.events import Event, EventError
from trainer.records.log import Head, Log

ROOT = Path(trainer.__file__).parents[1]


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "record.db"


@pytest.fixture
def log(path: Path) -> Log:
    return Log.create(path, CANDIDATE, DEVICE)


def test_what_is_recorded_is_there_after_reopening(log: Log, path: Path) -> None:
    written = [*log.append_many(question(1), moment(1)), log.append(*drafts.setting("handle", "Fox"), moment(2))]
    assert log.events() == written
    head = log.head
    log.close()
    with Log.open(path) as again:
        assert (again.events(), again.head, again.candidate) == (written, head, CANDIDATE)
        assert again.verify() == []


def test_headers_chain_and_ticks_rise(log: Log) -> None:
    log.append_many(question(1), moment(5))
    log.append_many(question(2), moment(3))  # the clock went back
    found = log.events()
    headers = [event.header for event in found]
    assert [h.seq for h in headers] == [1, 2, 3, 4, 5, 6]
    tick = START + 5 * 60_000
    assert [h.tick_ms for h in headers] == [tick, tick + 1, tick + 2, tick + 3, tick + 4, tick + 5]
    assert [h.at_ms for h in headers] == [tick] * 3 + [START + 3 * 60_000] * 3
    assert [h.offset for h in headers] == [60] * 6
    hashes = [sha256(events.canonical_bytes(event)).hexdigest() for event in found]
    assert [h.prev for h in headers] == ["", *hashes[:-1]]
    assert log.head == Head(6, hashes[-1])


@pytest.mark.parametrize("at_ms", [-5, 0, 2**48, 2**63])
def test_no_clock_is_a_reason_to_refuse(log: Log, at_ms: int) -> None:
    event = log.append(*drafts.note("x"), Moment(at_ms, 100_000))
    assert event.header.at_ms == min(max(at_ms, 0), events.LARGEST_MS)
    log.append(*drafts.note("y"), moment(0))
    assert [e.body["text"] for e in log.events()] == ["x", "y"]
    assert log.verify() == []


def test_the_record_is_private_and_set_up_to_be_safe(log: Log, path: Path) -> None:
    assert path.stat().st_mode & 0o777 == 0o600
    head = path.read_bytes()[:100]
    assert (head[68:72], head[60:64], head[18:20]) == (b"Step", b"\0\0\0\1", b"\1\1")  # 1, 1: rollback journal
    connection = log._connection
    found = {name: connection.execute(f"PRAGMA {name}").fetchone()[0] for name, _, _ in store._SETTINGS}
    assert found == {
        "busy_timeout": 5000,
        "journal_mode": "delete",
        "synchronous": 3,
        "fullfsync": 1,
        "foreign_keys": 1,
        "recursive_triggers": 1,
        "trusted_schema": 0,
        "cell_size_check": 1,
    }


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE event SET seq = 9",
        "UPDATE event SET stored = x'00' WHERE place = 1",
        "DELETE FROM event",
        "INSERT OR REPLACE INTO event SELECT * FROM event",
        "INSERT OR REPLACE INTO event SELECT 99, id, device, seq, tick_ms, sha, x'00' FROM event LIMIT 1",
        "INSERT OR REPLACE INTO event SELECT place, 'new', device, seq, tick_ms, sha, x'00' FROM event LIMIT 1",
        "REPLACE INTO event SELECT * FROM event LIMIT 1",
        "UPDATE OR REPLACE event SET id = id",
        "INSERT INTO event SELECT * FROM event WHERE true ON CONFLICT DO UPDATE SET seq = 9",
        "INSERT OR IGNORE INTO event SELECT * FROM event",
        "UPDATE record SET candidate = 'another-one'",
        "DELETE FROM record",
        "INSERT INTO record VALUES ('another-one')",
    ],
)
@pytest.mark.parametrize("own", [True, False], ids=["own connection", "any connection"])
def test_nothing_is_ever_changed_or_taken_out(log: Log, path: Path, sql: str, own: bool) -> None:
    """Any connection: the schema alone holds, without the settings of ours."""
    log.append_many(question(1), moment(1))
    before = log.events()
    connection = log._connection if own else sqlite3.connect(path, isolation_level=None)
    with pytest.raises(sqlite3.IntegrityError, match=r"only ever added to|one candidate"):
        connection.execute(sql)
    assert (log.events(), log.candidate, log.verify()) == (before, CANDIDATE, [])


def test_the_refused_statements_would_work_without_the_triggers(log: Log) -> None:
    """So that the test above can fail."""
    log.append_many(question(1), moment(1))
    for name in ("event_never_changes", "event_never_goes", "event_never_replaced"):
        log._connection.execute(f"DROP TRIGGER {name}")
    log._connection.execute("INSERT OR REPLACE INTO event SELECT * FROM event LIMIT 1")
    log._connection.execute("UPDATE event SET seq = 9")
    log._connection.execute("DELETE FROM event WHERE place = 1")
    assert log.verify() != []


def test_a_question_is_recorded_whole_or_not_at_all(log: Log) -> None:
    log.append_many(question(1), moment(1))
    bad = [*question(2), events.Draft("answer", {"point": "x"})]
    with pytest.raises(EventError, match="answer: the field fact is missing"):
        log.append_many(bad, moment(2))
    calls = iter([bytes(10)])

    def entropy(_: int) -> bytes:
        for value in calls:
            return value
        raise KeyboardInterrupt

    log._entropy = entropy
    with pytest.raises(KeyboardInterrupt):
        log.append_many(question(2), moment(2))
    log._entropy = os.urandom
    assert not log._connection.in_transaction
    log.append_many(question(3), moment(3))
    assert questions_held(log.events()) == {1: 3, 3: 3}
    assert log.verify() == []


def test_the_same_id_twice_is_refused_and_nothing_kept(path: Path) -> None:
    log = Log.create(path, CANDIDATE, DEVICE, entropy=lambda n: bytes(n))
    log.append(*drafts.note("x"), moment(1))
    with pytest.raises(LogError, match=r"record\.db"):
        log.append(*drafts.note("y"), moment(1))
    assert [e.body["text"] for e in log.events()] == ["x"]


def test_a_past_is_recorded_with_the_clock_of_its_own_time(log: Log, path: Path) -> None:
    past = [(drafts.setting("handle", name), moment(minutes)) for minutes, name in ((1, "Fox"), (9, "Elk"), (4, "Owl"))]
    written = log.append_history(past)
    assert [event.header.at_ms for event in written] == [START + n * 60_000 for n in (1, 9, 4)]
    ticks = [event.header.tick_ms for event in written]
    assert ticks == sorted(ticks), "the order is that given, whatever the clock said"
    log.close()
    with Log.open(path) as again:
        assert again.events() == written
        assert again.verify() == []


def test_a_past_with_one_body_that_is_none_is_not_recorded_at_all(log: Log) -> None:
    with pytest.raises(EventError):
        log.append_history([(drafts.setting("handle", "Fox"), moment(1)), (("answer", {}), moment(2))])
    assert log.events() == []


def test_two_windows_add_to_one_chain(log: Log, path: Path) -> None:
    with Log.open(path, DEVICE) as other, Log.open(path, "laptop-02") as third:
        for number in range(3):
            log.append_many(question(3 * number), moment(1))
            other.append_many(question(3 * number + 1), moment(1))
            third.append_many(question(3 * number + 2), moment(0))
        assert log.verify() == []
        assert log.events() == other.events() == third.events()
        assert [e.header.seq for e in log.events() if e.header.device == "laptop-02"] == list(range(1, 10))
        assert len({e.header.tick_ms for e in log.events()}) == 27


def test_events_since_a_head(log: Log) -> None:
    log.append_many(question(1), moment(1))
    head = log.head
    assert log.events(head.place) == []
    written = log.append_many(question(2), moment(2))
    assert log.events(head.place) == written
    assert log.head != head


def test_an_empty_record(log: Log) -> None:
    assert (log.events(), log.head, log.verify()) == ([], Head(0, ""), [])


def test_without_a_device_it_can_only_be_read(log: Log, path: Path) -> None:
    with Log.open(path) as reader, pytest.raises(ValueError, match="without a device"):
        reader.append(*drafts.note("x"), moment(1))


@pytest.mark.parametrize(("candidate", "device"), [("no", DEVICE), (CANDIDATE, "No!")])
def test_ids_are_checked_before_a_file_is_made(path: Path, candidate: str, device: str) -> None:
    with pytest.raises(EventError, match="must be an id"):
        Log.create(path, candidate, device)
    assert not path.exists()


def test_a_record_restored_from_an_older_copy_goes_on(log: Log, path: Path) -> None:
    log.append_many(question(1), moment(1))
    older = path.read_bytes()
    log.append_many(question(2), moment(2))
    log.close()
    path.write_bytes(older)
    with Log.open(path, DEVICE) as restored:
        restored.append_many(question(3), moment(3))
        assert [e.header.seq for e in restored.events()] == [1, 2, 3, 4, 5, 6]
        assert questions_held(restored.events()) == {1: 3, 3: 3}
        assert restored.verify() == []


def test_both_branches_of_a_copied_record_can_be_kept(log: Log, path: Path, tmp_path: Path) -> None:
    log.append_many(question(1), moment(1))
    copy = tmp_path / "copy.db"
    copy.write_bytes(path.read_bytes())
    log.append_many(question(2), moment(2))
    with Log.open(copy, DEVICE) as other:
        other.append_many(question(3), moment(3))
        rows = other._connection.execute(
            "SELECT id, device, seq, tick_ms, sha, stored FROM event WHERE place > 3"
        ).fetchall()
    log._connection.executemany("INSERT INTO event VALUES (NULL, ?, ?, ?, ?, ?, ?)", rows)
    assert questions_held(log.events()) == {1: 3, 2: 3, 3: 3}
    assert log.verify() == []
    assert [s.split(":")[0] for s in log.remarks()] == [
        f"Device {DEVICE} has 2 events with the number {n}" for n in (4, 5, 6)
    ]
    log.append_many(question(4), moment(4))
    assert [e.header.seq for e in log.events()[-3:]] == [7, 8, 9]
    assert len(log.remarks()) == 3


def test_a_missing_event_is_told(log: Log) -> None:
    log.append_many(question(1), moment(1))
    log._connection.execute("DROP TRIGGER event_never_goes")
    log._connection.execute("DELETE FROM event WHERE place = 2")
    assert log.verify() == ["Event 2 is missing: the next one there is number 3."]


def test_an_event_that_was_replaced_with_its_hash_breaks_the_chain(log: Log) -> None:
    """Somebody who writes a fitting hash is still found out by the event that follows."""
    written = log.append_many(question(1), moment(1))
    forged = written[1]._replace(body={**written[1].body, "right": not written[1].body["right"]})
    stored = events.canonical_bytes(forged)
    log._connection.execute("DROP TRIGGER event_never_changes")
    log._connection.execute("UPDATE event SET stored = ?, sha = ? WHERE place = 2", (stored, sha256(stored).digest()))
    assert log.verify() == [f"Device {DEVICE}: event 3 does not follow from event 2."]


@pytest.mark.parametrize(
    ("column", "value", "sentence"),
    [
        ("seq", 7, "filed under a wrong id, device, number or time"),
        ("device", "laptop-09", "filed under a wrong"),
        ("tick_ms", 7, "filed under a wrong"),
        ("id", "x", "filed under a wrong"),
        ("sha", b"", "was changed: its hash does not fit"),
        ("stored", b"{}", "was changed: its hash does not fit"),
    ],
)
def test_a_changed_column_is_told(log: Log, column: str, value: object, sentence: str) -> None:
    log.append_many(question(1), moment(1))
    log._connection.execute("DROP TRIGGER event_never_changes")
    log._connection.execute(f"UPDATE event SET {column} = ? WHERE place = 2", (value,))
    (found,) = log.verify()
    assert found.startswith("Event 2 ")
    assert sentence in found


def test_sound_hash_over_foreign_bytes_is_told(log: Log) -> None:
    event = log.append(*drafts.note("x"), moment(1))
    other = event._replace(header=event.header._replace(candidate="candidate-2"))
    log._connection.execute("DROP TRIGGER event_never_changes")
    blanks = events.canonical_bytes(event).replace(b'","', b'", "')
    for stored, sentence in (
        (events.canonical_bytes(other), "belongs to another candidate (candidate-2)"),
        (blanks, "not written as this program writes"),
        (b"[1]", "not events"),
    ):
        sha = sha256(stored).digest()
        log._connection.execute("UPDATE event SET stored = ?, sha = ?", (stored, sha))
        assert sentence in log.verify()[0]
    with pytest.raises(LogDamagedError, match="not events"):
        log.events()


def test_a_gap_in_a_chain_is_told(log: Log) -> None:
    first, _, third = log.append_many(question(1), moment(1))
    assert verification.chain_troubles([first, third]) == []
    (remark,) = verification.chain_remarks([first, third])
    assert remark.startswith(f"Device {DEVICE} has no event with the number 2, but one with 3: something was kept back")


@pytest.mark.parametrize("start", [4096, 0], ids=["tables", "everything"])
def test_damage_while_open_is_told_and_raises_nothing(log: Log, path: Path, start: int) -> None:
    for number in range(20):
        log.append_many(question(number), moment(number))
    log.close()
    with Log.open(path) as again:
        size = path.stat().st_size
        with path.open("r+b") as file:
            file.seek(start)
            file.write(b"\xa5" * (size - start))
        again._connection.execute("PRAGMA shrink_memory").fetchall()  # what SQLite still remembers is sound
        assert again.verify() != []
        assert all(line.endswith(".") and "\n" not in line for line in again.verify())
        with pytest.raises(LogError):
            again.events()


class Interrupted(sqlite3.Connection):
    """A connection whose user presses the interrupt key just when the entry is confirmed."""

    armed = False

    def execute(self, sql: str, *arguments: Any) -> sqlite3.Cursor:
        if sql == "COMMIT" and self.armed:
            self.armed = False
            raise KeyboardInterrupt
        return super().execute(sql, *arguments)


def test_an_interrupt_before_the_commit_leaves_nothing_open(path: Path) -> None:
    Log.create(path, CANDIDATE, DEVICE).close()
    connections: list[Interrupted] = []

    def connect(name: str) -> sqlite3.Connection:
        connections.append(sqlite3.connect(name, isolation_level=None, factory=Interrupted))
        return connections[-1]

    with Log.open(path, DEVICE, connect=connect) as log:
        connections[0].armed = True
        with pytest.raises(KeyboardInterrupt):
            log.append_many(question(1), moment(1))
        assert not connections[0].in_transaction
        log.append_many(question(2), moment(2))
        assert questions_held(log.events()) == {2: 3}


def test_every_flipped_bit_in_an_event_is_found(tmp_path: Path) -> None:
    """Every bit of the bytes and the hash of one event, where SQLite itself sees nothing."""
    source = tmp_path / "source.db"
    with Log.create(source, CANDIDATE, DEVICE) as log:
        log.append_many(question(1), moment(1))
        stored, sha = log._connection.execute("SELECT stored, sha FROM event WHERE place = 2").fetchone()
    whole = bytearray(source.read_bytes())
    unseen_by_sqlite = 0
    chance = random.Random(1)
    with small_folder() as folder:
        path = Path(folder, "x.db")
        for content in (stored, sha):
            start = whole.index(content)
            for bit in sorted(chance.sample(range(8 * len(content)), 200)):
                whole[start + bit // 8] ^= 1 << bit % 8
                path.write_bytes(whole)
                with Log.open(path) as log:
                    unseen_by_sqlite += log._connection.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
                    assert log.verify() != []
                    with pytest.raises(LogDamagedError):
                        log.events()
                whole[start + bit // 8] ^= 1 << bit % 8
    assert unseen_by_sqlite == 400


def test_a_flipped_bit_anywhere_is_found_or_changes_nothing(tmp_path: Path) -> None:
    source = tmp_path / "source.db"
    with Log.create(source, CANDIDATE, DEVICE) as log:
        for number in range(30):
            log.append_many(question(number), moment(number))
        before = log.events()
    whole = bytearray(source.read_bytes())
    chance, found = random.Random(2), 0
    with small_folder() as folder:
        path = Path(folder, "x.db")
        for _ in range(400):
            bit = chance.randrange(8 * len(whole))
            whole[bit // 8] ^= 1 << bit % 8
            path.write_bytes(whole)
            whole[bit // 8] ^= 1 << bit % 8
            try:
                with Log.open(path) as log:
                    assert log.events() == before
            except LogError:
                found += 1
    assert found > 200


class Killed(BaseException):
    """Stands for the end of the process."""


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.tuples(st.just("append"), st.integers(1, 4), st.integers(-3 * 365, 3 * 365)),
            st.tuples(st.just("reopen"), st.just(0), st.just(0)),
            st.tuples(st.just("killed"), st.integers(1, 4), st.integers(0, 3)),
            st.tuples(st.just("other window"), st.integers(1, 4), st.integers(0, 10)),
        ),
        max_size=25,
    )
)
def test_story(steps: list[tuple[str, int, int]]) -> None:
    """Append, reopen, be killed between and in the middle, use a second window, with a clock that leaps by years."""
    model: list[Event] = []
    with small_folder() as folder:
        path = Path(folder, "x.db")
        log = Log.create(path, CANDIDATE, DEVICE)
        for number, (what, size, more) in enumerate(steps):
            now = Moment(START + number * 60_000 + (more * 86_400_000 if what == "append" else 0), 0)
            if what == "append":
                model += log.append_many(question(number, size), now)
            elif what == "other window":
                with Log.open(path, DEVICE if more % 2 else "laptop-02") as other:
                    model += other.append_many(question(number, size), now)
            elif what == "killed":
                left = iter([True] * min(more, size - 1))

                def entropy(count: int, left: "object" = left) -> bytes:
                    if next(left, None) is None:  # type: ignore[call-overload]
                        raise Killed
                    return os.urandom(count)

                log._entropy = entropy
                with contextlib.suppress(Killed):
                    log.append_many(question(number, size), now)
            if what in ("reopen", "killed"):
                log.close()
                log = Log.open(path, DEVICE)
            assert sorted(log.events(), key=events.order) == sorted(model, key=events.order)
        assert log.events() == model  # the order of ticks is the order in which things happened
        assert log.verify() == []
        assert log.head.place == len(model)
        log.close()


WRITER = """
import sys
from tests.records.samples import DEVICE, moment, question
from trainer.records.log import Log
with Log.open(sys.argv[1], DEVICE) as log:
    for number in range(int(sys.argv[2]), 10**6):
        log.append_many(question(number), moment(number))
        print(number, flush=True)
"""


def test_a_killed_process_loses_and_tears_nothing(log: Log, path: Path) -> None:
    """25 rounds on one growing record. This tries our transactions; it says nothing about power cuts."""
    log.close()
    chance, kept = random.Random(4), -1
    for _ in range(25):
        with subprocess.Popen(
            [sys.executable, "-c", WRITER, str(path), str(kept + 1)], stdout=subprocess.PIPE, cwd=ROOT, text=True
        ) as writer:
            assert writer.stdout is not None
            first = writer.stdout.readline()
            assert first.strip() == str(kept + 1)
            time.sleep(chance.uniform(0, 0.08))
            writer.send_signal(signal.SIGKILL)
            said = [int(line) for line in (first + writer.stdout.read()).split("\n")[:-1]]
        with Log.open(path) as found:
            assert found.verify() == []
            held = questions_held(found.events())
        assert set(held.values()) == {3}
        assert set(range(said[-1] + 1)) <= set(held)
        kept = max(held)
