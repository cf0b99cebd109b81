"""The trace model and its rivals, weighed by how well each predicted the candidate's own answers.

Every answer is predicted by all before it is seen, and the logarithm of the chance that each gave to what came is
added up (prequential log loss: Dawid 1984, "Statistical theory: the prequential approach", Journal of the Royal
Statistical Society A 147). Only answers after a pause count: what is answered a minute after it was shown says
little about keeping it. The weights are the exponentials of these sums; the trace model has a head start, and
until there are enough answers its rivals come in little by little, so that a forecast never jumps.

How often a candidate slips on what he knows is weighed along with the models, each of which predicts under every
chance of `grid.INATTENTIONS`. On a sheet where all points of a measure must be known it decides much: what is taken
for a slip is not missing on the test. Head start, chances and numbers were set on synthetic learners; no person has
been measured.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from math import exp, log
from operator import mul
from typing import NamedTuple, Protocol

from trainer.memory.challengers import rivals
from trainer.memory.grid import INATTENTIONS
from trainer.memory.recall import Evidence, Standing
from trainer.memory.rivals import Rival, State, answer_chance

PAUSE = 0.25
"""Days without a question after which an answer tells of keeping a point."""
ENOUGH = 60
"""Answers after a pause from which on the log alone decides."""
HEAD_START = 0.5
"""Logarithm of the odds of the trace model against each rival before any answer."""
INATTENTION_WEIGHTS = (0.4, 0.4, 0.2)
"""Weights of `INATTENTIONS` before any answer."""
KEPT = 0.998
"""Share of its weight that an answer keeps with each later one: no model is right for ever."""
MAIN = "traces"
LIGHT = 0.004
"""Weight of a model, or of some of its nodes, below which it is not read: half a node of `margin`."""

_FLOOR = 1e-6


class Model(Protocol):
    """What is read of a memory model, as `recall.Learner` has it."""

    def weights(self) -> Sequence[float]:
        """Weight of each node, summing to 1."""

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> Sequence[Sequence[float]]:
        """Recall of each item at a date in each node."""

    def recall(self, items: Iterable[str], at: float, now: float) -> Sequence[float]:
        """Recall of each item at a date, averaged over nodes."""

    def standings(self, items: Sequence[str], at: float, now: float) -> Sequence[Standing]:
        """Where each item stands."""


class Share(NamedTuple):
    """A model's name and its weight in the blend."""

    name: str
    weight: float


class Blend:
    """The rivals, and the weights of all models. Answers come in the order of time.

    A level is the place of a chance of inattention in `INATTENTIONS`.
    """

    def __init__(self) -> None:
        self.rivals: tuple[Rival, ...] = rivals()
        self.counted = 0
        self._scores = [[0.0] * (1 + len(self.rivals)) for _ in INATTENTIONS]
        self._latest = float("-inf")
        self._weights: list[list[float]] | None = None

    def take(self, evidence: Evidence, main: Sequence[float] | None = None) -> None:
        """Weigh the models by an answer, and let the rivals learn from it.

        Args:
            evidence: The answer, none earlier than those taken before.
            main: Recall of its point by level that the main model gave before it learnt of the answer; none where the
                answer comes without a pause and is no test.

        Raises:
            ValueError: An answer earlier than one already taken. Nothing is taken then.
        """
        item, at, right, choices = evidence
        if at < self._latest:
            raise ValueError(f"the answer to {item!r} is earlier than one already taken: begin anew with all in order")
        self._latest = at
        if main is not None:
            models = [main, *(rival.recall(item, at) for rival in self.rivals)]
            for level, inattention in enumerate(INATTENTIONS):
                chances = [answer_chance(model[level], choices, inattention) for model in models]
                self._scores[level] = [
                    KEPT * score + log(max(chance if right else 1.0 - chance, _FLOOR))
                    for score, chance in zip(self._scores[level], chances, strict=True)
                ]
            self.counted += 1
            self._weights = None
        for rival in self.rivals:
            rival.take(evidence)

    def predict(self, item: str, at: float, main: Sequence[float]) -> float:
        """Recall of an item by all models together, the main model's given by level."""
        models: list[Sequence[float]] = [main, *(rival.recall(item, at) for rival in self.rivals)]
        together = 0.0
        for level, weights in enumerate(self.weights()):
            for weight, model in zip(weights, models, strict=True):
                together += weight * model[level]
        return together

    def refold(self, evidence: Iterable[Evidence]) -> None:
        """Let the rivals learn everything anew, where answers count otherwise than they did.

        The weights stay: they are by what each model predicted when it had to.

        Args:
            evidence: All answers taken so far, in the order of time.
        """
        self.rivals = rivals()
        for one in evidence:
            for rival in self.rivals:
                rival.take(one)

    def weights(self) -> Sequence[Sequence[float]]:
        """Weight by level of the main model and of each rival, all summing to 1; 0 for what is too light to be read."""
        if self._weights is None:
            exact = self._exact()
            kept = [[weight if weight >= LIGHT else 0.0 for weight in level] for level in exact]
            whole = sum(map(sum, kept))
            self._weights = [[weight / whole for weight in level] for level in kept]
        return self._weights

    def _exact(self) -> list[list[float]]:
        logs = [
            [log(prior) + score - HEAD_START * (n > 0) for n, score in enumerate(level)]
            for prior, level in zip(INATTENTION_WEIGHTS, self._scores, strict=True)
        ]
        peak, main_peak = max(map(max, logs)), max(level[0] for level in logs)
        every = [[exp(one - peak) for one in level] for level in logs]
        alone = [exp(level[0] - main_peak) for level in logs]
        share = min(1.0, self.counted / ENOUGH)
        of_all, of_main = share / sum(map(sum, every)), (1.0 - share) / sum(alone)
        return [
            [of_all * first + of_main * main, *(of_all * one for one in rest)]
            for (first, *rest), main in zip(every, alone, strict=True)
        ]

    def inattention(self) -> float:
        """Chance of a wrong answer with knowledge, the levels averaged."""
        return float(sum(map(mul, INATTENTIONS, map(sum, self.weights()))))

    def shares(self) -> tuple[Share, ...]:
        """Every model with its weight, the heaviest first."""
        names = [MAIN, *(rival.name for rival in self.rivals)]
        weights = map(sum, zip(*self.weights(), strict=True))
        return tuple(sorted(map(Share, names, weights), key=lambda share: -share.weight))

    def said(self) -> str:
        """What the log decided, in a sentence."""
        if self.counted < ENOUGH:
            return (
                f"The model of traces leads until {ENOUGH} answers have come after a pause; so far {self.counted} have."
            )
        first, *others = [share for share in self.shares() if share.weight >= 0.05]
        rest = "".join(f", {share.name} {share.weight:.0%}" for share in others)
        return f"By {self.counted} answers after a pause, {first.name} weighs {first.weight:.0%} in the forecast{rest}."

    def state(self) -> State:
        """All that was learnt, as plain values that `marshal` can keep."""
        return self.counted, self._scores, self._latest, tuple(rival.state() for rival in self.rivals)

    def restore(self, state: State) -> None:
        """Go on from a state of a blend of the same rivals."""
        self.counted, self._scores, self._latest, states = state
        self._weights = None
        for rival, one in zip(self.rivals, states, strict=True):
            rival.restore(one)


class Blended:
    """A main model and its rivals read as one model: the nodes of all that weigh anything, weighed by the blend.

    Args:
        mains: The main model by level.
        blend: The blend.
    """

    def __init__(self, mains: Sequence[Model], blend: Blend) -> None:
        self.mains, self.blend = tuple(mains), blend

    def weights(self) -> list[float]:
        """Weight of each node: level by level the main model's, then each rival's."""
        return [part.weight * weight for part in self._parts() for weight in part.nodes]

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item in each node."""
        wanted = tuple(items)
        columns = [part.read(wanted, at, now) for part in self._parts()]
        return [[recall for part in parts for recall in part] for parts in zip(*columns, strict=True)]

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item, averaged over all nodes."""
        weights = self.weights()
        return [sum(map(mul, weights, nodes)) for nodes in self.recall_by_node(items, at, now)]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands, by the blend's recall."""
        recalls = self.recall(items, at, now)
        found = self.mains[0].standings(items, at, now)
        return [standing._replace(recall=recall) for standing, recall in zip(found, recalls, strict=True)]

    def _parts(self) -> Iterator[_Part]:
        for level, (main, *others) in enumerate(self.blend.weights()):
            if main > 0.0:
                model = self.mains[level]
                yield _Part(main, model.weights(), model.recall_by_node)
            for rival, weight in zip(self.blend.rivals, others, strict=True):
                if weight > 0.0:
                    yield _Part(weight, rival.weights(level), _reading(rival, level))


class _Part(NamedTuple):
    """One model under one chance of inattention: its weight, those of its nodes, and how it is read."""

    weight: float
    nodes: Sequence[float]
    read: Callable[[Sequence[str], float, float], Sequence[Sequence[float]]]


def _reading(rival: Rival, level: int) -> Callable[[Sequence[str], float, float], Sequence[Sequence[float]]]:
    return lambda items, at, _: rival.recall_by_node(items, at, level)
