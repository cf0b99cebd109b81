"""Where a candidate stands on a deck: the fold of his evidence, kept and always rebuildable, and his plan."""

from collections.abc import Collection, Sequence
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.forecast import Forecaster, Outlook
from trainer.coach.history import DAY_MS, History, Manner, Practice, history, local_day, practised, test_day
from trainer.coach.kept_mind import cache_file, fold, keep
from trainer.coach.mind import Mind
from trainer.coach.pace import questions_for
from trainer.coach.plan import MORE_MINUTES
from trainer.drill.deck import Deck
from trainer.memory.blend import Model
from trainer.memory.forward import Outline, outline
from trainer.memory.groups import Cell
from trainer.memory.habit import habit, plan_key
from trainer.memory.planner import NO_DATE
from trainer.memory.readiness import Chance
from trainer.memory.recall import Evidence, Learner
from trainer.memory.rehearsal import typical
from trainer.quiz.points import Point, points
from trainer.records.clock import PAUSE, Moment

CURVE_STEPS = 24
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
        mind: what his answers taught, kept up.
    """

    def __init__(self, deck: Deck, all_points: tuple[Point, ...], past: History, mind: Mind, opened: Moment) -> None:
        self.deck, self.points, self.history, self.mind = deck, all_points, past, mind
        self.practice: dict[str, Practice] = dict(past.practice)
        self.forecaster = Forecaster(deck, self.points, past.trials, past.runs)
        self._opened = opened
        self._read_ms = opened.at_ms
        self._latest = past.now
        self._reader: Model | None = None

    @property
    def learner(self) -> Learner:
        """The recall filter alone: what the choice of the next question goes by."""
        return self.mind.learner

    @property
    def reader(self) -> Model:
        """All models together: what forecasts and shown recalls are read from."""
        if self._reader is None:
            self._reader = self.mind.reader
        return self._reader

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

    def prepare(self, moment: Moment) -> None:
        """Make ready for a sitting that begins now, so that no answer has to wait for it."""
        self.mind.prepare(self.now(moment))
        self._reader = None

    def take(
        self, marks: Sequence[tuple[str, bool]], choices: int, moment: Moment, question: str = "", ms: int | None = None
    ) -> None:
        """Fold the marks of one question that was just recorded.

        Args:
            marks: points with whether they were right.
            choices: how many answers a guess chose from.
            moment: the present.
            question: kind of the question.
            ms: time taken to answer; None where it is not known.
        """
        at = self.now(moment)
        manner = Manner(question, None if ms is None else ms / 1000)
        self.mind.fold([Evidence(point, at, right, choices) for point, right in marks], [manner] * len(marks))
        self._reader = None
        day = local_day(moment.at_ms, moment.offset)
        for point, right in marks:
            self.practice[point] = practised(self.practice.get(point, Practice()), day, right)

    def outlook(self, candidate: Candidate, moment: Moment, curve: bool = False) -> Outlook:
        """Forecast the candidate's test; on the spot if he has no test date."""
        now = self.now(moment)
        test_at = self.test_at(candidate, moment)
        dates = [now + (test_at - now) * step / CURVE_STEPS for step in range(CURVE_STEPS)] if curve else []
        return self.forecaster.outlook(self.reader, self.learner, now, test_at, dates)

    def chance(self, date: float, moment: Moment) -> Chance | None:
        """Return the chance of a GO at one date, in days on the scale of the evidence, if nothing more is practised."""
        return self.forecaster.chance(self.reader, self.now(moment), date)

    def movements(self, candidate: Candidate, moment: Moment) -> tuple[MovementRecall, ...]:
        """Return every movement in the order of the points, for a deck whose sheet cannot tell."""
        now, test_at = self.now(moment), self.test_at(candidate, moment)
        ids: dict[str, list[str]] = {}
        for point in self.points:
            ids.setdefault(point.movement, []).append(point.id)
        found = []
        for movement in self.deck.movements:
            points = ids.get(movement.id, [])
            recalls = self.reader.recall(points, test_at, now)
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

    def days_to_test(self, candidate: Candidate, moment: Moment) -> float:
        """Return the days to the test; without end where none lies ahead."""
        left = self.test_at(candidate, moment) - self.now(moment)
        return left if left > 0.0 else NO_DATE

    def plan(
        self, candidate: Candidate, moment: Moment, wished: Collection[str] = (), dates: Sequence[float] = ()
    ) -> Outline | None:
        """Return the plan to the test; the one made before while nothing that it hangs on has changed.

        Args:
            candidate: whose plan it is.
            moment: the present.
            wished: ids of the points that taskings name.
            dates: dates of the curve, on the scale of the evidence; with any the plan is made anew.

        Returns:
            None where no test lies ahead or the deck has no grade sheet.
        """
        now, test_at = self.now(moment), self.test_at(candidate, moment)
        forecast = self.forecaster.sheet_forecast
        if forecast is None or test_at <= now:
            return None
        day = local_day(moment.at_ms, moment.offset)
        minutes, pace = candidate.profile.minutes, self.history.question_ms
        since = now - (moment.at_ms + moment.offset * 60_000) % DAY_MS / DAY_MS
        facts = "/".join(f"{point.id}={point.fact}" for point in self.points)
        key = plan_key(day, candidate.profile.test_date, minutes, facts, wished, self.history.evidence, since)
        if not dates and key in candidate.plans:
            return candidate.plans[key]
        usual = questions_for(minutes, pace)
        made = outline(
            self.reader,
            forecast,
            now,
            test_at,
            habit(self.history.questions_by_day, usual, day),
            set(self.practice),
            more=questions_for(minutes + MORE_MINUTES, pace) - usual,
            sat_today=self.history.questions_by_day.get(day, 0) > 0,
            dates=dates,
            fit=typical(self.learner.weights()),
        )
        candidate.plans.clear()
        candidate.plans[key] = made
        return made


def cells(all_points: Sequence[Point]) -> dict[str, Cell]:
    """Return movement and family of every point: what it has in common with others."""
    return {point.id: (point.movement, point.family) for point in all_points}


def in_order(past: History) -> tuple[list[Evidence], list[Manner]]:
    """Return answers and their manners in the order of time, those of one moment as they were."""
    order = sorted(range(len(past.evidence)), key=lambda place: past.evidence[place].at)
    return [past.evidence[place] for place in order], [past.manners[place] for place in order]


def open_standing(candidate: Candidate, deck: Deck, moment: Moment) -> Standing:
    """Fold a candidate's evidence on a deck, from the cache where it holds.

    Raises:
        LogError: one sentence, if the record cannot be read.
    """
    all_points = points(deck)
    past = history(candidate.events(), all_points, moment, deck.id)
    (evidence, manners), path = in_order(past), cache_file(candidate, deck)
    mind, behind = fold(evidence, manners, cells(all_points), path)
    if behind > _UNSAVED:
        keep(mind, evidence, manners, path)
    return Standing(deck, all_points, past, mind, moment)


def save_standing(candidate: Candidate, deck: Deck, moment: Moment) -> None:
    """Bring the cache up to what the record holds now, so that the next start need not fold."""
    all_points = points(deck)
    evidence, manners = in_order(history(candidate.events(), all_points, moment, deck.id))
    path = cache_file(candidate, deck)
    mind, behind = fold(evidence, manners, cells(all_points), path)
    if behind:
        keep(mind, evidence, manners, path)
