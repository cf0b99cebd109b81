"""Packets on the disk: whatever stands in the way, a sentence, and nothing is left or lost."""

import contextlib
import errno
import os
import subprocess
from pathlib import Path

import pytest

from tests.records.disks import cannot
from trainer.coach.carrying import read_file, write_file
from trainer.records.packet import MOST_BYTES, PacketError

CONTENT = b"x" * 50_000


def sentence(error: PacketError, path: Path) -> str:
    text = str(error)
    assert str(path) in text
    assert text.endswith(".")
    assert "\n" not in text
    assert "Errno" not in text
    return text


def refused_write(path: Path) -> str:
    before = sorted(p.name for p in path.parent.iterdir()) if path.parent.is_dir() else []
    with pytest.raises(PacketError) as caught:
        write_file(path, CONTENT)
    after = sorted(p.name for p in path.parent.iterdir()) if path.parent.is_dir() else []
    assert before == after
    return sentence(caught.value, path)


def test_what_was_written_is_read_back(tmp_path: Path) -> None:
    path = tmp_path / "fox.packet"
    write_file(path, CONTENT)
    assert read_file(path) == CONTENT
    assert path.stat().st_mode & 0o777 == 0o600
    assert [p.name for p in tmp_path.iterdir()] == ["fox.packet"]


def test_what_a_file_should_hold_is_called_by_its_name(tmp_path: Path) -> None:
    with pytest.raises(PacketError, match="a folder; give the path of a sheet"):
        read_file(tmp_path, "sheet")


def test_nothing_that_is_there_is_touched(tmp_path: Path) -> None:
    there, folder, link, broken = (tmp_path / name for name in ("there", "folder", "link", "broken"))
    there.write_bytes(b"old")
    folder.mkdir()
    link.symlink_to(there)
    broken.symlink_to(tmp_path / "nowhere")
    for path, what in ((there, "a file"), (folder, "a folder"), (link, "a file"), (broken, "a file")):
        assert f"There is {what} at" in refused_write(path)
    assert there.read_bytes() == b"old"


def test_no_folder_and_no_name(tmp_path: Path) -> None:
    assert "No such file" in refused_write(tmp_path / "removed" / "fox.packet")
    refused_write(tmp_path / ("x" * 300))


def test_a_full_medium(medium: Path) -> None:
    with contextlib.suppress(OSError), (medium / "filler").open("wb") as file:
        while True:
            file.write(bytes(4096))
            file.flush()
    assert "No space left" in refused_write(medium / "fox.packet")


def test_a_read_only_medium(medium: Path) -> None:
    write_file(medium / "fox.packet", CONTENT)
    subprocess.run(["mount", "-o", "remount,ro", str(medium)], check=True)
    assert "Read-only" in refused_write(medium / "other.packet")
    assert read_file(medium / "fox.packet") == CONTENT


def test_a_disk_that_keeps_something_else_is_found_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(Path, "read_bytes", lambda _: b"other")
    assert "not what was written" in refused_write(tmp_path / "fox.packet")


def test_paths_that_are_no_packets(tmp_path: Path) -> None:
    pipe, loop, folder = tmp_path / "pipe", tmp_path / "loop", tmp_path / "folder"
    os.mkfifo(pipe)
    loop.symlink_to(loop)
    folder.mkdir()
    for path, told in (
        (pipe, f"{pipe} is no plain file; give the path of a packet."),
        (loop, f"{loop} cannot be read: {os.strerror(errno.ELOOP)}. Copy the packet to this laptop and try again."),
        (folder, f"{folder} is a folder; give the path of a packet."),
        (Path("."), ". is a folder; give the path of a packet."),
        (Path("/dev/zero"), "/dev/zero is no plain file; give the path of a packet."),
        (tmp_path / "missing", f"There is no file {tmp_path / 'missing'}; check the path."),
    ):
        with pytest.raises(PacketError) as caught:
            read_file(path)
        assert str(caught.value) == told


@pytest.mark.parametrize("path", [Path("."), Path(".."), Path("/")])
def test_a_path_without_a_name_of_its_own_is_a_folder(path: Path) -> None:
    assert refused_write(path) == f"There is a folder at {path} already, so no packet was written; choose another name."


def test_no_more_is_read_than_a_packet_may_have(tmp_path: Path) -> None:
    path = tmp_path / "large"
    with path.open("wb") as file:
        try:
            file.truncate(3 * MOST_BYTES)
        except OSError as error:
            cannot(f"no file with a hole can be made here: {error}")
    assert len(read_file(path)) == MOST_BYTES + 1
