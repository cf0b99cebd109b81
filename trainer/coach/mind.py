"""What a candidate's answers taught of him: the recall filter, what points have in common, rivals, and trust.

Answers come in the order of time, sitting by sitting. Each is predicted before it is seen: with what was known when
its sitting began, for within one sitting nothing can be learnt of how well he keeps things. The filter itself takes
every answer at once.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import floor
from typing import Any, NamedTuple

from trainer.memory.blend import PAUSE, Blend, Blended, Share
from trainer.memory.grid import INATTENTION
from trainer.memory.groups import Cell
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.recall import Evidence, Learner
from trainer.memory.trust import Trust


class Said(NamedTuple):
    """What was predicted of a point when a sitting began: recall by the filter, and by all models together."""

    filter: float
    together: float


class Prediction(NamedTuple):
    """A prediction that was put to the test after a pause: chance of a right answer, and what came."""

    chance: float
    right: bool


def _hour(at: float) -> float:
    """Return the full hour before a time: a sitting is predicted for it, the first answer may come a bit later."""
    return floor(at * 24.0) / 24.0


class Mind:
    """All that is learnt of one candidate on one deck.

    Args:
        groups: movement and family of each point of the deck.
    """

    def __init__(self, groups: Mapping[str, Cell]) -> None:
        self._groups = dict(groups)
        self.learner = Learner()
        self.hierarchy = Hierarchy(self.learner, self._groups)
        self.blend = Blend()
        self._trust = Trust(Blended(self.learner, self.blend))
        self.predictions: list[Prediction] = []
        self._said: dict[str, Said] = {}
        self._latest = float("-inf")
        self._ready: tuple[float, list[str], dict[str, Said]] | None = None
        self._known: set[str] = set()

    @property
    def reader(self) -> Trust:
        """The model to read recall from: all models together, borrowing, corrected by what predictions were worth."""
        found = Trust(Blended(self.hierarchy, self.blend))
        found.restore(self._trust.state())
        return found

    @property
    def shares(self) -> tuple[Share, ...]:
        """The models with their weights, the heaviest first."""
        return self.blend.shares()

    def fold(self, evidence: Sequence[Evidence]) -> None:
        """Take in answers in the order of time, none earlier than those taken before.

        Raises:
            ValueError: an answer that is earlier than one already taken.
        """
        start = 0
        while start < len(evidence):
            stop = start + 1
            while stop < len(evidence) and evidence[stop].at - evidence[stop - 1].at < PAUSE:
                stop += 1
            self._take_together(evidence[start:stop], last=stop == len(evidence))
            start = stop

    def _take_together(self, answers: Sequence[Evidence], last: bool) -> None:
        first = answers[0].at
        if first < self._latest:
            raise ValueError("an answer is earlier than one already taken: fold all answers anew, in order")
        if first - self._latest >= PAUSE:
            # Of a sitting that is over only what came up in it need be predicted.
            self._said = self._predicted(_hour(first), self._known if last else {one.item for one in answers})
        for one in answers:
            self._judge(one)
            self._latest = one.at
        self.learner.fold(answers)

    def prepare(self, now: float) -> None:
        """Predict before the first answer of a sitting that begins now, so that no answer has to wait for it."""
        if now - self._latest >= PAUSE:
            self._predicted(_hour(now), self._known)

    def _predicted(self, at: float, items: Iterable[str]) -> dict[str, Said]:
        """Predict points that were asked before; others are no test."""
        wanted = sorted(self._known.intersection(items))
        if self._ready is not None and self._ready[:2] == (at, wanted):
            return dict(self._ready[2])
        plain = self.learner.recall(wanted, at, at)
        together = Blended(self.learner, self.blend).recall(wanted, at, at)
        said = {item: Said(*pair) for item, *pair in zip(wanted, plain, together, strict=True)}
        self._ready = (at, wanted, said)
        return dict(said)

    def _judge(self, one: Evidence) -> None:
        """Let the rivals and the trust learn from an answer, and keep what was predicted of it."""
        said = self._said.pop(one.item, None)
        guess = 1.0 / one.choices if one.choices else 0.0
        span = 1.0 - guess - INATTENTION
        # Only a prediction from before a pause is read by the two; what stands in its place otherwise is not.
        filtered, together = said or Said(0.5, 0.5)
        if said is not None:
            corrected = self._trust.corrected(one.item, together, one.at)
            self.predictions.append(Prediction(guess + span * corrected, one.right))
        self._trust.take(one, together)
        self.blend.take(one, guess + span * filtered)
        self._known.add(one.item)

    def state(self) -> tuple[Any, ...]:
        """All that was learnt besides the filter, as plain values that `marshal` can keep."""
        return (
            self.blend.state(),
            self._trust.state(),
            [tuple(one) for one in self.predictions],
            {item: tuple(said) for item, said in self._said.items()},
            self._latest,
            sorted(self._known),
        )

    def restore(self, learner: Learner, state: tuple[Any, ...]) -> None:
        """Go on from a filter and a state that were kept together."""
        blend, trust, predictions, said, self._latest, known = state
        self.learner = learner
        self.hierarchy = Hierarchy(learner, self._groups)
        self.blend.restore(blend)
        self._trust = Trust(Blended(learner, self.blend))
        self._trust.restore(trust)
        self.predictions = [Prediction(*one) for one in predictions]
        self._said = {item: Said(*one) for item, one in said.items()}
        self._known = set(known)
