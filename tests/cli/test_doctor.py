"""What the doctor finds, from outside; records that were damaged are named and left as they are."""

import json
import sqlite3
import subprocess
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import objects, stepcall


def record(home: Path) -> Path:
    (path,) = home.joinpath("records").glob("*.db")
    return path


def test_a_sound_record(heron: Path) -> None:
    (told,) = objects(stepcall(heron, "doctor", "--json"))
    assert told["sound"] is True
    assert told["sqlite"] == sqlite3.sqlite_version
    assert told["home"] == str(heron)
    assert told["records"][0]["handle"] == "Heron"
    assert told["records"][0]["trouble"] == []
    done = stepcall(heron, "doctor")
    assert "sound" in done.stdout
    assert sqlite3.sqlite_version in done.stdout


def test_a_crash_that_was_written_down_is_named(heron: Path) -> None:
    (told,) = objects(stepcall(heron, "doctor", "--json"))
    assert told["crash"] is None
    assert "crash.txt" not in stepcall(heron, "doctor").stdout
    (heron / "crash.txt").write_text("Traceback")
    (told,) = objects(stepcall(heron, "doctor", "--json"))
    assert (told["crash"], told["sound"]) == (str(heron / "crash.txt"), True)
    said = stepcall(heron, "doctor").stdout
    assert str(heron / "crash.txt") in said
    assert "may hold names" in said


def test_a_backup_copy_put_where_the_doctor_says_makes_a_lost_record_whole(heron: Path) -> None:
    objects(stepcall(heron, "ask", "--json", "--questions", "1", typed='{"answer": 0}\n'))
    whole = record(heron).read_bytes()
    record(heron).write_bytes(whole[:3000])
    (told,) = objects_of_trouble(stepcall(heron, "doctor", "--json"))
    (copy,) = Path(told["backups"]).glob("*.db")
    record(heron).write_bytes(copy.read_bytes())
    (healed,) = objects(stepcall(heron, "doctor", "--json"))
    assert (healed["sound"], healed["records"][0]["handle"]) == (True, "Heron")
    assert str(heron / "backups") in stepcall(heron, "doctor").stdout


def objects_of_trouble(done: subprocess.CompletedProcess[str]) -> list[Any]:
    assert done.returncode == 2
    return [json.loads(line) for line in done.stdout.splitlines()]


def test_no_records_yet(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "doctor")
    assert done.returncode == 0
    assert "no records yet" in done.stdout


@pytest.mark.parametrize("damage", ["empty", "cut", "overwritten", "foreign", "flipped"])
def test_a_damaged_record_is_named_and_left_untouched(heron: Path, damage: str) -> None:
    path = record(heron)
    content = bytearray(path.read_bytes())
    if damage == "empty":
        content = bytearray()
    elif damage == "cut":
        content = content[: len(content) // 2]
    elif damage == "overwritten":
        content[:64] = b"x" * 64
    elif damage == "flipped":
        place = content.rindex(b"Heron")
        content[place] ^= 1
    path.unlink()
    if damage == "foreign":
        other = sqlite3.connect(path)
        other.execute("CREATE TABLE theirs (a)")
        other.close()
        content = bytearray(path.read_bytes())
    else:
        path.write_bytes(content)
    done = stepcall(heron, "doctor", "--json")
    told = json.loads(done.stdout)
    assert done.returncode == 2
    assert told["sound"] is False
    assert told["records"][0]["file"] == str(path)
    assert told["records"][0]["trouble"]
    for verb in (["readiness"], ["ask"]):
        refused = stepcall(heron, *verb)
        assert refused.returncode == 2, refused.stdout
        assert "Traceback" not in refused.stderr
        assert str(path) in refused.stderr
    assert path.read_bytes() == content
