"""What the candidate struck, and so what he called: the foot of each word, the steps between words, the timing.

The beat that a word is meant for is the nearest one. Knowledge and timing are kept apart: a word that is early or
late on its foot is right, and how early or late is told as spread and drift.
"""

import math
from collections.abc import Sequence
from itertools import combinations, pairwise
from typing import NamedTuple

from trainer.drill.movement import Word, other_foot
from trainer.rhythm.exercise import APART, EITHER, OTHER, SAME, TOGETHER, Due, Exercise, first_letter
from trainer.rhythm.grid import Grid
from trainer.rhythm.timing import Strike, Timing, presses, timing

FOOT, COMMAND = "foot", "command"
"""What a mark is of: the foot of one word, or the command as a whole."""
SILENCE = 4
"""Beats beyond the longest gap of a command after which it is over, whatever is missing."""
MOST_EXTRA = 3
"""Strikes beyond those that are due that are looked at; what comes after them is no call any more."""
GAP_AT_MOST = 4.0
WRONG_LETTER, WRONG_FOOT = 3.0, 0.5
"""What a letter, a foot count beside a step too many or too few, where it is open which word a strike was."""


class Mark(NamedTuple):
    """One mark: of the foot of the word of that number (from 1), or of the command as a whole (number 0)."""

    of: str
    number: int
    right: bool


class Shown(NamedTuple):
    """What was shown of one word (or step) that was due.

    `beat` is the beat of the grid it was struck on, None if it was missed; `foot` what struck there: left, right,
    together, apart. `foot_right`, `letter_right` are None where there is nothing to be right or wrong. `late` is in
    seconds, None if missed.
    """

    due: Due
    beat: int | None
    foot: str | None
    foot_right: bool | None
    letter_right: bool | None
    late: float | None


class Steps(NamedTuple):
    """The steps from one word to the next: as they are due, and as they were called."""

    due: float
    called: int


class Called(NamedTuple):
    """What was called.

    `zero` is the beat of the grid of the word of execution, None if it was not called. `extra` strikes belong to no
    word. `timing` is None over a remote link, where only the foot is scored.
    """

    shown: tuple[Shown, ...]
    extra: int
    zero: int | None
    steps: tuple[Steps, ...]
    timing: Timing | None
    marks: tuple[Mark, ...]

    @property
    def missed(self) -> tuple[Due, ...]:
        """The words that were not called."""
        return tuple(one.due for one in self.shown if one.beat is None)

    @property
    def feet_right(self) -> int:
        """How many words fell on their foot."""
        return sum(one.foot_right is True for one in self.shown)

    @property
    def right(self) -> bool:
        """Whether every word was called, on its foot, with its letter and the right number of steps from the last."""
        whole = all(
            one.beat is not None and one.foot_right is not False and one.letter_right is not False for one in self.shown
        )
        return whole and not self.extra and all(step.due == step.called for step in self.steps)

    def words(self, done: Exercise) -> tuple[Word, ...]:
        """Return what was said, on beats from the word of execution (from the last word if that was not called)."""
        zero = last_beat(self)
        if done.by_steps or zero is None:
            return ()
        call = done.movement.call
        return tuple(
            call[one.due.number - 1]._replace(beat=float(one.beat - zero), foot=None)
            for one in self.shown
            if one.beat is not None
        )


def tells_foot(due: Due) -> bool:
    """Whether a call tells if the foot of a word is known: one that either foot may have, or none, shows nothing."""
    return due.foot not in (None, EITHER)


def last_beat(called: Called) -> int | None:
    """Return the beat of the grid on which the word of execution fell, else the last word; None without any."""
    if called.zero is not None:
        return called.zero
    return max((one.beat for one in called.shown if one.beat is not None), default=None)


def is_over(done: Exercise, grid: Grid, strikes: Sequence[Strike], now: float) -> bool:
    """Whether the call is over: all words struck, the word of execution given by its letter, or silence since.

    Args:
        done: the exercise.
        grid: its beat.
        strikes: what was struck, as it came.
        now: the clock reading.
    """
    dues, heard = done.dues, presses(strikes)
    if done.cue_at is not None:
        return grid.beat_at(now) > done.cue_at + max(one.beat for one in dues) + 1
    if not heard:
        return False
    if len(heard) >= len(dues):
        return True
    last = next((one for one in dues if one.executes), dues[-1])
    alone = [one.letter for one in dues].count(last.letter) == 1
    if done.level.letters and alone and first_letter(heard[-1].key) == last.letter:
        return True
    longest = max((two.beat - one.beat for one, two in pairwise(dues)), default=0.0)
    return grid.beat_at(now) - grid.beat_at(heard[-1].time) > longest + SILENCE


def call_ms(grid: Grid, strikes: Sequence[Strike]) -> int:
    """Return the milliseconds from the first beat to the last strike; 0 without any."""
    return round((strikes[-1].time - (grid.time_of(0.0) or 0.0)) * 1000) if strikes else 0


def read_call(
    done: Exercise, grid: Grid, strikes: Sequence[Strike], delay: float | None = None, remote: bool = False
) -> Called:
    """Read a call from what was struck.

    Args:
        done: the exercise.
        grid: its beat, as it ran while the keys were struck.
        strikes: what was struck, as it came; key repeats are left out here.
        delay: by how many seconds this terminal's strikes come late, from a calibration; None if it is not known.
        remote: whether the keys came over a link whose delay varies: then nothing is said of timing.
    """
    dues = done.dues
    heard = [strike for strike in presses(strikes) if not grid.stands(strike.time)][: len(dues) + MOST_EXTRA]
    placed = _placed(done, grid, [strike._replace(time=strike.time - (delay or 0.0)) for strike in heard])
    pairs = _matched(done, placed)
    zero = next((struck.beat for due, struck in pairs if due.executes), done.cue_at)
    of_due = {due.number: struck for due, struck in pairs}
    shown = tuple(_shown(done, due, of_due.get(due.number), zero) for due in dues)
    steps = tuple(
        Steps(two.due.beat - one.due.beat, two.beat - one.beat)
        for one, two in pairwise(shown)
        if one.beat is not None and two.beat is not None
    )
    late = [(float(one.beat), one.late) for one in shown if one.beat is not None and one.late is not None]
    missed = len(dues) - len(late)
    # The delay is off the strikes already.
    told = None if remote else timing(late, missed, None if delay is None else 0.0)
    extra = len(heard) - len(pairs)
    return Called(shown, extra, zero, steps, told, _marks(done, shown, extra))


class _Placed(NamedTuple):
    beat: int
    late: float
    letter: str


def _placed(done: Exercise, grid: Grid, heard: Sequence[Strike]) -> list[_Placed]:
    """Give each strike its beat.

    At the halt no foot gives the beat, so the first word does: the others are counted from it.
    """
    placed: list[_Placed] = []
    for strike in heard:
        near = grid.nearest(strike.time)
        if not done.moves and done.cue_at is None and placed:
            apart = (strike.time - heard[0].time) / (60.0 / grid.cadence)
            beat = placed[0].beat + math.floor(apart + 0.5)
            late = (apart - math.floor(apart + 0.5)) * 60.0 / grid.cadence
            placed.append(_Placed(beat, late, first_letter(strike.key)))
        elif not done.moves and done.cue_at is None:
            placed.append(_Placed(near.beat, 0.0, first_letter(strike.key)))
        else:
            placed.append(_Placed(near.beat, near.late, first_letter(strike.key)))
    return placed


def _matched(done: Exercise, placed: Sequence[_Placed]) -> list[tuple[Due, _Placed]]:
    """Say which strike was which word, in order: all of the fewer ones find a partner, at the least cost."""
    dues = done.dues
    size = min(len(dues), len(placed))
    ways = (
        list(zip(some, struck, strict=True))
        for some in combinations(dues, size)
        for struck in combinations(placed, size)
    )
    return min(ways, key=lambda pairs: _cost(done, pairs), default=[])


def _cost(done: Exercise, pairs: Sequence[tuple[Due, _Placed]]) -> float:
    cost = 0.0
    if done.cue_at is not None:
        cost += sum(min(abs(struck.beat - done.cue_at - due.beat), GAP_AT_MOST) for due, struck in pairs)
    for (one, first), (two, second) in pairwise(pairs):
        cost += min(abs((second.beat - first.beat) - (two.beat - one.beat)), GAP_AT_MOST)
    for due, struck in pairs:
        if done.level.letters and struck.letter != due.letter:
            cost += WRONG_LETTER
        if _foot_right(done, due, struck.beat, None) is False:
            cost += WRONG_FOOT
    return cost


def _shown(done: Exercise, due: Due, struck: _Placed | None, zero: int | None) -> Shown:
    if struck is None:
        # A word that was not called shows nothing of its foot.
        return Shown(due, None, None, None, False if done.level.letters else None, None)
    foot = done.heels_at(struck.beat) if due.foot in (TOGETHER, APART) else done.foot_at(struck.beat)
    if done.by_steps:
        foot, right = _step_foot(done, struck, due)
        return Shown(due, struck.beat, foot, right, right if done.level.letters else None, struck.late)
    right_foot = _foot_right(done, due, struck.beat, zero)
    letter = struck.letter == due.letter if done.level.letters else None
    return Shown(due, struck.beat, foot, right_foot, letter, struck.late)


def _step_foot(done: Exercise, struck: _Placed, due: Due) -> tuple[str | None, bool]:
    """Return the foot of a step by a drum: the one whose letter was typed, else the one that the beat gives."""
    if done.level.letters:
        named = {first_letter(foot): foot for foot in ("left", "right")}.get(struck.letter)
        return named, named == due.foot
    on_time = done.cue_at is not None and (struck.beat - done.cue_at - due.beat) % 2 == 0
    return (due.foot if on_time else other_foot(due.foot or "")), on_time


def _foot_right(done: Exercise, due: Due, beat: int, zero: int | None) -> bool | None:
    """Whether a word fell on its foot; None where none is due, or where the word it is measured by was not called."""
    if due.foot is None:
        return None
    if due.foot == EITHER:
        return True
    if due.foot in (SAME, OTHER):
        return None if zero is None else ((beat - zero) % 2 == 0) == (due.foot == SAME)
    if due.foot in (TOGETHER, APART):
        return done.heels_at(beat) == due.foot
    return done.foot_at(beat) == due.foot


def _marks(done: Exercise, shown: Sequence[Shown], extra: int) -> tuple[Mark, ...]:
    """Return the marks of a call.

    Where the foot of each word is named on the screen, finding it shows nothing, nor does a word that either foot may
    have; the command as a whole is shown only by the letters of its words. Steps by a drum show when a step comes,
    not what it is, and mark nothing.
    """
    if done.by_steps:
        return ()
    marks = []
    if not done.level.foot_named:
        marks = [
            Mark(FOOT, one.due.number, one.foot_right)
            for one in shown
            if one.foot_right is not None and tells_foot(one.due)
        ]
    if done.level.letters:
        marks.append(Mark(COMMAND, 0, not extra and all(one.letter_right for one in shown)))
    return tuple(marks)
