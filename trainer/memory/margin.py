"""What no answer can tell of a reading: an error shared by all points, which grows with the days ahead.

Every model is wrong in some way, and wrong about all points alike: the product over the points of a sheet would hide
it. So each node of a model is read with an error in the logit of recall, of the same sign and size for all points.
The test is further away than any pause so far, so the error grows with the days ahead.

Its size is set by hand on synthetic learners; no person has been measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from functools import cache
from itertools import accumulate
from math import erf, exp, hypot, sqrt

from trainer.memory.blend import Model
from trainer.memory.recall import Standing

ERROR, ERROR_A_DAY = 0.2, 0.01
"""Standard deviation in the logit of recall: today, and added for each day ahead."""
DRAWS = 128
"""Nodes of a reading: a power of two, so that the errors are spread without a bias."""

_SUREST = 1e-4


class Margin:
    """A model read with its error.

    The nodes are spread evenly over those of the model and the errors (Hammersley points, so that the same answers
    always give the same reading).

    Args:
        model: The model.
    """

    def __init__(self, model: Model) -> None:
        self.model = model

    def weights(self) -> list[float]:
        """Weight of each of the `DRAWS` nodes, all alike."""
        return [1.0 / DRAWS] * DRAWS

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item at the date `at`: the model's nodes, each under its share of errors."""
        sd = hypot(ERROR, ERROR_A_DAY * max(0.0, at - now))
        factors = [exp(sd * z) for z in _normal_points()]
        drawn = list(zip(_spread(self.model.weights()), factors, strict=True))
        read: list[Sequence[float]] = []
        for recalls in self.model.recall_by_node(items, at, now):
            within = [min(max(recall, _SUREST), 1.0 - _SUREST) for recall in recalls]
            odds = [recall / (1.0 - recall) for recall in within]
            moved = [odds[node] * factor for node, factor in drawn]
            read.append([one / (1.0 + one) for one in moved])
        return read

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item, averaged over nodes."""
        return [sum(nodes) / DRAWS for nodes in self.recall_by_node(items, at, now)]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands."""
        recalls = self.recall(items, at, now)
        found = self.model.standings(items, at, now)
        return [standing._replace(recall=recall) for standing, recall in zip(found, recalls, strict=True)]


def _spread(weights: Sequence[float]) -> list[int]:
    """The model's node at each of the `DRAWS` even steps through the heap of its weights."""
    nodes: list[int] = []
    whole = sum(weights)
    for node, reached in enumerate(accumulate(weights)):
        while len(nodes) < DRAWS and (len(nodes) + 0.5) / DRAWS * whole <= reached:
            nodes.append(node)
    return nodes + [len(weights) - 1] * (DRAWS - len(nodes))


@cache
def _normal_points() -> tuple[float, ...]:
    """Normal quantiles of the radical inverses in base 2: they go with the even steps of `_spread`."""
    return tuple(_normal_quantile(_radical_inverse(number) + 0.5 / DRAWS) for number in range(DRAWS))


def _radical_inverse(number: int) -> float:
    """The binary digits of a number mirrored at the point (van der Corput)."""
    inverse, step = 0.0, 0.5
    while number:
        number, digit = divmod(number, 2)
        inverse += digit * step
        step /= 2.0
    return inverse


def _normal_quantile(share: float) -> float:
    low, high = -8.0, 8.0
    for _ in range(50):
        middle = (low + high) / 2.0
        if 0.5 * (1.0 + erf(middle / sqrt(2.0))) < share:
            low = middle
        else:
            high = middle
    return (low + high) / 2.0
