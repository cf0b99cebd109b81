"""Stances and grade sheet of a deck."""

from collections.abc import Iterator

from trainer.drill.checks.finding import Finding, Path, nearest, sword, twice
from trainer.drill.checks.lengths import reachable
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import SHEET_ID
from trainer.drill.length import Length
from trainer.drill.movement import (
    BACK,
    CLOSE,
    IN_PLACE,
    LEFT,
    OTHER,
    RIGHT,
    SAME,
    SIDE,
    STAYS,
    STEP,
    STRIKING_PLACES,
    Stance,
    other_foot,
)


def deck_findings(deck: Deck) -> Iterator[Finding]:
    """Yield what is wrong with ids, stances and the grade sheet."""
    yield from twice([m.id for m in deck.movements], lambda n: ("movement", n, "id"), "movement")
    yield from _reserved_findings(deck)
    yield from _sole_findings(deck)
    for stance in deck.stances:
        yield from _stance_findings(deck, stance)
    sheet = deck.grade_sheet
    if sheet is None:
        return
    yield from twice(list(sheet.minors), lambda n: ("grade_sheet", "minors", n), "minor measure")
    yield from twice([m.id for m in sheet.majors], lambda n: ("grade_sheet", "majors", n, "id"), "major measure")
    ids = [movement.id for movement in deck.movements]
    for number, minor in enumerate(sheet.minors):
        if minor not in ids:
            yield Finding(
                ("grade_sheet", "minors", number),
                f"the minor measure '{minor}' has no movement of that id.{nearest(minor, ids)}",
            )
    for number, major in enumerate(sheet.majors):
        if major.id in sheet.minors:
            yield Finding(
                ("grade_sheet", "majors", number, "id"),
                f"'{major.id}' is a minor measure already; give the major an id of its own",
            )
    if sheet.needed > sheet.trials:
        yield Finding(
            ("grade_sheet", "needed"),
            f"{sheet.needed} right trials are needed, but there are only {sheet.trials} trials",
        )


def _reserved_findings(deck: Deck) -> Iterator[Finding]:
    for number, movement in enumerate(deck.movements):
        if movement.id == SHEET_ID:
            yield Finding(
                ("movement", number, "id"),
                f"the id '{SHEET_ID}' is kept for what is asked about the grade sheet; give the movement another id",
            )


def _sole_findings(deck: Deck) -> Iterator[Finding]:
    sole = deck.sole
    if not 0 < sole.ball < sole.length:
        yield Finding(("deck", "sole", "ball"), "the ball lies between heel and toe: more than 0, less than the length")
    if not 0 < sole.width < sole.length:
        yield Finding(("deck", "sole", "width"), "a sole is longer than it is wide, and wider than nothing")


def _stance_findings(deck: Deck, stance: Stance) -> Iterator[Finding]:
    path: Path = ("stance", stance.name)
    if stance.cadence and stance.cadence[0] > stance.cadence[1]:
        yield Finding((*path, "cadence"), "a range of cadence starts with the slower one, like [100, 120]")
    yield from sword(deck, stance.sword, (*path, "sword"))
    if stance.step and not reachable(stance.step):
        yield Finding((*path, "step"), f"no step is {stance.step} long; look at the unit")
    if stance.length and not stance.step:
        yield Finding((*path, "length"), "'length' is a share of the step: say the step as well, like step = \"30 in\"")
    if not stance.cycle:
        if stance.steady_place == STEP and stance.place and not stance.step:
            yield Finding((*path, "place"), 'a stance that steps needs the length of its step, like step = "30 in"')
        if stance.place not in (None, STEP, BACK, SIDE, IN_PLACE, STAYS):
            yield Finding(
                (*path, "place"),
                f"'{stance.place}' cannot be done on every beat; a stance steps, backs, or marks in place",
            )
        return
    for number in range(len(stance.cycle)):
        yield from _cycle_row_findings(deck, stance, number, (*path, "cycle", number))


def _cycle_row_findings(deck: Deck, stance: Stance, number: int, here: Path) -> Iterator[Finding]:
    row, before = stance.cycle[number], stance.cycle[number - 1]
    yield from sword(deck, row.sword, (*here, "sword"))
    if row.foot in (SAME, OTHER):
        yield Finding((*here, "foot"), f"a cycle has no foot to be '{row.foot}' than; say left, right or both")
    both_strike = row.place in STRIKING_PLACES and before.place in STRIKING_PLACES
    # Once the heels are together either foot may be next. In a cycle of two the first row follows on the second
    # as the second on the first: told once is enough.
    told = before.place == CLOSE or (len(stance.cycle) == 2 and number == 0)
    if not told and row.foot in (LEFT, RIGHT) and row.foot == before.foot and both_strike:
        round_again = " (the cycle begins again after its last row)" if number == 0 else ""
        yield Finding(
            (*here, "foot"),
            f"the {row.foot} foot cannot strike twice running{round_again}; the {other_foot(row.foot)} foot comes "
            "between",
        )
    if row.place in (STEP, BACK, SIDE) and not isinstance(row.length, Length) and stance.step is None:
        yield Finding(here, f"the length of this '{row.place}' is missing: say it here or as the stance's step")
    if isinstance(row.length, Length) and not reachable(row.length):
        yield Finding((*here, "length"), f"no step is {row.length} long; look at the unit")
