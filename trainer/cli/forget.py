"""`stepcall forget`: take a candidate off this laptop, with record, backup copies and all that was made from it."""

import argparse
from typing import Any

from trainer.cli import out, typed


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    verb = verbs.add_parser("forget", help="take a candidate and all his records off this laptop", description=__doc__)
    verb.add_argument("who", metavar="HANDLE_OR_ID", help="handle or id of a candidate on this laptop")
    verb.add_argument("--yes", action="store_true", help="do not ask; for scripts")
    verb.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Ask, remove, and say what was removed and what remains; exit code 2 if it was not confirmed."""
    from trainer.coach.forgetting import LEFT_BEHIND, forget, person_to_forget
    from trainer.paths import home

    place = home()
    person = person_to_forget(place, arguments.who)
    name = person.profile.handle or person.id
    if not arguments.yes and not _confirmed(name):
        out.trouble("Nothing was removed.")
        return 2
    removed = forget(place, person.id)
    out.say(f"{name} is no longer on this laptop. Removed: {removed}.")
    out.say(LEFT_BEHIND)
    return 0


def _confirmed(name: str) -> bool:
    out.say(f"This removes {name} from this laptop: record, backup copies, all that was made from them, and packets of")
    out.say("evenings that wait here. It cannot be taken back.")
    return (typed.ask(f"Type {name} to confirm > ") or "").split() == name.split()
