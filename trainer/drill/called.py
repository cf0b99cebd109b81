"""A movement as it results from the call that was given, right or wrong, and a stance that simply goes on.

The counts follow the word of execution, wherever it falls. What a body does after a call on the wrong foot is common
practice, no source: marching feet cannot change over, so the wrong foot leads and every count is done by the other
foot; in a stance whose beats differ, as the side step, the feet first finish the cycle, and everything comes later.
"""

from collections.abc import Iterable
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import Footfall, cycle_row, foot_at_zero
from trainer.drill.movement import CLOSE, LEFT, RIGHT, Movement, Stance, Word, other_foot
from trainer.drill.score import Performance, Score
from trainer.drill.unrolling import right_performance, unroll

AS_IT_SHOULD, OTHER_FOOT, WAITS, NO_COMMAND = "as it should", "other foot", "waits", "no command"
"""What came of a call: the movement, the movement led by the wrong foot, a movement that waits, nothing."""


class Outcome(NamedTuple):
    """What came of a call: the score, which of the four it is, and how many beats the counts had to wait."""

    score: Score
    came: str
    waited: int = 0


def as_called(
    deck: Deck, movement: Movement, stance: str, foot: str | None, words: Iterable[Word], since: float = 0.0
) -> Outcome:
    """Return the performance that a call results in.

    Args:
        deck: the deck that the movement belongs to.
        movement: the movement.
        stance: the stance it was called from.
        foot: the foot that struck on the word of execution, None at the halt; if that word was not said, the foot of
            the beat that `words` are counted from.
        words: what was said, on beats counted from the word of execution as it was said. A movement with a word of
            execution that is not among them is not executed: the stance goes on.
        since: the beat by which the score begins, if its first word does not begin it earlier.

    Raises:
        KeyError: if the movement does not start from that stance.
    """
    if stance not in movement.from_stances:
        raise KeyError(stance)
    before, said = deck.stance(stance), tuple(words)
    if not (movement.cued_by or any(word.executes for word in said)):
        return Outcome(
            _going_on(deck, movement.id, before, foot, said, since, _cycle_at_zero(before, foot)), NO_COMMAND
        )
    due = foot_at_zero(movement, before, foot or LEFT)
    done = right_performance(deck, movement, stance, due)._replace(words=said)
    if foot == due or foot not in (LEFT, RIGHT) or due not in (LEFT, RIGHT):
        return Outcome(unroll(deck, movement, done, due, since=since), AS_IT_SHOULD)
    on_foot = movement._replace(called_on=foot)
    wait = _wait(before, movement, foot)
    if wait:
        falls = tuple(fall._replace(row=fall.row._replace(beat=fall.row.beat + wait)) for fall in done.falls)
        return Outcome(unroll(deck, on_foot, done._replace(falls=falls), foot, since=since), WAITS, wait)
    falls = tuple(_by_other_foot(fall) for fall in done.falls)
    return Outcome(unroll(deck, on_foot, done._replace(falls=falls), foot, since=since), OTHER_FOOT)


def going_on(deck: Deck, stance: str, first: str | None, beats: int) -> Score:
    """Return a stance that goes on, its beats numbered from 0.

    Args:
        deck: the deck.
        stance: the name of the stance.
        first: the foot that strikes on beat 0, None at the halt.
        beats: the number of beats.
    """
    held = deck.stance(stance)
    row = _cycle_at_zero(held, first)
    zero = max(beats - 2, 1)
    if held.cycle:
        row = (row + zero) % len(held.cycle)
        foot = held.cycle[row].foot
    else:
        foot = first if first is None or zero % 2 == 0 else other_foot(first)
    score = _going_on(deck, "", held, foot, (), -zero, row)
    moved = tuple(beat._replace(beat=beat.beat + zero) for beat in score.beats[: max(beats, 1)])
    return score._replace(beats=moved)


def _going_on(
    deck: Deck, name: str, stance: Stance, foot: str | None, words: tuple[Word, ...], since: float, row: int
) -> Score:
    """Unroll a stance in which nothing is executed; `row` of its cycle stands on beat 0, struck by `foot`."""
    before = stance._replace(cycle=stance.cycle[row:] + stance.cycle[:row])
    # The stance after begins with the beat after 0.
    after = stance._replace(cycle=before.cycle[1:] + before.cycle[:1])
    movement = Movement(name, "", (stance.name,), stance.name, foot or "halted", ())
    return unroll(deck, movement, Performance(words, (), (), before, after), foot, since=since)


def _cycle_at_zero(stance: Stance, foot: str | None) -> int:
    return next((number for number, row in enumerate(stance.cycle) if row.foot == foot), 0)


def _wait(stance: Stance, movement: Movement, foot: str) -> int:
    """Return how many beats the feet need to come to where the movement can begin; 0 for feet that just alternate."""
    for beat in range(1, len(stance.cycle)):
        row = cycle_row(stance, movement._replace(called_on=foot), foot, beat)
        if row is None:
            break
        if row.place == CLOSE if movement.called_on == "together" else row.foot == movement.called_on:
            return beat
    return 0


def _by_other_foot(fall: Footfall) -> Footfall:
    return fall._replace(foot=other_foot(fall.foot)) if fall.foot in (LEFT, RIGHT) else fall
