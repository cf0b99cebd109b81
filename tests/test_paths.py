"""Where things are kept, and that what is kept is for its owner only."""

import errno
import os
from pathlib import Path

import pytest

from trainer.paths import HOME_VARIABLE, HomeError, home, private_folder, write_private


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
