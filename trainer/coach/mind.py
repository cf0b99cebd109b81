"""What a candidate's answers taught of him: the recall filter, what points have in common, rivals, and attention.

Answers come in the order of time. Each that comes after a pause is predicted before it is seen, by all that was
answered before.

Where guesses turn out better than the number of choices says, right answers count for less: from the next sitting on,
when the filter and its rivals learn all answers anew. What was predicted until then stands as it was predicted.
"""

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from trainer.coach.history import Manner
from trainer.memory.blend import LIGHT, PAUSE, Blend, Blended, Model
from trainer.memory.grid import INATTENTIONS
from trainer.memory.groups import Cell
from trainer.memory.guessing import Guessing
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.margin import Margin
from trainer.memory.recall import Evidence, Learner
from trainer.memory.rivals import answer_chance
from trainer.memory.times import Answer, AnswerTimes, Timed


class Prediction(NamedTuple):
    """A prediction that was put to the test after a pause: chance of a right answer, and what came."""

    chance: float
    right: bool


class Mind:
    """All that is learnt of one candidate on one deck.

    Args:
        groups: movement and family of each point of the deck.
    """

    def __init__(self, groups: Mapping[str, Cell]) -> None:
        self._groups = dict(groups)
        self.blend = Blend()
        self._stand_on([Learner(inattention=one) for one in INATTENTIONS])
        self.guessing = Guessing()
        self.times = AnswerTimes()
        self._counted_by = self.guessing.believed
        self._evidence: list[Evidence] = []
        self._manners: list[Manner] = []
        self.predictions: list[Prediction] = []
        self._latest = float("-inf")
        self._known: set[str] = set()
        self._untested: set[str] = set()

    def _stand_on(self, learners: Sequence[Learner]) -> None:
        self.learners = tuple(learners)
        self._hierarchies = [Hierarchy(learner, self._groups, LIGHT) for learner in learners]

    @property
    def learner(self) -> Learner:
        """The recall filter alone, under the usual chance of inattention."""
        return self.learners[0]

    @property
    def reader(self) -> Model:
        """The model to read recall from: all models together, borrowing, with the error that no answer can tell.

        Answer times move it where they have shown that they tell something.
        """
        found = Margin(Blended(self._hierarchies, self.blend))
        return Timed(found, self.times) if self.times.used else found

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
        times = [self._latest, *(one.at for one in evidence)]
        if times != sorted(times):
            raise ValueError("an answer is earlier than one already taken: fold all answers anew, in order")
        for offered, manner in zip(evidence, manners or [Manner()] * len(evidence), strict=True):
            if offered.at - self._latest >= PAUSE:
                self._count_anew()
                self._untested = set(self._known)
            one = self._counted(offered, manner)
            self._judge(one, offered.choices, manner)
            for learner in self.learners:
                learner.fold((one,))
            self._latest = one.at
            self._evidence.append(offered)
            self._manners.append(manner)

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
        self.blend.refold(counted)
        self._stand_on([Learner(counted, one) for one in INATTENTIONS])

    def prepare(self, now: float) -> None:
        """Do now what the first answer of a sitting that begins now would have to wait for."""
        if now - self._latest >= PAUSE:
            self._count_anew()

    def _judge(self, one: Evidence, offered: int, manner: Manner) -> None:
        """Let all but the filter learn from an answer, and keep what was predicted of it, once a sitting."""
        filtered = recall = None
        if one.item in self._untested:
            self._untested.remove(one.item)
            filtered = [learner.recall((one.item,), one.at, one.at)[0] for learner in self.learners]
            recall = self.blend.predict(one.item, one.at, filtered)
            timed = self.times.shifted(one.item, recall)
            chance = answer_chance(timed, one.choices, self.blend.inattention())
            self.predictions.append(Prediction(chance, one.right))
            self.guessing.take(manner.kind, offered, timed, one.right)
        self.times.take(Answer(one.item, manner.kind, manner.seconds, one.right, recall, one.choices))
        self.blend.take(one, filtered)
        self._known.add(one.item)

    def state(self) -> tuple[Any, ...]:
        """All that was learnt besides the filter, as plain values that `marshal` can keep; not the answers."""
        return (
            self.blend.state(),
            [tuple(one) for one in self.predictions],
            self._latest,
            sorted(self._known),
            sorted(self._untested),
            self.guessing.state(),
            self.times.state(),
            dict(self._counted_by),
        )

    def restore(
        self,
        learners: Sequence[Learner],
        state: tuple[Any, ...],
        evidence: Sequence[Evidence],
        manners: Sequence[Manner],
    ) -> None:
        """Go on from filters and a state that were kept together, and from the answers that they were learnt from.

        Raises:
            ValueError: filters under other chances of inattention.
        """
        if [learner.inattention for learner in learners] != list(INATTENTIONS):
            raise ValueError("the filters were kept under other chances of inattention")
        blend, predictions, self._latest, known, untested, guessing, times, self._counted_by = state
        self.blend.restore(blend)
        self._stand_on(learners)
        self.guessing.restore(guessing)
        self.times.restore(times)
        self._evidence, self._manners = list(evidence), list(manners)
        self.predictions = [Prediction(*one) for one in predictions]
        self._known, self._untested = set(known), set(untested)
