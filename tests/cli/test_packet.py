"""Packets from outside: made, compared, accepted, read."""

from pathlib import Path

import pytest

from tests.cli.running import objects, stepcall


def test_there_and_back(heron: Path, tmp_path: Path) -> None:
    desk, file = tmp_path / "desk", tmp_path / "heron.packet"
    (made,) = objects(stepcall(heron, "packet", "make", str(file), "--json"))
    assert made["candidate"] == "Heron"
    refused = stepcall(desk, "packet", "read", str(file), "--new")
    assert (refused.returncode, refused.stdout) == (2, "")
    assert made["key"] in refused.stderr
    (read,) = objects(stepcall(desk, "packet", "read", str(file), "--new", "--accept", made["key"], "--json"))
    assert (read["new"], read["record_made"], read["packet"]) == (made["events"], True, made["packet"])
    again = stepcall(desk, "packet", "read", str(file))
    assert again.returncode == 0
    assert "0 new events" in again.stdout
    assert "does not show who sat at the keyboard" in again.stdout
    (key,) = objects(stepcall(desk, "packet", "key", "--json"))
    assert [row["key"] for row in key["accepted"]] == [made["key"]]
    assert key["key"] != made["key"]


@pytest.mark.parametrize("name", ["missing", "folder", "garbage", "name\nwith\x1b[31m"])
def test_bad_files_are_refused_in_a_sentence(heron: Path, tmp_path: Path, name: str) -> None:
    path = tmp_path / name
    if name == "folder":
        path.mkdir()
    elif name == "garbage":
        path.write_bytes(bytes(range(256)))
    done = stepcall(heron, "packet", "read", str(path))
    assert (done.returncode, done.stdout) == (2, "")
    assert "Traceback" not in done.stderr
    assert "\x1b" not in done.stderr


def test_without_an_action_the_help_is_shown(heron: Path) -> None:
    done = stepcall(heron, "packet")
    assert done.returncode == 2
    assert "make" in done.stderr


def test_the_demo_makes_packets_too(tmp_path: Path) -> None:
    (made,) = objects(stepcall(tmp_path / "home", "packet", "make", str(tmp_path / "x"), "--demo", "--json"))
    assert made["events"] > 100
