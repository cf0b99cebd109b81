"""What every world is made of: the interface, and what pupils of any world have in common.

A world is a class named `World` in a file of its own, made without arguments:

    class World:
        name = "my world"
        def learner(self, items, groups, rng): ...   # returns a Pupil

    items    ids of the points, in deck order
    groups   for each id the movement and the family that it belongs to
    rng      a seeded random.Random, for everything that differs from pupil to pupil

See `Pupil` for what it returns. Days count from the first day of practice; the past has negative days.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from math import exp
from typing import Protocol

Groups = Mapping[str, tuple[str, ...]]


class Pupil(Protocol):
    """One synthetic pupil.

    `recall_if_asked` is optional: without it the bench practises on a deep copy, which is slow.
    """

    def recall(self, item: str, day: float) -> float:
        """True chance that the item is recalled on `day`, without guessing; never before the last answer."""

    def answer(self, item: str, day: float, choices: int, rng: random.Random) -> bool:
        """Answer a question with `choices` (0: typed), be shown the right answer and learn; whether it was right."""


class World(Protocol):
    """A kind of memory: a name, and pupils who differ."""

    name: str

    def learner(self, items: Sequence[str], groups: Groups, rng: random.Random) -> Pupil:
        """A new pupil."""


class Answering:
    """Answers from recall with a guess and a slip; a world adds `recall` and `practise`."""

    slip = 0.02

    def recall(self, item: str, day: float) -> float:
        raise NotImplementedError

    def practise(self, item: str, day: float, right: bool) -> None:
        raise NotImplementedError

    def answer(self, item: str, day: float, choices: int, rng: random.Random) -> bool:
        guess = 1.0 / choices if choices else 0.0
        right = rng.random() < guess + (1.0 - guess - self.slip) * self.recall(item, day)
        self.practise(item, day, right)
        return right


def spread(
    items: Sequence[str], groups: Groups, rng: random.Random, item_sd: float, group_sd: float
) -> dict[str, float]:
    """How much harder each item is than the mean: its own part and that of each of its groups, all normal."""
    shared = {name: rng.gauss(0.0, group_sd) for name in _names(items, groups)}
    return {item: rng.gauss(0.0, item_sd) + sum(shared[name] for name in groups[item]) for item in items}


def known_before(items: Sequence[str], groups: Groups, rng: random.Random, mean: float = -1.6) -> set[str]:
    """Items known from earlier days: whole movements and families more than others, and some pupils more."""
    level = rng.gauss(mean, 0.6)
    shared = {name: rng.gauss(0.0, 1.1) for name in _names(items, groups)}

    def chance(item: str) -> float:
        return 1.0 / (1.0 + exp(-level - sum(shared[name] for name in groups[item])))

    return {item for item in items if rng.random() < chance(item)}


def _names(items: Sequence[str], groups: Groups) -> list[str]:
    return list(dict.fromkeys(name for item in items for name in groups[item]))
