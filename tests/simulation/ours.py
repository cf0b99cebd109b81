"""The program's own choice and forecast, behind the interface of the bench: the only file that knows them."""

from __future__ import annotations

import random
from datetime import date

from tests.simulation.policies import Forecasted, Setting, Simple
from tests.simulation.sheet import EXECUTION, LUCK, Deck
from trainer.coach.mind import Mind
from trainer.memory import planner
from trainer.memory.forward import outline
from trainer.memory.habit import habit
from trainer.memory.readiness import Assumptions, Forecast, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.rehearsal import typical

CERTAIN = 1e7
"""Observed trials that pin execution down to what the bench says everybody knows."""
KNOWN = Assumptions(minor=(EXECUTION * CERTAIN, (1.0 - EXECUTION) * CERTAIN), slip=LUCK)
SEED = 20


class Practised:
    """What the coach keeps of a point: its first day, its last, and right answers on the last."""

    __slots__ = ("first", "last", "right")

    def __init__(self, first: int) -> None:
        self.first = self.last = first
        self.right = 0

    def mark(self, day: int, right: bool) -> None:
        self.right = (self.right if self.last == day else 0) + right
        self.last = day


class Filtered(Simple):
    """A policy that follows the pupil with the program's memory model, and can say what the program would forecast."""

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting)
        groups = setting.deck.groups
        self.mind = Mind({item: (groups[item][0], groups[item][1]) for item in setting.deck.items})
        self.forecaster = Forecast(sheet(setting.deck), random.Random(SEED), KNOWN)

    @property
    def learner(self) -> Learner:
        """The recall filter; another one once answers count otherwise."""
        return self.mind.learner

    def took(self, item: str, now: float, right: bool) -> None:
        self.mind.fold([Evidence(item, now, right, self.setting.deck.choices(item))])

    def forecast(self, now: float) -> Forecasted:
        """The chance of GO on the test day if nothing more is practised."""
        chance = self.forecaster.curve(self.mind.reader, [self.setting.test_day], now)[0].chance
        return Forecasted(chance.go, chance.low, chance.high)


class WeakestNow(Simple):
    """The essential point with the lowest recall now, as the program's recall filter sees it, once a day each.

    Recall is read for the end of the session, so that one reading serves all of it.
    """

    SESSION = 0.05

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting)
        self.learner = Learner()
        self.read_at = 0.0
        self.today: set[str] = set()

    def begin(self, day: float) -> None:
        self.read_at = day + self.SESSION
        self.today = set()

    def choose(self, now: float) -> str | None:
        essential = self.setting.deck.essential
        items = [item for item in essential if item not in self.today] or essential
        recalls = self.learner.recall(items, self.read_at, now)
        return min(zip(recalls, items, strict=True), key=lambda pair: pair[0])[1]

    def took(self, item: str, now: float, right: bool) -> None:
        self.learner.fold([Evidence(item, now, right, self.setting.deck.choices(item))])
        self.today.add(item)


class Ours(Filtered):
    """What the program does: a plan to the test every morning, and the planner, fed as a sitting feeds it.

    `begin` and `choose` are the places to change when the program chooses otherwise.
    """

    FIRST_DAY = date(2001, 1, 1)

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting)
        deck = setting.deck
        essential = set(deck.essential)
        self.points = [
            (planner.Item(item, deck.groups[item], deck.confusable[item]), item in essential) for item in deck.items
        ]
        self.practice: dict[str, Practised] = {}
        self.asked: list[planner.Asked] = []
        self.by_day: dict[date, int] = {}
        self.carried: frozenset[str] | None = None
        self.planned: Forecasted | None = None

    def begin(self, day: float) -> None:
        self.asked = []
        today = date.fromordinal(self.FIRST_DAY.toordinal() + int(day))
        usual = habit(self.by_day, self.setting.budget, today)
        self.by_day[today] = 0
        fit = typical(self.learner.weights())
        made = outline(self.mind.reader, self.forecaster, day, self.setting.test_day, usual, self.practice, fit=fit)
        self.carried = made.carried
        self.planned = Forecasted(*made.go)

    def choose(self, now: float) -> str | None:
        return planner.plan(self._candidates(now), self.asked, self.setting.test_day - now, self.carried).next

    def took(self, item: str, now: float, right: bool) -> None:
        super().took(item, now, right)
        day = int(now)
        self.practice.setdefault(item, Practised(day)).mark(day, right)
        self.by_day[max(self.by_day)] += 1
        self.asked.append(planner.Asked(((item, right),)))

    def _candidates(self, now: float) -> list[planner.Candidate]:
        today = int(now)
        recalls = self.learner.recall(self.setting.deck.items, self.setting.test_day, now)
        found = []
        for rank, ((item, essential), recall) in enumerate(zip(self.points, recalls, strict=True)):
            known = self.practice.get(item.id)
            if known is None:
                found.append(planner.Candidate(item, recall, essential, rank))
            else:
                right = known.right if known.last == today else 0
                found.append(planner.Candidate(item, recall, essential, rank, True, right, known.first == today))
        return found


class OursUnplanned(Ours):
    """The planner without a plan: every measure is carried to the end."""

    def begin(self, day: float) -> None:
        super().begin(day)
        self.carried = self.planned = None


class OursEssential(Ours):
    """The same told of the essential points alone: what the others cost."""

    def _candidates(self, now: float) -> list[planner.Candidate]:
        return [candidate for candidate in super()._candidates(now) if candidate.essential]


def sheet(deck: Deck) -> Sheet:
    """The grade sheet of the deck, in the program's terms."""
    minors = tuple(Minor(name, points) for name, points in deck.minors.items())
    return Sheet(minors, (), deck.shape.needed, deck.shape.trials, deck.to_pass)
