"""What stands on the screen after an answer: right or not, what was given against what is right, why, source."""

from collections.abc import Sequence

from trainer.drill.deck import Deck
from trainer.plain import columns, visible
from trainer.quiz.marking import Marked
from trainer.quiz.points import SHEET
from trainer.quiz.questions import CHOICE, FEET, ORDER, Answer, Question
from trainer.screens.feet_rows import feet_rows
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

RIGHT_ROLE = "right answer"
GIVEN, CORRECT = "you gave", "right is"
NOT_KNOWN = "nothing: you did not know"
UNCONFIRMED = " Not confirmed: "


def feedback_rows(deck: Deck, question: Question, marked: Marked, given: Answer, width: int) -> list[Row]:
    """Return everything that is told after an answer, at a width."""
    rows = [verdict_row(marked)]
    if question.expects == FEET:
        rows += _feet(question, marked, given, width)
    elif question.expects == ORDER:
        rows += _order(question, marked, given, width)
    else:
        rows += _single(question, marked, given, width)
    why, unconfirmed = split_note(deck, question, marked.why)
    rows.append(())
    rows += [(Span(line, INK),) for line in wrapped(why, width)]
    if unconfirmed:
        rows += hanging((Span("Not confirmed: ", BRASS),), unconfirmed, width, INK)
    if marked.source:
        rows += hanging((Span("Source: ", FAINT),), marked.source, width, FAINT)
    return rows


def verdict_row(marked: Marked) -> Row:
    """Return whether an answer was right, in words and with a sign."""
    rights = [right for _, right in marked.marks]
    if all(rights):
        return (Span("✓ Right.", RIGHT_ROLE),)
    told = f"  {sum(rights)} of {len(rights)} right." if len(rights) > 1 else ""
    if marked.remark:
        told = "  Nearly the words."
    return Span("✗ Not right.", WRONG), Span(told, STRONG)


def split_note(deck: Deck, question: Question, why: str) -> tuple[str, str]:
    """Return the reason and, apart from it, what the author of the deck could not confirm."""
    if question.movement == SHEET:
        return why, ""
    note = deck.movement(question.movement).unconfirmed
    if note and why.endswith(UNCONFIRMED + note):
        why = why[: -len(UNCONFIRMED + note)]
    return why, note


def _single(question: Question, marked: Marked, given: Answer, width: int) -> list[Row]:
    right = _said(question, marked.correct)
    if marked.right:
        return hanging((Span(f"{CORRECT}  ", FAINT),), right, width, STRONG)
    return [
        *hanging((Span(f"{GIVEN}  ", FAINT),), _said(question, given), width, INK),
        *hanging((Span(f"{CORRECT}  ", FAINT),), right, width, STRONG),
    ]


def _said(question: Question, answer: Answer) -> str:
    if question.expects == CHOICE and isinstance(answer, int):
        return question.choices[answer] if 0 <= answer < len(question.choices) else NOT_KNOWN
    return str(answer) or NOT_KNOWN


def _feet(question: Question, marked: Marked, given: Answer, width: int) -> list[Row]:
    beats = question.focus if len(question.focus) == len(question.choices) else ()
    marks = tuple(right for _, right in marked.marks)
    if not given:
        told = (Span(f"{GIVEN}  ", FAINT), Span(NOT_KNOWN, INK))
        return [told, *feet_rows(question.choices, beats, {CORRECT: _feet_of(marked.correct)}, width)]
    rows = {GIVEN: _feet_of(given)}
    if not marked.right:
        rows[CORRECT] = _feet_of(marked.correct)
    return feet_rows(question.choices, beats, rows, width, None, marks)


def _feet_of(answer: Answer) -> tuple[str, ...]:
    return tuple(map(str, answer)) if isinstance(answer, tuple) else ()


def _order(question: Question, marked: Marked, given: Answer, width: int) -> list[Row]:
    """Return the steps in their right order, each with its mark and the place that it was given."""
    right = [int(number) for number in marked.correct] if isinstance(marked.correct, tuple) else []
    put = [int(number) for number in given] if isinstance(given, tuple) else []
    told = "right order, and where you put each" if put else f"right order; you gave {NOT_KNOWN}"
    if put and not marked.right:
        told += "; a count is right where it follows the one it should"
    rows: list[Row] = [(Span(line, FAINT),) for line in wrapped(told, width)]
    for place, (number, mark) in enumerate(zip(right, _step_marks(question, marked), strict=True), 1):
        sign = Span("✓" if mark else "✗", RIGHT_ROLE if mark else WRONG)
        yours = f"{put.index(number) + 1}" if number in put else "-"
        head = (sign, Span(f" {place}  ", STRONG), Span(f"{'you ' + yours:<7}", FAINT))
        rows += hanging(head, question.choices[number], width, INK)
    return rows


def _step_marks(question: Question, marked: Marked) -> list[bool]:
    marks: Sequence[bool] = [right for _, right in marked.marks]
    found, at = [], 0
    for points in question.steps:
        found.append(all(marks[at : at + points]))
        at += points
    return found


def prompt_rows(prompt: str, width: int, role: str) -> list[Row]:
    """Return a question in words."""
    return [(Span(line, role),) for line in wrapped(prompt, width)]


def head_rows(place: str, name: str, title: str, done: float, width: int) -> list[Row]:
    """Return the head: which question of how many, of what, on which deck, over a line that is heavy as far as done."""
    left = [Span(place, STRONG)]
    if name:
        left.append(Span(f"   {visible(name)}", BRASS))
    used = sum(columns(span.text) for span in left)
    room = width - used - 3
    tail = visible(title) if columns(visible(title)) <= room else ""
    gap = width - used - columns(tail)
    heavy = round(min(max(done, 0.0), 1.0) * width)
    return [
        (*left, Span(" " * max(gap, 0)), Span(tail, FAINT)),
        (Span("━" * heavy, BRASS), Span("─" * (width - heavy), "line")),
    ]
