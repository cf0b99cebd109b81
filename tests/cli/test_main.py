"""The command itself: help, version, exit codes, and what nobody foresaw."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

import trainer
from tests.cli.running import ROOT, stepcall
from trainer.cli import main as main_module
from trainer.cli.main import main


def test_version(tmp_path: Path) -> None:
    assert stepcall(tmp_path, "--version").stdout == f"stepcall {trainer.__version__}\n"


def test_help_names_every_verb(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "--help")
    assert done.returncode == 0
    for verb in ("ask", "readiness", "deck", "doctor", "forget"):
        assert verb in done.stdout


@pytest.mark.parametrize(("columns", "widest"), [("60", 60), ("100", 100), ("0", 80), ("many", 80), ("", 80)])
def test_help_is_as_wide_as_it_may_be(columns: str, widest: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    lines = main_module.parser().format_help().splitlines()
    assert widest - 12 < max(map(len, lines)) <= widest


def test_a_verb_loads_nothing_that_it_does_not_need(heron: Path) -> None:
    assert stepcall(heron, "readiness").returncode == 0  # the deck is checked once, and that needs more
    loaded = "import sys; from trainer.cli.main import main; main(['readiness']); print(*sys.modules, file=sys.stderr)"
    environ = {**os.environ, "STEPCALL_HOME": str(heron), "PYTHONPATH": str(ROOT)}
    done = subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, env=environ, check=True)
    assert "trainer.coach.standing" in done.stderr.split()
    assert not {"shutil", "tempfile", "secrets", "difflib", "textwrap", "trainer.coach.session"} & set(
        done.stderr.split()
    )


@pytest.mark.parametrize("verb", ["ask", "readiness", "deck", "doctor", "forget"])
def test_a_verb_named_first_is_read_by_its_own_parser_and_by_that_of_all(verb: str) -> None:
    rest = {"deck": ["list"], "forget": ["Heron"]}.get(verb, [])
    alone, among_all = (main_module.parser(first).parse_args([verb, *rest]) for first in (verb, ""))
    assert alone == among_all


@pytest.mark.parametrize(
    "words",
    [
        "--demo forget Heron --yes",
        "--candidate Heron forget Heron --yes",
        "--demo doctor",
        "--demo group",
        "--demo packet",
        "--candidate Heron task Heron --work words --until 2030-01-01",
        "--demo report sheet harbour-guard-marching",
        "--demo report lane harbour-guard-marching --surface 60ft",
        "--demo report group x",
        "--demo deck list",
        "--demo lane harbour-guard-marching --surface 60ft",
    ],
)
def test_a_verb_works_on_no_other_records_than_were_meant(
    words: str, heron: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("STEPCALL_HOME", str(heron))
    before = {path: path.read_bytes() for path in heron.rglob("*") if path.is_file()}
    option, verb = words.split()[0], next(word for word in words.split() if word.islower() and word[0] != "-")
    assert main(words.split()) == 2
    told = capsys.readouterr()
    assert (told.out, told.err) == (
        "",
        f"{option} does not go with '{verb}' as it was typed; nothing was done. Leave it out.\n",
    )
    assert {path: path.read_bytes() for path in heron.rglob("*") if path.is_file()} == before


@pytest.mark.parametrize("words", ["--demo run grader", "--demo packet key", "--demo roster --cohort"])
def test_a_verb_that_knows_the_invented_unit_takes_it_before_its_name(
    words: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("STEPCALL_HOME", str(tmp_path))
    assert main(words.split()) == 0
    assert not (tmp_path / "device-key").exists()
    assert not (tmp_path / "records").exists()


def test_a_name_that_is_a_verb_too_is_no_verb(heron: Path) -> None:
    assert "Heron" in stepcall(heron, "--candidate", "ask", "readiness").stderr
    assert stepcall(heron, "main").returncode == 2


def test_without_a_terminal_it_prints_help_and_leaves_with_2(tmp_path: Path) -> None:
    done = stepcall(tmp_path)
    assert done.returncode == 2
    assert "usage: stepcall" in done.stderr
    assert done.stdout == ""


def test_what_nobody_foresaw_goes_to_a_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def fail(arguments: object) -> int:
        raise ZeroDivisionError("\x1b[31mnobody foresaw this")

    monkeypatch.setenv("STEPCALL_HOME", str(tmp_path))
    monkeypatch.setattr(main_module, "_screens", fail)
    assert main([]) == 1
    told = capsys.readouterr().err
    assert "ZeroDivisionError" in told
    assert "Traceback" not in told
    assert "\x1b" not in told
    assert "nobody foresaw this" in (tmp_path / "crash.txt").read_text("utf-8")


def test_a_home_that_cannot_be_used_is_a_sentence(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    done = stepcall(blocked, "readiness")
    assert done.returncode == 2
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("verb", [["readiness"], ["ask"], ["doctor"], ["deck", "list"], ["readiness", "--demo"]])
def test_a_home_of_an_unknown_user_is_a_sentence(verb: list[str]) -> None:
    done = stepcall(Path("~nosuchuser"), *verb)
    assert done.returncode == 2
    assert done.stderr.startswith("STEPCALL_HOME is '~nosuchuser', but no such user")


def test_a_deck_of_an_unknown_user_is_a_sentence(tmp_path: Path) -> None:
    for verb in (["show"], ["check"]):
        done = stepcall(tmp_path, "deck", *verb, "~nosuchuser/guard.toml")
        assert done.returncode == 2
        assert "~nosuchuser/guard.toml" in done.stdout + done.stderr
        assert "unforeseen" not in done.stderr


@pytest.mark.parametrize("arguments", [["nonsense"], ["deck"], ["readiness", "--nonsense"], ["deck", "show"]])
def test_bad_arguments_leave_with_2(tmp_path: Path, arguments: list[str]) -> None:
    done = stepcall(tmp_path, *arguments)
    assert done.returncode == 2
    assert "usage:" in done.stderr
