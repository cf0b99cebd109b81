"""The chance of a GO on a grade sheet, from what is known and what has been seen on the ground.

Knowing is not doing. Knowledge of a measure is one state for all its trials: who does not know the call
fails them all, but for slips of luck. Execution is the chance that one trial succeeds given knowledge,
learnt from observed trials. Both are kept apart and joined only here.

Learner nodes carry what points have in common, so everything is computed node by node and then weighed;
points taken as independent would make the forecast overconfident.

The priors of execution and the slip are assumptions, shown as such until observed trials replace them. The
memory behind knowledge was tried on synthetic learners only; no person has been measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import prod
from operator import mul
from typing import TYPE_CHECKING, NamedTuple, Protocol

from trainer.memory.tails import at_least, evaluated, expected_tail, tail_polynomial

if TYPE_CHECKING:
    from random import Random

DRAWS = 200
"""Draws behind a band: its 10 and 90 percent are then good to about two percentiles."""

NEGLIGIBLE = 1e-12
"""Weight below which a learner node is left out."""


class Minor(NamedTuple):
    """A minor measure.

    Attributes:
        id: Its id.
        points: Ids of its essential points, those a trial cannot succeed without; may be empty.
        go: Observed trials that were GO.
        nogo: Observed trials that were NO-GO.
    """

    id: str
    points: tuple[str, ...] = ()
    go: int = 0
    nogo: int = 0


class Major(NamedTuple):
    """A major measure: how often it was kept and how often failed in observed tests."""

    id: str
    kept: int = 0
    failed: int = 0


class Sheet(NamedTuple):
    """A grade sheet with what has been observed.

    Attributes:
        minors: The minor measures.
        majors: The major measures, none of which may fail.
        needed: Trials of a minor that must succeed for its GO.
        trials: Trials of each minor.
        minors_to_pass: Minors that must be GO.
    """

    minors: tuple[Minor, ...]
    majors: tuple[Major, ...]
    needed: int
    trials: int
    minors_to_pass: int


class Assumptions(NamedTuple):
    """What is assumed about execution before anything is observed.

    Attributes:
        minor: Parameters of the Beta distribution of one trial's success given knowledge.
        major: The same for a major in one test.
        slip: Share of execution that is left to who does not know.
    """

    minor: tuple[float, float] = (9.0, 1.0)
    major: tuple[float, float] = (49.0, 1.0)
    slip: float = 0.15


ASSUMED = Assumptions()


class Chance(NamedTuple):
    """A chance of GO with the band from 10 to 90 percent, widened to hold it."""

    go: float
    low: float
    high: float


class MeasureChance(NamedTuple):
    """One measure: knowledge (none for a major), execution of one trial given knowledge, chance of GO."""

    id: str
    knowledge: float | None
    execution: float
    go: float


class Readiness(NamedTuple):
    """The forecast: the sheet's chance, and every measure's in the sheet's order."""

    chance: Chance
    minors: tuple[MeasureChance, ...]
    majors: tuple[MeasureChance, ...]


class Recaller(Protocol):
    """What a curve needs of a memory model."""

    def weights(self) -> Sequence[float]:
        """Weight of each learner node, summing to 1."""

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> Sequence[Sequence[float]]:
        """Recall of each item at a date in each learner node."""


class _Outcome(NamedTuple):
    """Chances of a minor's GO with knowledge and without."""

    known: float
    unknown: float


class Forecast:
    """Forecasts of one sheet at any number of dates; what does not depend on memory is computed once.

    Args:
        sheet: The grade sheet with the observed trials.
        rng: Source of the execution draws behind the band. The same draws serve every date.
        assumptions: Priors of execution and the slip.
        draws: Number of draws.

    Raises:
        ValueError: A sheet or an assumption that cannot be, in words that say which.
    """

    def __init__(self, sheet: Sheet, rng: Random, assumptions: Assumptions = ASSUMED, draws: int = DRAWS) -> None:
        _check(sheet, assumptions)
        self.sheet = sheet
        self.items = tuple(dict.fromkeys(item for minor in sheet.minors for item in minor.points))
        a, b = assumptions.minor
        minor_betas = [(a + minor.go, b + minor.nogo) for minor in sheet.minors]
        a, b = assumptions.major
        major_betas = [(a + major.kept, b + major.failed) for major in sheet.majors]
        needed, trials, slip = sheet.needed, sheet.trials, assumptions.slip
        self._outcomes = [
            _Outcome(expected_tail(trials, needed, beta), expected_tail(trials, needed, beta, slip))
            for beta in minor_betas
        ]
        self._executions = [a / (a + b) for a, b in minor_betas]
        self._majors = [a / (a + b) for a, b in major_betas]
        go_at = tail_polynomial(trials, needed)
        self._draws: list[tuple[list[_Outcome], float]] = []
        for _ in range(draws):
            drawn = [rng.betavariate(a, b) for a, b in minor_betas]
            outcomes = [_Outcome(evaluated(go_at, e), evaluated(go_at, slip * e)) for e in drawn]
            self._draws.append((outcomes, prod([rng.betavariate(a, b) for a, b in major_betas])))

    def at(self, recalls: Mapping[str, Sequence[float]], weights: Sequence[float]) -> Readiness:
        """The forecast from the recall of each essential point, node by node, and the nodes' weights.

        Raises:
            KeyError: An essential point without recall.
        """
        nodes = [node for node, weight in enumerate(weights) if weight > NEGLIGIBLE]
        shares = [weights[node] for node in nodes]
        knowledge = [_knowledge(minor, recalls, nodes) for minor in self.sheet.minors]
        by_node = list(zip(*knowledge, strict=True)) or [()] * len(nodes)
        kept = prod(self._majors)
        passes = [kept * self._minors_pass(known, self._outcomes) for known in by_node]
        go = sum(map(mul, shares, passes))
        means = [sum(map(mul, shares, known)) for known in knowledge]
        return Readiness(
            self._band(go, shares, by_node, passes),
            tuple(
                MeasureChance(minor.id, known, execution, _go(known, outcome))
                for minor, known, execution, outcome in zip(
                    self.sheet.minors, means, self._executions, self._outcomes, strict=True
                )
            ),
            tuple(
                MeasureChance(major.id, None, execution, execution)
                for major, execution in zip(self.sheet.majors, self._majors, strict=True)
            ),
        )

    def curve(self, learner: Recaller, dates: Iterable[float], now: float) -> list[Readiness]:
        """The forecast at each date if nothing more is practised.

        Put the test date last: the learner keeps its last reading, so a forecast of that date is then free.
        """
        weights = learner.weights()
        forecasts = []
        for date in dates:
            recalls = learner.recall_by_node(self.items, date, now)
            forecasts.append(self.at(dict(zip(self.items, recalls, strict=True)), weights))
        return forecasts

    def _minors_pass(self, knowledge: Sequence[float], outcomes: Sequence[_Outcome]) -> float:
        return at_least(self.sheet.minors_to_pass, list(map(_go, knowledge, outcomes)))

    def _band(
        self,
        go: float,
        shares: Sequence[float],
        by_node: Sequence[Sequence[float]],
        passes: Sequence[float],
    ) -> Chance:
        """10 and 90 percent of the chance over learners and executions, widened to hold its mean.

        The executions are drawn; the nodes, in order of their chance, are spread over the draws in
        proportion to their weight, which leaves the node's part free of chance.
        """
        if not self._draws:
            return Chance(go, go, go)
        order = sorted(range(len(passes)), key=passes.__getitem__)
        chances = []
        position, reached = 0, shares[order[0]]
        for number, (outcomes, kept) in enumerate(self._draws):
            quantile = (number + 0.5) / len(self._draws)
            while reached < quantile and position < len(order) - 1:
                position += 1
                reached += shares[order[position]]
            chances.append(kept * self._minors_pass(by_node[order[position]], outcomes))
        chances.sort()
        low, high = _quantile(chances, 0.1), _quantile(chances, 0.9)
        return Chance(go, min(low, go), max(high, go))


def _go(knowledge: float, outcome: _Outcome) -> float:
    return knowledge * outcome.known + (1.0 - knowledge) * outcome.unknown


def _knowledge(minor: Minor, recalls: Mapping[str, Sequence[float]], nodes: Sequence[int]) -> list[float]:
    """Knowledge of a minor in each of `nodes`: the product over its essential points, 1 where there are none."""
    known = [1.0] * len(nodes)
    for item in minor.points:
        recall = recalls[item]
        known = [share * recall[node] for share, node in zip(known, nodes, strict=True)]
    return known


def _quantile(ordered: Sequence[float], share: float) -> float:
    """Quantile of an ordered sample, between its neighbours in proportion."""
    place = share * (len(ordered) - 1)
    below = int(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])


def _check(sheet: Sheet, assumptions: Assumptions) -> None:
    if not 0 <= sheet.needed <= sheet.trials:
        raise ValueError(f"{sheet.needed} trials needed of {sheet.trials}: give a number from 0 to {sheet.trials}")
    if not 0 <= sheet.minors_to_pass <= len(sheet.minors):
        raise ValueError(
            f"{sheet.minors_to_pass} minors to pass of {len(sheet.minors)}: give a number from 0 to {len(sheet.minors)}"
        )
    observed = [(m.id, m.go, m.nogo) for m in sheet.minors] + [(m.id, m.kept, m.failed) for m in sheet.majors]
    for measure, good, bad in observed:
        if good < 0 or bad < 0:
            raise ValueError(f"measure {measure!r} has a negative number of observed trials")
    if min(*assumptions.minor, *assumptions.major) <= 0.0:
        raise ValueError("the assumed Beta parameters must be greater than 0")
    if not 0.0 <= assumptions.slip <= 1.0:
        raise ValueError(f"the slip is {assumptions.slip}: give a share from 0 to 1")
