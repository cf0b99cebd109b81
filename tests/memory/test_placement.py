"""What an answer tells, against numeric integration; and that a placement asks widely and ends."""

from math import log

import pytest
from scipy import integrate, stats

from trainer.memory.placement import MOST, Askable, Placement, _of_nodes, _of_share, place
from trainer.memory.recall import Evidence, Learner

POINTS = [Askable(f"m{m}.p{p}", (f"m{m}", f"f{p % 3}"), (0, 2, 4)[p % 3]) for m in range(6) for p in range(9)]


def entropy(q: float) -> float:
    return -q * log(q) - (1 - q) * log(1 - q)


@pytest.mark.parametrize(("a", "b"), [(4.0, 6.0), (10.0, 30.0), (9.0, 3.0)])
@pytest.mark.parametrize("choices", [0, 2, 4])
def test_information_on_a_share_against_integration(a: float, b: float, choices: int) -> None:
    guess = 1 / choices if choices else 0.0

    def chance(share: float) -> float:
        return guess + (1 - guess - 0.02) * share

    inner, _ = integrate.quad(lambda s: float(stats.beta.pdf(s, a, b)) * entropy(chance(s)), 1e-9, 1 - 1e-9)
    assert _of_share(a, b, choices) == pytest.approx(entropy(chance(a / (a + b))) - inner, rel=0.15)


def test_information_on_the_learner_worked_by_hand() -> None:
    # Two equal learners who recall with 0 and 1: the answer tells all but the slip.
    assert _of_nodes([0.5, 0.5], [0.0, 1.0], 0) == pytest.approx(entropy(0.49) - 0.5 * entropy(0.98))
    assert _of_nodes([0.3, 0.7], [0.6, 0.6], 4) == pytest.approx(0.0)


def test_a_placement_asks_typed_questions_of_every_movement_first_and_ends() -> None:
    learner, answered = Learner(), dict[str, bool]()
    asked: list[Askable] = []
    for n in range(MOST + 1):
        found = place(learner, POINTS, answered, n / 1000)
        if found.next is None:
            break
        one = next(point for point in POINTS if point.id == found.next)
        asked.append(one)
        answered[one.id] = n % 3 == 0
        learner.fold([Evidence(one.id, n / 1000, answered[one.id], one.choices)])
    assert 0 < len(asked) <= MOST
    assert {one.groups[0] for one in asked[:6]} == {f"m{m}" for m in range(6)}
    assert asked[0].choices == 0
    assert len({one.id for one in asked}) == len(asked)


def test_a_placement_ends_when_nothing_is_left_to_ask_or_to_learn() -> None:
    assert place(Learner(), [], {}, 0.0) == Placement(None, 0.0)
    told = {point.id: False for point in POINTS[:MOST]}
    assert place(Learner(), POINTS, told, 0.0).next is None
    alike = [Askable(f"p{n}", (), 50) for n in range(3)]

    class Sure:
        def weights(self) -> list[float]:
            return [1.0]

        def recall_by_node(self, items: list[str], at: float, now: float) -> list[list[float]]:
            return [[0.5] for _ in items]

    assert place(Sure(), alike, {}, 0.0) == Placement(None, 0.0)  # type: ignore[arg-type]
