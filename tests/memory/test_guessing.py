"""Guessing is learnt where it is better than the choices say, and nowhere else."""

import marshal
from collections.abc import Iterator
from random import Random

import pytest

from trainer.memory.guessing import ENOUGH, Guessing


def answers(rng: Random, guess: float, number: int = 200) -> Iterator[tuple[float, bool]]:
    """Recalls and answers of who guesses right with a chance of `guess` and else misses 2 in 100."""
    for _ in range(number):
        recall = rng.choice((0.1, 0.2, 0.5, 0.9))
        yield recall, rng.random() < guess + (1.0 - guess - 0.02) * recall


def believed(seed: int, guess: float) -> set[int]:
    """Every number of choices that was believed at some time."""
    guessing, seen = Guessing(), set()
    for recall, right in answers(Random(seed), guess):
        guessing.take("counts", 4, recall, right)
        seen.add(guessing.choices("counts", 4))
    return seen


def test_a_guess_as_good_as_the_choices_say_is_hardly_ever_doubted() -> None:
    # Ville's inequality, once for each of the two numbers that are tried.
    doubted = sum(believed(seed, 0.25) != {4} for seed in range(200))
    assert doubted <= 2 * 200 / ENOUGH


@pytest.mark.parametrize(("guess", "number"), [(0.5, 2), (0.34, 3)])
def test_a_better_guess_is_learnt(guess: float, number: int) -> None:
    found = []
    for seed in range(40):
        guessing = Guessing()
        for recall, right in answers(Random(seed), guess, 600):
            guessing.take("counts", 4, recall, right)
        found.append(guessing.choices("counts", 4))
    assert max(set(found), key=found.count) == number
    assert found.count(4) <= (0 if number == 2 else 20)


def test_what_was_believed_before_a_change_can_be_held() -> None:
    guessing = Guessing()
    for recall, right in answers(Random(1), 0.6):
        held, before = guessing.believed, dict(guessing.believed)
        guessing.take("counts", 4, recall, right)
        assert held == before, "who holds what was believed has it still"
        assert guessing.believed.get(("counts", 4), 4) == guessing.choices("counts", 4)
    assert guessing.believed == {("counts", 4): 2}


def test_a_belief_is_given_up_when_it_does_worse_than_none() -> None:
    guessing = Guessing()
    for _ in range(20):
        guessing.take("counts", 4, 0.05, True)
    assert guessing.choices("counts", 4) == 2
    seen = []
    for _ in range(60):
        guessing.take("counts", 4, 0.05, False)
        seen.append(guessing.choices("counts", 4))
    assert seen[-1] == 4
    assert seen == sorted(seen), "given up once"
    assert guessing.believed == {}


def test_kinds_and_numbers_are_learnt_apart() -> None:
    guessing = Guessing()
    for _ in range(20):
        guessing.take("counts", 4, 0.05, True)
    assert (guessing.choices("faults", 4), guessing.choices("counts", 3)) == (4, 3)


@pytest.mark.parametrize("offered", [0, 2])
def test_typed_answers_and_pairs_are_as_they_say(offered: int) -> None:
    guessing = Guessing()
    for _ in range(100):
        guessing.take("words", offered, 0.0, True)
    assert guessing.choices("words", offered) == offered


@pytest.mark.parametrize("recall", [0.0, 1.0])
def test_certainties_do_not_break_it(recall: float) -> None:
    guessing = Guessing()
    for right in (True, False) * 20:
        guessing.take("counts", 4, recall, right)
    assert guessing.choices("counts", 4) in (2, 3, 4)


def test_guessing_goes_on_from_a_kept_state() -> None:
    every = list(answers(Random(3), 0.6))
    whole, first, second = Guessing(), Guessing(), Guessing()
    for recall, right in every:
        whole.take("counts", 4, recall, right)
    for recall, right in every[:70]:
        first.take("counts", 4, recall, right)
    second.restore(marshal.loads(marshal.dumps(first.state())))
    for recall, right in every[70:]:
        second.take("counts", 4, recall, right)
    assert second.state() == whole.state()
    assert second.choices("counts", 4) == 2


def test_what_is_said_follows_what_is_believed() -> None:
    guessing = Guessing()
    assert "no answers have shown" in guessing.said()
    for kind in ("counts", "faults"):
        for _ in range(20):
            guessing.take(kind, 4, 0.05, True)
    assert "at 2 kinds" in guessing.said()
