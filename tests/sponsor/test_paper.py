"""Sheets filled on paper: entered once, with their own date; every mistake by its line."""

import json
from pathlib import Path

import pytest

from tests.coach.sitting import START, later
from tests.sponsor.surface import KNOWN, begun, on_surface, with_sheet
from trainer.coach.candidate import Candidate
from trainer.drill.deck import Deck
from trainer.sponsor.graders import GradingError
from trainer.sponsor.paper import Paper, PaperError, enter, read_paper

HEAD = "date: 2026-11-20\ngrader: Owl\nchecked: uniform, equipment, sword, cautions\n"


@pytest.fixture
def surface(tmp_path: Path) -> tuple[Candidate, Deck]:
    return on_surface(tmp_path)


def read(deck: Deck, text: str) -> Paper:
    return read_paper((HEAD + text).encode(), deck)


def test_lines_and_json_say_the_same(surface: tuple[Candidate, Deck]) -> None:
    deck = surface[1]
    fault = deck.movement("halt").faults[0].id
    name = deck.movement("mark-time").name
    lines = read(deck, f"halt: GO, no-go ({fault}; 1), GO\n{name}: GO\nmajor: sword-lost\nnote: wet\n# a remark\n")
    told = {
        "date": "2026-11-20",
        "grader": "Owl",
        "checked": ["uniform", "equipment", "sword", "cautions"],
        "trials": {"halt": [True, {"go": False, "faults": [fault, 1]}, "GO"], "mark-time": [True]},
        "failed": ["sword-lost"],
        "note": "wet",
    }
    assert read_paper(json.dumps(told).encode(), deck) == lines
    assert read_paper(json.dumps({**told, "broken_off": None}).encode(), deck) == lines, "null is as if left out"
    assert [(one.measure, one.go) for one in lines.trials] == [
        ("halt", True),
        ("halt", False),
        ("halt", True),
        ("mark-time", True),
    ]
    assert (lines.failed, lines.note) == (("sword-lost",), "wet")


def test_every_mistake_is_told_by_its_line(surface: tuple[Candidate, Deck]) -> None:
    text = "hallt: GO\nhalt: GO, maybe\nmark-time: GO (nonsense)\nmajor: x\nscribble\n"
    text += "turn-port: GO, GO, GO, GO, GO\ndate: 1\n"
    with pytest.raises(PaperError) as caught:
        read(surface[1], text)
    told = str(caught.value).splitlines()
    assert [line.partition(":")[0] for line in told] == [f"Line {n}" for n in (4, 5, 6, 7, 8, 9, 10, 10)]
    assert "Did you mean 'halt'?" in told[0]
    assert "GO or NO-GO, not 'maybe'" in told[1]


@pytest.mark.parametrize(
    "raw", [b"", b"\xff\xfe", b"{", b"[1]", b"{}", b"x" * 300_000, b"\x1b[31m: GO", b'{"trials": 5}', b"date: soon"]
)
def test_no_file_is_too_strange_for_a_sentence(surface: tuple[Candidate, Deck], raw: bytes) -> None:
    with pytest.raises(PaperError) as caught:
        read_paper(raw, surface[1])
    assert "\x1b" not in str(caught.value)


def test_a_sheet_is_entered_once_with_its_own_date(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    deck = with_sheet(deck, 2, 1, 2, 1)
    paper = read(deck, "halt: NO-GO, GO\nmark-time: NO-GO, NO-GO\nnote: wet\n")
    sheet = enter(candidate, deck, KNOWN, paper, START)
    assert (sheet.on.isoformat(), sheet.recorded, sheet.notes) == ("2026-11-20", True, ("wet",))
    before = list(candidate.events())
    with pytest.raises(GradingError, match="in the record already"):
        enter(candidate, deck, KNOWN, paper, later(days=1))
    assert candidate.events() == before


def test_an_open_sheet_stays_open_and_a_major_decides(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    assert enter(candidate, deck, KNOWN, read(deck, "halt: GO\n"), START).recorded is None
    assert enter(candidate, deck, KNOWN, read(deck, "halt: GO\nmajor: sword-lost\n"), START).recorded is False


def test_who_may_not_grade_on_that_day_may_not_enter(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    for change in ({"grader": "Old Owl"}, {"date": "2026-11-25"}, {"checked": ("uniform",)}, {"note": "\x1b"}):
        with pytest.raises(GradingError):
            enter(candidate, deck, KNOWN, read(deck, "halt: GO\n")._replace(**change), START)
    assert [event.kind for event in candidate.events()].count("run") == 0


def test_the_wait_counts_from_the_end_of_the_day_on_paper(surface: tuple[Candidate, Deck]) -> None:
    """48 hours after the end of 23 November, an hour east of Greenwich."""
    candidate, deck = surface
    paper = read(deck, "major: sword-lost\n")._replace(date="2026-11-23")
    enter(candidate, deck, KNOWN, paper, START)
    with pytest.raises(GradingError, match="possible from 2026-11-26 00:00"):
        begun(candidate, deck)


def test_a_sheet_of_a_run_that_was_broken_off(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    paper = read(deck, "halt: GO, GO\nbroken off: Weather\n")
    sheet = enter(candidate, deck, KNOWN, paper, START)
    assert (sheet.outcome, sheet.recorded) == ("broken off (the weather)", None)
    assert len(sheet.row("halt").trials) == 2
    with pytest.raises(PaperError, match="one of these: injury, weather, time, equipment, other; not 'rain'"):
        read(deck, "halt: GO\nbroken off: rain\n")
    with pytest.raises(GradingError, match="decided by its marks: NO-GO"):
        enter(candidate, deck, KNOWN, read(deck, "major: sword-lost\nbroken off: time\n"), START)
