"""`stepcall group`: the evenings of the study group on this laptop, to list and to print."""

import argparse
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.group.evening import Evening
    from trainer.group.kept import Kept

ABOUT = (
    "List the evenings of the study group on this laptop, or print one: how far the graders agree, each grader against "
    "the known truth, the after-action list; or take an evening's packet into a record. Evenings are held on the "
    "screens, with g on Today."
)


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import CANDIDATE_HELP

    verb = verbs.add_parser("group", help="list the study group's evenings, or print one", description=ABOUT)
    verb.add_argument("evening", nargs="?", metavar="EVENING", help="name of an evening, as the list shows it")
    verb.add_argument("--deck", metavar="DECK", help="the deck it was held on, where that is a file of your own")
    verb.add_argument(
        "--take", metavar="FILE", help="put the packet that you took home from an evening into your record"
    )
    verb.add_argument("--candidate", metavar="C", default=argparse.SUPPRESS, help=CANDIDATE_HELP)
    verb.add_argument("--json", action="store_true", help="for scripts")
    verb.set_defaults(run=run, heeds=("candidate",))


def run(arguments: argparse.Namespace) -> int:
    """List the evenings, or print one."""
    from trainer.group.after_action import turns_words
    from trainer.group.journal import EveningError
    from trainer.group.kept import kept_evenings
    from trainer.paths import home

    if arguments.evening is not None or arguments.take is not None:
        try:
            return _print(arguments) if arguments.take is None else _take(arguments)
        except EveningError as error:
            out.trouble(str(error))
            return 2
    known = kept_evenings(home())
    if arguments.json:
        out.data([_row(one) for one in known])
        return 0
    for one in known:
        people = f"{', '.join(one.people)}; {turns_words(one.turns)}{'' if one.over else ', not over'}"
        out.say(f"{one.name}  {one.trouble or people}")
    if not known:
        out.say("No evening of a study group is kept on this laptop yet: g on Today begins one.")
    return 0


def _row(one: "Kept") -> dict[str, Any]:
    return {
        "evening": one.name,
        "deck": one.deck,
        "people": list(one.people),
        "turns": one.turns,
        "over": one.over,
        "trouble": one.trouble,
    }


def _print(arguments: argparse.Namespace) -> int:
    from trainer.authoring.shelf import open_deck
    from trainer.group.after_action import lines
    from trainer.group.kept import find_evening, open_evening
    from trainer.paths import home
    from trainer.quiz.points import points

    one = find_evening(home(), arguments.evening)
    deck = open_deck(arguments.deck or one.deck, home())
    evening = open_evening(one.path, deck, points(deck))
    if arguments.json:
        out.data(_json(evening))
        return 0
    for line in lines(evening, f"{deck.title}: evening of {one.name[:10]}"):
        out.say(line)
    return 0


def _take(arguments: argparse.Namespace) -> int:
    from pathlib import Path

    from trainer.coach.candidate import open_candidate, whose
    from trainer.group.taking import take_evening
    from trainer.paths import home

    candidate = open_candidate(home(), whose(home(), arguments.candidate))
    try:
        number = take_evening(Path(arguments.take), candidate.log, sure=arguments.candidate is not None)
        handle = candidate.profile.handle
    finally:
        candidate.close()
    if arguments.json:
        out.data({"candidate": handle, "events": number})
        return 0
    what = "answer or performance" if number == 1 else "answers and performances"
    out.say(f"Of the evening {number} {what} went into the record of {handle}.")
    return 0


def _json(evening: "Evening") -> dict[str, Any]:
    from trainer.group.after_action import after_action

    agreed, listed = evening.agreement(), after_action(evening)
    together, known, turns = evening.team()
    return {
        "people": evening.places,
        "turns": turns,
        "lot": evening.seed,
        "agreement": agreed._asdict(),
        "team": {"known": known, "together_and_right": together},
        "eyes": {name: told._asdict() for name, told in evening.against_truth().items()},
        "after_action": [item._asdict() for item in listed.items],
        "sustain": list(listed.sustain),
        "improve": list(listed.improve),
    }
