"""The rows of a movement one by one: names, words, cues, counts."""

import math
from collections.abc import Iterator

from trainer.drill.checks.finding import Finding, Path, nearest, sword
from trainer.drill.deck import Deck
from trainer.drill.movement import (
    AGAINST,
    BACK,
    BALL_TO_HEEL,
    CLOSE,
    SIDE,
    STEP,
    TEE,
    TOE_TO_HEEL,
    Count,
    Movement,
    Word,
)


def name_findings(deck: Deck, movement: Movement, path: Path) -> Iterator[Finding]:
    """Yield stances that the deck does not have."""
    names = [stance.name for stance in deck.stances]
    for number, name in enumerate(movement.from_stances):
        if name not in names:
            yield Finding((*path, "from", number), f"there is no [stance] called '{name}'.{nearest(name, names)}")
        if name in movement.from_stances[:number]:
            yield Finding((*path, "from", number), f"the stance '{name}' is there twice")
    if movement.to not in names:
        yield Finding((*path, "to"), f"there is no [stance] called '{movement.to}'.{nearest(movement.to, names)}")


def word_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    """Yield what is wrong with the words: none or two that execute, beats out of place."""
    executing = [(n, word) for n, word in enumerate(movement.words) if word.executes]
    if not executing and not movement.cued_by:
        yield Finding(
            (*path, "words"),
            f"'{movement.id}' has no word that executes it: mark one with executes = true, on beat 0",
        )
    # Where several execute, the one on beat 0 is meant.
    meant = next((word for _, word in executing if word.beat == 0), executing[0][1] if executing else None)
    for number, word in executing:
        if word is not meant and meant is not None:
            yield Finding(
                (*path, "words", number, "executes"),
                f"'{word.say}' executes, but '{meant.say}' does as well: only one word of a command executes it",
            )
            continue
        if word.beat != 0 and not movement.cued_by:
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' executes, so it stands on beat 0, not on {word.beat:g}; count the other words back "
                "from it",
            )
        if word.speaker is not None:
            yield Finding(
                (*path, "words", number, "speaker"),
                f"'{word.say}' executes, so the candidate says it: leave the speaker out",
            )
    taken: dict[tuple[float, str | None], Word] = {}
    for number, word in enumerate(movement.words):
        other = taken.setdefault((word.beat, word.speaker), word)
        if other is not word:
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' and '{other.say}' are both on beat {word.beat:g}",
            )
        if number and word.beat < movement.words[number - 1].beat <= 0:
            before = movement.words[number - 1]
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' is on beat {word.beat:g}, before '{before.say}' above it; write words in their order",
            )
        if word.beat > 0 and not word.executes:
            yield Finding(
                (*path, "words", number, "beat"),
                f"'{word.say}' comes after the word of execution; words before it have negative beats, like -2",
            )


def cue_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    """Yield what is wrong with the cues."""
    if movement.cued_by and not movement.cues:
        yield Finding((*path, "cued_by"), f"'{movement.id}' is cued by {movement.cued_by}, but no cues are listed")
    if movement.cues and not movement.cued_by:
        yield Finding((*path, "cues"), 'these cues need a line that says what gives them, like cued_by = "drum"')
    beats = [cue.beat for cue in movement.cues]
    if movement.cued_by and beats and min(beats) != 0:
        yield Finding(
            (*path, "cues", 0, "beat"),
            f"the first cue is on beat {min(beats):g}; a cued movement counts its beats from its first cue, beat 0",
        )
    for number, beat in enumerate(beats):
        if beat in beats[:number]:
            yield Finding((*path, "cues", number, "beat"), f"there is a cue on beat {beat:g} already")


def count_findings(movement: Movement, path: Path) -> Iterator[Finding]:
    """Yield what is wrong with each count by itself."""
    last = -math.inf
    seen: set[tuple[float, str | None]] = set()
    for number, count in enumerate(movement.counts):
        here = (*path, "counts", number)
        if count.beat < 0 or (count.beat == 0 and not movement.cued_by):
            yield Finding(
                (*here, "beat"),
                f"count {number + 1} is on beat {count.beat:g}; counts come after beat 0, the word of execution",
            )
        if count.beat < last:
            yield Finding(
                (*here, "beat"),
                f"count {number + 1} is on beat {count.beat:g}, before the count above it; write counts in their order",
            )
        if (count.beat, count.foot) in seen:
            yield Finding((*here, "beat"), f"beat {count.beat:g} has two counts for the same foot")
        seen.add((count.beat, count.foot))
        last = max(last, count.beat)
        yield from _footwork_findings(count, here)


def sword_findings(deck: Deck, movement: Movement, path: Path) -> Iterator[Finding]:
    """Yield sword positions that the deck does not list."""
    for number, count in enumerate(movement.counts):
        yield from sword(deck, count.sword, (*path, "counts", number, "sword"))


def _footwork_findings(count: Count, here: Path) -> Iterator[Finding]:
    if count.foot is not None and count.place is None:
        yield Finding(
            (*here, "foot"), f'the {count.foot} foot is named, but not what it does: add a place, like "step"'
        )
    if count.against is not None and count.place != TEE and (count.place, count.against) != (TOE_TO_HEEL, "heel"):
        yield Finding(
            (*here, "against"),
            f"'against' goes with the place \"T\" ({' or '.join(AGAINST)}); toe to heel is always at the other's heel",
        )
    if count.length is not None and count.place not in (STEP, BACK, SIDE):
        yield Finding((*here, "length"), f"a length goes with step, back or side, not with '{count.place}'")
    if count.foot == "both" and count.place in (STEP, BACK, SIDE, CLOSE, TEE, TOE_TO_HEEL, BALL_TO_HEEL):
        yield Finding((*here, "foot"), f"both feet cannot '{count.place}' on one beat; name the foot that moves")
    if count.toes is not None and count.place is None:
        yield Finding((*here, "toes"), "toes turn with a foot: name the foot and its place")
