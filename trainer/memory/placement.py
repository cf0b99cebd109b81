"""What to ask somebody of whom nothing is known: as few questions as tell the most.

An answer tells of two things: what kind of learner he is (the nodes of the memory model), and how much of the
movements and families that the point belongs to he knew before. What it is expected to tell is the mutual information
of the answer and what is sought, in nats. Of the groups each is taken alone, its share of known points
Beta-distributed; a model of memory that learns of groups itself is not needed.

In trials on synthetic pupils it was no clear gain over beginning at the weakest points: it is kept small.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import log
from typing import NamedTuple, Protocol

from trainer.memory.grid import INATTENTION, KNOWN_BEFORE

MOST = 12
"""Questions after which a placement ends whatever is left to learn."""
LITTLE = 0.02
"""Information of an answer, nats, below which it is not worth a question."""
SEEN_BEFORE = 2.0
"""Points of a group that the expectation `KNOWN_BEFORE` weighs (common practice, no source)."""


class Readable(Protocol):
    """A memory model that can be read node by node."""

    def weights(self) -> Sequence[float]:
        """Weight of each node, summing to 1."""

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> Sequence[Sequence[float]]:
        """Recall of each item at a date in each node."""


class Askable(NamedTuple):
    """A point that may be asked: the groups it belongs to, and the choices of its question (0: typed)."""

    id: str
    groups: tuple[str, ...]
    choices: int


class Placement(NamedTuple):
    """The point that tells most (none when the placement is over), and the information expected of it, nats."""

    next: str | None
    gain: float


def place(learner: Readable, askables: Sequence[Askable], answered: Mapping[str, bool], at: float) -> Placement:
    """The next point of a placement.

    Args:
        learner: The memory model after the answers so far.
        askables: The points that may be asked, in an order that decides among equals.
        answered: Points of the placement asked so far, and whether each was right.
        at: The present, days.
    """
    left = [askable for askable in askables if askable.id not in answered]
    if len(answered) >= MOST or not left:
        return Placement(None, 0.0)
    weights = learner.weights()
    shares = _shares(askables, answered)
    recalls = learner.recall_by_node([askable.id for askable in left], at, at)
    gains = [
        _of_nodes(weights, by_node, one.choices) + sum(_of_share(*shares[group], one.choices) for group in one.groups)
        for one, by_node in zip(left, recalls, strict=True)
    ]
    most = max(gains)
    if most < LITTLE:
        return Placement(None, most)
    return Placement(left[gains.index(most)].id, most)


def _shares(askables: Sequence[Askable], answered: Mapping[str, bool]) -> dict[str, tuple[float, float]]:
    """Beta parameters of the share known before of each group; a right answer counts as far as it was no guess."""
    found = {
        group: (KNOWN_BEFORE * SEEN_BEFORE, (1.0 - KNOWN_BEFORE) * SEEN_BEFORE)
        for one in askables
        for group in one.groups
    }
    for one in askables:
        if one.id not in answered:
            continue
        for group in one.groups:
            a, b = found[group]
            share = a / (a + b)
            if answered[one.id]:
                known = share * (1.0 - INATTENTION) / _chance(share, one.choices)
            else:
                known = share * INATTENTION / (1.0 - _chance(share, one.choices))
            found[group] = (a + known, b + 1.0 - known)
    return found


def _chance(recall: float, choices: int) -> float:
    """Chance of a right answer."""
    guess = 1.0 / choices if choices else 0.0
    return guess + (1.0 - guess - INATTENTION) * recall


def _of_nodes(weights: Sequence[float], recalls: Sequence[float], choices: int) -> float:
    """Mutual information of the answer and the node."""
    chances = [_chance(recall, choices) for recall in recalls]
    mean = sum(map(float.__mul__, map(float, weights), chances))
    return max(0.0, _entropy(mean) - sum(w * _entropy(chance) for w, chance in zip(weights, chances, strict=True)))


def _of_share(a: float, b: float, choices: int) -> float:
    """Mutual information of the answer and a Beta-distributed share, to second order in the share's spread.

    H(q) - E H(q) is half of the variance of q over q (1 - q).
    """
    share = a / (a + b)
    variance = share * (1.0 - share) / (a + b + 1.0)
    slope = _chance(1.0, choices) - _chance(0.0, choices)
    chance = _chance(share, choices)
    return 0.5 * variance * slope**2 / (chance * (1.0 - chance))


def _entropy(chance: float) -> float:
    return -sum(part * log(part) for part in (chance, 1.0 - chance) if part > 0.0)
