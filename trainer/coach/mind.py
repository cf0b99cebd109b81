"""What a candidate's answers taught of him: the recall filter, what points have in common, rivals, and trust.

Answers come in the order of time, sitting by sitting. Each is predicted before it is seen: with what was known when
its sitting began, for within one sitting nothing can be learnt of how well he keeps things. The filter itself takes
every answer at once.

Where guesses turn out better than the number of choices says, right answers count for less: from the next sitting on,
when the filter and its rivals learn all answers anew. What was predicted until then stands as it was predicted.
"""

from collections.abc import Iterable, Mapping, Sequence
from math import floor
from typing import Any, NamedTuple

from trainer.coach.history import Manner
from trainer.memory.blend import PAUSE, Blend, Blended, Model, Share
from trainer.memory.grid import INATTENTION
from trainer.memory.groups import Cell
from trainer.memory.guessing import Guessing
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.recall import Evidence, Learner
from trainer.memory.times import Answer, AnswerTimes, Timed
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
        self.blend = Blend()
        self._stand_on(Learner())
        self.guessing = Guessing()
        self.times = AnswerTimes()
        self._counted_by = self.guessing.believed
        self._evidence: list[Evidence] = []
        self._manners: list[Manner] = []
        self.predictions: list[Prediction] = []
        self._said: dict[str, Said] = {}
        self._latest = float("-inf")
        self._ready: tuple[float, list[str], dict[str, Said]] | None = None
        self._known: set[str] = set()

    def _stand_on(self, learner: Learner) -> None:
        self.learner = learner
        self.hierarchy = Hierarchy(learner, self._groups)
        self._trust = Trust(Blended(learner, self.blend))

    @property
    def reader(self) -> Model:
        """The model to read recall from: all models together, borrowing, corrected by what predictions were worth.

        Answer times move it where they have shown that they tell something.
        """
        found = Trust(Blended(self.hierarchy, self.blend))
        found.restore(self._trust.state())
        return Timed(found, self.times) if self.times.used else found

    @property
    def shares(self) -> tuple[Share, ...]:
        """The models with their weights, the heaviest first."""
        return self.blend.shares()

    def said(self) -> list[str]:
        """Return what the log decided on models, guesses and answer times, a sentence each."""
        return [self.blend.said(), self.guessing.said(), self.times.said()]

    def fold(self, evidence: Sequence[Evidence], manners: Sequence[Manner] = ()) -> None:
        """Take in answers in the order of time, none earlier than those taken before.

        Args:
            evidence: the answers.
            manners: how each was given; none at all where that is not known.

        Raises:
            ValueError: an answer that is earlier than one already taken.
        """
        given = manners or [Manner()] * len(evidence)
        start = 0
        while start < len(evidence):
            stop = start + 1
            while stop < len(evidence) and evidence[stop].at - evidence[stop - 1].at < PAUSE:
                stop += 1
            self._take_together(evidence[start:stop], given[start:stop], last=stop == len(evidence))
            start = stop

    def _take_together(self, answers: Sequence[Evidence], manners: Sequence[Manner], last: bool) -> None:
        first = answers[0].at
        if first < self._latest:
            raise ValueError("an answer is earlier than one already taken: fold all answers anew, in order")
        if first - self._latest >= PAUSE:
            self._count_anew()
            # Of a sitting that is over only what came up in it need be predicted.
            self._said = self._predicted(_hour(first), self._known if last else {one.item for one in answers})
        counted = list(map(self._counted, answers, manners))
        for one, offered, manner in zip(counted, answers, manners, strict=True):
            self._judge(one, offered.choices, manner)
            self._latest = one.at
        self.learner.fold(counted)
        self._evidence += answers
        self._manners += manners

    def _counted(self, one: Evidence, manner: Manner) -> Evidence:
        """Return an answer with the number of choices that it counts as."""
        choices = self._counted_by.get((manner.kind, one.choices))
        return one if choices is None else one._replace(choices=choices)

    def _count_anew(self) -> None:
        """Fold all answers as they count by now, if that is otherwise than they did.

        Only where a sitting begins, so that what is learnt does not hang on the portions that answers come in.
        """
        if self._counted_by == self.guessing.believed:
            return
        self._counted_by = self.guessing.believed
        counted = list(map(self._counted, self._evidence, self._manners))
        worth = self._trust.state()
        self.blend.refold(counted)
        self._stand_on(Learner(counted))
        self._trust.restore(worth)
        self._ready = None

    def prepare(self, now: float) -> None:
        """Predict before the first answer of a sitting that begins now, so that no answer has to wait for it."""
        if now - self._latest >= PAUSE:
            self._count_anew()
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

    def _judge(self, one: Evidence, offered: int, manner: Manner) -> None:
        """Let all but the filter learn from an answer, and keep what was predicted of it."""
        said = self._said.pop(one.item, None)
        guess = 1.0 / one.choices if one.choices else 0.0
        span = 1.0 - guess - INATTENTION
        # Only a prediction from before a pause is read by the two; what stands in its place otherwise is not.
        filtered, together = said or Said(0.5, 0.5)
        recall = None
        if said is not None:
            recall = self._trust.corrected(one.item, together, one.at)
            timed = self.times.shifted(one.item, recall)
            self.predictions.append(Prediction(guess + span * timed, one.right))
            self.guessing.take(manner.kind, offered, timed, one.right)
        self.times.take(Answer(one.item, manner.kind, manner.seconds, one.right, recall, one.choices))
        self._trust.take(one, together)
        self.blend.take(one, guess + span * filtered)
        self._known.add(one.item)

    def state(self) -> tuple[Any, ...]:
        """All that was learnt besides the filter, as plain values that `marshal` can keep; not the answers."""
        return (
            self.blend.state(),
            self._trust.state(),
            [tuple(one) for one in self.predictions],
            {item: tuple(said) for item, said in self._said.items()},
            self._latest,
            sorted(self._known),
            self.guessing.state(),
            self.times.state(),
            dict(self._counted_by),
        )

    def restore(
        self, learner: Learner, state: tuple[Any, ...], evidence: Sequence[Evidence], manners: Sequence[Manner]
    ) -> None:
        """Go on from a filter and a state that were kept together, and from the answers that they were learnt from."""
        blend, trust, predictions, said, self._latest, known, guessing, times, self._counted_by = state
        self.blend.restore(blend)
        self._stand_on(learner)
        self.guessing.restore(guessing)
        self.times.restore(times)
        self._evidence, self._manners = list(evidence), list(manners)
        self._trust.restore(trust)
        self.predictions = [Prediction(*one) for one in predictions]
        self._said = {item: Said(*one) for item, one in said.items()}
        self._known = set(known)
