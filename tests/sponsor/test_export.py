"""No cell is run as a formula, and the csv module reads back what was written."""

import csv
import io
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.coach.sitting import START
from tests.sponsor.surface import begun, on_surface
from trainer.sponsor.export import csv_bytes, runs_table, safe_cell
from trainer.sponsor.sheet import sheets

DANGEROUS = [
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    " =1",
    "\u00a0=1",
    "\u3000=1",
    "  @x",
    "|calc",
    "%0A",
    "\0=1",
    "＝1",
    "＋1",
    "－1",
    "＠x",
    '=HYPERLINK("https://example.org")',
]
"""What a spreadsheet may run, or takes a part of for something to run."""


@pytest.mark.parametrize("cell", DANGEROUS)
def test_what_a_spreadsheet_may_run_is_shown_as_text(cell: str) -> None:
    assert safe_cell(cell).startswith("'")


@pytest.mark.parametrize("cell", ["", "Fox", "12", "-5", "+3.25", "0", "a=b", "GO", "café", "O'Hara", "12 %"])
def test_plain_cells_stay_as_they_are(cell: str) -> None:
    assert safe_cell(cell) == cell


@given(st.lists(st.lists(st.text(), min_size=2, max_size=4), max_size=5))
def test_any_table_is_read_back_cell_by_cell_and_none_begins_a_formula(rows: list[list[str]]) -> None:
    raw = csv_bytes(rows)
    read = list(csv.reader(io.StringIO(raw.decode("utf-8-sig"), newline="")))
    assert read == [[safe_cell(cell) for cell in row] for row in rows]
    for row in read:
        for cell in row:
            assert cell.lstrip(" \u00a0\u3000")[:1] not in tuple("=@＝＋－＠|%\t\r\n")
            assert cell[:1] not in ("+", "-") or cell[1:].replace(".", "").isdigit()


def test_every_trial_is_a_row(tmp_path: Path) -> None:
    candidate, deck = on_surface(tmp_path)
    run = begun(candidate, deck)
    fault = deck.movement("halt").faults[0]
    run.trial("halt", False, [fault.id], START)
    run.major("sword-lost", START)
    run.trial("halt", True, (), START)
    head, first, second, major = runs_table("=Fox", deck, sheets(candidate.events(), deck))
    assert len(head) == len(first) == len(second) == len(major)
    assert first[5:] == ["1", "NO-GO", fault.tell, "yes", "NO-GO"]
    assert second[6:] == ["GO", "", "no, training", "NO-GO"]
    assert b'"\'=Fox"' in csv_bytes([first])
