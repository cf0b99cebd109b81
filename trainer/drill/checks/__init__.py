"""What must hold in a deck beyond its shape: the rules of the trade that a file can break.

A finding names the place by the path of its value in the deck file and says what is wrong and what to do.
"""

from trainer.drill.checks.ending import closing_findings, turn_findings
from trainer.drill.checks.feet import feet_findings, start_findings
from trainer.drill.checks.finding import Finding, Path, nearest, twice
from trainer.drill.checks.flaws import fault_findings
from trainer.drill.checks.rows import count_findings, cue_findings, name_findings, word_findings
from trainer.drill.checks.sheet import deck_findings
from trainer.drill.deck import Deck
from trainer.drill.movement import Movement

__all__ = ["Finding", "findings", "nearest"]


def findings(deck: Deck) -> list[Finding]:
    """Return everything that is wrong in a deck, in no particular order."""
    found = list(deck_findings(deck))
    for number, movement in enumerate(deck.movements):
        found += _movement_findings(deck, movement, ("movement", number))
    return found


def _movement_findings(deck: Deck, movement: Movement, path: Path) -> list[Finding]:
    found = list(name_findings(deck, movement, path))
    found += word_findings(movement, path)
    found += cue_findings(movement, path)
    found += count_findings(deck, movement, path)
    found += twice([f.id for f in movement.faults], lambda n: (*path, "faults", n, "id"), "fault")
    if found:
        return found
    stances = [deck.stance(name) for name in movement.from_stances]
    found += start_findings(movement, stances, path)
    if found:
        return found
    for stance in stances:
        found += feet_findings(movement, stance, path)
        found += closing_findings(deck, movement, stance, path)
    found += turn_findings(movement, path)
    if not found:
        for number, fault in enumerate(movement.faults):
            found += fault_findings(deck, movement, fault, (*path, "faults", number))
    return list(dict.fromkeys(found))
