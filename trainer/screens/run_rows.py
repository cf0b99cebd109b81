"""A graded run in rows: the gate before it, the sheet as it fills, what is decided and what can still fail."""

from collections.abc import Collection, Sequence

from trainer.coach.cautions import FIRST_OF_ALL
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import Measure
from trainer.drill.movement import Fault
from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import hanging, spread, wrapped
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span
from trainer.sponsor.opening import CAUTIONS, EQUIPMENT, SWORD, UNIFORM
from trainer.sponsor.sheet import BROKEN_OFF, NO_VERDICT, Sheet
from trainer.sponsor.sheet import Row as Minor

GATE_WORDS = {
    UNIFORM: "Uniform in order",
    EQUIPMENT: "Footwear and equipment in order",
    SWORD: "Sword inspected, its point away from people",
    CAUTIONS: "Cautions read aloud, to candidate and bystanders",
}
MARKS = {True: "GO", False: "NO-GO", None: "open"}


def gate_rows(deck: Deck, asked: Sequence[str], checked: Collection[str], width: int) -> list[Row]:
    """Return the checks before a run and the deck's cautions."""
    rows: list[Row] = [(Span("Before the run: a number checks, once more takes it back", STRONG),), ()]
    for number, one in enumerate(asked, 1):
        sign = "✓" if one in checked else "·"
        role = STRONG if one in checked else INK
        rows.append((Span(f"{number}  ", BRASS), Span(f"{sign} ", STRONG), Span(GATE_WORDS.get(one, one), role)))
    rows += [(), (Span("Cautions", STRONG),)]
    for caution in (FIRST_OF_ALL, *deck.cautions):
        rows += hanging((Span("! ", BRASS),), visible(caution), width, INK)
    return rows


def sheet_rows(sheet: Sheet, at: str, width: int) -> list[Row]:
    """Return the sheet as it stands, a line a measure, the chosen one marked."""
    name_width = min(max(width - 40, 16), 40)
    rows: list[Row] = []
    for number, row in enumerate(sheet.rows, 1):
        chosen = row.id == at
        name = clip(visible(f"{number:>2} {row.name}"), name_width - 2)
        trials = "  ".join(MARKS[trial.go] for trial in row.trials)
        rest = "  ".join("·" * row.left) if row.left else ""
        rows.append(
            (
                Span("▸ " if chosen else "  ", BRASS),
                Span(name + " " * (name_width - columns(name)), STRONG if chosen else INK),
                Span(f"{MARKS[row.go]:<8}", _role(row)),
                Span(f"{trials}  " if trials else "", INK),
                Span(rest, FAINT),
                Span(f"   {row.spoilt} bad prompt" if row.spoilt else "", FAINT),
            )
        )
    return rows


def _role(row: Minor) -> str:
    return WRONG if row.go is False else STRONG if row.go else FAINT


def standing_rows(deck: Deck, sheet: Sheet, width: int) -> list[Row]:
    """Return what is decided already, what can still fail, majors, training and notes."""
    rows: list[Row] = []
    majors = {major.id: major.text for major in deck.grade_sheet.majors} if deck.grade_sheet else {}
    if sheet.recorded is not None:
        rows.append((Span(f"Verdict: {MARKS[sheet.recorded]}", WRONG if not sheet.recorded else STRONG),))
    elif sheet.broken_off:
        rows.append((Span(f"{sheet.outcome[0].upper()}{sheet.outcome[1:]}", STRONG),))
        rows += [(Span(line, INK),) for line in wrapped(NO_VERDICT, width)]
    elif sheet.verdict is not None:
        rows.append((Span(f"Decided: {MARKS[sheet.verdict]}. Enter records the verdict.", STRONG),))
    else:
        told = _ahead_words(sheet) + (" Until the last command a failed major makes the run NO-GO." if majors else "")
        rows += [(Span(line, INK),) for line in wrapped(told, width)]
    for major in sheet.failed:
        rows += hanging((Span("Major failed: ", WRONG),), visible(majors.get(major, major)), width, INK)
    if sheet.ended:
        told = "The run is over by that. Further trials are for training and decide nothing"
        rows += [(Span(line, FAINT),) for line in wrapped(f"{told}; {len(sheet.training)} so far.", width)]
    for note in sheet.notes:
        rows += hanging((Span("Note: ", FAINT),), visible(note), width, FAINT)
    return rows


def reason_rows(width: int) -> list[Row]:
    """Return why a run may be broken off, numbered."""
    rows: list[Row] = [(Span(line, FAINT),) for line in wrapped(NO_VERDICT, width)]
    for number, text in enumerate(BROKEN_OFF.values(), 1):
        rows.append((Span(f"{number:>2}  ", BRASS), Span(text, INK)))
    return rows


def _ahead_words(sheet: Sheet) -> str:
    """Return how many minors are GO, how many of the open ones must become GO, and how many of them may not."""
    ahead = sheet.ahead
    told = f"Minors: {sheet.now.minors_go} GO, {ahead.open} open."
    if ahead.may_fail is None:
        return told
    if not ahead.to_go:
        return f"{told} That is enough of them."
    return f"{told} Of the open ones {ahead.to_go} must still be GO, {ahead.may_fail} may be NO-GO."


def major_rows(majors: Sequence[Measure], failed: Collection[str], width: int) -> list[Row]:
    """Return the majors by their numbers, those that failed already marked in words."""
    rows: list[Row] = []
    for number, major in enumerate(majors, 1):
        sign = "failed  " if major.id in failed else ""
        rows += hanging((Span(f"{number:>2}  ", BRASS), Span(sign, WRONG)), visible(major.text), width, INK)
    return rows


def pending_rows(measure: str, faults: Sequence[Fault], seen: Collection[str], width: int, keys: str = "") -> list[Row]:
    """Return the faults of the chosen measure, those seen in the coming trial marked in words and told by number."""
    name = clip(visible(measure), max(width - 40, 12))
    numbers = ", ".join(str(number) for number, fault in enumerate(faults, 1) if fault.id in seen)
    noted = f"with the next mark: {numbers}" if numbers else keys
    rows: list[Row] = [spread([Span(f"Faults of {name}", STRONG)], [Span(noted, BRASS if numbers else FAINT)], width)]
    for number, fault in enumerate(faults, 1):
        sign = "seen " if fault.id in seen else "     "
        head = (Span(sign, BRASS), Span(f"{number:>2} ", FAINT))
        rows += hanging(head, visible(fault.tell), width, STRONG if fault.id in seen else FAINT)
    return rows
