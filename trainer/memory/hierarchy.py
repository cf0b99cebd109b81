"""A learner whose points borrow from their movement and their family what they have not been asked themselves.

The filter of `recall` stays as it is. On top of it, how likely a point was known before the first question is
learnt from the other points of its movement and family (`groups`), and the two halves of its states, known before
and not, are weighed anew by that. Whatever is read follows: the learner's nodes, points asked often, asked
little and never asked.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import exp, log
from operator import mul
from typing import NamedTuple

from trainer.memory.grid import KNOWN_BEFORE, NODES, OLD_TRACE_DAYS
from trainer.memory.groups import Cell, Effects, effects, known_before, odds_of
from trainer.memory.recall import NEGLIGIBLE, Evidence, Learner, Standing, worth_reading
from trainer.memory.states import Memory

_NEVER = -700.0
"""Stands for the logarithm of a weight that has become 0."""
_CHUNK = 16
"""Factors multiplied before a logarithm is taken: none is below 1e-4, so the product is far from underflow."""


class _State(NamedTuple):
    """What a hierarchy makes of the learner as he is.

    Attributes:
        of: The learner's own node weights; another tuple after every fold.
        weights: The nodes' weights with the groups learnt.
        halves: Half blocks worth reading under these.
        effects: The groups' effects, none before the first answer.
        known: For each point asked, how likely it was known before by all but its own answers.
    """

    of: Sequence[float]
    weights: Sequence[float]
    halves: frozenset[int]
    effects: Effects | None
    known: Mapping[str, float]


class Hierarchy:
    """A learner read with what his points have in common; it follows the learner as he folds answers.

    Args:
        learner: The learner.
        groups: Movement and family of each point. A point that is not among them stands alone.
        negligible: Weight of nodes that a reading may leave out, all of them together. Left out, they weigh nothing.
    """

    def __init__(self, learner: Learner, groups: Mapping[str, Cell], negligible: float = NEGLIGIBLE) -> None:
        self.learner = learner
        self.negligible = negligible
        self.groups = dict(groups)
        self._fresh = Memory()
        self._kept: _State | None = None

    def fold(self, evidence: Iterable[Evidence]) -> None:
        """Take in answers; see `Learner.fold`."""
        self.learner.fold(evidence)

    def weights(self) -> Sequence[float]:
        """Weight of each of the 90 learner nodes, summing to 1."""
        return self._state().weights

    def known_before(self, items: Iterable[str]) -> list[float]:
        """How likely each item was known before the first question, by all that is told but its own answers."""
        state = self._state()
        return [self._known(state, item) for item in items]

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item at the date `at`, in each of the 90 learner nodes; as `Learner.recall_by_node`."""
        state = self._state()
        first = self.learner.first_at
        old_at = (now if first is None else first) - OLD_TRACE_DAYS
        points = self.learner.points()
        shared: dict[float, Sequence[float]] = {}
        read: list[Sequence[float]] = []
        for item in items:
            known = self._known(state, item)
            memory = points.get(item)
            if memory is None:
                if known not in shared:
                    shared[known] = _mixed(self._fresh, known, at, old_at, state.halves)
                read.append(shared[known])
            else:
                read.append(_mixed(memory, known, at, old_at, state.halves))
        return read

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item at the date `at`, averaged over learner nodes."""
        weights = self.weights()
        return [sum(map(mul, weights, nodes)) for nodes in self.recall_by_node(items, at, now)]

    def chance_right(self, item: str, at: float, choices: int, now: float) -> float:
        """Chance that an answer to `item` at `at` is right, guessing and inattention included."""
        guess = 1.0 / choices if choices else 0.0
        return guess + (1.0 - guess - self.learner.inattention) * self.recall((item,), at, now)[0]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands, by its recall predicted for the date `at`."""
        read = self.recall(items, at, now)
        plain = self.learner.answered(items)
        return [Standing(item, recall, answers) for item, recall, answers in zip(items, read, plain, strict=True)]

    def _known(self, state: _State, item: str) -> float:
        known = state.known.get(item)
        if known is None:
            cell = self.groups.get(item)
            if cell is None or state.effects is None:
                return KNOWN_BEFORE
            known = known_before(state.effects.on(cell))
        return known

    def _state(self) -> _State:
        base = self.learner.weights()
        if self._kept is None or self._kept.of is not base:
            self._kept = self._learnt(base)
        return self._kept

    def _learnt(self, base: Sequence[float]) -> _State:
        points = self.learner.points()
        # In the order of the mapping and not of the answers, so that no digit hangs on the order of folding.
        asked = [(item, cell, points[item]) for item, cell in self.groups.items() if item in points]
        if not asked:
            return _State(base, *self._read(base), None, {})
        odds = [odds_of(sum(map(mul, base, memory.known_shares()))) for _, _, memory in asked]
        told = effects([(cell, ratio) for (_, cell, _), ratio in zip(asked, odds, strict=True)])
        spreads = {cell: told.on(cell) for cell in dict.fromkeys(cell for _, cell, _ in asked)}
        known = {item: known_before(spreads[cell], ratio) for (item, cell, _), ratio in zip(asked, odds, strict=True)}
        weights = _weighed(base, [(memory.known_shares(), known[item]) for item, _, memory in asked])
        return _State(base, *self._read(weights), told, known)

    def _read(self, weights: Sequence[float]) -> tuple[Sequence[float], frozenset[int]]:
        """Weights of the nodes that are read, summing to 1, and their half blocks."""
        halves = worth_reading(weights, self.negligible)
        kept = [weight if node // 3 in halves else 0.0 for node, weight in enumerate(weights)]
        whole = sum(kept)
        if 1.0 - whole <= NEGLIGIBLE:
            return weights, halves
        return [weight / whole for weight in kept], halves


def _shares(known: float) -> tuple[float, float]:
    """Factors of the states not known before and known, when `known` stands in the place of `KNOWN_BEFORE`."""
    return (1.0 - known) / (1.0 - KNOWN_BEFORE), known / KNOWN_BEFORE


def _mixed(memory: Memory, known: float, at: float, old_at: float, halves: frozenset[int]) -> list[float]:
    """Recall of one point by node, its states weighed anew."""
    low, high = _shares(known)
    unknown_sums, known_sums = memory.split()
    unknown_recalled, known_recalled = memory.recalled(at, old_at, halves)
    nodes = [0.0] * NODES
    for half in halves:
        for node in range(3 * half, 3 * half + 3):
            total = low * unknown_sums[node] + high * known_sums[node]
            if total > 0.0:
                nodes[node] = (low * unknown_recalled[node] + high * known_recalled[node]) / total
    return nodes


def _weighed(base: Sequence[float], points: Sequence[tuple[Sequence[float], float]]) -> tuple[float, ...]:
    """Node weights, each times the likelihood of all answers with the points weighed anew over that without."""
    logs = [log(weight) if weight > 0.0 else _NEVER for weight in base]
    for start in range(0, len(points), _CHUNK):
        factors = [1.0] * NODES
        for shares, known in points[start : start + _CHUNK]:
            low, high = _shares(known)
            rise = high - low
            factors = [factor * (low + rise * share) for factor, share in zip(factors, shares)]  # noqa: B905
        logs = [total + log(factor) for total, factor in zip(logs, factors, strict=True)]
    peak = max(logs)
    raw = [exp(total - peak) for total in logs]
    whole = sum(raw)
    return tuple(weight / whole for weight in raw)
