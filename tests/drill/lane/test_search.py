"""The search: never longer than every order tried one by one, and the counts that stances force."""

import random

import pytest

from tests.drill.lane.exhaustive import Exhaustive, Walk
from trainer.drill.deck import Deck
from trainer.drill.lane.asked import Asked
from trainer.drill.lane.path import stays_inside
from trainer.drill.lane.plan import plan
from trainer.drill.lane.surface import Place, Surface

TURNS = ("right-flank", "left-flank", "rear")
STRAIGHT = ("forward-march", "mark-time", "resume", "ceremonial-halt", "change-step", "drum-cut")


def cases() -> list[tuple[dict[str, int], tuple[float, float], int, Place]]:
    """Small lanes made by chance, always the same ones."""
    made = []
    chance = random.Random(11)
    for _ in range(36):
        names = chance.sample(TURNS, chance.randint(0, 2)) + chance.sample(STRAIGHT, chance.randint(1, 2))
        wanted = {name: chance.choice((1, 1, 2)) for name in names}
        sides = chance.choice((200.0, 260.0, 330.0, 420.0)), chance.choice((180.0, 250.0, 340.0))
        start = Place(chance.choice((20.0, 60.0, sides[0] / 2)), chance.choice((20.0, sides[1] / 2)), 90.0)
        made.append((wanted, sides, chance.choice((0, 0, 1, 2)), start))
    return made


@pytest.mark.parametrize("number", range(36))
def test_no_order_of_all_is_shorter(practice_deck: Deck, number: int) -> None:
    wanted, sides, prompt, start = cases()[number]
    margin = 0.0
    found = plan(practice_deck, Asked(wanted, Surface(*sides, margin), start, prompt))
    trying = Exhaustive(practice_deck, sides, margin, prompt)
    most = found.seconds if found else 26.0
    best = trying.shortest(wanted, Walk("halted", None, *start), most)
    assert (best is None) == (found is None)
    if found and best is not None:
        assert found.seconds == pytest.approx(best)
        assert found.bound <= best + 1e-6
        assert stays_inside(practice_deck, found)
