"""What learning how well pupils guess is worth: `python -m tests.simulation.guesses`.

Pupils of every world are asked points by lot for ten days. Questions with four choices are guessed right as often
as one in four, or as one in two, as if two of the choices were seen to be wrong. Afterwards the recall of every point
on the test day is predicted without learning of it, with it, and by who was told, and held against the truth.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections.abc import Sequence

from tests.simulation.bench import WORLDS, load_world
from tests.simulation.policies import QUESTION_DAYS
from tests.simulation.scores import mean_square
from tests.simulation.sheet import USUAL, Deck, deck
from tests.simulation.worlds.common import Pupil
from trainer.memory.guessing import Guessing
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.recall import Evidence, Learner

DAYS, TEST_DAY, A_DAY = 10, 21.0, 25
GUESSES = (4, 2)
"""Choices really open among four."""


def course(name: str, number: int, seed: int, open_choices: int, on: Deck) -> tuple[Pupil, list[Evidence]]:
    """A pupil after ten days, and what he answered."""
    key = f"{seed}/guesses/{name}/{number}"
    pupil = load_world(name).learner(on.items, on.groups, random.Random(f"{key}/pupil"))
    luck = random.Random(f"{key}/luck")
    answers = []
    for day in range(DAYS):
        now = float(day)
        for _ in range(A_DAY):
            item = luck.choice(on.items)
            offered = on.choices(item)
            right = pupil.answer(item, now, open_choices if offered == 4 else offered, luck)
            answers.append(Evidence(item, now, right, offered))
            now += QUESTION_DAYS
    return pupil, answers


def learnt(answers: Sequence[Evidence], on: Deck) -> Hierarchy:
    """The model after all answers, guessing learnt on the way."""
    groups = {item: (group[0], group[1]) for item, group in on.groups.items()}
    guessing = Guessing()

    def counted(one: Evidence) -> Evidence:
        return one._replace(choices=guessing.choices(groups[one.item][1], one.choices))

    model = Hierarchy(Learner(), groups)
    for n, one in enumerate(answers):
        recall = model.recall([one.item], one.at, one.at)[0]
        before = guessing.believed
        guessing.take(groups[one.item][1], one.choices, recall, one.right)
        if guessing.believed != before:
            model = Hierarchy(Learner([counted(before) for before in answers[:n]]), groups)
        model.fold([counted(one)])
    return model


def row(name: str, pupils: int, seed: int, open_choices: int) -> list[float]:
    """Mean square errors of recall: guessing not learnt, learnt, told."""
    on = deck(USUAL)
    groups = {item: (group[0], group[1]) for item, group in on.groups.items()}
    said: list[list[float]] = [[], [], []]
    truths: list[float] = []
    for number in range(pupils):
        pupil, answers = course(name, number, seed, open_choices, on)
        told = [one._replace(choices=open_choices) if one.choices == 4 else one for one in answers]
        models = (Hierarchy(Learner(answers), groups), learnt(answers, on), Hierarchy(Learner(told), groups))
        for model, into in zip(models, said, strict=True):
            into += model.recall(on.items, TEST_DAY, float(DAYS))
        truths += [pupil.recall(item, TEST_DAY) for item in on.items]
    return [mean_square(one, truths) for one in said]


def main(arguments: Sequence[str] | None = None) -> int:
    """Print the table."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulation.guesses", description=__doc__)
    parser.add_argument("--pupils", type=int, default=6)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args(arguments)
    sys.stdout.write(f"{'world':12} {'open of 4':>9} {'not learnt':>10} {'learnt':>10} {'told':>10}\n")
    for open_choices in GUESSES:
        for name in WORLDS:
            errors = row(name, given.pupils, given.seed, open_choices)
            told = " ".join(f"{error:10.4f}" for error in errors)
            sys.stdout.write(f"{name:12} {open_choices:9} {told}\n")
            sys.stdout.flush()
    return 0


if __name__ == "__main__":
    sys.exit(main())
