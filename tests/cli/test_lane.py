"""`stepcall lane`: the plan as a table, a script and JSON; trouble in a sentence."""

from pathlib import Path

import pytest

from tests.cli.running import objects, stepcall

GUARD = "harbour-guard-marching"
SMALL = ("--left", "halt:1,turn-starboard:1")


def test_a_plan_for_people(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "lane", GUARD, "--surface", "120 ft x 60 ft", *SMALL)
    assert done.returncode == 0, done.stderr
    assert "3 commands, 2 of them counted" in done.stdout
    assert "Step off" in done.stdout
    assert "not counted" in done.stdout
    assert "Caution: " in done.stdout


def test_a_script_for_whoever_calls(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "lane", GUARD, "--surface", "120 ft x 60 ft", *SMALL, "--script")
    assert "grader: Turn to starboard" in done.stdout
    assert "left foot: candidate: TURN" in done.stdout


def test_json(tmp_path: Path) -> None:
    arguments = ("--surface", "120 ft x 60 ft", "--start", "10 ft, 30 ft, 90", *SMALL, "--json")
    (data,) = objects(stepcall(tmp_path, "lane", GUARD, *arguments))
    assert data["start"] == {"x": 120, "y": 360, "heading": 90}
    assert data["inside"] is True
    assert data["seconds"] >= data["bound"] - 1e-6
    assert [command["counted"] for command in data["commands"]].count(True) == 2
    for command in data["commands"]:
        assert {"movement", "counted", "words", "before", "after"} <= set(command)
        assert 0 < command["after"]["x"] < data["surface"]["x"]
        assert 0 < command["after"]["y"] < data["surface"]["y"]


def test_a_surface_too_small(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "lane", GUARD, "--surface", "20 ft x 20 ft", "--left", "turn-port:1", "--json")
    assert done.returncode == 2
    assert "No order was found on a surface of 20 ft x 20 ft" in done.stderr
    assert "turn-port" in done.stderr
    assert "least surface" in done.stderr
    assert '"inside": false' in done.stdout


@pytest.mark.parametrize(
    ("arguments", "part"),
    [
        (("--surface", "60 ft"), "two sides"),
        (("--surface", "60 ft x 40 ft", "--margin", "wide"), "margin"),
        (("--surface", "60 ft x 40 ft", "--margin", "25 ft"), "leaves nothing"),
        (("--surface", "60 ft x 40 ft", "--trials", "0"), "from 1 to 20"),
        (("--surface", "60 ft x 40 ft", "--prompt", "-1"), "from 0 to 60"),
        (("--surface", "60 ft x 40 ft", "--start", "nowhere"), "two lengths"),
        (("--surface", "60 ft x 40 ft", "--left", "turn-prot:1"), "Did you mean 'turn-port'?"),
    ],
)
def test_trouble_is_a_sentence(tmp_path: Path, arguments: tuple[str, ...], part: str) -> None:
    done = stepcall(tmp_path, "lane", GUARD, *arguments)
    assert done.returncode == 2
    assert part in done.stderr
    assert "Traceback" not in done.stderr
    assert not done.stdout
