"""The forward model: its five parameters, and how a trace fades. `states` and `rehearsal` compute it on their grids.

One exposure leaves one trace. A trace fades as a power of its age; an exposure adds the less, the
stronger the memory already is; the strength is turned into a probability by a logistic curve. Times
and ages are in days, strengths have no unit.

The form was fitted to the 26 published conditions of Cepeda, Vul, Rohrer, Wixted and Pashler (2008),
"Spacing effects in learning: a temporal ridgeline of optimal retention", Psychological Science 19(11).
"""

from __future__ import annotations

from typing import NamedTuple


class Fit(NamedTuple):
    """The five parameters of the model.

    Attributes:
        delta: Share of the missing strength that one exposure adds, 0 to 1.
        d: Exponent with which a trace fades.
        tau0: Time scale of fading, days.
        theta: Strength at which one of two attempts succeeds.
        sigma: Width of the logistic curve, in units of strength.
    """

    delta: float
    d: float
    tau0: float
    theta: float
    sigma: float


def fade(age: float, d: float, tau0: float) -> float:
    """Share of a trace that is left after `age` days (0 or more)."""
    return float((1.0 + age / tau0) ** -d)
