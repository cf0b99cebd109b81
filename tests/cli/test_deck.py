"""`stepcall deck` from outside: what it prints, where, and with which exit code."""

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from trainer.authoring.reading import read_deck
from trainer.cli.main import main
from trainer.drill.shown import shown
from trainer.plain import columns

GUARD = Path(__file__).parent.parent / "authoring" / "guard.toml"
Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Run:
    """Run `stepcall deck …` in this process; return exit code, stdout, stderr."""
    monkeypatch.setenv("STEPCALL_HOME", str(tmp_path / "home"))

    def ran(*words: object) -> tuple[int, str, str]:
        code = main(["deck", *map(str, words)])
        printed = capsys.readouterr()
        return code, printed.out, printed.err

    return ran


def outside(tmp_path: Path, *words: object, stdin: str = "") -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "trainer.cli.main", "deck", *map(str, words)],
        capture_output=True,
        text=True,
        check=False,
        input=stdin,
        env={**os.environ, "STEPCALL_HOME": str(tmp_path / "home"), "PYTHONIOENCODING": "utf-8"},
    )


def spoilt(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    text = GUARD.read_text("utf-8")
    for old, new in changes:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path = tmp_path / "spoilt.toml"
    path.write_text(text, "utf-8")
    return path


def as_json(text: str) -> Any:
    assert text.endswith("\n")
    return json.loads(text)


# check


def test_check_of_a_sound_file_end_to_end(tmp_path: Path) -> None:
    ran = outside(tmp_path, "check", GUARD, "--json")
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, "[]\n", "")
    ran = outside(tmp_path, "check", GUARD)
    assert (ran.returncode, ran.stdout, ran.stderr) == (0, f"{GUARD}: no problems, 5 movements.\n", "")


def test_check_of_a_spoilt_file_end_to_end(tmp_path: Path) -> None:
    path = spoilt(tmp_path, ('unit = "in"', 'unit = "inch"'), ("needed = 3", "needed = 5"))
    ran = outside(tmp_path, "check", path)
    assert (ran.returncode, ran.stderr) == (2, "")
    assert ran.stdout.splitlines() == [
        f"{path}:5:8: 'unit' must be one of in, ft, cm, m; not 'inch'. Did you mean 'in'?",
        '     5 | unit = "inch"',
        "       |        ^",
        f"{path}:34:10: 5 right trials are needed, but there are only 4 trials",
        "    34 | needed = 5",
        "       |          ^",
        "2 problems.",
    ]


def test_check_json_is_a_list_of_places(tmp_path: Path, run: Run) -> None:
    path = spoilt(tmp_path, ("needed = 3", "needed = 5"))
    code, out, err = run("check", path, "--json")
    assert (code, err) == (2, "")
    assert as_json(out) == [
        {
            "file": str(path),
            "line": 34,
            "column": 10,
            "message": "5 right trials are needed, but there are only 4 trials",
        }
    ]


def test_check_of_several_files_tells_of_each(tmp_path: Path, run: Run) -> None:
    path = spoilt(tmp_path, ("needed = 3", "needed = 5"))
    code, out, _ = run("check", GUARD, path, tmp_path / "none.toml")
    assert code == 2
    assert f"{GUARD}: no problems" in out
    assert f"{tmp_path / 'none.toml'}: there is no such file" in out
    assert out.endswith("2 problems.\n")


def test_mark_stands_under_its_place_in_a_long_line(tmp_path: Path, run: Run) -> None:
    path = spoilt(tmp_path, ('cautions = ["Level, dry ground."]', f'cautions = ["{"標" * 60}", "{"x" * 90}", 3, "y"]'))
    _, out, _ = run("check", path)
    shown_line, mark = out.splitlines()[1:3]
    assert columns(shown_line) <= 80
    assert mark.endswith("^")
    before = next(n for n in range(len(shown_line)) if columns(shown_line[:n]) == columns(mark) - 1)
    assert shown_line[before:].startswith("3, ")


HOSTILE = ("\\u001b[2J", "\\u202e", "\\u0007", "\\u009b31m", "\\u200b")


@pytest.mark.parametrize("attack", HOSTILE)
def test_hostile_text_is_shown_by_its_numbers_only(attack: str, tmp_path: Path, run: Run) -> None:
    path = spoilt(
        tmp_path,
        ('id = "side-halt"', f'id = "{attack}"'),
        ('name = "Guard, halt"', f'"{attack}" = "{attack}"\nname = 3'),
        ('"right-flank", "halt"]', f'"right-flank", "halt", "{attack}"]'),
        ('called_on = "together"', f'called_on = "{attack}"'),
    )
    code, out, err = run("check", path)
    assert code == 2
    assert (out + err).replace("\n", "").isprintable()
    code, out, err = run("check", path, "--json")
    assert code == 2
    assert all(problem["message"].isprintable() for problem in as_json(out))
    code, out, err = run("show", path)
    assert (code, out) == (2, "")
    assert err.replace("\n", "").isprintable()


@pytest.mark.skipif(os.name != "posix", reason="such names of files are not allowed elsewhere")
@pytest.mark.parametrize("name", ["a\x1b[2Jb.toml", "a\nb.toml", "a\u202eb.toml", b"a\xffb.toml"])
def test_hostile_file_name(name: str | bytes, tmp_path: Path, run: Run) -> None:
    path = tmp_path / os.fsdecode(name)
    path.write_text("deck = 1\n")
    for words in (("check", path), ("check", path, "--json"), ("show", path), ("new", path)):
        code, out, err = run(*words)
        assert code == 2
        assert "<U+" in out + err
        assert (out + err).replace("\n", "").isprintable()
        assert len((out + err).split("\n")) <= 16


# show


def test_show_lists_movements_with_command_source_and_cautions(run: Run, tmp_path: Path) -> None:
    path = spoilt(
        tmp_path, ('turn = "90 right"\n', 'turn = "90 right"\nunconfirmed = "Feet of the words: from memory"\n')
    )
    code, out, err = run("show", path)
    assert (code, err) == (0, "")
    assert "Caution: Level, dry ground." in out
    assert "right-flank: Right flank, march\n  Command: Right flank (beat -2), WHEEL (beat 0)\n" in out
    assert "  Source: Gate Order 1 (invented), 1\n" in out
    assert "  Unconfirmed: Feet of the words: from memory\n" in out
    assert "Grade sheet: 3 of 3 minors GO (75 %), each with 3 of 4 trials right" in out
    assert max(map(columns, out.splitlines())) <= 80


def test_show_of_a_deck_as_json(run: Run) -> None:
    code, out, _ = run("show", GUARD, "--json")
    deck = as_json(out)
    assert code == 0
    assert [movement["id"] for movement in deck["movements"]][:2] == ["step-off", "right-flank"]
    assert deck["movements"][1]["command"] == "Right flank WHEEL"
    assert deck["grade_sheet"]["minors_to_pass"] == 3
    assert deck["cautions"] == ["Level, dry ground."]


@pytest.mark.parametrize(
    ("words", "arguments"),
    [
        ((), {}),
        (("--fault", "flank-small"), {"fault": "flank-small"}),
        (("--from", "marching"), {"from_stance": "marching"}),
    ],
)
def test_show_of_a_movement_as_json_is_what_the_engine_shows(
    words: tuple[str, ...], arguments: dict[str, Any], run: Run
) -> None:
    deck = read_deck(GUARD).deck
    assert deck is not None
    movement = deck.movement("right-flank")
    if "fault" in arguments:
        arguments = {"fault": movement.fault(arguments["fault"])}
    code, out, err = run("show", GUARD, "right-flank", "--json", *words)
    assert (code, err) == (0, "")
    assert as_json(out) == shown(deck, movement, **arguments)


def test_show_on_either_foot(run: Run) -> None:
    on = {foot: as_json(run("show", GUARD, "halt", "--json", "--foot", foot)[1]) for foot in ("left", "right")}
    assert as_json(run("show", GUARD, "halt", "--json")[1]) == on["left"]
    at_zero = {foot: next(beat["strikes"] for beat in on[foot]["beats"] if beat["beat"] == 0) for foot in on}
    assert at_zero == {"left": "left", "right": "right"}


def test_foot_that_cannot_be_chosen_is_said(run: Run) -> None:
    code, out, err = run("show", GUARD, "right-flank", "--json", "--foot", "left")
    assert code == 0
    assert as_json(out) == as_json(run("show", GUARD, "right-flank", "--json")[1])
    assert err == "'right-flank' cannot be called on either foot (right); --foot changes nothing.\n"


def test_beat_table(run: Run) -> None:
    code, out, _ = run("show", GUARD, "right-flank")
    assert code == 0
    assert max(map(columns, out.splitlines())) <= 80
    table = out.partition(" beat said")[2].partition("\n\n")[0].splitlines()[1:]
    assert [line.split() for line in table] == [
        ["-3", "left", "step", "30", "swing/swing", "-"],
        ["-2", "Right", "flank", "right", "step", "30", "swing/swing", "-"],
        ["-1", "left", "step", "30", "swing/swing", "-"],
        ["0", "WHEEL", "right", "step", "30", "swing/swing", "-"],
        ["1", "left", "step", "12", "swing/swing", "-"],
        ["2", "right", "step", "30,", "turn", "90", "right", "swing/swing", "carry"],
        ["3", "left", "step", "30", "swing/swing", "carry"],
    ]
    assert "2 beats. Turn: 90 right. Ground covered: 12 in forward and 30 in to the right." in " ".join(out.split())
    assert "the left foot leads next" in " ".join(out.split())


def test_fault_without_shows_is_said(run: Run) -> None:
    code, out, err = run("show", GUARD, "step-off", "--fault", "off-flat", "--json")
    assert code == 0
    assert as_json(out) == as_json(run("show", GUARD, "step-off", "--json")[1])
    assert err == "'off-flat' does not show in the beats; grader sees or hears it.\n"


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("show", "parade"), "There is no deck called 'parade'."),
        (("show", "us-army-individual-dril"), "Did you mean 'us-army-individual-drill'?"),
        (
            ("show", GUARD, "right-flnk"),
            "The deck 'gate-guard' has no movement 'right-flnk'. Did you mean 'right-flank'?",
        ),
        (("show", GUARD, "halt", "--from", "halted"), "'halt' does not start from 'halted'. Known here: marching."),
        (("show", GUARD, "halt", "--fault", "x"), "'halt' has no fault 'x'."),
        (("show", GUARD, "step-off", "--fault", "off-lat"), "Did you mean 'off-late'?"),
    ],
)
@pytest.mark.parametrize("for_scripts", [(), ("--json",)])
def test_wrong_names_end_in_a_sentence(
    words: tuple[str, ...], told: str, for_scripts: tuple[str, ...], run: Run
) -> None:
    code, out, err = run(*words, *for_scripts)
    assert (code, out) == (2, "")
    assert told in err
    assert "Traceback" not in err


# list, new, schema


def test_list(run: Run) -> None:
    code, out, _ = run("list", "--json")
    decks = as_json(out)
    assert code == 0
    assert {"harbour-guard-marching", "us-army-individual-drill"} <= {deck["id"] for deck in decks}
    for deck in decks:
        assert sorted(deck) == ["id", "movements", "path", "points", "title"]
        assert Path(deck["path"]).is_file()
        assert deck["points"] > deck["movements"] > 0
    lines = run("list")[1].splitlines()
    assert [line.partition(":")[0] for line in lines] == [deck["id"] for deck in decks]


def test_new_deck_passes_the_check_and_is_never_overwritten(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "unit.toml"
    code, out, err = run("new", path, "--title", "The Mill Guard")
    assert (code, err) == (0, "")
    assert str(path) in out
    assert run("check", path, "--json")[:2] == (0, "[]\n")
    before = path.read_bytes()
    code, out, err = run("new", path)
    assert (code, out) == (2, "")
    assert "is there already" in err
    assert path.read_bytes() == before
    assert run("show", path, "change-step")[0] == 0


@pytest.mark.parametrize("title", ["", "  ", "x" * 401])
def test_title_that_cannot_be(title: str, run: Run, tmp_path: Path) -> None:
    code, out, err = run("new", tmp_path / "unit.toml", "--title", title)
    assert (code, out) == (2, "")
    assert "cannot be the title" in err
    assert not (tmp_path / "unit.toml").exists()


def test_new_where_nothing_can_be_written(run: Run, tmp_path: Path) -> None:
    code, out, err = run("new", tmp_path / "none" / "unit.toml")
    assert (code, out) == (2, "")
    assert "cannot be written" in err


@pytest.mark.skipif(os.name != "posix", reason="such names of files are not allowed elsewhere")
def test_new_file_of_a_hostile_name(run: Run, tmp_path: Path) -> None:
    code, out, _ = run("new", tmp_path / "a\nb\x1b[2J.toml")
    assert code == 0
    assert out.count("\n") == 1
    assert out.rstrip("\n").isprintable()


def test_schema_is_the_shipped_one(run: Run) -> None:
    code, out, _ = run("schema")
    assert code == 0
    assert as_json(out)["title"] == "A deck of Stepcall"


# how it is called


def test_show_from_the_cache_imports_nothing_slow(tmp_path: Path) -> None:
    """By two programs after each other, for tests share the decks that they check within one."""
    code = (
        "import sys; from trainer.cli.main import main; code = main(sys.argv[1:]);"
        "sys.exit(code or [name for name in ('pydantic', 'textual', 'tomllib', 'platformdirs') if name in sys.modules])"
    )
    first, ran = (
        subprocess.run(
            [sys.executable, "-c", code, "deck", "show", str(GUARD), "halt", "--json"],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, "STEPCALL_HOME": str(tmp_path / "home")},
        )
        for _ in range(2)
    )
    assert "tomllib" in first.stderr, "nothing is kept yet, so the deck is read"
    # An exit "code" that is a list is printed and counts as 1; an empty one too, so it is compared as text.
    assert ran.stderr.strip() in ("", "[]")
    assert as_json(ran.stdout)["movement"] == "halt"


def test_nothing_to_do_is_a_usage_error(run: Run) -> None:
    with pytest.raises(SystemExit) as left:
        run()
    assert left.value.code == 2


@pytest.mark.skipif(os.name != "posix", reason="needs a shell pipe")
def test_reader_that_has_gone_makes_no_noise(tmp_path: Path) -> None:
    read_end, write_end = os.pipe()
    os.close(read_end)
    with os.fdopen(write_end, "w") as gone:
        ran = subprocess.run(
            [sys.executable, "-m", "trainer.cli.main", "deck", "show", str(GUARD), "halt"],
            stdout=gone,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
            env={**os.environ, "STEPCALL_HOME": str(tmp_path / "home")},
        )
    assert ran.stderr == ""
    assert ran.returncode == 2


def test_terminal_that_knows_only_ascii(tmp_path: Path) -> None:
    path = spoilt(tmp_path, ("Level, dry ground.", "Niveau – “eben”, 平らな"))
    ran = subprocess.run(
        [sys.executable, "-m", "trainer.cli.main", "deck", "show", str(path)],
        capture_output=True,
        check=False,
        env={**os.environ, "STEPCALL_HOME": str(tmp_path / "home"), "PYTHONIOENCODING": "ascii"},
    )
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert b"Niveau \\u2013 \\u201ceben\\u201d" in ran.stdout
