"""Borrowing from movement and family: nothing before there is anything to borrow, and lawful afterwards."""

from collections.abc import Sequence
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.memory.grid import KNOWN_BEFORE
from trainer.memory.groups import KNOWN
from trainer.memory.hierarchy import Hierarchy
from trainer.memory.readiness import Forecast, Major, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import pack, unpack

MOVEMENTS = tuple(f"m{n}" for n in range(9))
FAMILIES = ("words", "feet", "counts")
GROUPS = {
    f"{movement}/{family}/{n}": (movement, family) for movement in MOVEMENTS for family in FAMILIES for n in range(2)
}
ITEMS = tuple(GROUPS)
TEST, NOW = 21.0, 5.0

evidences = st.lists(
    st.builds(
        Evidence,
        item=st.sampled_from(ITEMS[:24]),
        at=st.floats(0.0, 4.9).map(lambda at: round(at, 3)),
        right=st.booleans(),
        choices=st.sampled_from([0, 2, 4]),
    ),
    max_size=14,
)


def borrowing(evidence: Sequence[Evidence]) -> Hierarchy:
    return Hierarchy(Learner(evidence), GROUPS)


def feet_of_eight(right: bool) -> list[Evidence]:
    """Ten answers on the feet of eight movements."""
    items = [f"{movement}/feet/0" for movement in MOVEMENTS[:8]] + ["m0/feet/1", "m1/feet/1"]
    return [Evidence(item, 0.001 * n, right, 2) for n, item in enumerate(items)]


def test_without_answers_it_is_the_learner() -> None:
    learner = Learner()
    hierarchy = Hierarchy(learner, GROUPS)
    assert hierarchy.weights() == learner.weights()
    assert hierarchy.recall(ITEMS, TEST, NOW) == pytest.approx(learner.recall(ITEMS, TEST, NOW), abs=1e-12)
    assert hierarchy.known_before(ITEMS) == [KNOWN_BEFORE] * len(ITEMS)


def test_points_of_no_group_leave_the_learner_as_he_is() -> None:
    answers = [Evidence(item, 0.3 * n, n % 3 > 0, 0) for n, item in enumerate("abcab")]
    learner = Learner(answers)
    hierarchy = Hierarchy(learner, GROUPS)
    assert hierarchy.weights() == learner.weights()
    items = ("a", "b", "never asked", *ITEMS[:2])
    assert hierarchy.recall(items, TEST, NOW) == pytest.approx(learner.recall(items, TEST, NOW), abs=1e-12)


def test_ten_answers_on_the_feet_of_eight_movements_say_something_about_the_ninth() -> None:
    unseen = ("m8/feet/0", "m8/words/0")
    plain = Learner(feet_of_eight(True)).recall(unseen, TEST, NOW)
    feet, words = borrowing(feet_of_eight(True)).recall(unseen, TEST, NOW)
    assert feet > plain[0] + 0.1
    assert feet > words + 0.1
    plain = Learner(feet_of_eight(False)).recall(unseen, TEST, NOW)
    feet, words = borrowing(feet_of_eight(False)).recall(unseen, TEST, NOW)
    assert feet < 0.9 * plain[0]
    assert feet < words


def test_a_point_asked_once_borrows_too() -> None:
    # One right answer out of two may be luck; after nine other right answers it is rather knowledge.
    once = [Evidence("m8/feet/0", 1.0, True, 2)]
    alone = borrowing(once).recall(["m8/feet/0"], TEST, NOW)[0]
    assert borrowing([*feet_of_eight(True), *once]).recall(["m8/feet/0"], TEST, NOW)[0] > alone + 0.05
    assert borrowing([*feet_of_eight(False), *once]).recall(["m8/feet/0"], TEST, NOW)[0] < alone - 0.05


def test_a_point_asked_often_speaks_for_itself() -> None:
    often = [Evidence("m8/feet/0", 0.5 * n, n > 0, 0) for n in range(9)]
    alone = borrowing(often).recall(["m8/feet/0"], TEST, NOW)[0]
    for right in (True, False):
        among = borrowing([*feet_of_eight(right), *often]).recall(["m8/feet/0"], TEST, NOW)[0]
        assert among == pytest.approx(alone, abs=0.02)


@settings(max_examples=25, deadline=None)
@given(evidences, st.randoms(use_true_random=False), st.integers(0, 14))
def test_order_and_portions_change_no_digit(evidence: list[Evidence], rng: Random, cut: int) -> None:
    shuffled = list(evidence)
    rng.shuffle(shuffled)
    whole, parts = borrowing(evidence), borrowing(shuffled[:cut])
    parts.recall(ITEMS, TEST, NOW)
    parts.fold(shuffled[cut:])
    assert parts.weights() == whole.weights()
    assert parts.recall_by_node(ITEMS, TEST, NOW) == whole.recall_by_node(ITEMS, TEST, NOW)


@settings(max_examples=25, deadline=None)
@given(evidences)
def test_read_from_a_snapshot_is_read_from_the_log(evidence: list[Evidence]) -> None:
    restored = Hierarchy(unpack(pack(Learner(evidence))), GROUPS)
    assert restored.recall(ITEMS, TEST, NOW) == borrowing(evidence).recall(ITEMS, TEST, NOW)


@settings(max_examples=25, deadline=None)
@given(evidences, st.sampled_from(ITEMS[24:36]), st.sampled_from([0, 2, 4]))
def test_more_first_answers_right_never_lower_the_unseen_of_their_groups(
    evidence: list[Evidence], first: str, choices: int
) -> None:
    movement, family = GROUPS[first]
    kin = [item for item in ITEMS[24:] if item != first and GROUPS[item][1] == family]
    kin += [item for item in ITEMS[24:] if item != first and GROUPS[item][0] == movement]
    right, wrong = (borrowing([*evidence, Evidence(first, 4.95, came, choices)]) for came in (True, False))
    for more, less in zip(right.known_before(kin), wrong.known_before(kin), strict=True):
        assert more >= less - 1e-9
    for more, less in zip(right.recall(kin, TEST, NOW), wrong.recall(kin, TEST, NOW), strict=True):
        assert more >= less - 1e-9


def test_known_before_stays_within_what_the_effects_can_say() -> None:
    rng = Random(3)
    everything = [Evidence(item, rng.random(), True, 0) for item in ITEMS for _ in range(2)]
    shares = borrowing(everything).known_before(ITEMS)
    assert all(KNOWN[0] <= share <= KNOWN[-1] for share in shares)
    assert sum(borrowing(everything).weights()) == pytest.approx(1.0)


def test_weights_are_bayes_with_the_points_weighed_anew() -> None:
    evidence = [*feet_of_eight(True), *(Evidence(item, 2.0, False, 0) for item in ITEMS[:9])]
    learner = Learner(evidence)
    hierarchy = Hierarchy(learner, GROUPS)
    # Two nodes: the ratio of their weights, from the states of every point by themselves.
    told = 1.0
    for item, memory in learner.points().items():
        known = hierarchy.known_before([item])[0]
        mixed = [
            sum(memory.weights[54 * half : 54 * half + 9]) * (1 - known) / 0.8
            + sum(memory.weights[54 * half + 27 : 54 * half + 36]) * known / 0.2
            for half in (3, 20)
        ]
        told *= mixed[0] / mixed[1]
    prior = Learner().weights()
    weights = hierarchy.weights()
    assert weights[9] / weights[60] == pytest.approx(told * prior[9] / prior[60])


def test_thousands_of_answers_do_not_underflow() -> None:
    rng = Random(8)
    answers = [Evidence(rng.choice(ITEMS), n / 100, rng.random() < 0.8, 0) for n in range(1500)]
    hierarchy = borrowing(answers)
    assert sum(hierarchy.weights()) == pytest.approx(1.0)
    assert all(0.0 < recall < 1.0 for recall in hierarchy.recall(ITEMS, 20.0, 15.0))


def test_it_stands_where_the_learner_stood_in_a_forecast() -> None:
    sheet = Sheet(
        tuple(Minor(movement, tuple(i for i in ITEMS if i.startswith(movement))) for movement in MOVEMENTS),
        (Major("bearing"),),
        needed=2,
        trials=3,
        minors_to_pass=7,
    )
    forecast = Forecast(sheet, Random(1))
    plain, borrowed = (
        forecast.curve(model, [TEST], NOW)[0].chance.go
        for model in (Learner(feet_of_eight(True)), borrowing(feet_of_eight(True)))
    )
    assert borrowed > plain


def test_chance_right_and_standings_follow_recall() -> None:
    hierarchy = borrowing(feet_of_eight(True))
    [recall] = hierarchy.recall(["m8/feet/0"], TEST, NOW)
    assert hierarchy.chance_right("m8/feet/0", TEST, 2, NOW) == pytest.approx(0.5 + 0.48 * recall)
    asked, unseen = hierarchy.standings(["m0/feet/0", "m8/feet/0"], TEST, NOW)
    assert asked.answers == 1
    assert (unseen.answers, unseen.recall) == (0, recall)
