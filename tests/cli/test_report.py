"""`stepcall report`: to the terminal or a file, HTML or text, and trouble in a sentence."""

import os
from pathlib import Path

import pytest

from trainer.cli.main import main
from trainer.paths import HOME_VARIABLE
from trainer.report import sheets


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(HOME_VARIABLE, str(tmp_path / "home"))


def test_a_grade_sheet_to_a_file_and_to_the_terminal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "sheet.html"
    assert main(["report", "sheet", "harbour-guard-marching", "--out", str(target)]) == 0
    assert target.read_text("utf-8").startswith("<!DOCTYPE html>")
    capsys.readouterr()
    assert main(["report", "sheet", "harbour-guard-marching", "--text"]) == 0
    assert "Grade sheet: Marching test, Harbour Guard" in capsys.readouterr().out


def test_progress_of_the_invented_unit(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "progress", "--demo", "--text"]) == 0
    assert "Chance of a GO" in capsys.readouterr().out


@pytest.mark.parametrize("kind", [["progress"], ["run", "--candidate", "Plover"]])
def test_what_names_people_is_for_its_owner_and_written_over_nothing(
    kind: list[str], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    target = tmp_path / "sheet.html"
    words = ["report", *kind, "--demo", "--out", str(target)]
    before = os.umask(0)
    try:
        assert main(words) == 0
    finally:
        os.umask(before)
    assert target.stat().st_mode & 0o777 == 0o600
    target.write_text("mine")
    assert main(words) == 2
    assert f"{target} is there already and was left as it is; choose another name." in capsys.readouterr().err
    assert target.read_text() == "mine"


def test_a_mistake_of_the_program_is_not_told_as_one_of_the_user(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(deck: object) -> None:
        raise ValueError("not a sentence for a user")

    monkeypatch.setattr(sheets, "blank_grade_sheet", fail)
    assert main(["report", "sheet", "harbour-guard-marching"]) == 1
    assert "Something unforeseen went wrong (ValueError)" in capsys.readouterr().err


def test_what_the_invented_unit_fails(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "cohort", "--demo", "--text"]) == 0
    told = capsys.readouterr().out
    assert "Next drill period, first:" in " ".join(told.split())
    assert "below one half" in told


def test_nobody_has_begun(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", "cohort", "--text"]) == 0
    assert "Nobody on this laptop has begun yet." in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["sheet", "no-such-deck"], "no-such-deck"),
        (["group", "2026-01-01-00000"], "No evening is called"),
        (["run", "--demo", "--on", "1999-01-01"], "No graded run of 1999-01-01 of "),
        (["lane", "harbour-guard-marching", "--surface", "wide"], "A surface is two sides"),
        (["progress"], "No candidate is on this laptop yet"),
        (["sheet", "harbour-guard-marching", "--out", "/no/such/folder/x.html"], "cannot be written"),
    ],
)
def test_trouble_is_a_sentence_and_exit_code_2(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", *arguments]) == 2
    assert sentence in capsys.readouterr().err
