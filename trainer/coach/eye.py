"""The grader's eye: performances with one fault or none, what was said of them, and how well each fault is seen."""

import random
import secrets
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.session import LONGEST_ANSWER_MS
from trainer.coach.standing import Standing
from trainer.drill.deck import Deck
from trainer.drill.faults import Comparison, compare
from trainer.drill.movement import Fault, Movement
from trainer.drill.score import Score
from trainer.drill.unrolling import starts
from trainer.quiz.points import FAULTS, Point
from trainer.records.clock import Moment
from trainer.records.corrections import effective
from trainer.records.drafts import answer as answer_event
from trainer.records.drafts import look as look_event
from trainer.records.events import Event
from trainer.rhythm.eye import MISSES, SEES, SEES_GHOSTS, TOO_FEW, UNSURE, Eye, any_fault, eyes
from trainer.rhythm.eye import Look as Seen

SEE = "see the fault"
"""The kind of question that a look is."""
RIGHT_SHARE = 0.5
"""The share of performances that are right; common practice, no source."""
MOST_OFFERED = 8
"""Faults that are offered beside `it was right`, so that each has a key."""
LEANS = 0.5
"""The criterion from which who looks is told that he leans to one answer: common practice, no source."""
EASILY = 0.1
"""What a fault that is known for certain still weighs when the next one is drawn."""


class Performance(NamedTuple):
    """One performance to be looked at.

    `fault` is what is wrong with it, None for nothing; `offered` are the faults to choose from, in the deck's order.
    `pair` sets it beside the right one, None where it is right.
    """

    movement: Movement
    score: Score
    fault: Fault | None
    offered: tuple[Fault, ...]
    pair: Comparison | None
    right: Score

    @property
    def beats(self) -> frozenset[float]:
        """The beats on which it departs from the standard."""
        return frozenset(one.beat for one in self.pair.differences) if self.pair else frozenset()


class Judged(NamedTuple):
    """What was said of a performance: whether that was right, and whether the beat was one where the fault shows."""

    said: Fault | None
    right: bool
    placed: bool


class EyePractice:
    """Looks of one candidate (or grader) on his deck; each is in the record before `record` returns.

    Args:
        candidate: whose record it is.
        standing: his standing on the deck.
        rng: draws movements, faults and starts.
    """

    def __init__(self, candidate: Candidate, standing: Standing, rng: random.Random | None = None) -> None:
        self.candidate, self.standing = candidate, standing
        self.id = secrets.token_hex(8)
        self.rng = rng or random.Random(secrets.randbits(64))
        self._last: str | None = None

    @property
    def deck(self) -> Deck:
        """The deck that is practised."""
        return self.standing.deck

    def draw(self, moment: Moment, movement: Movement | None = None) -> Performance | None:
        """Return the next performance: of a movement, or of one drawn; None if no fault of the deck can be played."""
        chosen = movement or self._drawn()
        if chosen is None or not playable(chosen):
            return None
        self._last = chosen.id
        stance, foot = self.rng.choice(starts(self.deck, chosen))
        faults = playable(chosen)
        fault = None if self.rng.random() < RIGHT_SHARE else self._fault(chosen, faults, moment)
        others = [one for one in faults if one is not fault]
        kept = self.rng.sample(others, min(len(others), MOST_OFFERED - (fault is not None)))
        offered = tuple(one for one in faults if one is fault or one in kept)
        pair = compare(self.deck, chosen, fault or offered[0], stance, foot)
        if fault is None:
            # As long as a flawed one would be, so that its length tells nothing.
            return Performance(chosen, pair.right, None, offered, None, pair.right)
        return Performance(chosen, pair.flawed, fault, offered, pair, pair.right)

    def _drawn(self) -> Movement | None:
        movements = [one for one in self.deck.movements if playable(one)]
        others = [one for one in movements if one.id != self._last] or movements
        return self.rng.choice(others) if others else None

    def _fault(self, movement: Movement, faults: Sequence[Fault], moment: Moment) -> Fault:
        now, test_at = self.standing.now(moment), self.standing.test_at(self.candidate, moment)
        known = {point.place: point.id for point in self.standing.points if _is_fault(point, movement)}
        recalls = self.standing.learner.recall([known[fault.id] for fault in faults], test_at, now)
        return self.rng.choices(list(faults), [1.0 + EASILY - recall for recall in recalls])[0]

    def record(
        self,
        shown: Performance,
        said: Fault | None,
        beat: float | None,
        ms: int,
        moment: Moment,
        speed: float = 1.0,
        level: int = 1,
    ) -> Judged:
        """Mark and record what was said.

        Args:
            shown: the performance.
            said: the fault that was said, None for `it was right`.
            beat: the beat on which it was said to show; None where none was said.
            ms: time from the end of the performance to the answer.
            moment: the present.
            speed: the part of the cadence at which it was played.
            level: 1 where the score stays to be read, 2 where it was seen once.

        Raises:
            LogError: one sentence, if it could not be recorded; nothing was folded then.
        """
        judged = Judged(said, said == shown.fault, beat in shown.beats)
        ms = min(max(0, ms), LONGEST_ANSWER_MS)
        drafts = [
            look_event(
                deck=self.deck.standard,
                movement=shown.movement.id,
                shown=shown.fault.id if shown.fault else "",
                said=said.id if said else "",
                placed=judged.placed,
                speed=max(round(speed * 100), 1),
                level=level,
                ms=ms,
                session=self.id,
            )
        ]
        points = [one for one in self.standing.points if _is_fault(one, shown.movement)]
        marked = [one for one in points if shown.fault is not None and one.place == shown.fault.id]
        choices = len(shown.offered) + 1
        drafts += [
            answer_event(
                point=point.id,
                fact=point.fact,
                right=judged.right,
                choices=choices,
                question=SEE,
                ms=ms,
                session=self.id,
            )
            for point in marked
        ]
        self.candidate.log.append_many(drafts, moment)
        if marked:
            self.standing.take([(point.id, judged.right) for point in marked], choices, moment, SEE, ms)
        return judged


def _is_fault(point: Point, movement: Movement) -> bool:
    return point.family == FAULTS and point.movement == movement.id


def playable(movement: Movement) -> tuple[Fault, ...]:
    """Return the faults of a movement that can be played."""
    return tuple(fault for fault in movement.faults if fault.shows)


def looks(events: Sequence[Event], deck: str) -> Mapping[str, list[Seen]]:
    """Return the looks of a record on a standard, movement by movement, corrections made."""
    found: dict[str, list[Seen]] = {}
    for event in effective(events).events:
        if event.kind == "look" and event.body["deck"] == deck:
            seen = Seen(str(event.body["shown"]) or None, str(event.body["said"]) or None)
            found.setdefault(str(event.body["movement"]), []).append(seen)
    return found


class FaultEye(NamedTuple):
    """How one fault of one movement is seen."""

    movement: Movement
    fault: Fault
    eye: Eye


def fault_eyes(deck: Deck, seen: Mapping[str, Sequence[Seen]]) -> list[FaultEye]:
    """Return the eye for every fault that was shown or said, those with most performances of it first."""
    found = []
    for movement in deck.movements:
        told = eyes(seen.get(movement.id, ()), [fault.id for fault in playable(movement)])
        found += [FaultEye(movement, fault, told[fault.id]) for fault in playable(movement)]
    tried = [one for one in found if one.eye.there or one.eye.false_alarms]
    return sorted(tried, key=lambda one: (-one.eye.there - one.eye.false_alarms, one.movement.name))


def whole_eye(seen: Mapping[str, Sequence[Seen]]) -> Eye:
    """Return the eye for whether anything was wrong at all, over all movements."""
    return any_fault(look for those in seen.values() for look in those)


def eye_words(eye: Eye) -> str:
    """Return in words how well a fault is seen."""
    told = {
        SEES: "you see it where it is, and seldom where it is not",
        MISSES: "you miss it more often than you see it",
        SEES_GHOSTS: "you see it where it is not: look again before you call it",
        UNSURE: "too close to guessing to tell",
    }
    seen = f"seen in {eye.hits} of {eye.there}, called in {eye.false_alarms} of {eye.not_there} without it"
    if eye.verdict == TOO_FEW:
        return f"{seen}; too few to tell yet"
    lean = ""
    if abs(eye.criterion) > LEANS:
        lean = ", in doubt you call it" if eye.criterion < 0 else ", in doubt you let it pass"
    return f"{seen}; {told[eye.verdict]} (d' {eye.sensitivity:.1f}{lean})"
