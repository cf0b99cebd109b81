"""Tables as CSV (RFC 4180, 2005) that no spreadsheet takes for formulas.

A cell that a spreadsheet could run is given an apostrophe in front, unless it is a plain number: OWASP ASVS (from
memory) names = + - @ tab and null; carriage return, line feed, | and %, full-width forms and blanks in front are ours.
"""

import csv
import io
import re
from collections.abc import Iterable, Iterator, Sequence

from trainer.drill.deck import Deck
from trainer.plain import visible
from trainer.sponsor.sheet import Sheet, Trial

_STARTS = frozenset("=+-@\t\r\n|%\0＝＋－＠")
_BLANKS = " \u00a0\u3000"
_NUMBER = re.compile(r"[+-]?[0-9]+(\.[0-9]+)?")
RUN_HEAD = ("candidate", "run", "day", "grader", "measure", "trial", "mark", "faults", "counts", "verdict")


def safe_cell(text: str) -> str:
    """Return a cell that is shown as text wherever it is opened."""
    if not text or _NUMBER.fullmatch(text):
        return text
    shown = visible(text)
    return f"'{shown}" if text[0] in _STARTS or text.lstrip(_BLANKS)[:1] in _STARTS else shown


def csv_bytes(rows: Iterable[Sequence[str]]) -> bytes:
    """Return a table as CSV: every cell quoted and safe, UTF-8 with a byte order mark so that spreadsheets know it."""
    text = io.StringIO()
    writer = csv.writer(text, quoting=csv.QUOTE_ALL, lineterminator="\r\n")
    for row in rows:
        writer.writerow([safe_cell(cell) for cell in row])
    return b"\xef\xbb\xbf" + text.getvalue().encode("utf-8")


def verdict_word(go: bool | None) -> str:
    """Return a verdict as the word it is."""
    return "open" if go is None else "GO" if go else "NO-GO"


def runs_table(handle: str, deck: Deck, held: Sequence[Sheet]) -> Iterator[list[str]]:
    """Yield every trial of a candidate's runs, a row each, under a head."""
    yield list(RUN_HEAD)
    majors = {major.id: major.text for major in deck.grade_sheet.majors} if deck.grade_sheet else {}
    for sheet in held:
        first = [handle, sheet.run, sheet.on.isoformat(), sheet.grader]
        last = sheet.outcome
        for row in sheet.rows:
            for number, trial in enumerate(row.trials, 1):
                yield [*first, row.name, str(number), *_mark(deck, trial), "yes", last]
        for trial in sheet.training:
            yield [*first, deck.movement(trial.measure).name, "", *_mark(deck, trial), "no, training", last]
        for major in sheet.failed:
            yield [*first, majors.get(major, major), "", "NO-GO", "", "yes", last]


def _mark(deck: Deck, trial: Trial) -> list[str]:
    movement = deck.movement(trial.measure)
    known = {fault.id: fault.tell for fault in movement.faults}
    return [verdict_word(trial.go), "; ".join(known.get(fault, fault) for fault in trial.faults)]
