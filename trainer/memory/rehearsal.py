"""Sessions that are still to come, gone through in the mind: what would be asked when, and what it would leave.

The expected course stands for all possible ones: points are taken weakest first, as the planner does, every asking
leaves the trace that `traces` says, and nothing is drawn. The learner is carried as a few kinds that he may be, each
with parameters of its own; what was practised so far enters through his predicted recall alone, so any model of
memory that can be read node by node will do.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from math import exp, log, pi, sqrt
from typing import NamedTuple, Protocol

from trainer.memory import grid
from trainer.memory.planner import RIGHT_ON_FIRST_DAY, SHARE
from trainer.memory.traces import Fit, fade

KINDS = 6
DOUBTS = (0.5, 0.75, 1.0)
"""Shares, equally likely, of what practice is expected to add: a plan must not rest on the model being right."""
MOST_SESSIONS = 40
"""Sessions told apart; of a longer course several are taken together."""
MOST_TOGETHER = 10.0
"""Sessions that one stands for at most: of a course of years no more is rehearsed, however far off the test is."""
LATEST = 0.25
"""Days before the test at which the last session may begin."""
_SUREST = 1e-6


class Readable(Protocol):
    """A memory model that can be read node by node."""

    def weights(self) -> Sequence[float]:
        """Weight of each node, summing to 1."""

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> Sequence[Sequence[float]]:
        """Recall of each item at a date in each node."""


class Kind(NamedTuple):
    """A kind of learner that the candidate may be: its weight, its parameters, and the nodes it stands for.

    Each kind is carried once for each of `DOUBTS`, all of them together with the weights `Rehearsal.weights`.
    """

    weight: float
    fit: Fit
    nodes: tuple[int, ...]


class Sessions(NamedTuple):
    """Sessions to come: when each begins, days, and how many real ones each stands for."""

    times: tuple[float, ...]
    each: float


class Asked(NamedTuple):
    """A rehearsed course: for each item the numbers of the sessions in which it was asked, in order."""

    sessions: Mapping[str, tuple[int, ...]]


def sessions(now: float, test_at: float, chance: float, sat_today: bool = False) -> Sessions:
    """Sessions from now to the test, as far apart as the habit makes them on the average."""
    gap = 1.0 / max(chance, 1e-3)
    ahead = test_at - LATEST - now
    first = gap if sat_today else 0.0
    count = int((ahead - first) / gap) + 1 if ahead >= first else 0
    between = max(1.0, count / MOST_SESSIONS)
    kept = round(count / between)
    return Sessions(tuple(now + first + gap * between * n for n in range(kept)), min(between, MOST_TOGETHER))


def typical(weights: Sequence[float]) -> Fit:
    """The mean parameters of the recall filter's learner nodes under these weights."""
    mean = [sum(w * value for w, value in zip(weights, column, strict=True)) for column in zip(*_NODES, strict=True)]
    return Fit(*mean)


class Rehearsal:
    """Sessions to come of one candidate on the essential points of a sheet; any number of courses can be tried.

    Args:
        learner: What he remembers.
        items: The points that may be asked.
        seen: Those of them that were ever asked.
        now: The present, days.
        test_at: The test, days.
        ahead: The sessions.
        fit: How he learns, where the nodes of `learner` do not say it; the prior's mean if None.
    """

    def __init__(
        self,
        learner: Readable,
        items: Sequence[str],
        seen: Collection[str],
        now: float,
        test_at: float,
        ahead: Sessions,
        fit: Fit | None = None,
    ) -> None:
        self.learner, self.items, self.now, self.test_at, self.ahead = learner, tuple(items), now, test_at, ahead
        self.fresh = frozenset(items) - frozenset(seen)
        weights = learner.weights()
        at_test, at_now = (learner.recall_by_node(self.items, at, now) for at in (test_at, now))
        self.kinds = _kinds(weights, at_test, fit)
        self.weights = [kind.weight / len(DOUBTS) for kind in self.kinds for _ in DOUBTS]
        self.at_test, self.at_now = self._merged(at_test), self._merged(at_now)
        mean = [kind.fit for kind in self.kinds]
        shares = [kind.weight for kind in self.kinds]
        self.fit = Fit(*(sum(w * v for w, v in zip(shares, c, strict=True)) for c in zip(*mean, strict=True)))
        self._fades: dict[Fit, list[list[float]]] = {}

    def course(self, carried: Collection[str], questions: float) -> Asked:
        """What would be asked in the sessions to come if `carried` is carried, `questions` in each of them."""
        fit, times = self.fit, self.ahead.times
        to_test = [fade(self.test_at - at, fit.d, fit.tau0) for at in times]
        between = self._between(fit)
        capacity = round(max(1.0, questions - questions // SHARE) * self.ahead.each)
        items = [item for item in self.items if item in carried]
        points = [self._point(item) for item in items]
        asked: list[list[int]] = [[] for _ in items]
        left: list[list[float]] = [[] for _ in items]
        added = [0.0] * len(items)
        recalls = [point.recall(0.0) for point in points]
        turns = max(1, round(self.ahead.each))
        for number in range(len(times)):
            room = capacity
            order = sorted(range(len(items)), key=lambda n: (recalls[n], n))
            new = {n for n in order if not asked[n] and points[n].fresh}
            share = (times[number] - self.now) / max(self.test_at - self.now, 1e-9)
            for turn in range(max(turns, RIGHT_ON_FIRST_DAY)):
                for n in order if turn < turns else [n for n in order if n in new]:
                    if room <= 0:
                        break
                    level = points[n].strength(share) + _dot(left[n], between[number], asked[n])
                    increment = fit.delta * max(0.0, 1.0 - level)
                    left[n].append(increment)
                    asked[n].append(number)
                    added[n] += increment * to_test[number]
                    recalls[n] = points[n].recall(added[n])
                    room -= 1
        return Asked({item: tuple(found) for item, found in zip(items, asked, strict=True)})

    def recalls(self, course: Asked) -> dict[str, list[float]]:
        """Recall of every item on the test date after the course, in each kind of learner and each doubt."""
        return self._after(course, self.test_at, self.at_test)

    def recalls_at(self, course: Asked, at: float) -> dict[str, list[float]]:
        """The same at another date, after the sessions before it."""
        read = self._merged(self.learner.recall_by_node(self.items, at, self.now))
        begun = sum(time < at for time in self.ahead.times)
        gone = Asked({item: tuple(n for n in found if n < begun) for item, found in course.sessions.items()})
        return self._after(gone, at, read)

    def _after(self, course: Asked, at: float, read: Sequence[Sequence[float]]) -> dict[str, list[float]]:
        found = {item: [r for r in recalls for _ in DOUBTS] for item, recalls in zip(self.items, read, strict=True)}
        span = max(self.test_at - self.now, 1e-9)
        shares = [(time - self.now) / span for time in self.ahead.times]
        for place, kind in enumerate(self.kinds):
            fit = kind.fit
            between = self._between(fit)
            to_date = [fade(max(0.0, at - time), fit.d, fit.tau0) for time in self.ahead.times]
            for row, item in enumerate(self.items):
                asked = course.sessions.get(item, ())
                if not asked:
                    continue
                fresh = item in self.fresh
                point = _Point(fresh, fit, self.at_now[row][place], self.at_test[row][place], read[row][place])
                left: list[float] = []
                for number in asked:
                    level = point.strength(shares[number]) + _dot(left, between[number], asked)
                    left.append(fit.delta * max(0.0, 1.0 - level))
                added = _dot(left, to_date, asked)
                column = place * len(DOUBTS)
                found[item][column : column + len(DOUBTS)] = [point.recall(doubt * added) for doubt in DOUBTS]
        return found

    def _point(self, item: str) -> _Point:
        row = self.items.index(item)
        now, test = (
            sum(kind.weight * recall for kind, recall in zip(self.kinds, read[row], strict=True))
            for read in (self.at_now, self.at_test)
        )
        return _Point(item in self.fresh, self.fit, now, test, test)

    def _between(self, fit: Fit) -> list[list[float]]:
        if fit not in self._fades:
            times = self.ahead.times
            self._fades[fit] = [
                [fade(at - past, fit.d, fit.tau0) for past in times[: n + 1]] for n, at in enumerate(times)
            ]
        return self._fades[fit]

    def _merged(self, by_node: Sequence[Sequence[float]]) -> list[list[float]]:
        weights = self.learner.weights()
        return [
            [sum(weights[n] * recalls[n] for n in kind.nodes) / kind.weight for kind in self.kinds]
            for recalls in by_node
        ]


class _Point:
    """One point in one kind of learner, without further practice, and what practice would make of it.

    Its strength is what the predicted recall says at this learner's threshold. A point never asked is either known,
    as likely as it would be recalled now, or has no strength at all.
    """

    __slots__ = ("_known", "_logit", "_now", "_test", "_theta", "_width", "fresh")

    def __init__(self, fresh: bool, fit: Fit, now: float, test: float, read: float) -> None:
        self.fresh = fresh
        # A logistic averaged over a normal spread of difficulties is close to a wider logistic.
        spread = grid.OFFSET_SPREAD if fresh else 0.5 * grid.OFFSET_SPREAD
        self._width = fit.sigma * sqrt(1.0 + pi / 8.0 * (spread / fit.sigma) ** 2)
        self._theta = fit.theta
        self._known = min(1.0, max(now, read)) if fresh else 1.0
        self._logit = _logit(read / self._known if self._known > 0.0 else 0.0)
        self._now, self._test = (
            0.0 if fresh else max(0.0, fit.theta + self._width * _logit(recall)) for recall in (now, test)
        )

    def strength(self, share: float) -> float:
        """Strength without further practice at a share of the way from now to the test."""
        return self._now + (self._test - self._now) * float(share**0.3)

    def recall(self, added: float) -> float:
        """Recall on the date that was read once practice has added this much strength on that date."""
        known = self._known / (1.0 + exp(-self._logit - added / self._width))
        if self._known == 1.0:
            return known
        return known + (1.0 - self._known) / (1.0 + exp((self._theta - added) / self._width))


_NODES = [
    (delta, d, grid.TAU0, theta, sigma)
    for d in grid.EXPONENTS
    for delta in grid.INCREMENTS
    for sigma in grid.WIDTHS
    for theta in grid.THRESHOLDS
]


def _kinds(weights: Sequence[float], by_node: Sequence[Sequence[float]], fit: Fit | None) -> list[Kind]:
    """At most `KINDS` kinds of about equal weight, from the nodes in the order of what they recall."""
    own = len(weights) == grid.NODES and fit is None
    usual = fit or typical([exp(log_prior) for log_prior in grid.LOG_PRIOR])
    order = sorted(
        (n for n, weight in enumerate(weights) if weight > _SUREST), key=lambda n: sum(row[n] for row in by_node)
    )
    whole = sum(weights[n] for n in order)
    bins: dict[int, list[int]] = {}
    gone = 0.0
    for n in order:
        bins.setdefault(min(KINDS - 1, int(KINDS * (gone + 0.5 * weights[n]) / whole)), []).append(n)
        gone += weights[n]
    found = []
    for nodes in bins.values():
        weight = sum(weights[n] for n in nodes)
        means = [sum(weights[n] * _NODES[n][k] for n in nodes) / weight for k in range(5)] if own else list(usual)
        found.append(Kind(weight, Fit(*means), tuple(nodes)))
    return found


def _logit(recall: float) -> float:
    bounded = min(1.0 - _SUREST, max(_SUREST, recall))
    return log(bounded / (1.0 - bounded))


def _dot(left: Sequence[float], fades: Sequence[float], sessions: Sequence[int]) -> float:
    """Strength that traces laid down in those sessions have now."""
    total = 0.0
    for increment, session in zip(left, sessions):  # noqa: B905  # the one being laid down has no trace yet
        total += increment * fades[session]
    return total
