"""The parts of a score as rows of events: what stands on which beat, in signs and words, before it has columns."""

from collections.abc import Callable, Iterator
from typing import NamedTuple

from trainer.drill.movement import BOTH, LEFT, RIGHT, STEP, turn_words
from trainer.drill.score import Beat, Score
from trainer.plain import visible
from trainer.screens.widgets.glyphs import arrow, glyph, manners
from trainer.screens.widgets.spans import FAINT, INK, LEFT_SOLE, RIGHT_SOLE, STRONG

VOICE, CUE, LEFT_FOOT, RIGHT_FOOT = "voice", "cue", "left foot", "right foot"
LEFT_ARM, RIGHT_ARM, SWORD, BODY, CADENCE, COUNT = "left arm", "right arm", "sword", "body", "cadence", "count"
PARTS = (VOICE, CUE, LEFT_FOOT, RIGHT_FOOT, LEFT_ARM, RIGHT_ARM, SWORD, BODY, CADENCE)
"""The parts of a score, by the names that a Difference uses."""


class Event(NamedTuple):
    """Something on one beat of one row: a sign, then words, the longest that fit."""

    beat: float
    sign: str
    words: tuple[str, ...]
    role: str


class Part(NamedTuple):
    """A row of the strip before it has columns; one row may stand for two parts that agree."""

    names: tuple[str, ...]
    label: str
    events: tuple[Event, ...]
    staff: bool = True
    held: bool = False

    def on(self, first: float, end: float) -> list[tuple[float, Event]]:
        """Return the events from beat `first` to before `end`, each with the beat at which it happens.

        What is held (arms, sword, heading) is shown at `first` even if it began before.
        """
        shown = [(event.beat, event) for event in self.events if first <= event.beat < end]
        earlier = [event for event in self.events if event.beat < first]
        if self.held and earlier and (not shown or shown[0][0] > first):
            words = () if earlier[-1].sign else earlier[-1].words
            shown.insert(0, (earlier[-1].beat, earlier[-1]._replace(beat=first, words=words)))
        return shown


def parts(score: Score, full: float | None, unit: str) -> Iterator[Part]:
    """Yield the rows that a score needs, from the voices down.

    Args:
        score: the performance.
        full: the step that goes without saying, in the deck's unit; the longest of the score if None.
        unit: the deck's unit, for lengths in words.
    """
    speakers = dict.fromkeys(word.speaker for beat in score.beats for word in beat.said)
    for speaker in sorted(speakers, key=lambda name: name is None):
        yield Part((VOICE,), visible(speaker) if speaker else VOICE, tuple(_said(score, speaker)), staff=False)
    if any(beat.cues for beat in score.beats):
        yield Part((CUE,), CUE, tuple(_cued(score)), staff=False)
    for foot, name in ((LEFT, LEFT_FOOT), (RIGHT, RIGHT_FOOT)):
        yield Part((name,), name, tuple(_trodden(score, foot, full, unit)))
    if all(beat.left_arm == beat.right_arm for beat in score.beats):
        yield Part((LEFT_ARM, RIGHT_ARM), "arms", tuple(_held(score, lambda beat: beat.left_arm)), held=True)
    else:
        yield Part((LEFT_ARM,), LEFT_ARM, tuple(_held(score, lambda beat: beat.left_arm)), held=True)
        yield Part((RIGHT_ARM,), RIGHT_ARM, tuple(_held(score, lambda beat: beat.right_arm)), held=True)
    if any(beat.sword for beat in score.beats):
        yield Part((SWORD,), SWORD, tuple(_held(score, lambda beat: beat.sword)), held=True)
    yield Part((BODY,), BODY, tuple(_turned(score)), held=True)
    if len({beat.cadence for beat in score.beats}) > 1:
        yield Part((CADENCE,), CADENCE, tuple(_held(score, lambda beat: f"{beat.cadence:g}")), held=True)


def _said(score: Score, speaker: str | None) -> Iterator[Event]:
    for beat in score.beats:
        words = [word for word in beat.said if word.speaker == speaker]
        if words:
            role = FAINT if speaker else STRONG if any(word.executes for word in words) else INK
            yield Event(beat.beat, "", (" ".join(visible(word.say) for word in words),), role)


def _cued(score: Score) -> Iterator[Event]:
    for beat in score.beats:
        if beat.cues:
            yield Event(beat.beat, "", (" ".join(map(visible, beat.cues)),), STRONG)


def _trodden(score: Score, foot: str, full: float | None, unit: str) -> Iterator[Event]:
    """Yield the footfalls of one foot; those of the movement's own counts say in words what they are."""
    role = LEFT_SOLE if foot == LEFT else RIGHT_SOLE
    longest: dict[str, float] = {}
    for act in (act for beat in score.beats for act in beat.acts):
        longest[act.place] = max(act.length, longest.get(act.place, 0.0))
    if full is not None:
        longest[STEP] = full
    for beat in score.beats:
        for act in beat.acts:
            if act.foot in (foot, BOTH):
                words = manners(act, longest[act.place], unit) if beat.counts else ()
                yield Event(beat.beat, glyph(act.place, foot), words, role)


def _held(score: Score, state: Callable[[Beat], str | None]) -> Iterator[Event]:
    """Yield a state where it begins and where it changes; in between the staff holds it like a note."""
    last: str | None = None
    for beat in score.beats:
        now = state(beat)
        if now and now != last:
            yield Event(beat.beat, "", (visible(now),), INK)
        last = now or last


def _turned(score: Score) -> Iterator[Event]:
    heading = 0.0
    yield Event(score.beats[0].beat, arrow(heading), (), INK)
    for beat in score.beats:
        if beat.turn:
            heading += beat.turn
            words = turn_words(beat.turn)
            yield Event(beat.beat, arrow(heading), (words, words.split()[0]), STRONG)
