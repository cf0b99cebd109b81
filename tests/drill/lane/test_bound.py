"""The lower bound, against another solver of linear programs and against the plans themselves."""

import random

import numpy as np
import pytest
from scipy.optimize import linprog

from trainer.drill.deck import Deck
from trainer.drill.lane.asked import sheet_trials
from trainer.drill.lane.bound import maximum
from trainer.drill.lane.ground import Ground
from trainer.drill.lane.plan import workings
from trainer.drill.lane.surface import Place, Surface


@pytest.mark.parametrize("seed", range(25))
def test_the_maximum_is_that_of_another_solver(seed: int) -> None:
    """scipy.optimize.linprog (HiGHS) on programs made by chance."""
    chance = random.Random(seed)
    size, count = chance.randint(1, 7), chance.randint(2, 12)
    gain = [float(chance.randint(0, 9)) for _ in range(size)]
    rows = [([float(chance.randint(-3, 6)) for _ in range(size)], float(chance.randint(0, 20))) for _ in range(count)]
    rows.append(([1.0] * size, 50.0))
    found = maximum(gain, rows)
    other = linprog([-g for g in gain], A_ub=np.array([row for row, _ in rows]), b_ub=[limit for _, limit in rows])
    assert sum(g * x for g, x in zip(gain, found, strict=True)) == pytest.approx(-other.fun)
    assert all(x >= -1e-9 for x in found)


def test_a_program_without_limit_is_refused() -> None:
    with pytest.raises(ValueError, match="nothing limits"):
        maximum([1.0, 1.0], [([1.0, -1.0], 4.0)])


def ground(deck: Deck, x: float, y: float) -> Ground:
    works = workings(deck)
    return Ground(works.drill, works.arcs, sheet_trials(deck), Surface(x, y, 6.0), Place(18, 18, 90.0), works.node)


def test_no_command_takes_less_than_its_price(practice_deck: Deck) -> None:
    """Walks made by chance: what a command takes beyond its price is never negative, and adds up to the time."""
    here = ground(practice_deck, 600, 400)
    assert here.prices.room != (0.0, 0.0), "room is scarce here, so it has a price"
    for seed in range(30):
        chance = random.Random(seed)
        state, slack, seconds = here.start, 0.0, 0.0
        while choices := list(here.following(state)):
            if len(choices) == 0 or seconds > 120:
                break
            more, state, step = chance.choice(choices)
            assert more >= 0
            slack += more
            seconds += step.arc.seconds + step.later * step.arc.move.beat_seconds
            assert seconds + here.bound(state) == pytest.approx(here.bound(here.start) + slack, abs=1e-3)


def test_without_a_surface_to_speak_of_the_bound_is_the_shortest_walk(practice_deck: Deck) -> None:
    """Against scipy.optimize.linprog on the walk itself, in whole numbers: 174 s in 36 commands."""
    works = workings(practice_deck)
    wanted = sheet_trials(practice_deck)
    nodes = sorted({arc.start for arc in works.arcs})
    flow = np.zeros((len(nodes), len(works.arcs)))
    often = np.zeros((len(wanted), len(works.arcs)))
    for column, arc in enumerate(works.arcs):
        flow[nodes.index(arc.start), column] += 1
        flow[nodes.index(arc.move.end), column] -= 1
        for row, name in enumerate(wanted):
            often[row, column] = -(arc.move.movement == name)
    solved = linprog(
        [arc.seconds for arc in works.arcs],
        A_ub=often,
        b_ub=[-count for count in wanted.values()],
        A_eq=flow,
        b_eq=np.zeros(len(nodes)),
        integrality=1,
    )
    assert round(solved.x.sum()) == 36
    here = ground(practice_deck, 4000, 4000)
    assert here.bound(here.start) == pytest.approx(solved.fun) == pytest.approx(174)
