"""A candidate's files: what is made, who may read it, what is copied, and that he can be forgotten."""

import os
from datetime import date
from pathlib import Path

import pytest

from tests.coach.sitting import START, TEST_ON, candidate_in, later, sit
from trainer.coach.candidate import (
    CandidateError,
    create,
    device_id,
    keep_backup,
    open_candidate,
    people,
    read_date,
    settings,
)
from trainer.coach.forgetting import forget, person_to_forget
from trainer.coach.here import here, keep_here, last_person
from trainer.coach.standing import save_standing
from trainer.paths import Home
from trainer.records.log import Log


def files(home: Home) -> dict[str, int]:
    """Every file under a home with its mode."""
    return {
        str(path.relative_to(home.root)): path.stat().st_mode & 0o777
        for path in sorted(home.root.rglob("*"))
        if path.is_file()
    }


def test_everything_that_is_kept_of_a_candidate_is_for_the_owner_only(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 3)
    save_standing(candidate, deck, later(days=1))
    assert keep_backup(candidate, later(days=1)) == ""
    kept = files(candidate.home)
    assert {name.split("/")[0] for name in kept} == {"records", "backups", "cache", "device", "here.json"}
    assert set(kept.values()) == {0o600}
    folders = [path for path in candidate.home.root.rglob("*") if path.is_dir()]
    assert {path.stat().st_mode & 0o777 for path in (candidate.home.root, *folders)} == {0o700}


def test_a_backup_holds_what_the_record_holds(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 3)
    assert keep_backup(candidate, later(days=1)) == ""
    with Log.open(candidate.home.backups / f"{candidate.id}.1.db") as copy:
        assert copy.events() == candidate.events()


def test_a_backup_that_cannot_be_made_is_a_sentence_and_no_error(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 1)
    candidate.home.backups.write_text("a file where the folder should be")
    told = keep_backup(candidate, later(days=1))
    assert "Every answer is in the record" in told
    assert str(candidate.home.backups) in told
    assert candidate.log.verify() == []


def test_an_id_of_the_laptop_that_cannot_be_kept_is_a_sentence(tmp_path: Path) -> None:
    home = Home(tmp_path / "home")
    home.device.mkdir(parents=True)
    with pytest.raises(CandidateError, match="id of this laptop cannot be kept"):
        create(home, settings("Morgan"), START)
    assert {path.name for path in home.root.iterdir()} == {"device", "records"}
    assert people(home) == []


def test_the_id_of_the_laptop_stays(tmp_path: Path) -> None:
    home = Home(tmp_path)
    assert device_id(home) == device_id(home)


def test_forgetting_takes_all_files_of_one_and_none_of_another(tmp_path: Path) -> None:
    one, deck = candidate_in(tmp_path)
    home = one.home
    sit(one, deck, START, 3)
    other = create(home, settings("Lee", "harbour-guard-marching", TEST_ON, 15), START)
    for candidate in (one, other):
        for days in (1, 2):
            sit(candidate, deck, later(days=days), 1)
            keep_backup(candidate, later(days=days))
        save_standing(candidate, deck, later(days=2))
        candidate.close()
    keep_here(home, "theme", "day")
    left = home.standings(one.id) / "fold.bin.1-2.new"
    left.write_bytes(b"left by a write that was cut short")
    keep_here(home, "candidate", one.id)
    removed = forget(home, person_to_forget(home, "morgan").id)
    assert removed == (1, 2, 2, 0, 0)
    assert not [name for name in files(home) if one.id in name]
    assert len([name for name in files(home) if other.id in name]) == 4
    assert (last_person(home), here(home)) == (None, {"theme": "day"})
    open_candidate(home, other.id).close()


def test_somebody_whose_record_cannot_be_read_can_be_forgotten_by_its_name(tmp_path: Path) -> None:
    home = Home(tmp_path)
    home.records.mkdir()
    home.record("a" * 32).write_text("no record")
    assert forget(home, person_to_forget(home, "a" * 32).id) == (1, 0, 0, 0, 0)
    assert people(home) == []


@pytest.mark.parametrize("name", ["nobody", "../here", "*"])
def test_nobody_is_forgotten_by_a_name_that_is_not_there(tmp_path: Path, name: str) -> None:
    candidate, _ = candidate_in(tmp_path)
    with pytest.raises(CandidateError, match="nobody is called that"):
        person_to_forget(candidate.home, name)


def test_a_file_that_cannot_be_removed_is_a_sentence_and_the_record_stays_to_the_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    candidate, _ = candidate_in(tmp_path)
    assert keep_backup(candidate, START) == ""

    def held(path: Path, missing_ok: bool = False) -> None:
        raise PermissionError(13, os.strerror(13), str(path))

    monkeypatch.setattr(Path, "unlink", held)
    with pytest.raises(CandidateError, match=r"backups.*not everything is gone"):
        forget(candidate.home, candidate.id)
    assert [person.profile.handle for person in people(candidate.home)] == ["Morgan"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Give a day, year-month-day"),
        (" ", "Give a day, year-month-day"),
        ("31.3.2026", "A date is written year-month-day"),
        ("20260331", "A date is written year-month-day"),
        ("2026-11-31", "There is no such day as 2026-11-31"),
        ("0000-1-1", "There is no such day"),
    ],
)
def test_a_date_is_refused_for_what_is_wrong_with_it(text: str, sentence: str) -> None:
    with pytest.raises(CandidateError, match=sentence):
        read_date(text)


def test_a_date_may_have_one_digit_for_month_and_day() -> None:
    assert read_date(" 2026-3-1 ") == read_date("2026-03-01") == date(2026, 3, 1)
