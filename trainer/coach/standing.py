"""Where a candidate stands on a deck: the fold of his evidence, cached and always rebuildable.

The fold is a pure function of the evidence, so the cache is filed under the evidence itself: whatever changes
it (a correction, a changed fact, a clock put right) is another key, and the fold is simply made again.
"""

import hashlib
import marshal
import os
from collections.abc import Sequence
from pathlib import Path

from trainer.coach.candidate import Candidate
from trainer.coach.forecast import Forecaster, Outlook
from trainer.coach.history import DAY_MS, History, Practice, history, local_day, practised, test_day
from trainer.drill.deck import Deck
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import SnapshotError, pack, unpack
from trainer.quiz.points import Point, points
from trainer.records.clock import Moment

CURVE_STEPS = 24
_MAGIC = b"standing/1\n"
_UNSAVED = 40
"""Answers that may be folded anew at the next start before the cache is written again."""


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
        self._latest = past.now

    def now(self, moment: Moment) -> float:
        """Return the present in days, on the scale of the evidence; it never runs backwards."""
        self._latest = max(self._latest, self.history.now + (moment.at_ms - self._opened.at_ms) / DAY_MS)
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

    def test_at(self, candidate: Candidate, moment: Moment) -> float:
        """Return the test in days on the scale of the evidence; now if it has no date or has passed."""
        date = candidate.profile.test_date
        now = self.now(moment)
        return test_day(now, moment, date) if date else now


def open_standing(candidate: Candidate, deck: Deck, moment: Moment) -> Standing:
    """Fold a candidate's evidence on a deck, from the cache where it holds.

    Raises:
        LogError: one sentence, if the record cannot be read.
    """
    past = history(candidate.log.events(), points(deck), moment)
    learner, behind = fold(past.evidence, cache_file(candidate, deck))
    if behind > _UNSAVED:
        keep(learner, past.evidence, cache_file(candidate, deck))
    return Standing(deck, past, learner, moment)


def save_standing(candidate: Candidate, deck: Deck, moment: Moment) -> None:
    """Bring the cache up to what the record holds now, so that the next start need not fold."""
    past = history(candidate.log.events(), points(deck), moment)
    learner, behind = fold(past.evidence, cache_file(candidate, deck))
    if behind:
        keep(learner, past.evidence, cache_file(candidate, deck))


def cache_file(candidate: Candidate, deck: Deck) -> Path:
    """Return where a candidate's fold on a deck is kept."""
    name = hashlib.sha256(f"{candidate.id}/{deck.id}".encode()).hexdigest()[:24]
    return candidate.home.cache / "standing" / f"{name}.bin"


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
        path.parent.mkdir(parents=True, exist_ok=True)
        draft = path.with_name(f"{path.name}.{os.getpid()}.new")
        size = len(evidence).to_bytes(4, "big")
        draft.write_bytes(_MAGIC + size + _key(evidence) + pack(learner))
        os.replace(draft, path)
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
