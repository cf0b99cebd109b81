"""What borrowing from movement and family is worth: `python -m tests.simulation.borrowing`.

Pupils of every world are asked points by lot. After some days the recall of points that were never asked, and of
points asked once, is predicted for the test day by the learner alone and by the hierarchy, and held against the
truth; answers are predicted before they are given. What is known beforehand: "usual" is what the world makes
movements and families share, "alone" leaves nothing shared, "movements" and "families" are these and in addition
each movement or family learnt in full with a chance of two in five.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from tests.simulation.bench import WORLDS, load_world
from tests.simulation.policies import QUESTION_DAYS
from tests.simulation.scores import log_loss, mean_square
from tests.simulation.sheet import USUAL, Deck, deck
from tests.simulation.worlds.common import Pupil, World
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.recall import Evidence, Learner

TEST_DAY = 21.0
READ_AFTER = (1, 3, 5)
A_DAY = 20
MODELS = ("alone", "borrowing")


SHARED = ("usual", "movements", "families", "alone")
LEARNT = 0.4
OLD_DAYS = (-29.0, -28.0, -26.0, -22.0, -18.0, -15.0)


class Said(NamedTuple):
    """A recall (or a chance of a right answer) predicted by each model, and the truth (or what came)."""

    kind: str
    said: tuple[float, ...]
    truth: float


def pupil_of(world: World, on: Deck, shared: str, rng: random.Random) -> Pupil:
    """A pupil of the world with what is shared of his prior knowledge."""
    if shared == "usual":
        return world.learner(on.items, on.groups, rng)
    pupil = world.learner(on.items, {item: (f"{item} 1", f"{item} 2") for item in on.items}, rng)
    if shared != "alone":
        kind = ("movements", "families").index(shared)
        names = list(dict.fromkeys(group[kind] for group in on.groups.values()))
        learnt = {name for name in names if rng.random() < LEARNT}
        for item in on.items:
            for day in OLD_DAYS if on.groups[item][kind] in learnt else ():
                pupil.answer(item, day, 0, rng)
    return pupil


def follow(name: str, number: int, seed: int, shared: str) -> list[Said]:
    """Predictions along the first days of one pupil."""
    world, on = load_world(name), deck(USUAL)
    key = f"{seed}/borrowing/{name}/{number}"
    pupil = pupil_of(world, on, shared, random.Random(f"{key}/pupil"))
    luck = random.Random(f"{key}/luck")
    learner = Learner()
    borrowing = Hierarchy(learner, {item: (group[0], group[1]) for item, group in on.groups.items()})
    models: tuple[Learner, Hierarchy] = (learner, borrowing)
    asked: dict[str, int] = {}
    found: list[Said] = []
    for day in range(max(READ_AFTER)):
        now = float(day)
        for _ in range(A_DAY):
            item = luck.choice(on.items)
            choices = on.choices(item)
            chances = tuple(model.chance_right(item, now, choices, now) for model in models)
            right = pupil.answer(item, now, choices, luck)
            found.append(Said("answers" if item in asked else "first answers", chances, float(right)))
            learner.fold([Evidence(item, now, right, choices)])
            asked[item] = asked.get(item, 0) + 1
            now += QUESTION_DAYS
        if day + 1 in READ_AFTER:
            reads = zip(*(model.recall(on.items, TEST_DAY, now) for model in models), strict=True)
            for item, read in zip(on.items, reads, strict=True):
                kind = {0: "never asked", 1: "asked once"}.get(asked.get(item, 0), "asked more")
                found.append(Said(kind, read, pupil.recall(item, TEST_DAY)))
    return found


def rows(name: str, pupils: Iterable[int], seed: int, shared: str) -> list[tuple[str, int, list[float]]]:
    """Kind of prediction, how many, and each model's mean square error, or its log loss where answers are foretold."""
    found = [said for number in pupils for said in follow(name, number, seed, shared)]
    lines = []
    for kind in ("never asked", "asked once", "asked more", "first answers", "answers"):
        some = [said for said in found if said.kind == kind]
        truths = [said.truth for said in some]
        judge = log_loss if "answers" in kind else mean_square
        scores = [judge([said.said[model] for said in some], truths) for model in range(len(MODELS))]
        lines.append((kind, len(some), scores))
    return lines


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulation.borrowing", description=__doc__)
    parser.add_argument("--pupils", type=int, default=12)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    sys.stdout.write(
        f"{'world':12} {'shared':9} {'predicted':14} {'number':>6} " + " ".join(f"{m:>10}" for m in MODELS)
    )
    sys.stdout.write("\n")
    for shared in SHARED:
        for name in WORLDS:
            for kind, number, scores in rows(name, range(given.pupils), given.seed, shared):
                told = " ".join(f"{score:10.4f}" for score in scores)
                sys.stdout.write(f"{name:12} {shared:9} {kind:14} {number:6} {told}\n")
    return 0


if __name__ == "__main__":
    sys.exit(main())
