"""`stepcall doctor`: where the records are, which SQLite works on them, whether every hash holds."""

import argparse
from typing import Any

from trainer.cli import out


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    verb = verbs.add_parser("doctor", help="check the records on this laptop", description=__doc__)
    verb.add_argument("--json", action="store_true", help="for scripts")
    verb.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Print what is found; exit code 2 if any record has trouble."""
    import platform
    import sqlite3

    from trainer import __version__
    from trainer.paths import HOME_VARIABLE, home, shipped_decks

    place = home()
    records = [_examined(path) for path in sorted(place.records.glob("*.db"))] if place.records.is_dir() else []
    sound = all(not record["trouble"] for record in records)
    if arguments.json:
        out.data(
            {
                "version": __version__,
                "python": platform.python_version(),
                "sqlite": sqlite3.sqlite_version,
                "home": str(place.root),
                "backups": str(place.backups),
                "decks": str(shipped_decks()),
                "crash": str(place.crash) if place.crash.is_file() else None,
                "records": records,
                "sound": sound,
            }
        )
        return 0 if sound else 2
    out.say(f"stepcall {__version__}, Python {platform.python_version()}, SQLite {sqlite3.sqlite_version}")
    out.say(f"Everything is kept under {place.root} (set {HOME_VARIABLE} to move it).")
    out.say(f"Backup copies of records: {place.backups}")
    out.say(f"Shipped decks: {shipped_decks()}")
    if not records:
        out.say("There are no records yet.")
    for record in records:
        state = "sound" if not record["trouble"] else "TROUBLE"
        out.say(f"{record['file']}: {record['handle'] or 'unnamed'}, {record['events']} events, {state}")
        for sentence in (*record["trouble"], *record["remarks"]):
            out.say(f"  {sentence}")
    if place.crash.is_file():
        out.say(f"A crash was written down in {place.crash}: send it to the maintainers, then delete it.")
        out.say("  It may hold names and other text that was on the screen; look before you send it.")
    out.say("Terminal in disorder after a crash? Type: reset")
    return 0 if sound else 2


def _examined(path: Any) -> dict[str, Any]:
    from trainer.coach.candidate import profile_of
    from trainer.records.errors import LogError
    from trainer.records.log import Log

    found: dict[str, Any] = {"file": str(path), "handle": "", "events": 0, "trouble": [], "remarks": []}
    try:
        with Log.open(path) as log:
            found["trouble"] = [str(sentence) for sentence in log.verify()]
            found["events"] = log.head.place
            if not found["trouble"]:
                found["handle"] = profile_of(log.events()).handle
                found["remarks"] = log.remarks()
    except LogError as error:
        found["trouble"].append(str(error))
    return found
