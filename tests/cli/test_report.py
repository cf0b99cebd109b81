"""`stepcall report`: to the terminal or a file, HTML or text, and trouble in a sentence."""

from pathlib import Path

import pytest

from trainer.cli.main import main
from trainer.paths import HOME_VARIABLE


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


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["sheet", "no-such-deck"], "no-such-deck"),
        (["group", "2026-01-01-00000"], "No evening is called"),
        (["progress"], "No candidate is on this laptop yet"),
        (["sheet", "harbour-guard-marching", "--out", "/no/such/folder/x.html"], "cannot be written"),
    ],
)
def test_trouble_is_a_sentence_and_exit_code_2(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["report", *arguments]) == 2
    assert sentence in capsys.readouterr().err
