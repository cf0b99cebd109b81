"""The sheets that need nothing but a deck: the blank grade sheet, and a movement by count."""

from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GradeSheet
from trainer.drill.movement import LEFT, Movement
from trainer.drill.unrolling import score
from trainer.report.page import BOX, Block, Heading, Items, Page, Pairs, Paragraph, Picture, Table
from trainer.report.svg import footprints_svg
from trainer.sponsor.opening import sheet_of

FOOT = (
    "Printed by Stepcall. It supports the unit's own standard and qualified instruction and replaces neither; the "
    "verdict is the grader's."
)


def blank_grade_sheet(deck: Deck) -> Page:
    """Return a grade sheet to fill in on the surface.

    Raises:
        GradingError: one sentence, where the deck has no grade sheet.
    """
    sheet = sheet_of(deck)
    return Page(
        f"Grade sheet: {deck.title}",
        deck.standard,
        (
            Pairs(tuple((name, "") for name in ("Candidate", "Date, time", "Surface", "Grader")), blank=True),
            Heading("Before the run"),
            Items(tuple(f"{BOX} {text}" for text in gate(deck))),
            *(Paragraph(text, caution=True) for text in deck.cautions),
            Heading(rule_words(sheet)),
            _minor_table(deck, sheet),
            *_major_blocks(sheet),
            Heading("Faults by number"),
            *_fault_blocks(deck, sheet),
            Heading("Verdict"),
            Items((f"{BOX} GO", f"{BOX} NO-GO", f"{BOX} ended early by a failed major")),
            Pairs((("Grader", ""), ("Candidate", ""), ("Retest not before", retest_words(sheet))), blank=True),
        ),
        f"{FOOT} Sources: {'; '.join(deck.sources)}" if deck.sources else FOOT,
    )


def gate(deck: Deck) -> tuple[str, ...]:
    """Return what is looked at before a run; common practice, no source."""
    sword = ("Sword or rifle inspected, blade sheathed or held clear of people",) if deck.sword else ()
    return (
        "Uniform in order",
        "Footwear and equipment in order",
        *sword,
        "Surface clear and dry",
        "Cautions read aloud",
    )


def rule_words(sheet: GradeSheet) -> str:
    """Return how the sheet decides, in words."""
    rule = sheet.rule
    majors = ", and no major failed" if sheet.majors else ""
    return (
        f"GO: {rule.needed} of {rule.trials} trials a measure, {rule.minors_to_pass} of {len(sheet.minors)} measures"
        f"{majors}"
    )


def retest_words(sheet: GradeSheet) -> str:
    """Return when a retest may be held; empty where the standard sets no wait."""
    hours = sheet.retest_after_hours
    return "" if hours is None else f"{hours} hours after this run"


def _minor_table(deck: Deck, sheet: GradeSheet) -> Table:
    names = {movement.id: movement for movement in deck.movements}
    trials = tuple(f"trial {number}" for number in range(1, sheet.trials + 1))
    boxes = tuple(f"{BOX} GO {BOX} NO-GO" for _ in trials)
    rows = tuple(
        (f"{number}. {names[minor].name}", *boxes, f"{BOX} GO {BOX} NO-GO", "")
        for number, minor in enumerate(sheet.minors, 1)
    )
    return Table(("Minor measure", *trials, "measure", "faults"), rows)


def _major_blocks(sheet: GradeSheet) -> tuple[Block, ...]:
    if not sheet.majors:
        return ()
    rows = tuple((major.text, f"{BOX} kept", f"{BOX} failed") for major in sheet.majors)
    return Heading("Majors: one that fails ends the test"), Table(("Major measure", "", ""), rows)


def _fault_blocks(deck: Deck, sheet: GradeSheet) -> list[Block]:
    names = {movement.id: movement for movement in deck.movements}
    found: list[Block] = []
    for minor in sheet.minors:
        faults = names[minor].faults
        if faults:
            found += [Paragraph(names[minor].name), Items(tuple(fault.tell for fault in faults), numbered=True)]
    return found or [Paragraph("This deck names none.")]


def movement_blocks(deck: Deck, movement: Movement) -> tuple[Block, ...]:
    """Return a movement by count with its footprints."""
    shown = score(deck, movement, None, LEFT)
    counts = tuple((f"{count.beat:g}", count.tell) for count in movement.counts if count.tell)
    said = " ".join(f"{word.say} ({word.beat:g})" for word in movement.words)
    given = " ".join(f"{cue.sound} ({cue.beat:g})" for cue in movement.cues)
    called = (("Words (beat)", said), (f"By the {movement.cued_by} (beat)" if movement.cued_by else "", given))
    caption = f"{movement.name}, seen from above; left soles are filled, numbers are beats."
    return (
        Heading(movement.name),
        Pairs((*(row for row in called if row[1]), ("Source", movement.source))),
        Table(("Beat", "What to do"), counts, frozenset({0})),
        Picture(footprints_svg(deck, shown), caption),
    )
