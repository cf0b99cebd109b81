"""`stepcall roster`: every candidate on this laptop, who needs what, who should go to the test this week."""

import argparse
import sys
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.sponsor.advice import Advice
    from trainer.sponsor.cohort import Cohort

READ_FULLY = 10
"""Candidates with a test this week who are read by all models before anything is printed, a second or two each."""
TOLD_FROM = 12
"""Candidates from which on reading them is told while it goes on."""


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_demo

    verb = verbs.add_parser("roster", help="every candidate: who needs what, who should go", description=__doc__)
    add_demo(verb, "the invented unit")
    verb.add_argument(
        "--chance", metavar="PERCENT", default="", help="the chance at which somebody is sent to the test (80)"
    )
    verb.add_argument("--cohort", action="store_true", help="what the whole group fails, deck by deck")
    verb.add_argument("--json", action="store_true", help="for scripts")
    verb.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the roster, or what the group fails."""
    from trainer.cli.whose import placed
    from trainer.coach.dates import day_of
    from trainer.sponsor.advice import USUAL_CHANCE, advice, by_need, checked_chance, decided_now
    from trainer.sponsor.kept_rows import read_fully, rows

    asked = checked_chance(arguments.chance) if arguments.chance else USUAL_CHANCE
    with placed(arguments) as (home, moment):
        read = rows(home, moment, _progress)
        # Who is sent to the test this week should not hang on a rough reading.
        full = {row.id: read_fully(home, row.id, moment) for row in decided_now(read)[:READ_FULLY]}
        found = by_need(full.get(row.id, row) for row in read)
        if arguments.cohort:
            from trainer.sponsor.cohort import cohorts

            return _cohorts(cohorts(found, home), arguments.json)
        today = day_of(moment)
        advised = [advice(row, asked, today, moment.offset) for row in found]
    if arguments.json:
        from trainer.sponsor.told import plain_row

        out.data({"asked": asked, "candidates": [plain_row(one, today) for one in advised]})
        return 0
    return _print(advised, asked, today)


def _progress(done: int, total: int) -> None:
    if total >= TOLD_FROM and sys.stderr.isatty():
        out.trouble(f"{done} of {total} read")


def _print(advised: "list[Advice]", asked: int, today: Any) -> int:
    from trainer.sponsor.advice import week_lines
    from trainer.sponsor.told import QUICK_WORDS, row_lines

    if not advised:
        out.say(
            "No candidate is on this laptop yet. Begin one with stepcall alone, or let a packet bring him: "
            "stepcall packet read FILE --new."
        )
        return 0
    for one in advised:
        for line in row_lines(one, today):
            out.say(line)
    out.say()
    for line in week_lines(advised, asked):
        out.say(line)
    if any(one.row.quick for one in advised):
        out.say(QUICK_WORDS)
    from trainer.coach.words import HONESTY

    out.say(HONESTY)
    return 0


def _cohorts(found: "list[Cohort]", as_json: bool) -> int:
    from trainer.sponsor.cohort import cohort_lines

    if as_json:
        out.data(
            [
                {
                    "deck": group.deck.id,
                    "candidates": group.candidates,
                    "not_begun": group.waiting,
                    "graded": group.graded,
                    "movements": [one._asdict() for one in group.movements],
                    "faults": [one._asdict() for one in group.faults],
                }
                for group in found
            ]
        )
        return 0
    for group in found:
        for line in cohort_lines(group):
            out.say(line)
        out.say()
    if not found:
        out.say("No candidate on this laptop has begun yet.")
    return 0
