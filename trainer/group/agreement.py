"""How far graders agree: percent, Cohen's kappa for two, Fleiss' kappa for more, and hits against a known truth.

Kappa is agreement beyond what the graders' own shares of GO would give by chance: (p - pe) / (1 - pe). Where everybody
always says the same, chance alone would agree fully and kappa has no value; a sentence then stands in its place.
"""

from collections.abc import Callable, Hashable, Mapping, Sequence
from math import fsum, sqrt
from statistics import NormalDist
from typing import NamedTuple

LEVEL = 0.95
FEWEST = 5
"""Trials below which an interval is not given; common practice, no source."""

Ratings = Sequence[Hashable]
"""What the graders said of one trial, one rating each."""


class Kappa(NamedTuple):
    """Agreement of a group.

    Attributes:
        name: whose kappa it is: Cohen's or Fleiss'.
        trials: trials that it rests on.
        percent: share of pairs of graders that agreed, 0 to 1; None without a trial that two have graded.
        value: kappa; None where it has no value.
        low, high: ends of its 95 percent interval; None where `value` is or the trials are too few.
        told: why there is no value or no interval; empty where there is both.
        alone: trials that one grader alone has graded, as where the other went: they tell nothing of agreement.
    """

    name: str
    trials: int
    percent: float | None
    value: float | None
    low: float | None
    high: float | None
    told: str
    alone: int = 0

    def left_out(self) -> str:
        """Say which trials it does not rest on; empty where it rests on all, or there is nothing else to tell."""
        if not self.alone or not self.trials:
            return ""
        were = "was" if self.alone == 1 else "were"
        return f"{_trials(self.alone)} {were} graded by one alone and left out of this: nobody agrees with himself."


def observed(trials: Sequence[Ratings]) -> float:
    """Return the share of pairs of graders that agreed, averaged over trials with two graders or more."""
    return fsum(_pairs_alike(one) for one in trials) / len(trials)


def _pairs_alike(ratings: Ratings) -> float:
    n = len(ratings)
    counts = [sum(one == other for other in ratings) for one in ratings]
    return (sum(counts) - n) / (n * (n - 1))


def cohen_value(trials: Sequence[Ratings]) -> float | None:
    """Return Cohen's kappa of two graders, None where chance alone would agree fully.

    Each grader keeps his own shares of the categories: pe is the sum of their products (Cohen 1960, Educational and
    Psychological Measurement 20, 37).
    """
    n = len(trials)
    said = {rating for pair in trials for rating in pair}
    expected = fsum(
        (sum(pair[0] == one for pair in trials) / n) * (sum(pair[1] == one for pair in trials) / n) for one in said
    )
    return _beyond_chance(observed(trials), expected)


def fleiss_value(trials: Sequence[Ratings]) -> float | None:
    """Return Fleiss' kappa, None where chance alone would agree fully.

    pe is the sum of the squared shares of the categories over all ratings (Fleiss 1971, Psychological Bulletin 76,
    378). Trials need not have the same number of graders: each then counts alike, with its own pairs.
    """
    everything = [rating for ratings in trials for rating in ratings]
    shares = [everything.count(one) / len(everything) for one in set(everything)]
    return _beyond_chance(observed(trials), fsum(share * share for share in shares))


def _beyond_chance(agreed: float, expected: float) -> float | None:
    return None if expected > 1 - 1e-12 else (agreed - expected) / (1 - expected)


def kappa(trials: Sequence[Mapping[str, Hashable]]) -> Kappa:
    """Return the agreement of a group.

    The same two graders throughout are judged by Cohen's kappa, all else by Fleiss', which knows nothing of who
    graded. The interval is Efron's jackknife over trials (Efron and Stein 1981, Annals of Statistics 9, 586) with the
    normal quantile.

    Args:
        trials: trial by trial, what each grader gave.
    """
    rated = [gave for gave in trials if len(gave) > 1]
    agreed = _kappa(rated)
    return agreed._replace(alone=sum(len(gave) == 1 for gave in trials))


def _kappa(rated: Sequence[Mapping[str, Hashable]]) -> Kappa:
    """Return the agreement over trials that two or more have graded."""
    pair = sorted(rated[0]) if rated else []
    two = len(pair) == 2 and all(sorted(gave) == pair for gave in rated)
    graded = [tuple(gave[name] for name in (pair if two else gave)) for gave in rated]
    name, value_of = ("Cohen's kappa", cohen_value) if two else ("Fleiss' kappa", fleiss_value)
    if not graded:
        return Kappa(name, 0, None, None, None, None, "No trial was graded by two people yet.")
    percent, value = observed(graded), value_of(graded)
    if value is None:
        told = f"Everybody always gave the same in {_trials(len(graded))}: kappa has no value then."
        return Kappa(name, len(graded), percent, None, None, None, told)
    spread = _jackknife(graded, value_of)
    if not spread:  # none to tell, or none at all: a point would claim a certainty that nobody has
        few = len(graded) < FEWEST
        told = f"{_trials(len(graded))}: " + ("too few for an interval." if few else "too much alike for an interval.")
        return Kappa(name, len(graded), percent, value, None, None, told)
    half = NormalDist().inv_cdf((1 + LEVEL) / 2) * spread
    return Kappa(name, len(graded), percent, value, max(-1.0, value - half), min(1.0, value + half), "")


def _jackknife(trials: Sequence[Ratings], value_of: Callable[[Sequence[Ratings]], float | None]) -> float | None:
    """Return the standard error of kappa, None where it cannot be told."""
    n = len(trials)
    if n < FEWEST:
        return None
    without = [value_of([*trials[:place], *trials[place + 1 :]]) for place in range(n)]
    known = [value for value in without if value is not None]
    if len(known) < n:
        return None
    mean = fsum(known) / n
    return sqrt((n - 1) / n * fsum((value - mean) ** 2 for value in known))


def _trials(number: int) -> str:
    return "One trial" if number == 1 else f"{number} trials"


class AgainstTruth(NamedTuple):
    """A grader against the known truth: faulty trials he called NO-GO and missed, right ones he called NO-GO and GO."""

    hits: int = 0
    misses: int = 0
    false_alarms: int = 0
    passed: int = 0

    @property
    def trials(self) -> int:
        """Trials with a known truth that he graded."""
        return sum(self)

    def words(self) -> str:
        """Say what he saw and what he saw that was not there."""
        if not self.trials:
            return "No trial with a known truth yet."
        seen, clean = self.hits + self.misses, self.false_alarms + self.passed
        parts = [f"saw {self.hits} of {seen} faulty trials"] if seen else []
        parts += [f"called {self.false_alarms} of {clean} right ones NO-GO"] if clean else []
        return ", ".join(parts)


def against_truth(graded: Sequence[tuple[bool, Mapping[str, bool]]]) -> dict[str, AgainstTruth]:
    """Return how every grader did against the known truth.

    Args:
        graded: trial by trial, whether the trial was right in truth and who gave GO.
    """
    found: dict[str, AgainstTruth] = {}
    for right, gave in graded:
        for grader, go in gave.items():
            told = found.get(grader, AgainstTruth())
            if right:
                found[grader] = told._replace(passed=told.passed + go, false_alarms=told.false_alarms + (not go))
            else:
                found[grader] = told._replace(hits=told.hits + (not go), misses=told.misses + go)
    return found
