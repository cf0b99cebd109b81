"""`stepcall roster` and `stepcall task`, as a user runs them."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.cli.running import objects, stepcall
from trainer.coach.candidate import create, settings
from trainer.paths import Home
from trainer.records.clock import read_clock

UNTIL = (date.today() + timedelta(days=3)).isoformat()


@pytest.fixture
def wren(heron: Path) -> Path:
    """A home with two candidates."""
    create(Home(heron), settings("Wren", "harbour-guard-marching", None, 10), read_clock()).close()
    return heron


def test_everybody_is_there_nearest_test_first(wren: Path) -> None:
    (told,) = objects(stepcall(wren, "roster", "--json"))
    assert told["asked"] == 80
    assert [one["handle"] for one in told["candidates"]] == ["Heron", "Wren"]
    heron = told["candidates"][0]
    assert (heron["days_left"], heron["advice"], heron["last_session"]) == (12, "not this week", None)
    assert heron["filter_alone"]
    plain = stepcall(wren, "roster").stdout
    assert plain.index("Heron: ") < plain.index("Wren: ")
    assert "one model of memory alone" in plain


def test_an_empty_laptop_says_how_to_begin(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "roster")
    assert done.returncode == 0
    assert "packet read" in done.stdout
    assert "Nobody" not in stepcall(tmp_path, "roster", "--cohort").stdout


@pytest.mark.parametrize("chance", ["0", "100", "many", "8.5"])
def test_a_chance_that_is_none_is_refused(wren: Path, chance: str) -> None:
    done = stepcall(wren, "roster", "--chance", chance)
    assert done.returncode == 2
    assert "whole percent from 1 to 99" in done.stderr


def test_the_demo_has_someone_to_send_and_someone_to_keep(tmp_path: Path) -> None:
    told = stepcall(tmp_path, "roster", "--demo", "--chance", "70").stdout
    assert "at 70 % asked for, should go to the test" in told
    assert "Should wait: " in told
    (groups,) = objects(stepcall(tmp_path, "roster", "--demo", "--cohort", "--json"))
    assert groups[0]["candidates"] > groups[1]["candidates"] > 0
    assert sum(one["nogo"] for one in groups[0]["movements"]) > 0
    assert "Next drill period" in stepcall(tmp_path, "roster", "--demo", "--cohort").stdout
    assert not list(tmp_path.glob("records/*"))


def test_a_tasking_reaches_the_sitting_and_the_roster(wren: Path) -> None:
    done = stepcall(wren, "task", "Heron", "--work", "halt, rear-march/feet", "--until", UNTIL, "--note", "Slowly.")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("Heron: Squad, halt; feet of ")
    sitting = stepcall(wren, "ask", "--candidate", "Heron", "--questions", "1", typed="/quit\n").stdout
    assert "Tasking, 3 days left; 0 of " in sitting
    assert ": Squad, halt; feet of " in sitting
    assert "Slowly." in sitting
    (told,) = objects(stepcall(wren, "roster", "--json"))
    (tasking,) = told["candidates"][0]["taskings"]
    assert (tasking["work"], tasking["asked"], tasking["open"]) == (["halt", "rear-march/feet"], 0, True)


def test_for_scripts_and_for_several(wren: Path) -> None:
    (told,) = objects(stepcall(wren, "task", "Heron", "Wren", "--work", "counts", "--until", UNTIL, "--json"))
    assert [one["handle"] for one in told] == ["Heron", "Wren"]
    assert all(one["points"] > 10 and not one["trouble"] for one in told)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["Heron", "--work", "hallt", "--until", UNTIL], "Did you mean “halt”"),
        (["Heron", "--work", "halt", "--until", "tomorrow"], "year-month-day"),
        (["Heron", "--work", "halt", "--until", "2020-01-01"], "has passed"),
        (["Nobody", "--work", "halt", "--until", UNTIL], "nobody is called that"),
        (["Heron", "Wren", "--work", "last-run", "--until", UNTIL], "Wren: no fault was noted"),
    ],
)
def test_bad_input_is_refused_in_a_sentence(wren: Path, words: list[str], told: str) -> None:
    done = stepcall(wren, "task", *words)
    assert done.returncode == 2
    assert told in done.stderr
    assert "Traceback" not in done.stderr
    (roster,) = objects(stepcall(wren, "roster", "--json"))
    assert not any(one["taskings"] for one in roster["candidates"])
