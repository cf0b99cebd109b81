"""How long answers took, and whether that says anything about the next ones.

For each kind of question the logarithm of the time has a running mean and spread, with a prior worth a few answers.
A point whose latest right answer was slow for its kind may be known less well than one answered at once. By how much
is learnt from the candidate's own answers: the logit of recall at the next answer falls by `w` for each standard
deviation, `w` being on a small grid that holds 0.

Times are used only on evidence. Every answer is predicted with them and without, before it is seen; as long as the
likelihood with them is less than `ENOUGH` times that without, `shift` is 0. If times say nothing, so high a ratio is
ever reached in at most 1 of `ENOUGH` candidates: Ville (1939), Étude critique de la notion de collectif.

Prior mean, spread and grid are set by hand, no source; no person has been measured.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import exp, log, sqrt
from operator import mul
from typing import Any, NamedTuple

from trainer.memory.blend import Model
from trainer.memory.recall import Standing
from trainer.memory.rivals import answer_chance

PRIOR_MEAN = log(6.0)
"""Logarithm of the seconds that an answer is expected to take before any was timed."""
PRIOR_SPREAD = 0.6
PRIOR_ANSWERS = 8.0
BRIEFEST = 0.2
"""Seconds; what is shorter was not read."""
LONGEST = 600.0
"""Seconds; who takes longer was away."""
FARTHEST = 2.5
"""Standard deviations beyond which slower or faster says no more."""

GRID = (0.0, 0.1, 0.2, 0.4, 0.8)
PRIOR = (0.6, 0.1, 0.1, 0.1, 0.1)
ENOUGH = 20.0
CLIP = 1e-6


class Answer(NamedTuple):
    """An answer with what was foretold of it.

    Attributes:
        item: Id of the point.
        kind: Kind of the question.
        seconds: What it took; none where that is not known.
        right: Whether it was right.
        recall: Recall foretold before it was seen and without times; none where nothing was: it is no test then.
        choices: How many choices a guess has; 0 for a typed answer.
    """

    item: str
    kind: str
    seconds: float | None
    right: bool
    recall: float | None
    choices: int = 0


class _Running(NamedTuple):
    """Number, mean and sum of squared distances from the mean (Welford 1962, Technometrics 4)."""

    number: float = PRIOR_ANSWERS
    mean: float = PRIOR_MEAN
    squares: float = PRIOR_ANSWERS * PRIOR_SPREAD**2

    def with_one(self, value: float) -> _Running:
        number = self.number + 1.0
        mean = self.mean + (value - self.mean) / number
        return _Running(number, mean, self.squares + (value - self.mean) * (value - mean))

    def distance(self, value: float) -> float:
        """How many standard deviations the value lies above the mean, within `FARTHEST`."""
        distance = (value - self.mean) / sqrt(self.squares / self.number)
        return max(-FARTHEST, min(FARTHEST, distance))


class AnswerTimes:
    """Times of one candidate's answers, taken in the order in which they were given."""

    def __init__(self, answers: Sequence[Answer] = ()) -> None:
        self._kinds: dict[str, _Running] = {}
        self._slow: dict[str, float] = {}
        self._weights: Sequence[float] = PRIOR
        self._gain = 0.0
        for answer in answers:
            self.take(answer)

    @property
    def gain(self) -> float:
        """Logarithm of the likelihood of all answers with times over that without: total log loss saved, nats."""
        return self._gain

    @property
    def used(self) -> bool:
        """Whether times have shown that they tell something."""
        return self._gain >= log(ENOUGH)

    @property
    def weight(self) -> float:
        """What the logit falls by for one standard deviation, averaged over the grid."""
        return sum([weight * w for weight, w in zip(self._weights, GRID, strict=True)])

    def take(self, answer: Answer) -> None:
        """Take in the next answer."""
        self._judge(answer)
        if answer.right and answer.seconds is not None:
            # Wrong answers are slow for reasons of their own.
            value = log(max(BRIEFEST, min(LONGEST, answer.seconds)))
            usual = self._kinds.get(answer.kind, _Running())
            self._slow[answer.item] = usual.distance(value)
            self._kinds[answer.kind] = usual.with_one(value)
        else:
            self._slow.pop(answer.item, None)

    def slowness(self, item: str) -> float:
        """How slow the latest answer to a point was for its kind, in standard deviations; 0 if wrong or not timed."""
        return self._slow.get(item, 0.0)

    def shift(self, item: str) -> float:
        """What to add to the logit of the point's recall; 0 until times have shown that they tell something."""
        return -self.weight * self.slowness(item) if self.used else 0.0

    def shifted(self, item: str, recall: float) -> float:
        """A recall with the point's `shift` added to its logit."""
        shift = self.shift(item)
        return _moved(recall, shift) if shift else recall

    def said(self) -> str:
        """Whether times are used, in a sentence."""
        if self.used:
            return f"Answer times are used: they told of later answers, and saved {self.gain:.1f} nats of log loss."
        return "Answer times are not used: they have not shown that they tell anything of later answers."

    def state(self) -> tuple[Any, ...]:
        """All that was learnt, as plain values that `marshal` can keep."""
        kinds = {kind: tuple(running) for kind, running in self._kinds.items()}
        return kinds, dict(self._slow), list(self._weights), self._gain

    def restore(self, state: tuple[Any, ...]) -> None:
        """Go on from a state."""
        kinds, slow, self._weights, self._gain = state
        self._kinds = {kind: _Running(*running) for kind, running in kinds.items()}
        self._slow = dict(slow)

    def _judge(self, answer: Answer) -> None:
        slow = self.slowness(answer.item)
        if not slow or answer.recall is None:
            return
        said = [answer_chance(_moved(answer.recall, -w * slow), answer.choices) for w in GRID]
        came = [chance if answer.right else 1.0 - chance for chance in said]
        raw = [weight * chance for weight, chance in zip(self._weights, came, strict=True)]
        whole = sum(raw)
        self._gain += log(whole / came[0])
        self._weights = [weight / whole for weight in raw]


class Timed:
    """A model read with what the times of answers tell.

    Args:
        model: The model, which knows nothing of times.
        times: The times.
    """

    def __init__(self, model: Model, times: AnswerTimes) -> None:
        self.model, self.times = model, times

    def weights(self) -> Sequence[float]:
        """Weight of each node of the model."""
        return self.model.weights()

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        """Recall of each item in each node of the model, its logit moved by the item's `shift`."""
        wanted = tuple(items)
        read: list[Sequence[float]] = []
        for item, nodes in zip(wanted, self.model.recall_by_node(wanted, at, now), strict=True):
            shift = self.times.shift(item)
            read.append([_moved(recall, shift) for recall in nodes] if shift else nodes)
        return read

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        """Recall of each item, averaged over nodes."""
        weights = self.weights()
        return [sum(map(mul, weights, nodes)) for nodes in self.recall_by_node(items, at, now)]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        """Where each item stands, by its recall as moved."""
        recalls = self.recall(items, at, now)
        found = self.model.standings(items, at, now)
        return [standing._replace(recall=recall) for standing, recall in zip(found, recalls, strict=True)]


def _moved(recall: float, shift: float) -> float:
    clipped = min(1.0 - CLIP, max(CLIP, recall))
    odds = clipped / (1.0 - clipped) * exp(shift)
    return odds / (1.0 + odds)
