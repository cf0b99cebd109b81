"""The roster as rows of text: who needs what first, each with test, chance, knowledge and execution. No Textual."""

from collections import Counter
from collections.abc import Collection, Sequence
from datetime import date

from trainer.coach.dates import date_words
from trainer.coach.past import HELD
from trainer.coach.words import HONESTY, chance_words, percent
from trainer.drill.grade_sheet import MAJOR
from trainer.plain import clip, columns, visible
from trainer.screens.plan import Section
from trainer.screens.readiness_rows import first_shown
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span
from trainer.sponsor.advice import COULD, GO, WAIT, Advice, cost_words, retest_words, week_lines
from trainer.sponsor.cohort import Cohort, group_words, period_words
from trainer.sponsor.roster import Row as Someone
from trainer.sponsor.told import QUICK_WORDS, ago, past_words, tasking_lines, weakest_words

WIDE = 116
"""Columns from which on the band and the last sitting have columns of their own."""
HANDLE = 12
SIZES = (8, 10, 10, 10, 11)
"""Columns of test, chance, knowledge, execution, last run; what is advised takes the rest."""
HEADS = ("test", "chance", "knowledge", "execution", "last run")
BAND, SAT = 24, 13
CHOSEN = 6
"""Rows that tell of the chosen candidate."""
QUICK = "~"


def sum_rows(advised: Sequence[Advice], asked: int, width: int) -> list[Row]:
    """Return how many should go and how many should wait, at the chance asked for."""
    counted = Counter(one.what for one in advised)
    head = f"At {asked} % asked for: "
    told = f"{counted[GO]} should go this week, {counted[WAIT]} should wait, {counted[COULD]} of the others could"
    rows: list[Row] = [(Span(head, STRONG), Span(clip(told, max(width - len(head), 0)), INK))]
    if any(one.row.quick for one in advised):
        rows.append(
            (
                Span(
                    clip(f"{QUICK} read roughly, by one model alone; enter reads one by all models", width),
                    FAINT,
                ),
            )
        )
    return rows


def waiting_rows(done: int, total: int, width: int) -> list[Row]:
    """Return how far reading has come."""
    told = f"Reading the records … {done} of {total}" if total else "Reading the records …"
    return [(Span(clip(told, width), FAINT),)]


def head_row(width: int) -> Row:
    """Return the names of the columns."""
    cells = [f"{text:>{size}}" for text, size in zip(HEADS, SIZES, strict=True)]
    if width >= WIDE:
        cells[2:2] = [f"{'8 times in 10':>{BAND}}"]
        cells.append(f"{'last sat':>{SAT}}")
    return (Span(f"  {'candidate':<{HANDLE}}", FAINT), Span("".join(cells), FAINT), Span("  advised", FAINT))


def list_rows(
    advised: Sequence[Advice], at: int, marked: Collection[str], today: date, width: int, height: int
) -> list[Row]:
    """Return as many candidates as there are rows, the chosen one in sight."""
    top = first_shown(len(advised), at, height)
    shown = list(enumerate(advised))[top : top + height]
    return [_row(one, number == at, one.row.id in marked, today, width) for number, one in shown]


def _row(one: Advice, chosen: bool, marked: bool, today: date, width: int) -> Row:
    row = one.row
    sign, mark = "▸" if chosen else " ", "×" if marked else QUICK if row.quick else " "
    handle = clip(visible(row.handle), HANDLE - 1)
    ink = STRONG if chosen else INK
    first = (
        Span(sign, BRASS),
        Span(mark, BRASS if marked else FAINT),
        Span(handle + " " * (HANDLE - columns(handle)), ink),
    )
    if row.trouble:
        return (*first, Span(clip(f"cannot be read: {visible(row.trouble)}", max(width - HANDLE - 2, 0)), WRONG))
    cells = [_when(row), _share(row), _known(row.knowledge), _done(row), _run(row, today)]
    spans = [Span(f"{text:>{size}}", ink) for text, size in zip(cells, SIZES, strict=True)]
    if width >= WIDE:
        spans[2:2] = [Span(f"{_band(row):>{BAND}}", FAINT)]
        spans.append(Span(f"{ago(row.last_session, today):>{SAT}}", ink))
    role = WRONG if one.what == WAIT else STRONG if one.what == GO else FAINT
    return (*first, *spans, Span(f"  {one.what}", role))


def _when(row: Someone) -> str:
    if row.days is None:
        return "no date"
    if row.days < 0:
        return "is over"
    return {0: "today", 1: "tomorrow"}.get(row.days, f"{row.days} days")


def _share(row: Someone) -> str:
    if row.chance is None:
        return "-"
    return percent(row.chance.go) if row.asked or not row.assumed else "not known"


def _band(row: Someone) -> str:
    return f"{percent(row.chance.low)} to {percent(row.chance.high)}" if row.chance and row.asked else ""


def _known(share: float | None) -> str:
    return "-" if share is None else percent(share)


def _done(row: Someone) -> str:
    return "assumed" if row.assumed else _known(row.execution)


def _run(row: Someone, today: date) -> str:
    if row.last_run is None:
        return "none"
    if row.broken_off:
        return f"off {(today - row.last_run).days} d"
    verdict = ("GO" if row.graded[0].go else "NO-GO") if row.graded else "open"
    return f"{verdict} {(today - row.last_run).days} d"


def chosen_rows(one: Advice, today: date, width: int) -> list[Row]:
    """Return what holds the chosen candidate back and what he was given, in a few rows."""
    row = one.row
    if row.trouble:
        lines = wrapped(f"{row.handle}: {row.trouble}", width)
        return [(Span(line, WRONG),) for line in lines[:CHOSEN]]
    told: list[tuple[str, str]] = [(f"{row.handle}: {one.what}; {one.why}.", STRONG)]
    weakest = [text for number in (3, 2, 1) if (text := weakest_words(row, number))]
    if weakest:
        told.append((next((text for text in weakest if columns(text) <= width), weakest[-1]), INK))
    told.append((past_words(row, today), FAINT))
    told += [(line, INK) for line in tasking_lines(row, today)]
    if one.what in (GO, WAIT):
        told.append((cost_words(row, today), FAINT))
    rows: list[Row] = [(Span(clip(visible(text), width), role),) for text, role in told]
    return rows[:CHOSEN]


def detail_sections(one: Advice, today: date) -> list[Section]:
    """Return everything that is known of one candidate."""
    row = one.row
    if row.trouble:
        return [("Cannot be read", [row.trouble])]
    when = f"The test is on {date_words(row.test_date)}." if row.test_date else "No test date yet."
    readiness = f"{row.words}. {chance_words(row.chance)}" if row.chance else f"Mean recall {percent(row.mean_recall)}."
    told = [when, readiness, f"{one.what[0].upper()}{one.what[1:]}: {one.why}.", retest_words(row, today)]
    if row.quick:
        told.append("Read by one model of memory alone so far.")
    sections: list[Section] = [("Test", [*told, HONESTY])]
    if row.measures:
        sections.append(("Measures, the weakest first", _measures(row)))
    history = [past_words(row, today)]
    history += [
        f"{held.day.isoformat()}, {HELD.get(held.where, held.where)}: {'GO' if held.go else 'NO-GO'}."
        for held in row.verdicts
    ]
    sections.append(("Sittings and verdicts", history))
    given = [f"{line} {one.note}".strip() for line, one in zip(tasking_lines(row, today), row.taskings, strict=True)]
    sections.append(("Taskings", given or ["None is open; t gives one."]))
    return sections


def _measures(row: Someone) -> list[str]:
    told = []
    for one in row.weakest:
        go, nogo = one.trials
        seen = f"{nogo} of {go + nogo} trials NO-GO" if go + nogo else "no trial seen"
        if one.kind == MAJOR:
            failed = {0: "never failed", 1: "failed once"}.get(nogo, f"failed {nogo} times")
            told.append(f"Major, kept {percent(one.go)}, {failed}: {one.name}")
        else:
            known = percent(one.knowledge or 0.0)
            apart = f"knowledge {known}, execution {percent(one.execution)}, GO {percent(one.go)}"
            told.append(f"{one.name}: {apart}; {seen}.")
    return told


def group_sections(groups: Sequence[Cohort], advised: Sequence[Advice], asked: int) -> list[Section]:
    """Return who should go this week, and what the group of every deck fails."""
    week = week_lines(advised, asked)
    sections: list[Section] = [("This week", week + ([QUICK_WORDS] if any(one.row.quick for one in advised) else []))]
    for group in groups:
        sections.append((group.deck.title, [f"{group_words(group)}.", period_words(group)]))
        rows = []
        for one in group.movements:
            go = f"recall {percent(one.recall)}, not on the sheet" if one.go is None else f"GO {percent(one.go)}"
            known = "" if one.knowledge is None else f", known {percent(one.knowledge)}"
            trials = f"{one.nogo} of {one.trials} trials NO-GO" if one.trials else "no trial seen"
            rows.append(f"{one.name}: {go}{known}; {one.failing} of {group.candidates} below one half; {trials}")
        sections.append(("Movements, the weakest first", rows))
        faults = [
            f"{one.name}: {one.tell}; {one.seen} times with {one.candidates}, recall {percent(one.recall)}"
            for one in group.faults
            if one.seen
        ]
        sections.append(("Faults that graders noted", faults or ["None on record."]))
    return sections
