"""The mock test in rows: its rules before it, what it came to after it."""

from trainer.coach.mock import CHOSEN, MockCall, MockMeasure, MockResult, MockTest
from trainer.coach.naming import point_words
from trainer.coach.words import percent
from trainer.drill.deck import Deck
from trainer.plain import clip, columns, visible
from trainer.quiz.marking import Marked
from trainer.quiz.questions import CHOICE, FEET, ORDER, Question
from trainer.rhythm.exercise import Exercise
from trainer.screens.beat_rows import FEET_WORDS, apart_words, beat_head, call_rows, ready_rows, timing_parts
from trainer.screens.feedback import RIGHT_ROLE
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

Failed = MockMeasure | MockCall | tuple[Question, Marked]
"""One thing that was not right: a measure, a call, a question."""
HERE = "▸"
"""Stands before what is chosen."""
MEASURE = 36
"""Columns of a measure's name."""
PAPERS = (
    "A trial is a few questions that touch all that it cannot succeed without. Nothing is told before the end, and no "
    "question comes back."
)
LIMITS = (
    "This tests what you know, not what you can do: majors are not seen here, and no chance of passing is changed by "
    "the verdict itself, only by the answers."
)
CALLED = "Feet are called on the beat: you type the first letter of each word on its foot while the beat goes on."
ONE_ATTEMPT = "One attempt a trial; foot and words decide, early or late is told and never a fault."
ATTEMPT = "One attempt: what is called counts. Who does not know presses 0 here, or ends the call with enter."
ANEW = "The keys went elsewhere before anything was called, so the beat begins anew."
CUT_OFF = "The keys went elsewhere after the call had begun, so it ends there; what was called until then counts."
ASKED = "not called on the beat."


def rule_rows(test: MockTest, feet: str, width: int) -> list[Row]:
    """Return the rules that the test is held by; `feet` says how feet are tested, empty where nothing is called."""
    sheet = test.sheet
    rule, minors = sheet.rule, len(sheet.minors)
    sheet_words = (
        f"{minors} measures, each tried up to {rule.trials} times; {rule.needed} right trials make it a GO, and "
        f"{rule.minors_to_pass} of {minors} measures pass. A measure stops once it is decided; who "
        f"knows it all needs {minors * rule.needed} trials, at most there are {minors * rule.trials}."
    )
    rows: list[Row] = [(Span("Under test rules", STRONG),)]
    for text in filter(None, (sheet_words, feet, PAPERS, LIMITS)):
        rows += [(), *((Span(line, INK),) for line in wrapped(text, width))]
    return rows


def feet_told(test: MockTest, can_set: bool) -> str:
    """Return in words, before the test, whether feet are called or asked, why, and which key changes it."""
    if test.quickest is None:
        return ""
    if test.asked_why is None:
        return f"{CALLED} {ONE_ATTEMPT} c has them asked instead."
    told = f"Feet are asked, {ASKED} {test.asked_why}"
    if test.asked_why == CHOSEN:
        return f"{told} c has them called."
    return f"{told} c lets you tap along now, half a minute; then they can be called." if can_set else told


def attempt_rows(done: Exercise, anew: bool, width: int) -> list[Row]:
    """Return what stands before a call of a trial; `anew` if it was interrupted before its first word."""
    rows = [*beat_head(done, done.movement.name, width), (), *ready_rows(done, ANEW if anew else "", width)]
    return [*rows, (), *((Span(line, FAINT),) for line in wrapped(ATTEMPT, width))]


def under_way_rows(done: Exercise, cut: bool, width: int) -> list[Row]:
    """Return what stands over a call while it is given; `cut` once it was interrupted."""
    rows = [*beat_head(done, done.movement.name, width), *call_rows(done, width), ()]
    return [*rows, *((Span(line, WRONG),) for line in wrapped(CUT_OFF, width))] if cut else rows


def failures(result: MockResult) -> tuple[Failed, ...]:
    """Return all that was not right, in the order in which it is told: what can be chosen and played."""
    found: list[Failed] = []
    for measure in result.measures:
        if measure.missed or measure.go is False:
            found.append(measure)
        found += [call for call in result.calls if call.measure == measure.id and not call.called.right]
    return (*found, *result.wrong)


def result_rows(deck: Deck, result: MockResult, width: int, chosen: Failed | None = None) -> list[Row]:
    """Return what a mock test came to: the verdict, the forecast beside it, the measures, what to do next."""
    rows = [*_verdict_rows(result, width), (), *_measure_rows(deck, result, width, chosen)]
    if result.not_seen:
        rows += [(), (Span("Majors, not seen at a screen", STRONG),)]
        rows += [row for text in result.not_seen for row in hanging((Span("  "),), text, width, FAINT)]
    rows += [(), *_next_rows(result, width)]
    if result.wrong:
        rows += [(), (Span("What was not right", STRONG),)]
        for one in result.wrong:
            rows += _wrong_rows(*one, width, one is chosen)
    return rows


def _verdict_rows(result: MockResult, width: int) -> list[Row]:
    verdict = {True: "GO", False: "NO-GO", None: "No verdict"}[result.go]
    told = f"{result.minors_go} of {len(result.measures)} measures GO, {result.to_pass} needed; no majors seen"
    rows: list[Row] = [(Span(verdict, WRONG if result.go is False else STRONG), Span(f"   {told}", INK))]
    before = f"Your answers before it let {result.expected:.1f} measures be expected as known"
    if result.said is not None:
        before += f"; a GO on the ground today stood at {percent(result.said.go)}, execution and majors counted in"
    rows += [(Span(line, FAINT),) for line in wrapped(f"{before}.", width)]
    if result.asked_why:
        rows += [(Span(line, FAINT),) for line in wrapped(f"Feet were asked, {ASKED} {result.asked_why}", width)]
    return rows


def _measure_rows(deck: Deck, result: MockResult, width: int, chosen: Failed | None) -> list[Row]:
    name_width = min(MEASURE, max(width - 30, 12))
    rows: list[Row] = [(Span(f"{'  Measure':<{name_width}}", STRONG), Span(f"{'':<10}trials", FAINT))]
    for measure in result.measures:
        rows.append(_measure_row(measure, name_width, measure is chosen))
        if measure.missed:
            missed = ", ".join(dict.fromkeys(point_words(deck, point) for point in measure.missed))
            rows += hanging((Span("    missed: ", FAINT),), missed, width, FAINT)
        for call in result.calls:
            if call.measure == measure.id:
                rows += _call_rows(call, width, call is chosen)
    return rows


def _sign(chosen: bool, else_sign: str = "  ") -> Span:
    return Span(f"{HERE} " if chosen else else_sign, BRASS)


def _measure_row(measure: MockMeasure, width: int, chosen: bool) -> Row:
    name = clip(visible(measure.name), width - 4)
    verdict = {True: "GO", False: "NO-GO", None: "open"}[measure.go]
    trials = "  ".join("GO" if go else "NO-GO" for go in measure.trials) or "not tried"
    return (
        _sign(chosen),
        Span(name + " " * (width - 2 - columns(name)), INK),
        Span(f"{verdict:<10}", WRONG if measure.go is False else STRONG),
        Span(trials, FAINT),
    )


def _call_rows(call: MockCall, width: int, chosen: bool) -> list[Row]:
    """Return how a call went: what was wrong about it, and its timing, which is never a fault."""
    told = call_words(call) or ["right"]
    head = (
        _sign(chosen),
        Span(f"  trial {call.trial}, called: ", FAINT),
        Span("✓ " if call.called.right else "✗ ", RIGHT_ROLE if call.called.right else WRONG),
    )
    timing = timing_parts(call.called.timing) if call.called.timing else []
    told += [f"timing: {', '.join(timing)}"] if timing else []
    return hanging(head, "; ".join(told), width, FAINT if call.called.right else INK)


def call_words(call: MockCall) -> list[str]:
    """Return what was wrong about a call, word by word: which word fell on which foot."""
    found = []
    for one in call.called.shown:
        say = f"“{visible(one.due.say)}”"
        if one.beat is None:
            found.append(f"{say} was not called")
            continue
        if one.foot_right is False:
            found.append(f"{say} fell {_on(one.foot)}, belongs {_on(one.due.foot)}")
        if one.letter_right is False:
            found.append(f"{say} was called by another letter")
    return found + apart_words(call.called, call.done.moves)


def _on(foot: str | None) -> str:
    words = FEET_WORDS.get(foot, "")
    return (
        f"with {words}" if words.startswith("heels") else f"on {words if words.startswith('the ') else f'the {words}'}"
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


def _wrong_rows(question: Question, marked: Marked, width: int, chosen: bool) -> list[Row]:
    rows = hanging((_sign(chosen, "· "),), question.prompt, width, INK)
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
