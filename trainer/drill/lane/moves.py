"""What each movement takes of time and ground, made ready for the search.

A movement is cut at two beats: before its first spoken word (or the grader's prompt) and after its last count. Between
these the ground is its own; from the last count of one movement to the prompt of the next the candidate goes on
in his stance.
"""

import math
from functools import cached_property
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero
from trainer.drill.footprints import Print, Stand, footprints
from trainer.drill.lane.reach import Box, Xy, box_of, corners, hull, swept
from trainer.drill.lane.surface import LaneError
from trainer.drill.movement import LEFT, RIGHT, STAYS, Count, Movement, Stance
from trainer.drill.score import Beat, Score
from trainer.drill.unrolling import right_performance, unroll

USUAL_PROMPT = 4
"""Beats that the grader takes to name a movement for which the deck has no words of his: common practice, no source."""
LONGEST_PROMPT = 60
ALTERNATING = (LEFT, RIGHT)
"""The phases of a stance without a cycle, by the foot that strikes."""


class Node(NamedTuple):
    """A steady stance, and what comes next in it: the row of its cycle, else the foot (0 left, 1 right)."""

    stance: str
    phase: int = 0


class Move(NamedTuple):
    """One movement, called in one stance on one foot.

    Places are seen from the ball of the foot that struck on the word of execution (from where both stand, at the
    halt), the body looking along y.

    Attributes:
        movement: the movement's id.
        stance: the stance it is called in.
        at_zero: the foot that strikes on the word of execution; None at the halt.
        phase: what happens in the stance on the word of execution, as in `Node`.
        lead: beats from the first word of the prompt to the word of execution.
        beat_seconds: the time of a beat in the stance before.
        tail: beats from the word of execution to the end.
        seconds: the time that they take.
        steps: footfalls from the word of execution, without it, to the end.
        shift: where the ball of the foot that struck last is at the end.
        turn: degrees clockwise.
        reach: the corners of the soles that lie farthest out.
        standing: the sole of the foot on the word of execution.
        end: what he goes on with.
    """

    movement: str
    stance: str
    at_zero: str | None
    phase: int
    lead: int
    beat_seconds: float
    tail: int
    seconds: float
    steps: int
    shift: Xy
    turn: float
    reach: tuple[Xy, ...]
    standing: Box
    end: Node

    def ground(self, steady: "Steady") -> Box:
        """Return the ground from the heel of the foot on the first beat of the prompt to the end, seen from beat 0.

        Args:
            steady: how the stance before goes on.
        """
        back = steady.shift((self.phase - self.lead + 1) % steady.size, self.lead)
        here = box_of(self.reach)
        return here.with_(self.standing.at(-back[0], -back[1]))


class Steady(NamedTuple):
    """How a stance goes on: the shift on the beat of each phase, and whether a foot strikes on it."""

    shifts: tuple[Xy, ...]
    strikes: tuple[bool, ...]

    @property
    def size(self) -> int:
        """The beats after which it comes round again."""
        return len(self.shifts)

    def beats_to(self, node_phase: int, phase: int, least: int) -> int:
        """Return the fewest beats, at least `least`, after which the last one is of a phase."""
        return least + (phase - (node_phase + least - 1)) % self.size

    def shift(self, phase: int, beats: int) -> Xy:
        """Return the shift over some beats, from the beat of a phase on."""
        size = self.size
        rows = [self.shifts[(phase + n) % size] for n in range(beats % size)]
        rounds = beats // size
        return (
            sum(x for x, _ in rows) + rounds * sum(x for x, _ in self.shifts),
            sum(y for _, y in rows) + rounds * sum(y for _, y in self.shifts),
        )

    def steps(self, phase: int, beats: int) -> int:
        """Return the footfalls over some beats."""
        return sum(self.strikes[(phase + n) % self.size] for n in range(beats))


STANDING = Steady(((0.0, 0.0),), (False,))


class Drill(NamedTuple):
    """All moves of a deck, and how its stances go on."""

    deck: Deck
    moves: tuple[Move, ...]
    steady: dict[str, Steady]

    def waits(self, node: Node, move: Move) -> int:
        """Return the fewest beats from the end that led to a node to the word of execution of a move."""
        return self.steady[node.stance].beats_to(node.phase, move.phase, move.lead + 1)


def first_word(movement: Movement, prompt: int | None) -> float:
    """Return the beat of the first word: the grader's prompt, so many beats before the call.

    Args:
        movement: the movement.
        prompt: beats that the grader takes; None for what the deck writes, else `USUAL_PROMPT`.
    """
    own = min([word.beat for word in movement.call] + [cue.beat for cue in movement.cues] + [0.0])
    written = [word.beat for word in movement.words if word.speaker is not None]
    if prompt is None and written:
        return min([*written, own])
    return own - (USUAL_PROMPT if prompt is None else prompt)


def lead_beats(movement: Movement, prompt: int | None) -> int:
    """Return the whole beats from the first word to the word of execution."""
    return -math.floor(first_word(movement, prompt))


def drill_of(deck: Deck, prompt: int | None = None) -> Drill:
    """Return all moves of a deck.

    Args:
        deck: the deck.
        prompt: beats that the grader takes to name a movement, as for `first_word`.

    Raises:
        LaneError: if a stance turns by itself, which no straight line can be planned for.
    """
    turning = next((s.name for s in deck.stances if any(row.turn for row in s.cycle)), None)
    if turning is not None:
        raise LaneError(f"The stance '{turning}' turns on its own; a lane is planned for stances that go straight.")
    moves: list[Move] = []
    steady: dict[str, Steady] = {}
    for movement in deck.movements:
        for name in movement.from_stances:
            stance = deck.stance(name)
            for foot in ALTERNATING if movement.called_on == "either" and stance.moves else (LEFT,):
                maker = _Maker(deck, movement, stance, foot, lead_beats(movement, prompt))
                moves.append(maker.move())
                steady.setdefault(name, maker.steady())
    for stance in deck.stances:
        steady.setdefault(stance.name, STANDING)
    return Drill(deck, tuple(moves), steady)


class _Maker:
    """One movement, unrolled from long enough before its words to long enough after its counts."""

    def __init__(self, deck: Deck, movement: Movement, stance: Stance, foot: str, lead: int) -> None:
        self.deck, self.movement, self.stance, self.lead = deck, movement, stance, lead
        self.after = deck.stance(movement.to)
        self.at_zero = foot_at_zero(movement, stance, foot)
        spoken = [word.beat for word in movement.words] + [cue.beat for cue in movement.cues]
        counts = [count.beat for count in movement.counts]
        self.tail = max(math.floor(max([0.0, *counts])), math.ceil(max([0.0, *spoken])))
        size = len(self.after.cycle) or 2
        done = right_performance(deck, movement, stance.name, self.at_zero)
        since = -max(lead, 2 * len(self._phases(stance))) - 1
        self.score: Score = unroll(deck, movement, done, self.at_zero, self.tail + 2 * size, since)
        self.beats = {beat.beat: beat for beat in self.score.beats}
        self.stands = {stand.beat: stand for stand in footprints(deck, self.score)}
        zero = self.stands[0.0].foot(self.at_zero if self.at_zero in ALTERNATING else LEFT)
        self.origin = (zero.x, zero.y)

    @staticmethod
    def _phases(stance: Stance) -> tuple[object, ...]:
        return stance.cycle or ALTERNATING

    def move(self) -> Move:
        """Return the movement as the search sees it."""
        inside = [beat for beat in self.score.beats if 0 < beat.beat < self.tail + 1]
        times = [0.0, *(beat.beat for beat in inside)]
        return Move(
            self.movement.id,
            self.stance.name,
            self.at_zero if self.at_zero in ALTERNATING else None,
            self._zero_phase,
            self.lead,
            60.0 / self.beats[0.0].cadence,
            self.tail,
            sum((beat.beat - last) * 60.0 / beat.cadence for last, beat in zip(times, inside, strict=False)),
            sum(beat.strikes is not None for beat in inside),
            self._ball(self.tail + 0.9),
            sum(beat.turn for beat in inside),
            hull(self._reach()),
            box_of(corners(self.deck.sole, Print(0.0, 0.0, 0.0))),
            Node(self.movement.to, self._end_phase()),
        )

    def steady(self) -> Steady:
        """Return how the stance before goes on, measured on the beats before the word of execution."""
        if not self.stance.moves:
            return STANDING
        size = len(self._phases(self.stance))
        shifts: list[Xy] = [(0.0, 0.0)] * size
        strikes = [False] * size
        for beat in range(1 - size, 1):
            phase = (self._zero_phase + beat) % size
            here, last = self._ball(beat), self._ball(beat - 1)
            shifts[phase] = (here[0] - last[0], here[1] - last[1])
            strikes[phase] = self.beats[float(beat)].strikes is not None
        return Steady(tuple(shifts), tuple(strikes))

    @cached_property
    def _zero_phase(self) -> int:
        if not self.stance.moves:
            return 0
        if not self.stance.cycle:
            return ALTERNATING.index(self.at_zero or LEFT)
        if self.movement.called_on == "together" and self.stance.together is not None:
            return self.stance.together
        return next((n for n, row in enumerate(self.stance.cycle) if row.foot == self.at_zero), 0)

    def _end_phase(self) -> int:
        """Return what comes on the first beat after the end."""
        if not self.after.moves:
            return 0
        begin = self.tail + 1
        if not self.after.cycle:
            strikes = self.beats[float(begin)].strikes
            return ALTERNATING.index(strikes) if strikes in ALTERNATING else 0
        rows = self.after.cycle
        matching = [
            n
            for n in range(len(rows))
            if all(self._does(self.beats[float(begin + i)], rows, n + i) for i in range(len(rows)))
        ]
        return matching[0] if matching else 0

    @staticmethod
    def _does(beat: Beat, rows: tuple[Count, ...], number: int) -> bool:
        row = rows[number % len(rows)]
        return any(act.place == (row.place or STAYS) and row.foot in (None, act.foot) for act in beat.acts)

    def _ball(self, until: float) -> Xy:
        """Return where the ball of the foot that struck last is, up to a beat."""
        foot, at = self.at_zero if self.at_zero in ALTERNATING else LEFT, self.score.beats[0].beat
        for beat in self.score.beats:
            if beat.beat <= until:
                foot, at = beat.strikes if beat.strikes in ALTERNATING else foot, beat.beat
        stand = self.stands[at].foot(foot or LEFT)
        return stand.x - self.origin[0], stand.y - self.origin[1]

    def _reach(self) -> list[Xy]:
        """Return the corners of both soles from the word of execution to the end, also on their way."""
        points: list[Xy] = []
        last: Stand | None = None
        for beat in self.score.beats:
            if 0 <= beat.beat < self.tail + 1:
                stand = self.stands[beat.beat]
                for foot in ALTERNATING:
                    if last is not None:
                        points += swept(self.deck.sole, last.foot(foot), stand.foot(foot), beat.turn)
                    elif foot == self.at_zero or self.at_zero not in ALTERNATING:
                        points += corners(self.deck.sole, stand.foot(foot))
                last = stand
        return [(x - self.origin[0], y - self.origin[1]) for x, y in points]
