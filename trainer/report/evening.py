"""An evening of the study group on paper: agreement, each grader's eye, the after-action list."""

from trainer.group.after_action import NOTHING_YET, after_action
from trainer.group.evening import Evening
from trainer.report.page import Block, Heading, Items, Page, Pairs, Paragraph, Table
from trainer.report.sheets import FOOT


def evening_page(evening: Evening) -> Page:
    """Return the sheet of an evening."""
    agreed, listed = evening.agreement(), after_action(evening)
    together, known, turns = evening.team()
    rows = [("People", ", ".join(evening.places)), ("Turns graded", str(turns)), ("Lot", str(evening.seed))]
    if agreed.percent is not None:
        rows.append(("Pairs that gave the same", f"{100 * agreed.percent:.0f} %"))
    if agreed.value is not None:
        band = f", 95 percent interval {agreed.low:.2f} to {agreed.high:.2f}" if agreed.low is not None else ""
        rows.append((agreed.name, f"{agreed.value:.2f}{band}"))
    if known:
        rows.append(("All of one mind and right", f"{together} of {known} turns whose truth is known"))
    blocks: list[Block] = [Heading("How far the group agrees"), Pairs(tuple(rows))]
    blocks += [Paragraph(told) for told in (agreed.told, agreed.left_out()) if told]
    truth = evening.against_truth()
    if truth:
        blocks += [
            Heading("Each grader against the known truth"),
            Table(
                ("Grader", "saw of faulty", "called right ones NO-GO"),
                tuple(
                    (
                        name,
                        _share(truth[name].hits, truth[name].misses),
                        _share(truth[name].false_alarms, truth[name].passed),
                    )
                    for name in evening.places
                    if name in truth
                ),
                frozenset({1, 2}),
            ),
        ]
    blocks.append(Heading("After action"))
    for item in listed.items:
        told = (("To happen", item.to_happen), ("Happened", item.happened), ("Why", item.why))
        blocks += [Paragraph(item.name), Pairs(told)]
    blocks += [] if listed.items else [Paragraph("Nothing was disputed.")]
    blocks += [Heading("Sustain"), Items(listed.sustain or (NOTHING_YET,))]
    blocks += [Heading("Improve"), Items(listed.improve or (NOTHING_YET,))]
    return Page(f"Study group, {evening.id[:10]}", evening.deck.title, tuple(blocks), FOOT)


def _share(some: int, others: int) -> str:
    return f"{some} of {some + others}" if some + others else "none graded"
