"""Today as rows of text for a width and a height; a pure function of what Today says."""

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from trainer.plain import clip, columns, visible
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, WRONG, Row, Span

if TYPE_CHECKING:
    from trainer.coach.today import Today, Weak
    from trainer.memory.readiness import Chance

Block = list[Row]
FEWEST_WEAK = 3
DEMO = "invented unit, throw-away copy"
BRIEF_HONESTY = "Tried on synthetic learners only."
BESIDE = 100
"""Columns from which on the reasons stand beside the measures."""
READING = 96
"""Columns of running text; longer lines are hard to follow."""
QUARTERS = ("0", "25", "50", "75", "100 %")


def today_rows(now: "Today", width: int, height: int, demo: bool = False, tonight: str = "") -> list[Row]:
    """Return the whole sheet; `tonight` says what the next sitting is for, once that is known.

    Where rows are short, blank ones go first, then reasons stand beside the measures, then less is told.
    """
    rows = _sheet(now, width, height, demo, tonight)
    if len(rows) > height:
        rows = _sheet(now, width, height, demo, tonight, brief=True)
    foot = [*_tasking_block(now, width), *_foot_block(now, width, tonight)]
    return rows if len(rows) <= height else [*rows[: height - len(foot)], *foot]


def _sheet(now: "Today", width: int, height: int, demo: bool, tonight: str, brief: bool = False) -> list[Row]:
    upper = [
        head_rows(now.day, now.deck, now.handle, width, demo),
        _test_block(now),
        _readiness_block(now, width, brief),
    ]
    foot = [*_changed_block(now, width, height), _tasking_block(now, width), _foot_block(now, width, tonight)]
    used = sum(map(len, (*upper, *foot))) + 1
    rows_each = 2 if width < BESIDE and used + 2 * FEWEST_WEAK <= height else 1
    number = max(FEWEST_WEAK, (height - used - len(upper) - len(foot)) // rows_each)
    weak = _weak_block(now, now.weakest[:number], rows_each, width)
    return _stacked([*upper, weak, *foot], height)


def waiting_rows(day: date, width: int, demo: bool = False) -> list[Row]:
    """Return the sheet before the record is read."""
    return [*head_rows(day, "", "", width, demo), (), (Span("Reading the record …", FAINT),)]


def trouble_rows(day: date, handle: str, trouble: str, width: int, demo: bool = False) -> list[Row]:
    """Return the sheet of a candidate whose deck cannot be used."""
    told = [(Span(line, INK),) for line in wrapped(trouble, min(width, READING))]
    mend = (Span("c", BRASS), Span(" chooses another deck, or the same one once its file is mended.", INK))
    return [*head_rows(day, "", handle, width, demo), (), (Span("The deck cannot be used", WRONG),), *told, (), mend]


def head_rows(day: date, deck: str, handle: str, width: int, demo: bool = False) -> Block:
    """Return the day, the deck and who, over a chalk line."""
    from trainer.coach.dates import date_words

    told = DEMO if demo else ""
    left, right = date_words(day), clip(visible(handle), max(width // 2 - 2, 0))
    return [
        spread([Span(left, STRONG)], [Span(right, STRONG)], width),
        spread([Span(clip(visible(deck), max(width - len(told) - 2, 0)), FAINT)], [Span(told, BRASS)], width),
        (Span("─" * width, LINE),),
    ]


def whole_reasons(reasons: Sequence[str], room: int) -> str:
    """Return as many reasons as fit whole; a first one that is too long is cut."""
    told = ""
    for reason in reasons:
        longer = f"{told}; {visible(reason)}" if told else clip(visible(reason), room)
        if columns(longer) > room:
            break
        told = longer
    return told


def band_rows(low: float, go: float, high: float, width: int) -> Block:
    """Return a chance on a chalk line from 0 to 100 %: its band heavy, the chance itself a dot, a rule beneath."""
    last = width - 1

    def column(share: float) -> int:
        return round(min(max(share, 0.0), 1.0) * last)

    ticks = [column(quarter / 4) for quarter in range(5)]
    cells = [("┼" if at in ticks[1:-1] else "─", LINE) for at in range(width)]
    cells[0], cells[last] = ("├", LINE), ("┤", LINE)
    for at in range(column(low), column(high) + 1):
        cells[at] = ("━", STRONG)
    cells[column(go)] = ("●", BRASS)
    rule = [" "] * width
    for at, text in zip(ticks, QUARTERS, strict=True):
        start = min(max(at - (len(text) - 1) // 2, 0), width - len(text))
        rule[start : start + len(text)] = text
    return [tuple(Span(text, role) for text, role in cells), (Span("".join(rule), FAINT),)]


def wrapped(text: str, width: int) -> list[str]:
    """Return text as lines of at most a width in cells, broken between words where that can be."""
    lines: list[str] = []
    for paragraph in visible(text, lines=True).split("\n"):
        line = ""
        for word in paragraph.split():
            while columns(word) > width:
                room = width - columns(line) - bool(line)
                if line and room < 2:
                    lines.append(line)
                    line, room = "", width
                head = clip(word, room)[:-1] or word[0]
                lines.append(f"{line} {head}".strip())
                line, word = "", word[len(head) :]
            if line and columns(line) + 1 + columns(word) > width:
                lines.append(line)
                line = word
            else:
                line = f"{line} {word}".strip()
        lines.append(line)
    return lines


def spread(left: Sequence[Span], right: Sequence[Span], width: int) -> Row:
    """Return a row with one part at its left end and one at its right."""
    gap = width - sum(columns(span.text) for span in (*left, *right))
    return (*left, Span(" " * max(gap, 1)), *right)


def _test_block(now: "Today") -> Block:
    from trainer.coach.dates import date_words

    if now.test_date is None or now.days is None:
        return [(Span("No test date yet", STRONG), Span("   "), Span("c", BRASS), Span(" sets one", FAINT))]
    day = date_words(now.test_date)
    if now.days < 0:
        ago = "yesterday" if now.days == -1 else f"{-now.days} days ago"
        first = (Span("The test date has passed", WRONG), Span(f"   {day}, {ago}", FAINT))
        return [first, (Span("c", BRASS), Span(" sets a new one. The forecast below is for now.", INK))]
    left = {0: "The test is today", 1: "The test is tomorrow"}.get(now.days, f"{now.days} days to the test")
    return [(Span(left, STRONG), Span(f"   {day}", FAINT))]


def _readiness_block(now: "Today", width: int, brief: bool) -> Block:
    from trainer.coach.words import HONESTY, percent, readiness_words

    chance, mean = now.outlook.chance, now.outlook.mean_recall
    reading = min(width, READING)
    honest = BRIEF_HONESTY if brief else HONESTY
    if chance is None:
        rows: Block = [(Span(f"Mean recall on the day {percent(mean)}", STRONG),)]
        band = band_rows(mean, mean, mean, reading)
        honest = f"This deck has no grade sheet, so there is no chance of a GO to forecast. {honest}"
    else:
        words, sentence = readiness_words(now.outlook), chance_sentence(chance)
        if len(words) + 3 + len(sentence) <= width:
            rows = [(Span(words, STRONG), Span(f"   {sentence}", INK))]
        else:
            rows = [(Span(words, STRONG),), *((Span(line, INK),) for line in wrapped(sentence, width))]
        band = band_rows(chance.low, chance.go, chance.high, reading)
        honest += " Execution is assumed, no graded run is on record." if now.outlook.assumed else ""
    return [*rows, *band[: 1 if brief else 2], *((Span(line, FAINT),) for line in wrapped(honest, reading))]


def chance_sentence(chance: "Chance") -> str:
    """Return a chance of GO with its band; without it where both ends are the same in whole percent."""
    from trainer.coach.words import percent

    sentence = f"chance of a GO {percent(chance.go)}"
    if percent(chance.low) == percent(chance.high):
        return sentence
    return f"{sentence}, 8 times in 10 from {percent(chance.low)} to {percent(chance.high)}"


def _weak_block(now: "Today", weakest: "Sequence[Weak]", rows_each: int, width: int) -> Block:
    from trainer.coach.today import likely_words
    from trainer.coach.words import percent

    whole = min(width, READING)
    name, value = ("measures", "chance of a GO") if now.outlook.chance else ("movements", "mean recall")
    title = [Span(f"Weakest {name}", STRONG)]
    told = likely_words(now)
    if told and columns(f"Weakest {name}{told}{value}") + 5 <= whole:
        title.append(Span(f"   {told}", FAINT))
    rows: Block = [spread(title, [Span(value, FAINT)], whole)]
    titles = [clip(visible(one.name), whole // 2) for one in weakest]
    column = max(map(columns, titles), default=0) + 3
    for one, label in zip(weakest, titles, strict=True):
        share = percent(one.share)
        left = [Span(label, INK)]
        if rows_each == 1:
            beside = whole_reasons(one.reasons, whole - column - len(share) - 2)
            left.append(Span(" " * (column - columns(label)) + beside, FAINT))
        rows.append(spread(left, [Span(share, STRONG)], whole))
        if rows_each == 2:
            rows.append((Span(f"  {whole_reasons(one.reasons, whole - 2)}", FAINT),))
    return rows


def _tasking_block(now: "Today", width: int) -> Block:
    """Return the open tasking that ends first in one row; how many others there are stands at its end."""
    if not now.taskings:
        return []
    others = len(now.taskings) - 1
    more = f"; and {others} more" if others else ""
    title = "Tasking   "
    told = clip(visible(now.taskings[0]), min(width, READING) - len(title) - len(more)) + more
    return [(Span(title, STRONG), Span(told, INK))]


def _changed_block(now: "Today", width: int, height: int) -> list[Block]:
    if not now.changed:
        return []
    number = len(now.changed)
    whole = min(width, READING) - 2
    room = min(number, 1 if height < 28 else max(1, height // 6))
    title = "The standard changed on a point" if number == 1 else f"The standard changed on {number} points"
    rows: Block = [(Span(title, WRONG), Span(" since you answered; asked anew", INK))]
    texts = [clip(visible(text), whole) for text in now.changed[:room]]
    if number > room:
        more = f"; and {number - room} more"
        texts[-1] = clip(visible(now.changed[room - 1]), whole - len(more)) + more
    return [rows + [(Span(f"  {text}", FAINT),) for text in texts]]


def _foot_block(now: "Today", width: int, tonight: str) -> Block:
    from trainer.coach.today import practised_words

    whole = min(width, READING)
    minutes = f"{now.minutes} minute{'' if now.minutes == 1 else 's'}"
    start = (Span("s", BRASS), Span(" or "), Span("enter", BRASS))
    told = f"start: {now.questions} questions, as fit {minutes}"
    if now.questions_today >= now.questions > 0:
        start = (Span("Done for today; ", STRONG), Span("s", BRASS), Span(" for more"))
        told = f"{now.questions} questions, as fit {minutes}"
    return [
        *((Span(line, INK),) for line in wrapped(practised_words(now), whole)),
        (*start, Span(f"  {told}", STRONG)),
        # One line in any case: nothing moves when it comes to be known.
        (Span(clip(visible(tonight), whole), INK),),
    ]


def _stacked(blocks: list[Block], height: int) -> list[Row]:
    blocks = [block for block in blocks if block]
    spare = height - sum(map(len, blocks))
    # One row is left free above the keys; then the last block, how to start, is set apart first.
    apart = set(sorted(range(1, len(blocks)), reverse=True)[: max(spare - 1, 0)])
    rows: list[Row] = []
    for number, block in enumerate(blocks):
        if number in apart:
            rows.append(())
        rows += block
    return rows


def hanging(head: tuple[Span, ...], text: str, width: int, role: str) -> list[Row]:
    """Return a text wrapped beside a head, its further lines under its first."""
    indent = sum(columns(span.text) for span in head)
    lines = wrapped(visible(text), max(width - indent, 8))
    return [
        (*head, Span(line, role)) if number == 0 else (Span(" " * indent), Span(line, role))
        for number, line in enumerate(lines)
    ]
