"""An evening of the study group on paper: agreement, each grader's eye, the after-action list."""

from trainer.group.after_action import after_action
from trainer.group.evening import Evening
from trainer.report.page import Block, Heading, Items, Page, Pairs, Paragraph, Table
from trainer.report.sheets import FOOT


def evening_page(evening: Evening) -> Page:
    """Return the sheet of an evening."""
    agreed, listed = evening.agreement(), after_action(evening)
    together, known, turns = evening.team()
    rows = [("People", ", ".join(evening.places)), ("Turns graded", str(turns))]
    if agreed.percent is not None:
        rows.append(("Pairs that gave the same", f"{100 * agreed.percent:.0f} %"))
    if agreed.value is not None:
        band = f", 95 percent interval {agreed.low:.2f} to {agreed.high:.2f}" if agreed.low is not None else ""
        rows.append((agreed.name, f"{agreed.value:.2f}{band}"))
    if known:
        rows.append(("All of one mind and right", f"{together} of {known} turns whose truth is known"))
    blocks: list[Block] = [Heading("How far the group agrees"), Pairs(tuple(rows))]
    blocks += [Paragraph(agreed.told)] if agreed.told else []
    eyes = evening.eyes()
    if eyes:
        blocks += [
            Heading("Each grader against the known truth"),
            Table(
                ("Grader", "saw of faulty", "called right ones NO-GO"),
                tuple(
                    (
                        name,
                        f"{eyes[name].hits} of {eyes[name].hits + eyes[name].misses}",
                        f"{eyes[name].false_alarms} of {eyes[name].false_alarms + eyes[name].passed}",
                    )
                    for name in evening.places
                    if name in eyes
                ),
                frozenset({1, 2}),
            ),
        ]
    blocks.append(Heading("After action"))
    for item in listed.items:
        told = (("To happen", item.to_happen), ("Happened", item.happened), ("Why", item.why))
        blocks += [Paragraph(item.name), Pairs(told)]
    blocks += [] if listed.items else [Paragraph("Nothing was disputed.")]
    blocks += [Heading("Sustain"), Items(listed.sustain)] if listed.sustain else []
    blocks += [Heading("Improve"), Items(listed.improve)] if listed.improve else []
    return Page(f"Study group, {evening.id[:10]}", evening.deck.title, tuple(blocks), FOOT)
