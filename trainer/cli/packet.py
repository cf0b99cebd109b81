"""`stepcall packet`: records to the sponsor and taskings back, as one signed text file."""

import argparse
from typing import Any

from trainer.cli import out


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_whose

    verb = verbs.add_parser("packet", help="carry records between laptops in a signed file", description=__doc__)
    verb.set_defaults(run=lambda _: _help(verb))
    actions = verb.add_subparsers(title="actions", metavar="ACTION")
    make = actions.add_parser("make", help="write a candidate's record to a new file")
    make.add_argument("file", metavar="FILE", help="where no file is yet")
    make.add_argument("--notes", action="store_true", help="send free texts along; they stay here otherwise")
    make.set_defaults(run=_make)
    read = actions.add_parser("read", help="bring a packet into the record of its candidate")
    read.add_argument("file", metavar="FILE", help="the packet")
    read.add_argument("--accept", metavar="FINGERPRINT", default="", help="take packets signed with this key")
    read.add_argument("--new", action="store_true", help="make a record for a candidate who has none here")
    read.set_defaults(run=_read)
    key = actions.add_parser("key", help="show the fingerprint of this laptop's key, and those accepted")
    key.set_defaults(run=_key)
    for action in (make, read, key):
        add_whose(action)
        action.add_argument("--json", action="store_true", help="for scripts")


def _help(verb: argparse.ArgumentParser) -> int:
    out.trouble(verb.format_help())
    return 2


def _make(arguments: argparse.Namespace) -> int:
    from pathlib import Path

    from trainer.cli.whose import placed
    from trainer.coach.candidate import open_candidate, whose
    from trainer.coach.packets import SHOWN, made_lines, make_packet

    with placed(arguments) as (home, _):
        candidate = open_candidate(home, whose(home, arguments.candidate))
        try:
            made = make_packet(candidate, Path(arguments.file), arguments.notes)
        finally:
            candidate.close()
    if arguments.json:
        out.data(
            {
                "file": str(made.path),
                "candidate": made.handle,
                "events": made.events,
                "kept_back": made.kept_back,
                "packet": made.sha[:SHOWN],
                "key": made.fingerprint,
            }
        )
        return 0
    for line in made_lines(made):
        out.say(line)
    return 0


def _read(arguments: argparse.Namespace) -> int:
    from pathlib import Path

    from trainer.cli.whose import placed
    from trainer.coach.candidate import whose
    from trainer.coach.packets import SHOWN, read_packet, taken_lines

    with placed(arguments) as (home, moment):
        only = whose(home, arguments.candidate) if arguments.candidate else None
        taken = read_packet(
            home, Path(arguments.file), moment, accept=arguments.accept, new=arguments.new, candidate=only
        )
    if arguments.json:
        merged = taken.merged
        out.data(
            {
                "candidate": taken.handle,
                "new": merged.new,
                "known": merged.known,
                "recorded_here_before": merged.own,
                "conflicting": list(merged.conflicting),
                "copied": list(merged.copied),
                "clocks_ahead_ms": dict(merged.ahead),
                "clocks_back_ms": dict(merged.back),
                "record_made": taken.created,
                "accepted": taken.accepted.isoformat(),
                "newly_accepted": taken.newly_accepted,
                "packet": taken.packet.sha[:SHOWN],
            }
        )
        return 0
    for line in taken_lines(taken):
        out.say(line)
    return 0


def _key(arguments: argparse.Namespace) -> int:
    from trainer.cli.whose import placed
    from trainer.coach.dates import date_words
    from trainer.coach.packets import accepted_keys, own_fingerprint
    from trainer.records.signing import fingerprint

    with placed(arguments) as (home, _):
        own, known = own_fingerprint(home), accepted_keys(home)
    rows = [(fingerprint(bytes.fromhex(key)), device, on) for key, (device, on) in known.items()]
    if arguments.json:
        accepted = [{"key": key, "device": device, "on": on.isoformat()} for key, device, on in rows]
        out.data({"key": own, "accepted": accepted})
        return 0
    out.say(f"The key of this laptop: {own}")
    out.say("Say it to whoever reads your packets, face to face or by telephone; he accepts it once.")
    for key, device, on in rows:
        out.say(f"Accepted on {date_words(on)}: {key} (laptop {device[:8]})")
    return 0
