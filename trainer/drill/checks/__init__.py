"""What must hold in a deck beyond its shape: the rules of the trade that a file can break.

A finding names the place by the path of its value in the deck file and says what is wrong and what to do.
"""

from collections.abc import Collection

from trainer.drill.checks.ending import closing_findings, turn_findings
from trainer.drill.checks.feet import feet_findings, start_findings
from trainer.drill.checks.finding import Finding, Path, nearest, twice
from trainer.drill.checks.flaws import fault_findings
from trainer.drill.checks.rows import count_findings, cue_findings, name_findings, sword_findings, word_findings
from trainer.drill.checks.sheet import deck_findings
from trainer.drill.deck import Deck
from trainer.drill.movement import Movement

__all__ = ["Finding", "findings", "nearest"]

_APART = ("sword", "cadence")
"""What is wrong with these in a stance leaves the feet as they are."""


def findings(deck: Deck, *, rows_only: Collection[int] = (), stand_ins: Collection[str] = ()) -> list[Finding]:
    """Return everything that is wrong in a deck, in no particular order.

    Args:
        deck: the deck.
        rows_only: numbers from 0 of movements of which only single rows are looked at, not how they go together.
        stand_ins: names of stances that stand in the deck by their name only; of movements that begin or end in
            one, only single rows are looked at.
    """
    skipped = {("stance", name) for name in stand_ins}
    found = [finding for finding in deck_findings(deck) if finding.path[:2] not in skipped]
    doubtful = {path[1] for path, _ in found if path[0] == "stance" and path[-1] not in _APART} | set(stand_ins)
    for number, movement in enumerate(deck.movements):
        known = not any(name in doubtful for name in (*movement.from_stances, movement.to))
        found += _movement_findings(deck, movement, ("movement", number), known and number not in rows_only)
    return found


def _movement_findings(deck: Deck, movement: Movement, path: Path, whole: bool) -> list[Finding]:
    """Look at the rows one by one, then, unless they make it pointless, at how they go together."""
    rows = list(name_findings(deck, movement, path))
    rows += word_findings(movement, path)
    rows += cue_findings(movement, path)
    rows += count_findings(movement, path)
    ids = list(twice([f.id for f in movement.faults], lambda n: (*path, "faults", n, "id"), "fault"))
    swords = list(sword_findings(deck, movement, path))
    stances = [deck.stance(name) for name in movement.from_stances] if whole and not rows else []
    feet = list(start_findings(movement, stances, path))
    if stances and not feet:
        for stance in stances:
            feet += feet_findings(movement, stance, path)
            feet += closing_findings(deck, movement, stance, path)
        if not feet:
            for number, fault in enumerate(movement.faults):
                feet += fault_findings(deck, movement, fault, (*path, "faults", number))
        feet += turn_findings(movement, path)
    return list(dict.fromkeys(rows + ids + swords + feet))
