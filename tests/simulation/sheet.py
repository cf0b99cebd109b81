"""The synthetic deck and its grade sheet, and the true chance of a GO on it.

The readiness rule is written here anew, in a few lines and without the program's: who does not recall every
essential point of a measure fails its trials, but for a slip of luck; who does succeeds in each with a chance
that everybody knows.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Sequence
from math import ceil, comb
from typing import NamedTuple

EXECUTION = 0.9
LUCK = 0.15
CHOICES = {"words": 0, "feet": 2, "counts": 4, "faults": 4}
"""Choices offered by the questions of each family; 0 are typed."""
OFF_THE_SHEET = 2


class Shape(NamedTuple):
    """How large a deck and its sheet are.

    `essential` gives the essential points of one measure after another, again and again.
    """

    points: int = 150
    minors: int = 10
    essential: tuple[int, ...] = (6, 7)
    trials: int = 3
    needed: int = 2
    share: float = 0.8


USUAL = Shape()


class Deck(NamedTuple):
    """Points in deck order with what is known of each.

    `groups` has the movement first, then the family; `confusable` pairs equal places of twin movements.
    """

    shape: Shape
    items: tuple[str, ...]
    groups: dict[str, tuple[str, ...]]
    confusable: dict[str, tuple[str, ...]]
    minors: dict[str, tuple[str, ...]]

    @property
    def essential(self) -> tuple[str, ...]:
        """Every essential point, in deck order."""
        return tuple(item for points in self.minors.values() for item in points)

    @property
    def to_pass(self) -> int:
        """Measures that must be GO."""
        return ceil(self.shape.share * len(self.minors) - 1e-9)

    def choices(self, item: str) -> int:
        """Choices of a question about the item."""
        return CHOICES[self.groups[item][1]]


def deck(shape: Shape = USUAL) -> Deck:
    """A deck of the shape: movements on the sheet first, then two that are not; points by family in each.

    Raises:
        ValueError: Fewer points than the measures need.
    """
    wanted = [shape.essential[n % len(shape.essential)] for n in range(shape.minors)]
    movements = shape.minors + OFF_THE_SHEET
    if shape.points < sum(wanted) or shape.minors < 1:
        raise ValueError(f"{shape.points} points are too few for {shape.minors} measures: give {sum(wanted)} or more")
    rest = shape.points - sum(wanted)
    groups: dict[str, tuple[str, ...]] = {}
    minors: dict[str, tuple[str, ...]] = {}
    for n in range(movements):
        movement = f"m{n:02}"
        needed = wanted[n] if n < shape.minors else 0
        others = rest // movements + (n < rest % movements)
        places = []
        for place in range(needed + others):
            # What a trial needs is words, feet and counts; faults come last and are not essential.
            family = ("words", "feet", "counts", "counts")[place % 4] if place < max(needed, others // 2) else "faults"
            item = f"{movement}/{place:02}"
            groups[item] = (movement, family)
            places.append(item)
        if n < shape.minors:
            minors[movement] = tuple(places[:needed])
    twins = {f"m{n:02}": f"m{n ^ 1:02}" for n in range(movements)}
    confusable: dict[str, tuple[str, ...]] = {}
    for item in groups:
        twin = f"{twins[item[:3]]}/{item[4:]}"
        confusable[item] = (twin,) if twin in groups else ()
    return Deck(shape, tuple(groups), groups, confusable, minors)


def tail(trials: int, needed: int, chance: float) -> float:
    """Chance of at least `needed` successes of `trials`."""
    return sum(comb(trials, n) * chance**n * (1.0 - chance) ** (trials - n) for n in range(needed, trials + 1))


def measures_go(on: Deck, recall: Callable[[str], float]) -> list[float]:
    """True chance of GO of every measure, from the true recall of each point."""
    shape = on.shape
    with_it, without = (tail(shape.trials, shape.needed, EXECUTION * factor) for factor in (1.0, LUCK))
    chances = []
    for points in on.minors.values():
        known = 1.0
        for item in points:
            known *= recall(item)
        chances.append(known * with_it + (1.0 - known) * without)
    return chances


def at_least(needed: int, chances: Sequence[float]) -> float:
    """Chance that at least `needed` of independent events happen."""
    counts = [1.0]
    for chance in chances:
        counts = [
            (counts[n] * (1.0 - chance) if n < len(counts) else 0.0) + (counts[n - 1] * chance if n else 0.0)
            for n in range(len(counts) + 1)
        ]
    return min(1.0, sum(counts[max(0, needed) :]))


def true_go(on: Deck, recall: Callable[[str], float]) -> float:
    """True chance of a GO on the whole sheet."""
    return at_least(on.to_pass, measures_go(on, recall))


def drawn_test(on: Deck, recall: Callable[[str], float], rng: random.Random) -> bool:
    """One test, drawn from start to end: what is recalled, then every trial."""
    passed = 0
    for points in on.minors.values():
        # Every draw is made whatever came before, so that paired tests stay paired.
        known = sum([rng.random() < recall(item) for item in points]) == len(points)
        chance = EXECUTION if known else EXECUTION * LUCK
        passed += sum([rng.random() < chance for _ in range(on.shape.trials)]) >= on.shape.needed
    return passed >= on.to_pass
