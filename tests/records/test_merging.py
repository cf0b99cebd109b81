"""Records that meet: nothing lost, nothing doubled, whatever the clocks, and nothing changed by what is refused."""

import contextlib
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import trainer
from tests.records.apsw_disk import FailingDisk
from tests.records.samples import CANDIDATE, DEVICE, START, moment, question, questions_held, small_folder
from tests.records.travelling import SPONSOR, changed, filled, key_in, packet_of
from trainer.records import drafts, errors, events
from trainer.records.clock import Moment
from trainer.records.events import Event, EventError
from trainer.records.log import Log
from trainer.records.packet import unpacked

ROOT = Path(trainer.__file__).parents[1]
DAY = 86_400_000


@pytest.fixture
def source(tmp_path: Path) -> Log:
    return filled(tmp_path / "source.db")


@pytest.fixture
def target(tmp_path: Path) -> Log:
    return Log.create(tmp_path / "target.db", CANDIDATE, SPONSOR)


def test_a_merge_brings_everything_once(source: Log, target: Log) -> None:
    told = source.events()
    first = target.merge(told, moment(9))
    assert (first.new, first.known, first.own) == (len(told), 0, 0)
    before = Path(target.path).read_bytes()
    second = target.merge(told, moment(10))
    assert (second.new, second.known) == (0, len(told))
    assert Path(target.path).read_bytes() == before
    assert target.events() == told
    assert (target.verify(), target.remarks()) == ([], [])


def test_taskings_come_back_and_the_record_goes_on(source: Log, target: Log, tmp_path: Path) -> None:
    """There and back by packets: both records hold the same, and both go on."""
    fox, owl = key_in(tmp_path, "fox"), key_in(tmp_path, "owl")
    target.merge(unpacked(packet_of(source, fox)).events, moment(9))
    task = target.append(*drafts.tasking(work=["harbour.right-flank"], until="2026-12-01"), moment(10))
    back = source.merge(unpacked(packet_of(target, owl, SPONSOR)).events, moment(11))
    assert back.new == 1
    assert source.events() == target.events()
    assert task in source.events()
    more = source.append_many(question(7), moment(12))
    assert [event.header.seq for event in more] == [11, 12, 13]
    assert (source.verify(), source.remarks()) == ([], [])


def test_an_own_packet_read_back_changes_nothing(source: Log, tmp_path: Path) -> None:
    found = source.merge(unpacked(packet_of(source, key_in(tmp_path))).events, moment(9))
    assert (found.new, found.own) == (0, 0)


def test_other_content_under_a_known_id_is_told_and_ours_is_kept(source: Log, target: Log) -> None:
    told = source.events()
    target.merge(told, moment(9))
    forged = told[0]._replace(body={**told[0].body, "value": "Wolf"})
    found = target.merge([forged, *told[1:]], moment(9))
    assert found.conflicting == (told[0].header.id,)
    assert found.new == 0
    assert target.events() == told


def test_other_content_under_an_id_of_the_same_packet_is_told(source: Log, target: Log) -> None:
    told = source.events()
    forged = told[0]._replace(body={**told[0].body, "value": "Wolf"})
    found = target.merge([told[0], forged, told[0]], moment(9))
    assert (found.new, found.known, found.conflicting) == (1, 1, (told[0].header.id,))


def test_events_of_another_candidate_are_refused_whole(source: Log, target: Log) -> None:
    told = source.events()
    with pytest.raises(EventError, match="another candidate"):
        target.merge([*told[:2], changed(told[2], candidate="candidate-2")], moment(9))
    assert target.events() == []


def test_a_copied_record_is_told_and_both_branches_kept(source: Log, target: Log, tmp_path: Path) -> None:
    copy = tmp_path / "copy.db"
    copy.write_bytes(Path(source.path).read_bytes())
    source.append_many(question(7), moment(7))
    with Log.open(copy, DEVICE) as other:
        other.append_many(question(8), moment(8))
        target.merge(source.events(), moment(9))
        found = target.merge(other.events(), moment(9))
        assert found.copied == (DEVICE,)
        assert questions_held([e for e in target.events() if e.kind == "answer"]) == dict.fromkeys((0, 1, 2, 7, 8), 3)
        assert target.verify() == []
        assert all("copied" in line for line in target.remarks())
        # The laptop whose record was copied finds out too, and its own chain goes on.
        own = source.merge(other.events(), moment(9))
        assert (own.own, own.copied) == (3, (DEVICE,))
    assert source.append_many(question(9), moment(9))[0].header.seq == 14


def test_a_clock_in_the_future_does_not_move_ours(source: Log, target: Log) -> None:
    late = source.append(*drafts.note("x"), Moment(START + 3 * DAY, 0))
    found = target.merge(source.events(), moment(9))
    assert found.ahead == {DEVICE: late.header.at_ms - moment(9).at_ms}
    assert target.append(*drafts.note("y"), moment(10)).header.tick_ms == moment(10).at_ms
    with Log.open(target.path, SPONSOR) as again:
        assert again.append(*drafts.note("z"), moment(11)).header.tick_ms == moment(11).at_ms
        assert again.verify() == []
    assert late in target.events()


def test_a_clock_less_than_a_day_ahead_keeps_the_order(source: Log, target: Log) -> None:
    late = source.append(*drafts.note("x"), Moment(moment(9).at_ms + DAY, 0))
    found = target.merge(source.events(), moment(9))
    assert found.ahead == {}
    assert target.append(*drafts.note("y"), moment(10)).header.tick_ms == late.header.tick_ms + 1


def test_a_poisoned_order_time_does_not_move_ours(source: Log, target: Log) -> None:
    """The clock reading may look right while the order time lies at the end of all days."""
    told = source.events()
    target.merge([changed(told[0], tick_ms=2**53 - 1)], moment(9))
    assert target.append(*drafts.note("y"), moment(10)).header.tick_ms == moment(10).at_ms


def test_a_clock_that_went_back_is_told(source: Log, target: Log) -> None:
    source.append(*drafts.note("x"), Moment(0, 0))  # 1970
    found = target.merge(source.events(), moment(9))
    assert found.back == {DEVICE: moment(2).at_ms}
    assert found.ahead == {}


def test_what_was_kept_back_is_a_remark_and_no_damage(source: Log, target: Log) -> None:
    source.append(*drafts.note("private"), moment(3))
    source.append(*drafts.setting("minutes", 20), moment(4))
    target.merge([event for event in source.events() if event.kind != "note"], moment(9))
    assert target.verify() == []
    assert [line.partition(":")[0] for line in target.remarks()] == [
        f"Device {DEVICE} has no event with the number 11, but one with 12"
    ]


# ---------------------------------------------------------------- interruptions


def test_merging_while_another_process_writes(source: Log, target: Log) -> None:
    with contextlib.closing(sqlite3.connect(target.path, isolation_level=None, check_same_thread=False)) as other:
        target._connection.execute("PRAGMA busy_timeout = 20")
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(errors.LogBusyError):
            target.merge(source.events(), moment(9))
        assert target.events() == []
        target._connection.execute("PRAGMA busy_timeout = 5000")
        timer = threading.Timer(0.2, other.execute, ["ROLLBACK"])
        timer.start()
        assert target.merge(source.events(), moment(9)).new == 10
        timer.join()


def test_a_full_disk_in_the_middle_changes_nothing(tmp_path: Path) -> None:
    source = filled(tmp_path / "source.db", questions=200)
    target = filled(tmp_path / "target.db", SPONSOR)
    before = target.events()
    pages = target._connection.execute("PRAGMA page_count").fetchone()[0]
    target._connection.execute(f"PRAGMA max_page_count = {pages + 10}").fetchall()
    with pytest.raises(errors.LogFullError):
        target.merge(source.events(), moment(900))
    assert target.events() == before
    assert target.verify() == []


@pytest.mark.parametrize("sticky", [False, True], ids=["once", "sticky"])
def test_whichever_access_to_the_disk_fails_it_is_all_or_nothing(tmp_path: Path, sticky: bool) -> None:
    told = filled(tmp_path / "source.db").events()
    ahead = changed(told[0], id=events.new_id(START, bytes(10)), seq=99, tick_ms=2**52)  # also makes a table
    base_path = tmp_path / "base.db"
    filled(base_path, SPONSOR, 1).close()
    base, disk, failures = base_path.read_bytes(), FailingDisk(), 0
    for nth in range(1, 300):
        with small_folder() as folder:
            path = Path(folder, "x.db")
            path.write_bytes(base)
            log = Log.open(path, SPONSOR, connect=disk.connect)
            disk.arm(nth, sticky=sticky)
            refused = False
            try:
                log.merge([*told, ahead], moment(9))
            except errors.LogError:
                refused = True
            failed = disk.failed
            disk.disarm()
            log.close()
            with Log.open(path) as again:
                assert again.verify() == []
                assert again.head.place in ((4, 15) if refused else (15,))
        failures += refused
        if not failed:
            break
    else:
        pytest.fail("the merge never got through")
    assert failures > 5


MERGER = """
import sys, time
from pathlib import Path
from tests.records.samples import moment
from tests.records.travelling import SPONSOR
from trainer.records.log import Log
with Log.open(sys.argv[1]) as source, Log.open(sys.argv[2], SPONSOR) as target:
    told = source.events()
    print("now", flush=True)
    target.merge(told, moment(900))
    print("done", flush=True)
"""


def test_a_merge_that_is_killed_is_all_or_nothing(tmp_path: Path) -> None:
    source = filled(tmp_path / "source.db", questions=300)
    whole = source.head.place
    chance, outcomes = random.Random(3), set()
    for number in range(12):
        path = tmp_path / f"target-{number}.db"
        Log.create(path, CANDIDATE, SPONSOR).close()
        with subprocess.Popen(
            [sys.executable, "-c", MERGER, source.path, str(path)], stdout=subprocess.PIPE, cwd=ROOT, text=True
        ) as merger:
            assert merger.stdout is not None
            assert merger.stdout.readline() == "now\n"
            time.sleep(chance.uniform(0, 0.04))
            merger.send_signal(signal.SIGKILL)
        with Log.open(path) as found:
            assert found.verify() == []
            outcomes.add(found.head.place)
    assert outcomes <= {0, whole}


# ---------------------------------------------------------------- stories


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(st.integers(0, 2), st.sampled_from(["write", "carry", "carry twice"]), st.integers(-900, 900)),
        max_size=30,
    )
)
def test_story(steps: list[tuple[int, str, int]]) -> None:
    """Three laptops with clocks that leap by years: in the end all hold the same, and all that was written."""
    written: dict[str, Event] = {}
    with small_folder() as folder, contextlib.ExitStack() as stack:
        logs = [stack.enter_context(Log.create(Path(folder, f"{n}.db"), CANDIDATE, f"laptop-0{n}")) for n in range(3)]
        for number, (who, what, days) in enumerate(steps):
            now = Moment(START + number * 60_000 + days * DAY, 0)
            if what == "write":
                written |= {e.header.id: e for e in logs[who].append_many(question(number, 2), now)}
            else:
                other = logs[(who + 1 + days % 2) % 3]
                for _ in range(1 + (what == "carry twice")):
                    other.merge(logs[who].events(), now)
        for who in (0, 1, 2, 0, 1):
            logs[(who + 1) % 3].merge(logs[who].events(), moment(0))
        expected = sorted(written.values(), key=events.order)
        for log in logs:
            assert log.events() == expected
            assert (log.verify(), log.remarks()) == ([], [])
