"""Ways of choosing the next question that know nothing of memory, and the interface of all of them."""

from __future__ import annotations

import random
from collections.abc import Sequence
from copy import deepcopy
from math import prod
from typing import NamedTuple, Protocol

from tests.simulation.sheet import Deck, at_least, measures_go
from tests.simulation.worlds.common import Pupil

QUESTION_DAYS = 25.0 / 86400.0
"""Days from one question to the next."""


class Setting(NamedTuple):
    """What a policy is told before the first day.

    `pupil` and the days `practised` are for those alone that are allowed to see the truth.
    """

    deck: Deck
    test_day: float
    budget: int
    practised: frozenset[int]
    pupil: Pupil
    rng: random.Random


class Forecasted(NamedTuple):
    """A forecast of GO on the test day with its band."""

    go: float
    low: float
    high: float


class Policy(Protocol):
    """Chooses one question after another."""

    def begin(self, day: float) -> None:
        """A session begins."""

    def choose(self, now: float) -> str | None:
        """The next point to ask; None ends the session early."""

    def took(self, item: str, now: float, right: bool) -> None:
        """An answer was given."""


class Simple:
    """A policy that needs no beginning and forgets answers, unless it says otherwise."""

    def __init__(self, setting: Setting) -> None:
        self.setting = setting

    def begin(self, day: float) -> None:
        return

    def took(self, item: str, now: float, right: bool) -> None:
        return


class AtRandom(Simple):
    """Any essential point, never one twice running."""

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting)
        self.last = ""

    def choose(self, now: float) -> str | None:
        essential = self.setting.deck.essential
        picked = self.setting.rng.choice(essential)
        while picked == self.last and len(essential) > 1:
            picked = self.setting.rng.choice(essential)
        self.last = picked
        return picked


class Rotation(Simple):
    """One point after the other in deck order, round and round; the next day goes on where this one ended."""

    def __init__(self, setting: Setting, items: Sequence[str]) -> None:
        super().__init__(setting)
        self.items = items
        self.place = -1

    def choose(self, now: float) -> str | None:
        self.place = (self.place + 1) % len(self.items)
        return self.items[self.place]


class Doubling(Simple):
    """A gap that doubles after each right answer, one day at first; a wrong one brings the point back at once.

    Waiting points come first, the longest waiting first of all; then new essential points in deck order; then
    whichever would wait the least.
    """

    AFTER_A_MISS = 6

    def __init__(self, setting: Setting) -> None:
        super().__init__(setting)
        self.ready_at: dict[str, float] = {}
        self.gaps: dict[str, float] = {}
        self.missed: list[tuple[int, str]] = []
        self.count = 0

    def begin(self, day: float) -> None:
        for _, item in self.missed:
            self.ready_at[item] = day
        self.missed, self.count = [], 0

    def choose(self, now: float) -> str | None:
        if self.missed and self.missed[0][0] <= self.count:
            return self.missed[0][1]
        waiting = {item for _, item in self.missed}
        ready = [(at, item) for item, at in self.ready_at.items() if item not in waiting]
        if ready and min(ready)[0] <= now:
            return min(ready)[1]
        new = next((item for item in self.setting.deck.essential if item not in self.gaps), None)
        if new is not None:
            return new
        return min(ready)[1] if ready else self.missed[0][1]

    def took(self, item: str, now: float, right: bool) -> None:
        self.count += 1
        self.missed = [(at, other) for at, other in self.missed if other != item]
        if right:
            self.gaps[item] = 2.0 * self.gaps.get(item, 0.5)
            # Half a day less, so that a point is ready whatever the hour of its day.
            self.ready_at[item] = now + self.gaps[item] - 0.5
        else:
            self.gaps[item] = 0.5
            self.ready_at[item] = now
            self.missed.append((self.count + self.AFTER_A_MISS - 1, item))


class Weakest(Simple):
    """Knows the truth: the point with the lowest true recall on the test day, once a day each; `items` alone."""

    def __init__(self, setting: Setting, items: Sequence[str] | None = None) -> None:
        super().__init__(setting)
        self.items = setting.deck.essential if items is None else items
        self.today: set[str] = set()

    def begin(self, day: float) -> None:
        self.today = set()

    def choose(self, now: float) -> str | None:
        recall, test_day = self.setting.pupil.recall, self.setting.test_day
        rested = [item for item in self.items if item not in self.today] or self.items
        return min(rested, key=lambda item: recall(item, test_day))

    def took(self, item: str, now: float, right: bool) -> None:
        self.today.add(item)


class Oracle(Weakest):
    """Knows the truth, and which measures to let go: the set that a rehearsal on copies of the pupil ends best with.

    A rehearsal over all measures says which ones are the hardest; without the hardest, one more is rehearsed each
    time, down to as many as must be GO. Within the set the weakest goes first. No bound from above: that would
    take a search over whole courses.
    """

    def __init__(self, setting: Setting) -> None:
        kept = dict(setting.deck.minors)
        best, items = -1.0, setting.deck.essential
        while len(kept) >= setting.deck.to_pass:
            tried = tuple(item for points in kept.values() for item in points)
            chances = rehearsed(setting, tried)
            go = at_least(setting.deck.to_pass, list(chances.values()))
            if go > best:
                best, items = go, tried
            del kept[min(kept, key=chances.__getitem__)]
        super().__init__(setting, items)


def rehearsed(setting: Setting, items: Sequence[str]) -> dict[str, float]:
    """Chance of GO of each measure after the whole course spent on `items`, weakest first, on a copy of the pupil."""
    deck, pupil, luck = setting.deck, deepcopy(setting.pupil), random.Random(0)
    policy = Weakest(setting._replace(pupil=pupil), items)
    for day in sorted(setting.practised):
        now = float(day)
        policy.begin(now)
        for _ in range(setting.budget):
            item = policy.choose(now)
            assert item is not None
            policy.took(item, now, pupil.answer(item, now, deck.choices(item), luck))
            now += QUESTION_DAYS
    chances = measures_go(deck, lambda item: pupil.recall(item, setting.test_day))
    return dict(zip(deck.minors, chances, strict=True))


class Greedy(Simple):
    """Knows the truth: the essential point whose asking now adds most to the true chance of GO on the test day."""

    def choose(self, now: float) -> str | None:
        deck, pupil, test_day = self.setting.deck, self.setting.pupil, self.setting.test_day
        recall = {item: pupil.recall(item, test_day) for item in deck.essential}
        chances = measures_go(deck, recall.__getitem__)
        best, most = deck.essential[0], -1.0
        for place, points in enumerate(deck.minors.values()):
            # The sheet's chance is linear in one measure's, and that in its knowledge: one slope serves all its points.
            others = chances[:place] + chances[place + 1 :]
            slope = at_least(deck.to_pass - 1, others) - at_least(deck.to_pass, others)
            for item in points:
                rest = prod(recall[other] for other in points if other != item)
                gain = slope * rest * (self._if_asked(item, now) - recall[item])
                if gain > most:
                    best, most = item, gain
        return best

    def _if_asked(self, item: str, now: float) -> float:
        pupil, test_day = self.setting.pupil, self.setting.test_day
        quick = getattr(pupil, "recall_if_asked", None)
        if quick is not None:
            return float(quick(item, now, test_day))
        trial = deepcopy(pupil)
        trial.answer(item, now, self.setting.deck.choices(item), random.Random(0))
        return trial.recall(item, test_day)
