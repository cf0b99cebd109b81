"""What is kept of this laptop: who used it last, and how the screen is to look."""

import json
import os
from pathlib import Path

from trainer.paths import Home


def write_whole(path: Path, text: str) -> None:
    """Write a small file so that a reader finds the old text or the new one, never half of it."""
    draft = path.with_name(f"{path.name}.{os.getpid()}.new")
    draft.write_text(text, "utf-8")
    os.replace(draft, path)


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
    try:
        home.root.mkdir(parents=True, exist_ok=True)
        write_whole(home.here, json.dumps(here(home) | {name: value}))
    except OSError:
        pass
