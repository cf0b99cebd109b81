"""What a row of strikes says of timing: spread, drift, missed beats, and the mean only where it means something.

How late a strike seems to be is mixed with the delay of screen and keyboard, so the mean says nothing of a person
until this terminal was calibrated. Spread and drift do not depend on that delay.
"""

from collections.abc import Sequence
from statistics import fmean, linear_regression, stdev
from typing import NamedTuple

from trainer.rhythm.grid import Grid

MS = 1000.0
CLOSE = 0.120
"""Seconds below which two presses are one key held down: faster than any cadence, slower than any key repeat."""
HELD = 1.0
"""Seconds within which a held key begins to repeat."""


class Strike(NamedTuple):
    """A key that was struck: the event's own stamp in seconds, and the key."""

    time: float
    key: str = " "


class Timing(NamedTuple):
    """Timing of a row of strikes, in milliseconds.

    `spread` is the standard deviation (of a sample) of how late strikes are, None for fewer than two; `drift` the
    slope of the least-squares line through them, in ms a beat (positive: ever later), None for fewer than three;
    `mean` how late they are on the whole, None unless calibrated; `missed` how many beats had none.
    """

    strikes: int
    spread: float | None
    drift: float | None
    mean: float | None
    missed: int = 0


def presses(strikes: Sequence[Strike]) -> tuple[Strike, ...]:
    """Leave out what a key does by itself: repeats of a held key and bounces.

    A press closer than `CLOSE` to the one before it is not counted. Three or more so close in a row are a key that is
    held down; the first of them is its first repeat, and not counted either, if the key went down shortly before.
    """
    rows: list[list[Strike]] = []
    for strike in sorted(strikes):
        if rows and strike.time - rows[-1][-1].time < CLOSE:
            rows[-1].append(strike)
        else:
            rows.append([strike])
    kept: list[Strike] = []
    for number, row in enumerate(rows):
        first, before = row[0], rows[number - 1][-1] if number else None
        repeats = before is not None and before.key == first.key and first.time - before.time < HELD
        if not (len(row) > 2 and repeats):
            kept.append(first)
    return tuple(kept)


def timing(late: Sequence[tuple[float, float]], missed: int = 0, calibrated: float | None = None) -> Timing:
    """Return the timing of strikes.

    Args:
        late: for each strike its beat, and by how many seconds it came late.
        missed: the beats on which one was due and none came.
        calibrated: the delay of this terminal in seconds, taken off the mean; None if it is not known.
    """
    beats, by = [beat for beat, _ in late], [seconds * MS for _, seconds in late]
    spread = stdev(by) if len(by) > 1 else None
    drift = linear_regression(beats, by).slope if len(by) > 2 and len(set(beats)) > 1 else None
    mean = fmean(by) - calibrated * MS if calibrated is not None and by else None
    return Timing(len(by), spread, drift, mean, missed)


def on_beats(grid: Grid, strikes: Sequence[Strike]) -> tuple[tuple[int, float], ...]:
    """Return the beats that were struck in order, each with the seconds by which its strike came late.

    Where two strikes belong to one beat, the nearer one counts. Strikes while the beat stood belong to none.
    """
    nearest: dict[int, float] = {}
    for strike in strikes:
        if grid.stands(strike.time):
            continue
        near = grid.nearest(strike.time)
        if near.beat not in nearest or abs(near.late) < abs(nearest[near.beat]):
            nearest[near.beat] = near.late
    return tuple(sorted(nearest.items()))
