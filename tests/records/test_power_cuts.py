"""Simulated power cuts and failing disks, on the real record over a disk that is watched."""

import contextlib
import random
from pathlib import Path

import apsw
import pytest

from tests.records.apsw_disk import FailingDisk, Image, Operation, RecordingDisk, after_power_cut
from tests.records.samples import CANDIDATE, DEVICE, moment, question, questions_held, small_folder
from trainer.records.errors import LogEmptyError, LogError
from trainer.records.log import Log

QUESTIONS = 40
CUTS = 250

JOURNAL_MAGIC = bytes.fromhex("d9d505f920a163d7")  # "Database File Format", sqlite.org, section 3

Recording = tuple[dict[str, bytes], list[Operation]]


def recorded(*, sync: bool) -> Recording:
    """The file before, and all that was done to it, with ("kept", n) wherever question n was confirmed."""
    disk = RecordingDisk()
    with small_folder() as folder:
        path = Path(folder, "x.db")
        Log.create(path, CANDIDATE, DEVICE).close()
        base = {"x.db": path.read_bytes()}
        with Log.open(path, DEVICE, connect=disk.connect if sync else disk.connect_without_sync) as log:
            for number in range(QUESTIONS):
                log.append_many(question(number), moment(number))
                disk.operations.append(("kept", number))
    return base, disk.operations


def cut(recording: Recording, chance: random.Random) -> tuple[Image, int]:
    """Files after a cut at a random point, and the last question confirmed before (-1 for none)."""
    base, operations = recording
    done = operations[: chance.randint(1, len(operations))]
    kept = max((o[1] for o in done if o[0] == "kept"), default=-1)
    return after_power_cut(base, done, chance), kept


def write(image: Image, folder: str) -> Path:
    for name, content in image.items():
        Path(folder, name).write_bytes(content)
    return Path(folder, "x.db")


def outcome(path: Path, kept: int) -> str:
    """Open what is left as the program would, and judge it."""
    try:
        with Log.open(path) as log:
            if log.verify():
                return "damaged"
            held = questions_held(log.events())
    except LogError:
        return "damaged"
    if set(held.values()) - {3}:
        return "torn"
    return "sound" if set(range(kept + 1)) <= set(held) else "lost"


@pytest.mark.parametrize("seed", range(4))
def test_no_power_cut_loses_or_damages_anything(seed: int) -> None:
    chance = random.Random(seed)
    recording = recorded(sync=True)
    with small_folder() as folder:
        for number in range(CUTS):
            place = Path(folder, str(number))
            place.mkdir()
            image, kept = cut(recording, chance)
            assert outcome(write(image, str(place)), kept) == "sound", (seed, number)


def test_the_cuts_have_teeth() -> None:
    """The same cuts where nothing was synced damage most records, so the test above can fail."""
    chance = random.Random(0)
    recording = recorded(sync=False)
    found = []
    with small_folder() as folder:
        for number in range(CUTS):
            place = Path(folder, str(number))
            place.mkdir()
            image, kept = cut(recording, chance)
            found.append(outcome(write(image, str(place)), kept))
    assert found.count("damaged") > CUTS // 2


def test_a_cut_while_a_record_is_made_leaves_it_whole_or_plainly_empty() -> None:
    disk = RecordingDisk()
    with small_folder() as folder:
        Log.create(Path(folder, "x.db"), CANDIDATE, DEVICE, connect=disk.connect).close()
    chance, seen = random.Random(5), set()
    for _ in range(CUTS):
        done = disk.operations[: chance.randint(1, len(disk.operations))]
        with small_folder() as folder:
            path = write(after_power_cut({"x.db": b""}, done, chance), folder)
            try:
                with Log.open(path) as log:
                    assert (log.verify(), log.candidate) == ([], CANDIDATE)
                seen.add("whole")
            except LogEmptyError:
                seen.add("empty")
    assert seen == {"whole", "empty"}


def test_a_first_page_torn_to_nothing_is_put_back_from_the_journal() -> None:
    """Coarser tearing than by 512 bytes: the whole first page is gone, and the journal still has it."""
    chance, recording, tried = random.Random(3), recorded(sync=True), 0
    while tried < 20:
        image, kept = cut(recording, chance)
        if image.get("x.db-journal", b"")[:8] != JOURNAL_MAGIC:
            continue
        tried += 1
        image["x.db"][:4096] = bytes(4096)
        with small_folder() as folder:
            assert outcome(write(image, folder), kept) == "sound"


# ---------------------------------------------------------------- the n-th input or output fails


@pytest.fixture(scope="module")
def base() -> bytes:
    """A record with three questions."""
    with small_folder() as folder:
        path = Path(folder, "x.db")
        with Log.create(path, CANDIDATE, DEVICE) as log:
            for number in range(3):
                log.append_many(question(number), moment(number))
        return path.read_bytes()


@pytest.mark.parametrize("sticky", [False, True], ids=["once", "sticky"])
@pytest.mark.parametrize("code", [apsw.SQLITE_IOERR, apsw.SQLITE_FULL], ids=["fails", "full"])
def test_every_failing_write_leaves_all_or_nothing(base: bytes, sticky: bool, code: int) -> None:
    """Fail the first, the second, the third … input or output until the entry gets through."""
    disk, failures = FailingDisk(), 0
    for nth in range(1, 200):
        with small_folder() as folder:
            path = Path(folder, "x.db")
            path.write_bytes(base)
            log = Log.open(path, DEVICE, connect=disk.connect)
            disk.arm(nth, sticky=sticky, code=code)
            refusal = ""
            try:
                log.append_many(question(3), moment(3))
            except LogError as error:
                refusal = str(error)
            failed = disk.failed
            disk.disarm()
            if not sticky:
                # The same open record goes on working after a single failure.
                log.append_many(question(4), moment(4))
            log.close()
            with Log.open(path) as again:
                assert again.verify() == []
                held = questions_held(again.events())
        assert set(held.values()) == {3}
        assert set(held) >= {0, 1, 2} | (set() if sticky else {4})
        assert str(path) in refusal if refusal else 3 in held
        failures += bool(refusal)
        if not failed:
            break
    else:
        pytest.fail("the entry never got through")
    assert failures > 5


@pytest.mark.parametrize("sticky", [False, True], ids=["once", "sticky"])
def test_every_failure_while_opening_is_a_sentence_and_changes_nothing(base: bytes, sticky: bool) -> None:
    disk, refusals = FailingDisk(), 0
    with small_folder() as folder:
        path = Path(folder, "x.db")
        path.write_bytes(base)
        for nth in range(1, 200):
            disk.arm(nth, sticky=sticky)
            try:
                with Log.open(path, connect=disk.connect) as log:
                    assert len(log.events()) == 9
            except LogError:
                refusals += 1
            failed = disk.failed
            disk.disarm()
            assert path.read_bytes() == base
            assert [p.name for p in Path(folder).iterdir()] == ["x.db"]
            if not failed:
                break
        else:
            pytest.fail("the record never opened")
    assert refusals > 3


@pytest.mark.parametrize("sticky", [False, True], ids=["once", "sticky"])
def test_a_second_failure_while_recovering_from_a_cut_loses_nothing(sticky: bool) -> None:
    """A cut leaves a journal to roll back; the roll-back is then made to fail at every step, and tried again."""
    chance, recording, disk = random.Random(11), recorded(sync=True), FailingDisk()
    tried = 0
    while tried < 2:
        image, kept = cut(recording, chance)
        if image.get("x.db-journal", b"")[:8] != JOURNAL_MAGIC:
            continue
        tried += 1
        for nth in range(1, 300):
            with small_folder() as folder:
                path = write(image, folder)
                disk.arm(nth, sticky=sticky)
                with contextlib.suppress(LogError):
                    Log.open(path, connect=disk.connect).close()
                failed = disk.failed
                disk.disarm()
                assert outcome(path, kept) == "sound"
            if not failed:
                break
        else:
            pytest.fail("the record never opened")
