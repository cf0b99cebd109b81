"""What a whole group fails, on paper: where the next drill period is best spent."""

from collections.abc import Sequence

from trainer.coach.words import HONESTY, percent
from trainer.report.page import Block, Heading, Page, Paragraph, Table
from trainer.report.sheets import FOOT
from trainer.sponsor.cohort import Cohort, GroupMovement, group_words, period_words


def cohort_page(groups: Sequence[Cohort], day: str) -> Page:
    """Return the summary of every group.

    Args:
        groups: a group for each deck that somebody has begun on.
        day: the day, in words.
    """
    blocks: list[Block] = []
    for group in groups:
        blocks += [Heading(group.deck.title), Paragraph(f"{group_words(group)}."), Paragraph(period_words(group))]
        rows = tuple(_movement(one, group.candidates) for one in group.movements)
        head = ("Movement", "GO", "known", "recall", "below one half", "trials NO-GO")
        blocks.append(Table(head, rows, frozenset({1, 2, 3, 4, 5})))
        seen = tuple(
            (f"{one.name}: {one.tell}", str(one.seen), str(one.candidates)) for one in group.faults if one.seen
        )
        if seen:
            blocks.append(Table(("Fault noted", "times", "candidates"), seen, frozenset({1, 2})))
    blocks += [] if groups else [Paragraph("Nobody on this laptop has begun yet.")]
    return Page("What the group fails", day, tuple(blocks), f"{HONESTY} {FOOT}")


def _movement(one: GroupMovement, candidates: int) -> tuple[str, ...]:
    return (
        one.name,
        "-" if one.go is None else percent(one.go),
        "-" if one.knowledge is None else percent(one.knowledge),
        percent(one.recall),
        f"{one.failing} of {candidates}",
        f"{one.nogo} of {one.trials}" if one.trials else "-",
    )
