"""Questions about the grade sheet: trials, minors to pass, the wait before a retest, majors."""

from collections.abc import Iterable, Iterator, Mapping
from random import Random

from trainer.drill.grade_sheet import GradeSheet, measure_go, verdict
from trainer.quiz.points import Point
from trainer.quiz.questions import (
    ENDS_TEST,
    MAJOR,
    MINORS,
    MINORS_GO,
    RETEST,
    TRIALS,
    TRIALS_GO,
    Question,
)
from trainer.quiz.workbook import Maker, Workbook

VERDICTS = {True: "GO", False: "NO-GO"}
HOURS_IN_DAY = 24
MOST_DAYS_IN_HOURS = 3


def _sheet(book: Workbook) -> GradeSheet:
    sheet = book.deck.grade_sheet
    if sheet is None:
        raise ValueError("this deck has no grade sheet")
    return sheet


def rule_why(sheet: GradeSheet) -> str:
    """Return the rule of a grade sheet in words."""
    rule = sheet.rule
    told = (
        f"A minor measure is GO with {rule.needed} of {rule.trials} trials right; the test is GO with "
        f"{rule.minors_to_pass} of {len(sheet.minors)} minor measures GO and no major measure failed."
    )
    if sheet.retest_after_hours is None:
        return told
    return f"{told} A retest is no sooner than {hours_text(sheet.retest_after_hours)} later."


def hours_text(hours: int) -> str:
    """Return a wait in hours, in days where it is a number of days beyond three."""
    days, rest = divmod(hours, HOURS_IN_DAY)
    if days > MOST_DAYS_IN_HOURS and not rest:
        return f"{days} days"
    return f"{hours} hour{'' if hours == 1 else 's'}"


def _near(right: int, low: int, high: int) -> Iterator[int]:
    """Give whole numbers around one, the nearest first."""
    for step in range(1, max(right - low, high - right) + 1):
        yield from (number for number in (right - step, right + step) if low <= number <= high)


def _numbers(
    book: Workbook, point: Point, rng: Random, kind: str, prompt: str, right: str, wrong: Iterable[str]
) -> Question | None:
    asked = book.choice(kind, point, prompt, right, wrong, rng, rule_why(_sheet(book)))
    if asked is None:
        return None
    return book.in_order(asked, sorted(asked.choices, key=_first_numbers))


def _first_numbers(text: str) -> tuple[int, ...]:
    numbers = tuple(int(part) for part in text.split() if part.isdigit())
    return (numbers[0] * HOURS_IN_DAY,) if "days" in text else numbers


def trials(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask how many trials of how many must be right."""
    rule = _sheet(book).rule
    wrong = [f"{needed} of {rule.trials}" for needed in _near(rule.needed, 1, rule.trials)]
    more = rule.trials + 1
    wrong = [*wrong[:2], f"{rule.needed} of {more}", f"{min(rule.needed + 1, more)} of {more}", *wrong[2:]]
    prompt = "How many of how many trials must be right for a minor measure to be GO?"
    return _numbers(book, point, rng, TRIALS, prompt, f"{rule.needed} of {rule.trials}", wrong)


def minors(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask how many minor measures must be GO."""
    sheet = _sheet(book)
    size = len(sheet.minors)
    wrong = [str(number) for number in _near(sheet.rule.minors_to_pass, 0, size)]
    prompt = f"How many of the {size} minor measures must be GO at the least for the test to be GO?"
    return _numbers(book, point, rng, MINORS, prompt, str(sheet.rule.minors_to_pass), wrong)


def retest(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask how long to wait before a retest."""
    hours = _sheet(book).retest_after_hours
    if hours is None:
        return None
    others = [wait for wait in (12, 24, 48, 72, 7 * HOURS_IN_DAY) if wait != hours]
    wrong = [hours_text(wait) for wait in sorted(others, key=lambda wait: abs(wait - hours))]
    prompt = "After a NO-GO, how soon may the test be taken again at the earliest?"
    return _numbers(book, point, rng, RETEST, prompt, hours_text(hours), wrong)


def trials_go(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for the verdict on a minor measure whose trials are all done."""
    rule = _sheet(book).rule
    right = min(rule.trials, max(0, rule.needed + rng.choice((-1, 0))))
    go = measure_go(rule, [True] * right + [False] * (rule.trials - right))
    prompt = f"{right} of {rule.trials} trials of a minor measure were right. What is the measure?"
    return _verdict(book, point, rng, TRIALS_GO, prompt, bool(go))


def minors_go(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask for the verdict on a test that is over."""
    sheet = _sheet(book)
    rule, size = sheet.rule, len(sheet.minors)
    passed = max(0, rule.minors_to_pass + rng.choice((-1, 0)))
    done = {minor: [place < passed] * rule.trials for place, minor in enumerate(sheet.minors)}
    prompt = f"{passed} of {size} minor measures are GO and no major measure was failed. What is the test?"
    return _verdict(book, point, rng, MINORS_GO, prompt, bool(verdict(rule, done, ()).go))


def _verdict(book: Workbook, point: Point, rng: Random, kind: str, prompt: str, go: bool) -> Question | None:
    asked = book.choice(kind, point, prompt, VERDICTS[go], [VERDICTS[not go]], rng, rule_why(_sheet(book)))
    return book.in_order(asked, VERDICTS.values())


def _major_text(book: Workbook, point: Point) -> str:
    return next(major.text for major in _sheet(book).majors if major.id == point.place)


def _minor_names(book: Workbook) -> list[str]:
    sheet = _sheet(book)
    return [book.title(movement) for movement in book.movements if movement.id in sheet.minors]


def major(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask which of several measures is a major."""
    text = _major_text(book, point)
    names = _minor_names(book)
    rng.shuffle(names)
    prompt = "Which of these is a major measure, of which none may be failed?"
    return book.choice(MAJOR, point, prompt, text, names, rng, _major_why(text))


def ends_test(book: Workbook, point: Point, rng: Random) -> Question | None:
    """Ask what decides the whole test at once."""
    sheet, text = _sheet(book), _major_text(book, point)
    if sheet.needed == sheet.trials and sheet.rule.minors_to_pass == len(sheet.minors):
        return None
    names = _minor_names(book)
    rng.shuffle(names)
    wrong = [f"One trial of this is not right: {name}" for name in names]
    prompt = "Which of these makes the whole test NO-GO by itself?"
    return book.choice(ENDS_TEST, point, prompt, text, wrong, rng, _major_why(text))


def _major_why(text: str) -> str:
    return f"A major measure: {text} Failing any major measure makes the test NO-GO."


COUNT_MAKERS: Mapping[str, Mapping[str, Maker]] = {
    TRIALS: {TRIALS: trials, TRIALS_GO: trials_go},
    "minors": {MINORS: minors, MINORS_GO: minors_go},
    RETEST: {RETEST: retest},
}
MAJOR_MAKERS: Mapping[str, Maker] = {MAJOR: major, ENDS_TEST: ends_test}
