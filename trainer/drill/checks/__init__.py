"""What must hold in a deck beyond its shape: the rules of the trade that a file can break.

A finding names the place by the path of its value in the deck file and says what is wrong and what to do.
"""

from collections.abc import Collection

from trainer.drill.checks.ending import closing_findings, turn_findings
from trainer.drill.checks.feet import feet_findings, start_findings
from trainer.drill.checks.finding import Finding, Path, nearest, twice
from trainer.drill.checks.flaws import fault_findings, fault_row_findings
from trainer.drill.checks.lengths import length_findings
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
    names = list(name_findings(deck, movement, path))
    calls = [*word_findings(movement, path), *cue_findings(movement, path)]
    counts = list(count_findings(movement, path))
    found = [*names, *calls, *counts]
    found += twice([f.id for f in movement.faults], lambda n: (*path, "faults", n, "id"), "fault")
    found += sword_findings(deck, movement, path)
    for number, fault in enumerate(movement.faults if whole else ()):
        found += fault_row_findings(deck, movement, fault, (*path, "faults", number))
    if whole and not names and not counts:
        found += _together(deck, movement, path, settled=not calls)
    if whole and not counts:
        found += turn_findings(movement, path)
    return list(dict.fromkeys(found))


def _together(deck: Deck, movement: Movement, path: Path, settled: bool) -> list[Finding]:
    """Look at how the rows go together; at faults only once the movement itself is sound."""
    stances = [deck.stance(name) for name in movement.from_stances]
    found = list(start_findings(movement, stances, path))
    if found:
        return found
    for stance in stances:
        found += length_findings(deck, movement, stance, path)
        found += feet_findings(movement, stance, path)
        found += closing_findings(deck, movement, stance, path)
    if settled and not found:
        for number, fault in enumerate(movement.faults):
            found += fault_findings(deck, movement, fault, (*path, "faults", number))
    return found
