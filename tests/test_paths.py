"""Where things are kept, and that what is kept is for its owner only."""

import errno
import os
import stat
from pathlib import Path

import pytest

from trainer.paths import HOME_VARIABLE, HomeError, home, private_folder, write_private, write_whole


def test_the_variable_moves_everything(tmp_path: Path) -> None:
    assert home({HOME_VARIABLE: str(tmp_path)}).root == tmp_path


def test_a_tilde_is_the_user_s_own_folder() -> None:
    assert home({HOME_VARIABLE: "~/drill"}).root == Path.home() / "drill"


@pytest.mark.parametrize("named", ["~nosuchuser", "~nosuchuser/drill"])
def test_the_folder_of_an_unknown_user_is_told(named: str) -> None:
    with pytest.raises(HomeError, match="no such user"):
        home({HOME_VARIABLE: named})


def test_a_relative_folder_seen_from_nowhere_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    monkeypatch.chdir(gone)
    gone.rmdir()
    with pytest.raises(HomeError, match="whole path"):
        home({HOME_VARIABLE: "drill"})


def test_folders_that_are_made_are_private_and_those_that_are_there_stay(tmp_path: Path) -> None:
    tmp_path.chmod(0o755)
    private_folder(tmp_path / "home" / "records")
    private_folder(tmp_path / "home" / "records")
    modes = [path.stat().st_mode & 0o777 for path in (tmp_path, tmp_path / "home", tmp_path / "home" / "records")]
    assert modes == [0o755, 0o700, 0o700]


def test_a_file_is_private_and_replaced_whole(tmp_path: Path) -> None:
    path = tmp_path / "here.json"
    write_private(path, b"old")
    write_private(path, b"new")
    assert path.read_bytes() == b"new"
    assert path.stat().st_mode & 0o777 == 0o600
    assert list(tmp_path.iterdir()) == [path]


def test_a_file_that_cannot_be_written_is_as_it_was_and_leaves_no_draft(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "here.json"
    write_private(path, b"old")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(OSError, match="No space"):
        write_private(path, b"new")
    assert path.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [path]


@pytest.mark.parametrize("settled", [True, False])
def test_a_new_file_takes_the_place_of_nothing(tmp_path: Path, settled: bool) -> None:
    path, link = tmp_path / "sheet.html", tmp_path / "link"
    write_whole(path, b"one", over=False, settled=settled)
    link.symlink_to(tmp_path / "nowhere")
    for there in (path, link, tmp_path):
        with pytest.raises(FileExistsError):
            write_whole(there, b"two", over=False, settled=settled)
    assert path.read_bytes() == b"one"
    assert sorted(tmp_path.iterdir()) == [link, path]


def test_a_file_that_appears_meanwhile_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "sheet.html"
    monkeypatch.setattr(os.path, "lexists", lambda _: False)
    path.write_bytes(b"another's")
    with pytest.raises(FileExistsError):
        write_whole(path, b"mine", over=False)
    assert path.read_bytes() == b"another's"
    assert list(tmp_path.iterdir()) == [path]


def test_a_disk_without_second_names_takes_a_new_file_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise PermissionError(errno.EPERM, os.strerror(errno.EPERM))

    monkeypatch.setattr(os, "link", refuse)
    write_whole(tmp_path / "sheet.html", b"one", over=False)
    assert (tmp_path / "sheet.html").read_bytes() == b"one"
    assert [path.name for path in tmp_path.iterdir()] == ["sheet.html"]


@pytest.mark.parametrize("number", [errno.EINVAL, errno.ENOTSUP, errno.EACCES, errno.EIO])
def test_a_disk_that_settles_no_names_takes_a_file_and_one_that_fails_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    settle = os.fsync

    def refuse(handle: int) -> None:
        if stat.S_ISDIR(os.fstat(handle).st_mode):
            raise OSError(number, os.strerror(number))
        settle(handle)

    monkeypatch.setattr(os, "fsync", refuse)
    path = tmp_path / "sheet.html"
    if number == errno.EIO:
        with pytest.raises(OSError, match="Input/output"):
            write_whole(path, b"one", over=False)
    else:
        write_whole(path, b"one", over=False)
        assert path.read_bytes() == b"one"
    assert not list(tmp_path.glob(".*"))


def test_rights_are_those_asked_for(tmp_path: Path) -> None:
    before = os.umask(0o022)
    try:
        write_whole(tmp_path / "own", b"")
        write_whole(tmp_path / "all", b"", private=False)
    finally:
        os.umask(before)
    assert [(tmp_path / name).stat().st_mode & 0o777 for name in ("own", "all")] == [0o600, 0o644]
