"""`stepcall group`: evenings listed and printed."""

import json
from pathlib import Path

import pytest

from tests.coach.sitting import START
from tests.group.sitting import FOUR, all_points, begun, guard_deck, play
from trainer.cli.main import main
from trainer.coach.candidate import create, settings
from trainer.group.kept import new_evening
from trainer.group.taking import write_packet
from trainer.group.turns import PLAYED, QUESTION
from trainer.paths import HOME_VARIABLE, Home


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Home:
    monkeypatch.setenv(HOME_VARIABLE, str(tmp_path / "home"))
    return Home(tmp_path / "home")


@pytest.fixture
def evening(home: Home) -> str:
    deck = guard_deck(str(home.root))
    held = new_evening(home, deck, all_points(deck), FOUR, START, kinds=(PLAYED,))
    for _ in range(6):
        play(held, lambda now: {name: place > 1 for place, name in enumerate(now.graders)})
    held.end()
    return held.id[:16]


def test_without_any_evening_it_says_how_to_begin_one(home: Home, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["group"]) == 0
    assert "g on Today begins one" in capsys.readouterr().out


def test_evenings_are_listed_and_printed(evening: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["group"]) == 0
    assert capsys.readouterr().out == f"{evening}  Ada, Ben, Cem, Dov; 6 turns\n"
    assert main(["group", evening]) == 0
    printed = capsys.readouterr().out
    assert "Turns graded: 6" in printed
    assert "33 % of pairs gave the same, over 6 turns" in printed
    assert "Fleiss' kappa" in printed
    assert "To happen:" in printed


def test_a_script_reads_it(evening: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["group", "--json"]) == 0
    assert [one["evening"] for one in json.loads(capsys.readouterr().out)] == [evening]
    assert main(["group", evening, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["turns"] == 6
    assert told["team"]["known"] == 6
    assert set(told["eyes"]) == set(FOUR)
    assert told["agreement"]["percent"] == pytest.approx(1 / 3)


def test_a_packet_is_taken_home(home: Home, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    deck = guard_deck(str(home.root))
    held, _ = begun(deck, kinds=(QUESTION,))
    for _ in range(4):
        play(held)
    away = Home(tmp_path / "away")
    path = write_packet(held, "Ada", {point.id: point for point in all_points(deck)}, away, START)
    create(home, settings("Ada", deck.id), START).close()
    assert main(["group", "--take", str(path)]) == 0
    assert "went into the record of Ada." in capsys.readouterr().out
    assert main(["group", "--take", str(path)]) == 2
    assert "in the record already" in capsys.readouterr().err
    assert main(["group", "--take", str(path), "--candidate", "Nobody"]) == 2
    assert main(["group", "--take", str(tmp_path / "no file")]) == 2
    assert "There is no file" in capsys.readouterr().err


def test_trouble_is_a_sentence_and_exit_code_2(evening: str, home: Home, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["group", "yesterday"]) == 2
    assert f'No evening is called "yesterday". On this laptop: {evening}.' in capsys.readouterr().err
    assert main(["group", evening, "--deck", "us-army-individual-drill"]) == 2
    assert "was held on the deck" in capsys.readouterr().err
    (home.evenings / f"{evening}.jsonl").write_text("nothing\n")
    assert main(["group", evening]) == 2
    assert "line 1: this is no step of an evening" in capsys.readouterr().err
