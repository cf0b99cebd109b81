"""Where a candidate stands on a deck: the fold of his evidence, cached and always rebuildable.

The fold is a pure function of the evidence, so the cache is filed under the evidence itself: whatever changes
it (a correction, a changed fact, a clock put right) is another key, and the fold is simply made again.
"""

import hashlib
import marshal
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.forecast import Forecaster, Outlook
from trainer.coach.history import DAY_MS, History, Practice, history, local_day, practised, test_day
from trainer.drill.deck import Deck
from trainer.memory.readiness import Chance
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import SnapshotError, pack, unpack
from trainer.paths import private_folder, write_private
from trainer.quiz.points import Point, points
from trainer.records.clock import PAUSE, Moment

CURVE_STEPS = 24
_MAGIC = b"standing/1\n"
_UNSAVED = 40
"""Answers that may be folded anew at the next start before the cache is written again."""


class MovementRecall(NamedTuple):
    """Mean recall of a movement's points on the test date; `asked` of its `points` were asked at least once."""

    id: str
    name: str
    recall: float
    asked: int
    points: int


class Standing:
    """A candidate's evidence on one deck, folded, and kept up while he answers.

    Attributes:
        deck: the deck.
        points: its teaching points.
        history: what the record said when this was opened.
        practice: what was practised of each point, kept up.
        learner: the memory model, kept up.
    """

    def __init__(self, deck: Deck, past: History, learner: Learner, opened: Moment) -> None:
        self.deck, self.history, self.learner = deck, past, learner
        self.points: tuple[Point, ...] = points(deck)
        self.practice: dict[str, Practice] = dict(past.practice)
        self.forecaster = Forecaster(deck, self.points, past.trials, past.runs)
        self._opened = opened
        self._read_ms = opened.at_ms
        self._latest = past.now

    def now(self, moment: Moment) -> float:
        """Return the present in days, on the scale of the evidence.

        It goes on with the clock, but never backwards, and a leap longer than any pause in preparation is taken for
        a clock that was changed: time then stands still over it, instead of all knowledge fading at once.
        """
        gone = moment.at_ms - self._read_ms
        self._read_ms = moment.at_ms
        if 0 < gone <= PAUSE:
            self._latest += gone / DAY_MS
        return self._latest

    def take(self, marks: Sequence[tuple[str, bool]], choices: int, moment: Moment) -> None:
        """Fold the marks of one question that was just recorded."""
        at = self.now(moment)
        self.learner.fold([Evidence(point, at, right, choices) for point, right in marks])
        day = local_day(moment.at_ms, moment.offset)
        for point, right in marks:
            self.practice[point] = practised(self.practice.get(point, Practice()), day, right)

    def outlook(self, candidate: Candidate, moment: Moment, curve: bool = False) -> Outlook:
        """Forecast the candidate's test; on the spot if he has no test date."""
        now = self.now(moment)
        test_at = self.test_at(candidate, moment)
        dates = [now + (test_at - now) * step / CURVE_STEPS for step in range(CURVE_STEPS)] if curve else []
        return self.forecaster.outlook(self.learner, now, test_at, dates)

    def chance(self, date: float, moment: Moment) -> Chance | None:
        """Return the chance of a GO at one date, in days on the scale of the evidence, if nothing more is practised."""
        return self.forecaster.chance(self.learner, self.now(moment), date)

    def movements(self, candidate: Candidate, moment: Moment) -> tuple[MovementRecall, ...]:
        """Return every movement in the order of the points, for a deck whose sheet cannot tell."""
        now, test_at = self.now(moment), self.test_at(candidate, moment)
        ids: dict[str, list[str]] = {}
        for point in self.points:
            ids.setdefault(point.movement, []).append(point.id)
        found = []
        for movement in self.deck.movements:
            points = ids.get(movement.id, [])
            recalls = self.learner.recall(points, test_at, now)
            asked = sum(point in self.practice for point in points)
            mean = sum(recalls) / len(recalls) if recalls else 0.0
            found.append(MovementRecall(movement.id, movement.name, mean, asked, len(points)))
        return tuple(found)

    def test_at(self, candidate: Candidate, moment: Moment) -> float:
        """Return the test in days on the scale of the evidence; now if it has no date or has passed."""
        date = candidate.profile.test_date
        now = self.now(moment)
        # Counted from when this was opened: a clock that goes wild afterwards must not move the test.
        return max(now, test_day(self.history.now, self._opened, date)) if date else now


def open_standing(candidate: Candidate, deck: Deck, moment: Moment) -> Standing:
    """Fold a candidate's evidence on a deck, from the cache where it holds.

    Raises:
        LogError: one sentence, if the record cannot be read.
    """
    past = history(candidate.events(), points(deck), moment, deck.id)
    learner, behind = fold(past.evidence, cache_file(candidate, deck))
    if behind > _UNSAVED:
        keep(learner, past.evidence, cache_file(candidate, deck))
    return Standing(deck, past, learner, moment)


def save_standing(candidate: Candidate, deck: Deck, moment: Moment) -> None:
    """Bring the cache up to what the record holds now, so that the next start need not fold."""
    past = history(candidate.events(), points(deck), moment, deck.id)
    learner, behind = fold(past.evidence, cache_file(candidate, deck))
    if behind:
        keep(learner, past.evidence, cache_file(candidate, deck))


def cache_file(candidate: Candidate, deck: Deck) -> Path:
    """Return where a candidate's fold on a deck is kept."""
    name = hashlib.sha256(deck.id.encode()).hexdigest()[:24]
    return candidate.home.standings(candidate.id) / f"{name}.bin"


def fold(evidence: Sequence[Evidence], path: Path | None = None) -> tuple[Learner, int]:
    """Return the learner that evidence teaches, and how many answers the cache did not hold."""
    learner, known = _kept(evidence, path) if path else (None, 0)
    if learner is None:
        learner, known = Learner(), 0
    learner.fold(evidence[known:])
    return learner, len(evidence) - known


def keep(learner: Learner, evidence: Sequence[Evidence], path: Path) -> None:
    """Write the cache; failing is no harm, for it can be made again."""
    try:
        private_folder(path.parent)
        size = len(evidence).to_bytes(4, "big")
        write_private(path, _MAGIC + size + _key(evidence) + pack(learner))
    except OSError:
        pass


def _kept(evidence: Sequence[Evidence], path: Path) -> tuple[Learner | None, int]:
    try:
        kept = path.read_bytes()
    except OSError:
        return None, 0
    head = len(_MAGIC)
    if not kept.startswith(_MAGIC) or len(kept) < head + 36:
        return None, 0
    count = int.from_bytes(kept[head : head + 4], "big")
    if count > len(evidence) or kept[head + 4 : head + 36] != _key(evidence[:count]):
        return None, 0
    try:
        return unpack(kept[head + 36 :]), count
    except SnapshotError:
        return None, 0


def _key(evidence: Sequence[Evidence]) -> bytes:
    # Version 2 of marshal has no references, so equal evidence always gives equal bytes.
    return hashlib.sha256(marshal.dumps([tuple(one) for one in evidence], 2)).digest()
