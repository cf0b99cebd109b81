"""`stepcall task`: give candidates something to work on until a date; it steers their sittings and replaces none."""

import argparse
from typing import Any

from trainer.cli import out

WORK_HELP = (
    "what to work on, with commas between: movements by id or name, families of one (halt/feet) or of all (words, "
    "feet, counts, faults), points by id, or last-run for the faults of the last run; may be given more than once"
)


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_demo

    verb = verbs.add_parser("task", help="give candidates something to work on until a date", description=__doc__)
    add_demo(verb, "the invented unit")
    verb.add_argument("candidates", nargs="+", metavar="CANDIDATE", help="handle or id of a candidate on this laptop")
    verb.add_argument("--work", action="append", metavar="WORK", required=True, help=WORK_HELP)
    verb.add_argument("--until", metavar="DATE", required=True, help="the last day, like 2027-03-31")
    verb.add_argument(
        "--note", metavar="TEXT", default="", help="a word to the candidate; it goes where the tasking goes"
    )
    verb.add_argument("--sponsor", metavar="NAME", default="", help="who gives it, if not the sponsor on record")
    verb.add_argument("--json", action="store_true", help="for scripts")
    verb.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Give a tasking; exit code 2 where somebody's record could not be written."""
    from trainer.cli.whose import placed
    from trainer.coach.candidate import read_date, whose
    from trainer.sponsor.tasking import Order, give, given_lines

    order = Order(tuple(arguments.work), read_date(arguments.until), arguments.sponsor, arguments.note)
    with placed(arguments) as (home, moment):
        given = give(home, [whose(home, name) for name in arguments.candidates], order, moment)
    if arguments.json:
        out.data([one._asdict() for one in given])
    else:
        for line in given_lines(given, order.until):
            out.say(line)
    return 2 if any(one.trouble for one in given) else 0
