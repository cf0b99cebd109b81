"""A call that was given, to be played: the movement as it should be, beside it the movement as it was called."""

from typing import TYPE_CHECKING

from trainer.drill.called import Outcome, as_called
from trainer.drill.faults import Comparison, differences
from trainer.drill.movement import LEFT
from trainer.drill.score import Score
from trainer.drill.unrolling import score
from trainer.rhythm.calls import Called, last_beat
from trainer.rhythm.exercise import Exercise

if TYPE_CHECKING:
    from trainer.screens.showing import Showing

SINCE = -2.0
"""The beat by which what was called is shown, if its first word does not come earlier."""


def outcome_of(done: Exercise, called: Called, zero: int) -> Outcome:
    """Return what came of a call whose word of execution, else its last word, fell on a beat of the grid."""
    words = called.words(done)
    return as_called(done.deck, done.movement, done.stance.name, done.foot_at(zero), words, since=SINCE)


def executed(done: Exercise, called: Called, zero: int) -> tuple[Score, Outcome | None]:
    """Return what is executed after a call, and what came of the call where one of words was to be given."""
    if done.by_steps:
        return score(done.deck, done.movement, done.stance.name, done.foot_at(zero) or LEFT), None
    outcome = outcome_of(done, called, zero)
    return outcome.score, outcome


def call_outcome(done: Exercise, called: Called) -> Outcome | None:
    """Return what came of a call of words; None where nothing was called."""
    zero = last_beat(called)
    return None if zero is None or done.by_steps else outcome_of(done, called, zero)


def call_showing(done: Exercise, outcome: Outcome | None) -> "Showing":
    """Return a movement to be played, beside it what came of a call if anything was called."""
    from trainer.screens.showing import beside, showing

    deck, movement, stance = done.deck, done.movement, done.stance.name
    if outcome is None:
        return showing(deck, movement, None, stance)
    right = score(deck, movement, stance, outcome.score.at_zero or LEFT)
    return beside(movement.name, alike(right, outcome.score), "as you called it")


def alike(right: Score, called: Score) -> Comparison:
    """Set a performance as it was called beside the right one, over the beats that both have."""
    first = max(one.beats[0].beat for one in (right, called))
    last = min(one.beats[-1].beat for one in (right, called))
    one, two = (
        whole._replace(beats=tuple(beat for beat in whole.beats if first <= beat.beat <= last))
        for whole in (right, called)
    )
    return Comparison(one, two, tuple(differences(one, two)))
