"""`stepcall readiness`: the chance of a GO on the test date, and what it rests on."""

import argparse
from typing import Any

from trainer.cli import out


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_whose

    verb = verbs.add_parser("readiness", help="the chance of a GO on the test date", description=__doc__)
    add_whose(verb)
    verb.add_argument("--json", action="store_true", help="for scripts")
    verb.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print the forecast."""
    from trainer.cli.whose import opened
    from trainer.coach.dates import days_left
    from trainer.coach.standing import open_standing

    with opened(arguments) as who:
        standing = open_standing(who.candidate, who.deck, who.moment)
        outlook = standing.outlook(who.candidate, who.moment)
        profile = who.candidate.profile
        days = days_left(profile.test_date, standing.history.today)
        if arguments.json:
            out.data(_json(who.deck.id, profile, days, outlook))
            return 0
        from trainer.coach.words import outlook_lines

        for line in outlook_lines(who.deck, profile, days, outlook):
            out.say(line)
    return 0


def _json(deck_id: str, profile: Any, days: int | None, outlook: Any) -> dict[str, Any]:
    chance = outlook.chance
    return {
        "candidate": profile.handle,
        "deck": deck_id,
        "test_date": profile.test_date.isoformat() if profile.test_date else None,
        "days_left": days,
        "chance": None if chance is None else {"go": chance.go, "low": chance.low, "high": chance.high},
        "measures": [
            {"id": m.id, "kind": m.kind, "knowledge": m.knowledge, "execution": m.execution, "go": m.go}
            for m in outlook.measures
        ],
        "points": {"asked": outlook.asked, "total": outlook.total},
        "execution_assumed": outlook.assumed,
    }
