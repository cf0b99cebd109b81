"""`stepcall lane`: the order of commands that tests every measure on a marching surface in the least time."""

import argparse
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.drill.deck import Deck
    from trainer.drill.lane.asked import Asked
    from trainer.drill.lane.plan import Plan

EXIT_TROUBLE = 2
USUAL_MARGIN = "6 in"
"""Half a sole: footprints leave the space between the feet out of account."""


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    verb = verbs.add_parser("lane", help="the order of commands that fits a marching surface", description=__doc__)
    verb.add_argument("deck", metavar="DECK", help="id of a shipped deck, or the path of a deck file")
    verb.add_argument("--surface", metavar="SIDES", required=True, help='its sides, x and y, like "60 ft x 40 ft"')
    verb.add_argument(
        "--start",
        metavar="X,Y[,HEADING]",
        help='where the candidate stands first, from the near left corner, like "10 ft, 4 ft, 90"; degrees clockwise '
        "from y (else a usual place that suits, looking along the longer side)",
    )
    verb.add_argument(
        "--margin", metavar="LENGTH", default=USUAL_MARGIN, help=f"kept free along the sides ({USUAL_MARGIN})"
    )
    verb.add_argument(
        "--trials", metavar="N", type=int, help="how often each measure is tried (else as the grade sheet)"
    )
    verb.add_argument("--left", metavar="ID:N,…", help="only what is left to test, and how often")
    verb.add_argument(
        "--prompt",
        metavar="BEATS",
        type=int,
        help="beats that the grader takes to name a movement before its call (else as the deck writes them, or 4)",
    )
    verb.add_argument("--script", action="store_true", help="print what is said, by whom, on which step")
    verb.add_argument("--json", action="store_true", help="for scripts")
    verb.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the plan, or why there is none."""
    from trainer.authoring.shelf import open_deck
    from trainer.drill.lane.plan import plan
    from trainer.drill.lane.surface import LaneError
    from trainer.paths import home

    deck = open_deck(arguments.deck, home())
    try:
        asked = _asked(arguments, deck)
        found = plan(deck, asked)
    except LaneError as error:
        out.trouble(str(error))
        return EXIT_TROUBLE
    if found is None:
        return _misfit(arguments, deck, asked)
    if arguments.json:
        from trainer.drill.lane.script import as_data

        out.data(as_data(deck, found))
        return 0
    _say(deck, found, script=arguments.script)
    return 0


def _asked(arguments: argparse.Namespace, deck: "Deck") -> "Asked":
    from trainer.drill.lane.asked import MOST_TIMES, Asked, parse_left, sheet_trials
    from trainer.drill.lane.moves import LONGEST_PROMPT
    from trainer.drill.lane.surface import LaneError, Surface, parse_margin, parse_start, parse_surface

    if arguments.trials is not None and not 1 <= arguments.trials <= MOST_TIMES:
        raise LaneError(f"A measure is tried from 1 to {MOST_TIMES} times, not {arguments.trials}.")
    if arguments.prompt is not None and not 0 <= arguments.prompt <= LONGEST_PROMPT:
        raise LaneError(f"A prompt takes from 0 to {LONGEST_PROMPT} beats, not {arguments.prompt}.")
    sides = parse_surface(arguments.surface, deck.unit)
    surface = Surface(*sides, parse_margin(arguments.margin, deck.unit))
    if min(sides) <= 2 * surface.margin:
        raise LaneError(f"A margin of {arguments.margin} leaves nothing of a surface of {arguments.surface}.")
    start = parse_start(arguments.start, surface, deck.unit) if arguments.start is not None else None
    wanted = sheet_trials(deck, arguments.trials) if arguments.left is None else parse_left(arguments.left, deck)
    return Asked(wanted, surface, start, arguments.prompt)


def _say(deck: "Deck", plan: "Plan", *, script: bool) -> None:
    from trainer.drill.lane.fit import sides
    from trainer.drill.lane.script import script_lines, summary_lines, table_rows
    from trainer.plain import columns, visible

    out.say(f"{deck.title}: {sides(plan.asked.surface, deck.unit)}, places from the near left corner.")
    for line in summary_lines(plan):
        out.say(line)
    out.say()
    if script:
        for line in script_lines(deck, plan):
            out.say(line)
    else:
        # Where a command is called follows from where the one before ended; without it a row fits 80 columns.
        rows = [[visible(cell) for cell in (*row[:3], *row[4:])] for row in table_rows(deck, plan)]
        widths = [max(columns(row[n]) for row in rows) for n in range(len(rows[0]))]
        for row in rows:
            cells = [cell + " " * (width - columns(cell)) for cell, width in zip(row, widths, strict=True)]
            out.say("  ".join(cells).rstrip())
    out.say()
    for caution in deck.cautions:
        out.say(f"Caution: {caution}")


def _misfit(arguments: argparse.Namespace, deck: "Deck", asked: "Asked") -> int:
    from trainer.drill.lane.fit import misfit, misfit_lines
    from trainer.drill.shown import tidy

    out.trouble("No order was found on this surface; looking for what does not fit and for a surface that would do.")
    found = misfit(deck, asked)
    if arguments.json:
        least = found.together or found.least
        out.data(
            {
                "commands": [],
                "inside": False,
                "misfits": list(found.measures),
                "never": list(found.never),
                "least": {"x": tidy(least.x), "y": tidy(least.y)} if least else None,
            }
        )
    for line in misfit_lines(deck, asked, found):
        out.trouble(line)
    return EXIT_TROUBLE
