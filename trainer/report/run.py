"""A graded run on paper: the sheet as it was filled, the verdict, the faults seen, who graded."""

from trainer.coach.dates import date_words
from trainer.drill.deck import Deck
from trainer.report.page import Block, Heading, Items, Page, Pairs, Paragraph, Table
from trainer.report.sheets import FOOT, retest_words, rule_words
from trainer.sponsor.opening import sheet_of
from trainer.sponsor.sheet import NO_VERDICT, Row, Sheet

WORDS = {True: "GO", False: "NO-GO", None: "open"}


def run_page(handle: str, deck: Deck, sheet: Sheet) -> Page:
    """Return the sheet of a run.

    Args:
        handle: whose run it is.
        deck: whose grade sheet it is.
        sheet: how the run stands.
    """
    written = sheet_of(deck)
    said_by = sheet.begun.get("said_by")
    grader = f"{sheet.grader}, his sponsor, told to grade him by {said_by}" if said_by else sheet.grader
    verdict = sheet.outcome if sheet.over else "not recorded yet"
    day = date_words(sheet.on)
    told = [("Candidate", handle), ("Day", day), ("Grader", grader or "not named"), ("Verdict", verdict)]
    if sheet.recorded is False and retest_words(written):
        told.append(("Retest not before", retest_words(written)))
    if sheet.broken_off:
        told.append(("What that means", NO_VERDICT))
    checked = sheet.begun.get("checked")
    if isinstance(checked, list | tuple) and checked:
        told.append(("Checked before", ", ".join(map(str, checked))))
    blocks: list[Block] = [Pairs(tuple(told)), Heading(rule_words(written)), _minors(written.trials, sheet)]
    kept = "not failed so far" if sheet.recorded is None else "kept" if sheet.complete else "not failed"
    majors = tuple((one.text, "failed" if one.id in sheet.failed else kept) for one in written.majors)
    if majors:
        blocks += [Heading("Majors"), Table(("Major measure", ""), majors)]
    seen = _faults(deck, sheet)
    blocks += [Heading("Faults seen"), Items(seen) if seen else Paragraph("None was marked.")]
    if sheet.training:
        number = len(sheet.training)
        blocks.append(Paragraph(f"{number} trials after the run had ended were for training; they decide nothing."))
    blocks += [Heading("Notes"), Items(sheet.notes)] if sheet.notes else []
    return Page(f"Graded run: {handle}", deck.title, tuple(blocks), FOOT)


def _minors(trials: int, sheet: Sheet) -> Table:
    most = max([trials, *(len(row.trials) for row in sheet.rows)])
    head = ("Minor measure", *(f"trial {number}" for number in range(1, most + 1)), "measure")
    return Table(head, tuple(_minor(number, row, most) for number, row in enumerate(sheet.rows, 1)))


def _minor(number: int, row: Row, most: int) -> tuple[str, ...]:
    marks = [WORDS[trial.go] for trial in row.trials]
    marks += ["-"] * (most - len(marks))
    prompts = f" ({row.spoilt} bad prompt)" if row.spoilt else ""
    return (f"{number}. {row.name}{prompts}", *marks, WORDS[row.go])


def _faults(deck: Deck, sheet: Sheet) -> tuple[str, ...]:
    counted: dict[tuple[str, str], int] = {}
    for row in sheet.rows:
        for trial in row.trials:
            for name in trial.faults:
                counted[row.id, name] = counted.get((row.id, name), 0) + 1
    found = []
    for (measure, name), times in counted.items():
        movement = deck.movement(measure)
        fault = movement.fault(name)
        often = "" if times == 1 else f", {times} times"
        found.append(f"{movement.name}: {fault.tell if fault else name}{often}")
    return tuple(found)
