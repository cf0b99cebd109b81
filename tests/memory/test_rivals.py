"""What every rival owes to the interface, and each one's own Bayes against a few lines written anew."""

import marshal
import random
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.memory.challengers import Activation, Disuse, Performance, counted, rivals
from trainer.memory.grid import INATTENTIONS
from trainer.memory.recall import Evidence
from trainer.memory.rivals import Gridded, Rival, Tally, answer_chance

KINDS = (Activation, Performance, Disuse, Tally)
GRIDDED = (Activation, Performance, Disuse)
LEVELS = range(len(INATTENTIONS))


def log_of(seed: int, answers: int = 60) -> list[Evidence]:
    rng = random.Random(seed)
    at, log = 0.0, []
    for _ in range(answers):
        at += rng.choice((0.0003, 0.0003, 0.7))
        log.append(Evidence(f"p{rng.randrange(6)}", at, rng.random() < 0.7, rng.choice((0, 2, 4))))
    return log


def after(rival: Rival, log: list[Evidence]) -> Rival:
    for one in log:
        rival.take(one)
    return rival


@pytest.mark.parametrize("kind", KINDS)
class TestEveryRival:
    def test_weights_sum_to_one_and_recall_is_their_mean(self, kind: Callable[[], Rival]) -> None:
        rival = after(kind(), log_of(1))
        items = ["p0", "p3", "never"]
        for level in LEVELS:
            weights = rival.weights(level)
            assert sum(weights) == pytest.approx(1.0)
            for item, nodes in zip(items, rival.recall_by_node(items, 40.0, level), strict=True):
                assert all(0.0 <= recall <= 1.0 for recall in nodes)
                mean = sum(weight * recall for weight, recall in zip(weights, nodes, strict=True))
                assert rival.recall(item, 40.0)[level] == pytest.approx(mean)

    def test_right_answers_leave_more_trust_than_wrong_ones(self, kind: Callable[[], Rival]) -> None:
        good, bad = kind(), kind()
        for day in range(5):
            good.take(Evidence("p", float(day), True, 0))
            bad.take(Evidence("p", float(day), False, 0))
        assert min(good.recall("p", 6.0)) > max(bad.recall("p", 6.0))

    def test_a_rival_goes_on_from_its_state_as_if_never_put_away(self, kind: Callable[[], Rival]) -> None:
        log = log_of(2)
        whole = after(kind(), log)
        first = after(kind(), log[:30])
        second = kind()
        second.restore(marshal.loads(marshal.dumps(first.state())))
        after(second, log[30:])
        for level in LEVELS:
            assert second.recall_by_node(["p1", "new"], 30.0, level) == whole.recall_by_node(["p1", "new"], 30.0, level)
            assert second.weights(level) == whole.weights(level)

    def test_asking_for_recall_changes_nothing(self, kind: Callable[[], Rival]) -> None:
        quiet, asked = kind(), kind()
        for one in log_of(3):
            quiet.take(one)
            asked.recall(one.item, one.at)
            asked.recall("p1", one.at + 3.0)
            asked.take(one)
        assert quiet.recall_by_node(["p1"], 30.0, 1) == asked.recall_by_node(["p1"], 30.0, 1)


@pytest.mark.parametrize("kind", GRIDDED)
class TestRivalsWithALaw:
    def test_what_is_not_practised_fades(self, kind: Callable[[], Gridded]) -> None:
        rival = kind()
        after(rival, log_of(4))
        recalls = [rival.recall("p2", 60.0 + 10.0 * step)[0] for step in range(6)]
        assert recalls == sorted(recalls, reverse=True)
        assert recalls[0] > recalls[-1]

    def test_a_point_never_asked_is_known_only_if_it_was_known_before(self, kind: Callable[[], Gridded]) -> None:
        rival = kind()
        rival.take(Evidence("other", 0.0, True, 0))
        assert 0.0 < max(rival.recall("never", 0.0)) <= 0.2

    @pytest.mark.parametrize("level", LEVELS)
    def test_answers_weigh_the_nodes_as_bayes_says(self, kind: Callable[[], Gridded], level: int) -> None:
        # The chance of the whole log is the product of chances given one by one: nodes must gain by just that.
        rival = kind()
        chances = [1.0] * len(rival.weights(level))
        for one in log_of(5, 12):
            for node, recall in enumerate(rival.recall_by_node([one.item], one.at, level)[0]):
                right = answer_chance(recall, one.choices, INATTENTIONS[level])
                chances[node] *= right if one.right else 1.0 - right
            rival.take(one)
        whole = sum(chances)
        assert rival.weights(level) == pytest.approx([chance / whole for chance in chances])

    def test_a_miss_tells_less_of_who_slips_more(self, kind: Callable[[], Gridded]) -> None:
        rival = kind()
        for day in range(6):
            rival.take(Evidence("p", float(day), day != 5, 0))
        recalls = rival.recall("p", 6.0)
        assert recalls == sorted(recalls)
        assert recalls[0] < recalls[-1]


@settings(max_examples=25)
@given(st.lists(st.floats(0.0, 400.0), min_size=2, max_size=10, unique=True))
def test_seconds_that_count_keep_their_order(ages: list[float]) -> None:
    ages.sort()
    seconds = [counted(age) for age in ages]
    assert seconds == sorted(seconds)
    assert counted(0.01) == pytest.approx(864.0)
    assert counted(1.0) == pytest.approx(1800.0 + 0.025 * (86400.0 - 1800.0))


def test_the_tally_counts_a_right_answer_by_the_chance_that_it_was_known() -> None:
    tally = Tally()
    tally.take(Evidence("p", 0.0, True, 4))
    # Beta(2, 1) has the mean 2/3; of right answers .667 x .98 come from knowledge, .25 + .73 x .667 in all.
    known = (2 / 3) * 0.98 / (0.25 + 0.73 * 2 / 3)
    assert tally.recall("p", 9.0)[0] == pytest.approx((2 + known) / (3 + known))
    tally.take(Evidence("p", 1.0, False, 4))
    assert tally.recall("p", 9.0)[0] == pytest.approx((2 + known) / (4 + known))


def test_every_rival_has_a_name_of_its_own() -> None:
    assert len({rival.name for rival in rivals()}) == 4
