"""The grids that the recall filter carries: learners, points' offsets, known before or not.

Nodes are numbered by fading exponent, increment, width (narrow, wide), threshold, the last the
fastest; a block is one exponent with one increment. Within a node a point has 18 states: known
before or not, by 9 offsets.

The priors were set on synthetic learners around the fit to Cepeda et al. (2008); no person has been
measured.
"""

from __future__ import annotations

from math import exp, log

EXPONENTS = (0.08, 0.11, 0.137, 0.17, 0.22)
EXPONENT_WEIGHTS = (0.1, 0.2, 0.4, 0.2, 0.1)
INCREMENTS = (0.15, 0.25, 0.40)
INCREMENT_WEIGHTS = (0.25, 0.5, 0.25)
WIDTHS = (0.02, 0.04)
WIDTH_WEIGHTS = (0.5, 0.5)
THRESHOLDS = (0.20, 0.2465, 0.29)
THRESHOLD_WEIGHTS = (0.25, 0.5, 0.25)
TAU0 = 0.0318

OFFSET_GRID = tuple(step * 0.075 / 4 for step in range(-4, 5))
OFFSET_SPREAD = 0.03

KNOWN_BEFORE = 0.2
OLD_TRACE = 0.6
OLD_TRACE_DAYS = 30.0
INATTENTION = 0.02
INATTENTIONS = (INATTENTION, 0.035, 0.07)
"""Chances of a wrong answer with knowledge that are weighed against each other; alone, the filter goes by the first."""

BLOCKS = len(EXPONENTS) * len(INCREMENTS)
TRACES = 2 * BLOCKS
NODES = BLOCKS * len(WIDTHS) * len(THRESHOLDS)
OFFSETS = len(OFFSET_GRID)
HALF = len(THRESHOLDS) * OFFSETS
STATES = NODES * 2 * OFFSETS


def _log_prior() -> tuple[float, ...]:
    return tuple(
        log(d * delta * width * threshold)
        for d in EXPONENT_WEIGHTS
        for delta in INCREMENT_WEIGHTS
        for width in WIDTH_WEIGHTS
        for threshold in THRESHOLD_WEIGHTS
    )


def _resting() -> tuple[float, ...]:
    raw = [exp(-(offset**2) / (2.0 * OFFSET_SPREAD**2)) for offset in OFFSET_GRID]
    whole = sum(raw)
    offsets = [weight / whole for weight in raw] * len(THRESHOLDS)
    unknown = [(1.0 - KNOWN_BEFORE) * weight for weight in offsets]
    known = [KNOWN_BEFORE * weight for weight in offsets]
    return tuple((unknown + known) * (BLOCKS * len(WIDTHS)))


def _constants(width: float) -> tuple[float, ...]:
    return tuple(exp((threshold + offset) / width) for threshold in THRESHOLDS for offset in OFFSET_GRID)


LOG_PRIOR = _log_prior()
"""Logarithm of the prior of each of the 90 nodes."""

RESTING = _resting()
"""State weights of a point never asked, in the layout of `recall.Memory`."""

WIDTH = WIDTHS[1]
NARROW = _constants(WIDTHS[0])
WIDE = _constants(WIDTHS[1])
"""exp((threshold + offset) / width) for the 27 thresholds and offsets of a half block."""
