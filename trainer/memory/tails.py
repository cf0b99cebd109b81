"""The chance that enough of several trials succeed: tails of binomial, beta-binomial and Poisson-binomial sums."""

from __future__ import annotations

from collections.abc import Sequence
from math import comb, prod


def expected_tail(trials: int, needed: int, beta: tuple[float, float], share: float = 1.0) -> float:
    """Chance that at least `needed` of `trials` succeed at `share` x e, e being Beta distributed.

    In closed form by the Beta moments E[e^j] = prod (a + i) / (a + b + i), i < j: the successes at e are
    beta-binomial, and each of them is kept with chance `share`.
    """
    a, b = beta
    whole = prod(a + b + i for i in range(trials))
    chance = 0.0
    for successes in range(needed, trials + 1):
        ways = comb(trials, successes)
        moments = prod(a + i for i in range(successes)) * prod(b + i for i in range(trials - successes))
        chance += ways * moments / whole * tail(successes, needed, share)
    return chance


def tail(trials: int, needed: int, chance: float) -> float:
    """Chance that at least `needed` of `trials` succeed, each with `chance`: a binomial tail."""
    miss = 1.0 - chance
    return sum(
        comb(trials, successes) * chance**successes * miss ** (trials - successes)
        for successes in range(needed, trials + 1)
    )


def at_least(needed: int, chances: Sequence[float]) -> float:
    """Chance that at least `needed` of independent trials succeed: a Poisson-binomial tail."""
    allowed = len(chances) - needed
    if allowed < 0:
        return 0.0
    failed = [1.0]  # chance of each number of failures so far, up to the number allowed
    for chance in chances:
        miss = 1.0 - chance
        failed = [chance * same + miss * less for same, less in zip([*failed, 0.0], [0.0, *failed], strict=True)][
            : allowed + 1
        ]
    return sum(failed)


def tail_polynomial(trials: int, needed: int) -> list[float]:
    """Coefficients of `tail` as a polynomial in the chance, the highest power first."""
    if needed == 0:
        return [1.0]
    rising = [
        (-1.0) ** (power - needed) * comb(power - 1, needed - 1) * comb(trials, power)
        for power in range(needed, trials + 1)
    ]
    return [*reversed(rising), *[0.0] * needed]


def evaluated(polynomial: Sequence[float], chance: float) -> float:
    """Value of a polynomial, its coefficients with the highest power first (Horner's rule)."""
    value = 0.0
    for coefficient in polynomial:
        value = value * chance + coefficient
    return value
