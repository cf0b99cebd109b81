"""Runs from outside: a form filled and entered, the verdict, a table."""

import csv
from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.cli.conftest import ARMY
from tests.cli.running import objects, stepcall
from trainer.coach.candidate import create, settings
from trainer.coach.dates import date_words
from trainer.paths import Home
from trainer.records.clock import read_clock


@pytest.fixture
def guard(tmp_path: Path) -> Path:
    home = tmp_path / "home"
    create(Home(home), settings("Heron", "harbour-guard-marching", None, 10), read_clock()).close()
    until = (date.today() + timedelta(days=30)).isoformat()
    assert stepcall(home, "run", "grader", "Owl", "--until", until).returncode == 0
    return home


def filled(guard: Path, path: Path) -> Path:
    form = stepcall(guard, "run", "form").stdout
    form = form.replace("grader: ", "grader: Owl").replace("checked: ", "checked: uniform, equipment, sword, cautions")
    form = form.replace("\nhalt: ", "\nhalt: GO, NO-GO (1), GO, GO").replace("# note: ", "note: wet")
    path.write_text(form, "utf-8")
    return path


def test_a_form_filled_is_entered_once(guard: Path, tmp_path: Path) -> None:
    sheet = filled(guard, tmp_path / "sheet.txt")
    done = stepcall(guard, "run", "enter", str(sheet))
    assert done.returncode == 0, done.stderr
    (runs,) = objects(stepcall(guard, "run", "list", "--json"))
    (run,) = runs
    assert (run["grader"], run["verdict"], run["minors_go"]) == ("Owl", None, 1)
    assert [trial["go"] for trial in run["measures"][0]["trials"]] == [True, False, True, True]
    again = stepcall(guard, "run", "enter", str(sheet))
    assert again.returncode == 2
    assert "already" in again.stderr
    table = tmp_path / "runs.csv"
    assert stepcall(guard, "run", "csv", str(table)).returncode == 0
    assert table.stat().st_mode & 0o777 == 0o600
    assert len(list(csv.reader(table.read_text("utf-8-sig").splitlines()))) == 5
    assert stepcall(guard, "run", "csv", str(table)).returncode == 2


def test_runs_are_told_by_their_days_whenever_they_were_entered(guard: Path, tmp_path: Path) -> None:
    sheet = filled(guard, tmp_path / "sheet.txt")
    assert stepcall(guard, "run", "enter", str(sheet)).returncode == 0
    today, before = date.today().isoformat(), (date.today() - timedelta(days=3)).isoformat()
    sheet.write_text(sheet.read_text("utf-8").replace(f"date: {today}", f"date: {before}"), "utf-8")
    assert stepcall(guard, "run", "enter", str(sheet)).returncode == 0
    (runs,) = objects(stepcall(guard, "run", "list", "--json"))
    assert [run["on"] for run in runs] == [before, today]
    printed = " ".join(stepcall(guard, "report", "run", "--text").stdout.split())
    assert date_words(date.today()) in printed, "the last run is the one of the latest day"


def test_mistakes_are_told_with_exit_code_2(guard: Path, tmp_path: Path) -> None:
    sheet = filled(guard, tmp_path / "sheet.txt")
    sheet.write_text(sheet.read_text("utf-8").replace("GO, NO-GO (1)", "yes, GO (99)"), "utf-8")
    done = stepcall(guard, "run", "enter", str(sheet))
    assert done.returncode == 2
    assert "not 'yes'" in done.stderr
    assert "'99' is no fault" in done.stderr
    for words in (["enter", str(tmp_path)], ["enter", str(tmp_path / "no")], ["grader", "Rook"]):
        refused = stepcall(guard, "run", *words)
        assert (refused.returncode, "Traceback" in refused.stderr) == (2, False)


def test_a_sponsor_does_not_grade_his_own(guard: Path, tmp_path: Path) -> None:
    assert stepcall(guard, "run", "sponsor", "Owl").returncode == 0
    sheet = filled(guard, tmp_path / "sheet.txt")
    assert "unless told to" in stepcall(guard, "run", "enter", str(sheet)).stderr
    with sheet.open("a") as file:
        file.write("told by: Commander Rook\n")
    done = stepcall(guard, "run", "enter", str(sheet))
    assert "told to by Commander Rook" in done.stdout


def test_a_qualification_that_has_ended_is_told_as_ended(guard: Path) -> None:
    done = stepcall(guard, "run", "grader", "Rook", "--until", "2020-01-31")
    assert "Rook: qualification ended on Friday 31 January 2020" in done.stdout
    assert "Owl: may grade until" in done.stdout


def test_the_demo_has_runs(tmp_path: Path) -> None:
    (runs,) = objects(stepcall(tmp_path, "run", "list", "--demo", "--candidate", "Plover", "--json"))
    assert isinstance(runs, list)


def test_a_deck_is_cut(tmp_path: Path) -> None:
    path = tmp_path / "part.toml"
    done = stepcall(tmp_path, "deck", "cut", ARMY, str(path), "--movements", "halt")
    assert done.returncode == 0, done.stderr
    assert stepcall(tmp_path, "deck", "check", str(path)).returncode == 0
    assert stepcall(tmp_path, "deck", "cut", ARMY, str(path), "--movements", "halt").returncode == 2
    refused = stepcall(tmp_path, "deck", "cut", ARMY, str(tmp_path / "x.toml"), "--movements", "hallt")
    assert "Did you mean 'halt'" in refused.stderr
    titled = stepcall(
        tmp_path, "deck", "cut", ARMY, str(tmp_path / "x.toml"), "--movements", "halt", "--title", "\x1b[31m"
    )
    assert titled.returncode == 2
    assert not (tmp_path / "x.toml").exists()
