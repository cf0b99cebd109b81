"""The caller's script of a lane on paper: the path from above, and what is said by whom on which step."""

from collections.abc import Iterator
from itertools import groupby

from trainer.drill.deck import Deck
from trainer.drill.footprints import heading_vector
from trainer.drill.lane.fit import sides
from trainer.drill.lane.path import treads
from trainer.drill.lane.plan import Plan
from trainer.drill.lane.script import script_lines, summary_lines, table_rows
from trainer.report.page import Block, Heading, Items, Page, Paragraph, Picture, Table
from trainer.report.sheets import FOOT
from trainer.report.svg import drawing

LONGER = 620.0
"""Pixels of the longer side of the surface."""
EDGE = 16.0


def lane_page(deck: Deck, plan: Plan) -> Page:
    """Return the caller's script of a plan."""
    head, *rows = table_rows(deck, plan)
    blocks: list[Block] = [
        *(Paragraph(line) for line in summary_lines(plan)),
        *(Paragraph(text, caution=True) for text in deck.cautions),
        Picture(lane_svg(deck, plan), "The path from above, from the near left corner; numbers are commands."),
        Heading("Commands"),
        Table(head, tuple(rows), frozenset({0, 5})),
        Heading("Script"),
    ]
    first, *lines = script_lines(deck, plan)
    blocks.append(Paragraph(first))
    blocks += _commands(lines)
    return Page(
        f"Caller's script: {deck.title}", f"surface {sides(plan.asked.surface, deck.unit)}", tuple(blocks), FOOT
    )


def _commands(lines: list[str]) -> Iterator[Block]:
    """Yield each command with what is said for it; such lines are indented in the script."""
    for said, group in groupby(lines, lambda line: line.startswith(" ")):
        texts = tuple(line.strip() for line in group)
        if said:
            yield Items(texts)
        else:
            yield from (Paragraph(text) for text in texts)


def lane_svg(deck: Deck, plan: Plan) -> str:
    """Return the surface with the line of march, and the place where each command is called."""
    surface = plan.asked.surface
    scale = LONGER / max(surface.x, surface.y)
    width, height = surface.x * scale, surface.y * scale

    def at(x: float, y: float) -> tuple[float, float]:
        return EDGE + x * scale, EDGE + height - y * scale

    sides_of = f'x="{EDGE}" y="{EDGE}" width="{width:.1f}" height="{height:.1f}"'
    parts = [f'<rect {sides_of} fill="none" stroke="#111" stroke-width="1.5"/>']
    middles = [at((t.left.x + t.right.x) / 2, (t.left.y + t.right.y) / 2) for t in treads(deck, plan)]
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in middles)
    parts.append(f'<polyline points="{path}" fill="none" stroke="#666" stroke-width="1"/>')
    for number, command in enumerate(plan.commands, 1):
        x, y = at(command.before.x, command.before.y)
        dx, dy = heading_vector(command.before.heading)
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="2.5" fill="#111"/>')
        parts.append(
            f'<line x1="{x:.1f}" y1="{y:.1f}" x2="{x + 9 * dx:.1f}" y2="{y - 9 * dy:.1f}" stroke="#111" '
            'stroke-width="1.4"/>'
        )
        parts.append(f'<text x="{x + 4:.1f}" y="{y - 4:.1f}" font-size="9">{number}</text>')
    title = f"The lane from above with {len(plan.commands)} commands."
    return drawing(width + 2 * EDGE, height + 2 * EDGE, title, parts)
