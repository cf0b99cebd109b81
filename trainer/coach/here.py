"""What is kept of this laptop: who used it last, and how the screen is to look."""

import json
from contextlib import suppress

from trainer.paths import Home, write_private


def last_person(home: Home) -> str | None:
    """Return the id of who used this laptop last."""
    return here(home).get("candidate")


def remember(home: Home, candidate_id: str) -> None:
    """Keep who uses this laptop, for the next start."""
    keep_here(home, "candidate", candidate_id)


def here(home: Home) -> dict[str, str]:
    """Return what is kept of this laptop: who used it last, the look of the screen."""
    try:
        kept = json.loads(home.here.read_text("utf-8"))
    except (OSError, ValueError):
        return {}
    return {str(k): str(v) for k, v in kept.items()} if isinstance(kept, dict) else {}


def keep_here(home: Home, name: str, value: str) -> None:
    """Keep one thing of this laptop; it may be lost without harm, so a full disk is no reason to stop."""
    with suppress(OSError):
        write_private(home.here, json.dumps(here(home) | {name: value}).encode("ascii"), settled=False)


def forget_last(home: Home, candidate_id: str) -> None:
    """Take out the note that this candidate used the laptop last; other notes stay.

    Raises:
        OSError: if the note is there and cannot be written anew.
    """
    kept = here(home)
    if kept.get("candidate") == candidate_id:
        del kept["candidate"]
        write_private(home.here, json.dumps(kept).encode("ascii"), settled=False)
