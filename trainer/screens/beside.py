"""What stands beside a question: as much of the movement as does not give the answer away, and all of it afterwards."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.movement import Fault, Movement
from trainer.drill.score import Beat, Score
from trainer.drill.unrolling import score
from trainer.quiz.points import COUNTS, FAULTS, SHEET, Point
from trainer.quiz.questions import FEET, NAME, STEPS, VOICE, Question
from trainer.screens.widgets.axis import LABEL
from trainer.screens.widgets.parts import (
    BODY,
    CADENCE,
    LEFT_ARM,
    LEFT_FOOT,
    RIGHT_ARM,
    RIGHT_FOOT,
    SWORD,
)
from trainer.screens.widgets.spans import Row, row_text
from trainer.screens.widgets.strip import Hidden, Strip

if TYPE_CHECKING:
    from trainer.screens.showing import Showing

STEP_LABELS = frozenset({LEFT_FOOT, RIGHT_FOOT, LEFT_ARM, RIGHT_ARM, "arms", SWORD, BODY, CADENCE})
"""Names of the rows that tell what feet, arms, sword and body do."""


class Beside(NamedTuple):
    """A score with what may be seen of it.

    `left_out` are names of rows that are not drawn; `hide` and `differ` as the strip takes them; `soles` tells
    whether the footprints may be seen; `caption` says what is played where it is not the movement itself.
    """

    score: Score
    pointer: float | None
    soles: bool
    left_out: frozenset[str] = frozenset()
    hide: tuple[Hidden, ...] = ()
    differ: tuple[tuple[str, float], ...] = ()
    caption: str = ""


def before_answer(deck: Deck, question: Question) -> Beside | None:
    """Return what may be shown before the answer; None where nothing may."""
    if question.movement == SHEET:
        return None
    movement = deck.movement(question.movement)
    voice, steps, name = (part in question.reveals for part in (VOICE, STEPS, NAME))
    shown = _told(score(deck, movement), voice, name)
    # The words that are asked about stand on their beats already where their feet are asked.
    silent = question.expects == FEET or not any(beat.said or beat.cues for beat in shown.beats)
    if not steps and silent:
        return None
    pointer = question.focus[0] if len(question.focus) == 1 else None
    if steps:
        return Beside(shown, pointer, soles=True)
    # Half beats tell of a count; the strip leaves out those that lie under something hidden.
    hide = (Hidden(LEFT_FOOT), Hidden(RIGHT_FOOT))
    return Beside(shown, pointer, soles=False, left_out=STEP_LABELS, hide=hide)


def after_answer(deck: Deck, question: Question, points: Sequence[Point]) -> Beside | None:
    """Return the movement in full, at the beat that the question spoke of; a fault is played and marked.

    Args:
        deck: the deck.
        question: the question that was answered.
        points: the points that it marked.
    """
    if question.movement == SHEET:
        return None
    movement = deck.movement(question.movement)
    fault = shown_fault(movement, points)
    if fault is not None:
        played = compare(deck, movement, fault)
        differ = tuple((one.part, one.beat) for one in played.differences)
        # A beat may be missing from the flawed performance, as a half beat that was not kept.
        first = played.differences[0].beat if played.differences else 0.0
        at = min((beat.beat for beat in played.flawed.beats), key=lambda beat: abs(beat - first))
        return Beside(played.flawed, at, soles=True, differ=differ, caption="The strip plays the fault, marked !.")
    return Beside(score(deck, movement), focus_beat(movement, question, points), soles=True)


def shown_fault(movement: Movement, points: Sequence[Point]) -> Fault | None:
    """Return the first fault among the points that can be played."""
    faults = (movement.fault(point.place) for point in points if point.family == FAULTS)
    return next((fault for fault in faults if fault is not None and fault.shows), None)


def to_play(deck: Deck, question: Question, points: Sequence[Point]) -> "Showing":
    """Return what is played after an answer: the movement, a fault that was asked about beside it."""
    from trainer.screens.showing import showing

    movement = deck.movement(question.movement)
    return showing(deck, movement, shown_fault(movement, points))


def focus_beat(movement: Movement, question: Question, points: Sequence[Point]) -> float:
    """Return the beat that a question is about: the last it names, else that of the count it asks for, else 0."""
    if question.focus:
        return question.focus[-1]
    counts = [movement.counts[int(point.place) - 1].beat for point in points if point.family == COUNTS]
    return max(counts, default=0.0)


def _told(shown: Score, voice: bool, name: bool) -> Score:
    """Return a score with the words that may be seen, from the beat before the first of them.

    A call tells the name of its movement, so it is not seen where the name is not. Another speaker is left out: his
    words are long before and would push the counts off the strip.
    """

    def told(beat: Beat) -> Beat:
        said = tuple(word for word in beat.said if word.speaker is None) if voice and name else ()
        return beat._replace(said=said, cues=beat.cues if voice else ())

    beats = [told(beat) for beat in shown.beats]
    first = min([0.0, *(beat.beat for beat in beats if beat.said or beat.cues)]) - 1.0
    return shown._replace(beats=tuple(beat for beat in beats if beat.beat >= first))


class BesideStrip(Strip):
    """The strip without the rows that a question leaves out."""

    left_out: frozenset[str] = frozenset()

    def rows(self, width: int) -> list[Row]:
        """Return the rows at a width."""
        rows = super().rows(width)
        return [row for row in rows if row_text(row)[: LABEL - 1].strip() not in self.left_out]
