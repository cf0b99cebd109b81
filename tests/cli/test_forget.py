"""Taking a candidate off the laptop, from outside."""

from pathlib import Path

import pytest

from tests.cli.running import objects, stepcall


def kept(home: Path) -> set[str]:
    """The folders and files that hold something of a candidate."""
    names = {str(path.relative_to(home)).split("/")[0] for path in home.rglob("*") if path.is_file()}
    return names & {"records", "backups"} | {str(p.relative_to(home)) for p in home.glob("cache/standing/*")}


def test_a_sitting_leaves_a_backup_and_forget_removes_everything(heron: Path) -> None:
    objects(stepcall(heron, "ask", "--json", "--questions", "1", typed='{"answer": 0}\n'))
    assert {"records", "backups"} < kept(heron)
    (heron / "crash.txt").write_text("Heron was on the screen")
    done = stepcall(heron, "forget", "heron", typed="Heron\n")
    assert done.returncode == 0, done.stderr
    assert (
        "Removed: record files: 1, backup copies: 1, kept calculations: 1, packets of evenings: 0, crash reports: 1."
        in done.stdout
    )
    assert not (heron / "crash.txt").exists()
    assert "handed to others stays with them" in done.stdout
    assert kept(heron) == set()
    assert "No candidate is on this laptop yet" in stepcall(heron, "readiness").stderr


@pytest.mark.parametrize("typed", ["", "\n", "yes\n", "heron\n"])
def test_nothing_is_removed_unless_the_handle_is_typed_as_it_is(heron: Path, typed: str) -> None:
    before = kept(heron)
    done = stepcall(heron, "forget", "heron", typed=typed)
    assert (done.returncode, done.stderr) == (2, "Nothing was removed.\n")
    assert kept(heron) == before


def test_a_script_need_not_be_asked(heron: Path) -> None:
    assert stepcall(heron, "forget", "Heron", "--yes").returncode == 0
    assert kept(heron) == set()


def test_somebody_who_is_not_there_is_told(heron: Path) -> None:
    done = stepcall(heron, "forget", "Stork\x1b[2J", "--yes")
    assert done.returncode == 2
    assert "On this laptop: Heron." in done.stderr
    assert "\x1b" not in done.stderr
    assert "records" in kept(heron)
