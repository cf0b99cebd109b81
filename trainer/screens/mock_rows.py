"""The mock test in rows: its rules before it, what it came to after it."""

from trainer.coach.mock import MockMeasure, MockResult, MockTest
from trainer.coach.naming import point_words
from trainer.coach.words import percent
from trainer.drill.deck import Deck
from trainer.plain import clip, columns, visible
from trainer.quiz.marking import Marked
from trainer.quiz.questions import CHOICE, FEET, ORDER, Question
from trainer.screens.answers import hanging
from trainer.screens.today_rows import wrapped
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

MEASURE = 34
"""Columns of a measure's name."""
PAPERS = (
    "A trial is a few questions that touch all that it cannot succeed without. Nothing is told before the end, and no "
    "question comes back."
)
LIMITS = (
    "This tests what you know, not what you can do: majors are not seen here, and no chance of passing is changed by "
    "the verdict itself, only by the answers."
)


def rule_rows(test: MockTest, width: int) -> list[Row]:
    """Return the rules that the test is held by."""
    sheet = test.sheet
    rule, minors = sheet.rule, len(sheet.minors)
    sheet_words = (
        f"{minors} measures, each tried up to {rule.trials} times; {rule.needed} right trials make it a GO, and "
        f"{rule.minors_to_pass} of {minors} measures pass. A measure stops once it is decided; who "
        f"knows it all needs {minors * rule.needed} trials, at most there are {minors * rule.trials}."
    )
    rows: list[Row] = [(Span("Under test rules", STRONG),)]
    for text in (sheet_words, PAPERS, LIMITS):
        rows += [(), *((Span(line, INK),) for line in wrapped(text, width))]
    return rows


def result_rows(deck: Deck, result: MockResult, width: int) -> list[Row]:
    """Return what a mock test came to: the verdict, the forecast beside it, the measures, what to do next."""
    rows = [*_verdict_rows(result, width), (), *_measure_rows(deck, result, width)]
    if result.not_seen:
        rows += [(), (Span("Majors, not seen at a screen", STRONG),)]
        rows += [row for text in result.not_seen for row in hanging((Span("  "),), text, width, FAINT)]
    rows += [(), *_next_rows(result, width)]
    if result.wrong:
        rows += [(), (Span("What was not right", STRONG),)]
        for question, marked in result.wrong:
            rows += _wrong_rows(question, marked, width)
    return rows


def _verdict_rows(result: MockResult, width: int) -> list[Row]:
    verdict = {True: "GO", False: "NO-GO", None: "No verdict"}[result.go]
    told = f"{result.minors_go} of {len(result.measures)} measures GO, {result.to_pass} needed; no majors seen"
    rows: list[Row] = [(Span(verdict, WRONG if result.go is False else STRONG), Span(f"   {told}", INK))]
    before = f"Your answers before it let {result.expected:.1f} measures be expected as known"
    if result.said is not None:
        before += f"; a GO on the ground today stood at {percent(result.said.go)}, execution and majors counted in"
    rows += [(Span(line, FAINT),) for line in wrapped(f"{before}.", width)]
    return rows


def _measure_rows(deck: Deck, result: MockResult, width: int) -> list[Row]:
    name_width = min(MEASURE, max(width - 30, 12))
    rows: list[Row] = [(Span(f"{'Measure':<{name_width}}", STRONG), Span(f"{'':<10}trials", FAINT))]
    for measure in result.measures:
        rows.append(_measure_row(measure, name_width))
        if measure.missed:
            missed = ", ".join(dict.fromkeys(point_words(deck, point) for point in measure.missed))
            rows += hanging((Span("  missed: ", FAINT),), missed, width, FAINT)
    return rows


def _measure_row(measure: MockMeasure, width: int) -> Row:
    name = clip(visible(measure.name), width - 2)
    verdict = {True: "GO", False: "NO-GO", None: "open"}[measure.go]
    trials = "  ".join("GO" if go else "NO-GO" for go in measure.trials) or "not tried"
    return (
        Span(name + " " * (width - columns(name)), INK),
        Span(f"{verdict:<10}", WRONG if measure.go is False else STRONG),
        Span(trials, FAINT),
    )


def _next_rows(result: MockResult, width: int) -> list[Row]:
    rows: list[Row] = [(Span("What next", STRONG),)]
    if result.weakest:
        names = ", ".join(measure.name for measure in result.weakest[:3])
        text = f"The next sittings bring back what was missed. Begin with {names}; walk through it by count before."
    elif result.go:
        text = "Knowledge holds. What is left is on the ground: ask for a graded run."
    else:
        text = "Hold a whole mock test when there is time for it; the answers given are kept."
    return rows + [(Span(line, INK),) for line in wrapped(text, width)]


def _wrong_rows(question: Question, marked: Marked, width: int) -> list[Row]:
    rows = hanging((Span("· ", BRASS),), question.prompt, width, INK)
    return rows + hanging((Span("  right is  ", FAINT),), right_words(question, marked), width, STRONG)


def right_words(question: Question, marked: Marked) -> str:
    """Return the right answer in words, whatever its form."""
    correct = marked.correct
    if question.expects == CHOICE and isinstance(correct, int):
        return question.choices[correct]
    if question.expects == FEET and isinstance(correct, tuple):
        return ", ".join(f"{word} {foot}" for word, foot in zip(question.choices, correct, strict=False))
    if question.expects == ORDER and isinstance(correct, tuple):
        return "; ".join(question.choices[int(number)] for number in correct)
    return str(correct)
