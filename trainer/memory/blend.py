"""The trace model and its rivals, weighed by how well each predicted the candidate's own answers.

Every answer is predicted by all before it is seen, and the logarithm of the chance that each gave to what came is
added up (prequential log loss: Dawid 1984, "Statistical theory: the prequential approach", Journal of the Royal
Statistical Society A 147). Only answers after a pause count: what is answered a minute after it was shown says
little about keeping it. The weights are the exponentials of these sums; the trace model has a head start, and
until there are enough answers its rivals come in little by little, so that a forecast never jumps.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, log
from operator import add, mul
from typing import NamedTuple, Protocol

from trainer.memory.challengers import rivals
from trainer.memory.recall import Evidence, Standing
from trainer.memory.rivals import Rival, State, answer_chance

PAUSE = 0.25
"""Days without a question on a point after which an answer tells of keeping it."""
ENOUGH = 60
"""Answers after a pause from which on the log alone decides."""
HEAD_START = 1.0
"""Logarithm of the odds of the trace model against each rival before any answer."""
MAIN = "traces"

_FLOOR = 1e-6


class Model(Protocol):
    """What is read of a memory model, as `recall.Learner` has it."""

    def weights(self) -> Sequence[float]:
        """Weight of each node, summing to 1."""

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> Sequence[Sequence[float]]:
        """Recall of each item at a date in each node."""

    def recall(self, items: Iterable[str], at: float, now: float) -> Sequence[float]:
        """Recall of each item at a date, averaged over nodes."""

    def chance_right(self, item: str, at: float, choices: int, now: float) -> float:
        """Chance that an answer is right, guessing and inattention included."""

    def standings(self, items: Sequence[str], at: float, now: float) -> Sequence[Standing]:
        """Where each item stands."""


class Share(NamedTuple):
    """A model's name and its weight in the blend."""

    name: str
    weight: float


class Blend:
    """The rivals, and the weights of all models. Answers come in the order of time."""

    def __init__(self) -> None:
        self.rivals: tuple[Rival, ...] = rivals()
        self.counted = 0
        self._scores = [0.0] * (1 + len(self.rivals))
        self._last: dict[str, float] = {}
        self._latest = float("-inf")

    def take(self, evidence: Evidence, main_chance: float) -> None:
        """Weigh the models by an answer, and let the rivals learn from it.

        Args:
            evidence: The answer, none earlier than those taken before.
            main_chance: The chance of a right answer that the main model gave before it learnt of the answer; not
                looked at if the answer is no test.

        Raises:
            ValueError: An answer earlier than one already taken. Nothing is taken then.
        """
        item, at, right, choices = evidence
        if at < self._latest:
            raise ValueError(f"the answer to {item!r} is earlier than one already taken: begin anew with all in order")
        self._latest = at
        if self.tests(evidence):
            chances = [main_chance, *(answer_chance(rival.recall(item, at), choices) for rival in self.rivals)]
            given = [log(max(chance if right else 1.0 - chance, _FLOOR)) for chance in chances]
            self._scores = list(map(add, self._scores, given))
            self.counted += 1
        self._last[item] = at
        for rival in self.rivals:
            rival.take(evidence)

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

    def tests(self, evidence: Evidence) -> bool:
        """Whether an answer comes after a pause, so that its chance counts."""
        return evidence.at - self._last.get(evidence.item, evidence.at) >= PAUSE

    def weights(self) -> list[float]:
        """Weight of the main model and of each rival, summing to 1."""
        logs = [score - HEAD_START * (number > 0) for number, score in enumerate(self._scores)]
        peak = max(logs)
        raw = [exp(one - peak) for one in logs]
        share = min(1.0, self.counted / ENOUGH) / sum(raw)
        rest = [share * one for one in raw[1:]]
        return [1.0 - sum(rest), *rest]

    def shares(self) -> tuple[Share, ...]:
        """Every model with its weight, the heaviest first."""
        names = [MAIN, *(rival.name for rival in self.rivals)]
        return tuple(sorted(map(Share, names, self.weights()), key=lambda share: -share.weight))

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
        return self.counted, self._scores, self._last, self._latest, tuple(rival.state() for rival in self.rivals)

    def restore(self, state: State) -> None:
        """Go on from a state of a blend of the same rivals."""
        self.counted, self._scores, self._last, self._latest, states = state
        for rival, one in zip(self.rivals, states, strict=True):
            rival.restore(one)


class Blended:
    """A main model and its rivals read as one model: the nodes of all, weighed by the blend.

    Args:
        main: The main model. Whoever folds an answer into it calls `take` before.
        blend: The blend.
    """

    def __init__(self, main: Model, blend: Blend) -> None:
        self.main, self.blend = main, blend

    def take(self, evidence: Evidence) -> None:
        """Take in an answer that the main model has not folded yet."""
        item, at, _, choices = evidence
        tests = self.blend.tests(evidence)
        self.blend.take(evidence, self.main.chance_right(item, at, choices, at) if tests else 1.0)

    def weights(self) -> list[float]:
        """Weight of each node: the main model's, then each rival's."""
        main, *others = self.blend.weights()
        weights = [main * weight for weight in self.main.weights()]
        for share, rival in zip(others, self.blend.rivals, strict=True):
            weights += [share * weight for weight in rival.weights()]
        return weights

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item in each node; a model without weight is not read, its nodes are 0."""
        wanted = tuple(items)
        columns = [self.main.recall_by_node(wanted, at, now)]
        for share, rival in zip(self.blend.weights()[1:], self.blend.rivals, strict=True):
            unread = [[0.0] * len(rival.weights())] * len(wanted)
            columns.append(rival.recall_by_node(wanted, at) if share > 0.0 else unread)
        return [[recall for part in parts for recall in part] for parts in zip(*columns, strict=True)]

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item, averaged over all nodes."""
        weights = self.weights()
        return [sum(map(mul, weights, nodes)) for nodes in self.recall_by_node(items, at, now)]

    def chance_right(self, item: str, at: float, choices: int, now: float) -> float:
        """Chance that an answer is right, as the blend has it."""
        main, *others = self.blend.weights()
        chance = main * self.main.chance_right(item, at, choices, now)
        for share, rival in zip(others, self.blend.rivals, strict=True):
            chance += share * answer_chance(rival.recall(item, at), choices)
        return chance

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands, by the blend's recall."""
        recalls = self.recall(items, at, now)
        found = self.main.standings(items, at, now)
        return [standing._replace(recall=recall) for standing, recall in zip(found, recalls, strict=True)]
