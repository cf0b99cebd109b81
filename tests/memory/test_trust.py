"""The correction learnt from past predictions: against statsmodels' and scipy's own answers, and laws it must keep."""

import marshal
import random
from collections.abc import Iterable, Sequence
from math import exp, log, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from scipy.special import expit, logit
from scipy.stats import norm

from trainer.memory import trust
from trainer.memory.blend import PAUSE
from trainer.memory.recall import Evidence, Standing
from trainer.memory.trust import DRAWS, PRIOR_SD, Correction, Trust


class Fixed:
    """A model that says the same recall of every item at every date, by two nodes or one."""

    def __init__(self, *recalls: float) -> None:
        self.recalls = recalls

    def weights(self) -> list[float]:
        return [1.0 / len(self.recalls)] * len(self.recalls)

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        return [self.recalls for _ in items]

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        return [sum(self.recalls) / len(self.recalls) for _ in items]

    def chance_right(self, item: str, at: float, choices: int, now: float) -> float:
        return self.recalls[0]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        return [Standing(item, self.recalls[0], 1, 0.0) for item in items]


def daily(trusted: Trust, shares: float, days: int = 200, seed: int = 1) -> None:
    """Answers to one typed point, two days apart, of which a share is right."""
    rng = random.Random(seed)
    for number in range(days):
        trusted.take(Evidence("p", 2.0 * number, rng.random() < shares, 0))


INATTENTION = trust.INATTENTION[1]


def correction(trusted: Trust) -> Correction:
    """What is learnt under the middle chance of inattention."""
    return trusted.regressions[1].correction()


def mean(trusted: Trust, at: float = 402.0) -> float:
    return trusted.recall(["p"], at, at)[0]


def test_before_any_answer_nothing_is_corrected_but_all_is_spread() -> None:
    trusted = Trust(Fixed(0.9))
    nodes = trusted.recall_by_node(["p"], 10.0, 10.0)[0]
    logits = [log(recall / (1.0 - recall)) for recall in nodes]
    assert sum(logits) / DRAWS == pytest.approx(log(9.0), abs=1e-9)
    assert np.std(logits) == pytest.approx(trust.ERROR, rel=0.02)


def test_a_model_too_sure_is_brought_down_and_a_shy_one_up() -> None:
    sure, shy, fair = Trust(Fixed(0.95)), Trust(Fixed(0.6)), Trust(Fixed(0.8))
    for trusted in (sure, shy, fair):
        daily(trusted, (1.0 - INATTENTION) * 0.8)
    assert 0.8 < mean(sure) < 0.9
    assert 0.65 < mean(shy) < 0.8
    assert mean(fair) == pytest.approx(0.8, abs=0.05)


def test_the_step_by_step_fit_comes_near_the_mode_that_scipy_finds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(trust, "KEPT", 1.0)
    rng = random.Random(4)
    model = Fixed(0.9)
    trusted = Trust(model)
    last: dict[str, float] = {}
    rows, came, guesses = [], [], []
    for number in range(400):
        item, at = f"p{rng.randrange(30)}", number / 10
        choices = rng.choice((0, 4))
        model.recalls = (rng.uniform(0.5, 0.97),)
        right = rng.random() < answer(model.recalls[0], choices)
        days = at - last.get(item, at)
        if days >= PAUSE:
            rows.append((1.0, logit(model.recalls[0]) - 2.0, log(days / 2.0)))
            came.append(right)
            guesses.append(1.0 / choices if choices else 0.0)
        last[item] = at
        trusted.take(Evidence(item, at, right, choices))
    x, y, guess = np.array(rows), np.array(came), np.array(guesses)

    def loss(w: np.ndarray) -> float:
        chance = guess + (1.0 - guess - INATTENTION) * expit(x[:, 1] + 2.0 + x @ w)
        return float(-np.log(np.where(y, chance, 1.0 - chance)).sum() + ((w / PRIOR_SD) ** 2).sum() / 2.0)

    best = minimize(loss, np.zeros(3))
    found = correction(trusted)
    assert found.mean == pytest.approx(best.x, abs=0.1)
    assert [sqrt(found.covariance[k][k]) for k in range(3)] == pytest.approx(np.sqrt(np.diag(best.hess_inv)), rel=0.15)


def answer(recall: float, choices: int) -> float:
    """Chance of a right answer of a candidate who remembers less than he is thought to."""
    guess = 1.0 / choices if choices else 0.0
    return guess + (1.0 - guess - INATTENTION) * float(expit(logit(recall) - 0.6))


def test_the_inverse_against_numpy() -> None:
    rng = np.random.default_rng(3)
    root = rng.normal(size=(3, 3))
    matrix = root @ root.T + np.eye(3)
    assert np.array(trust._inverse(matrix.tolist())) == pytest.approx(np.linalg.inv(matrix))


def test_normal_points_against_scipy() -> None:
    points = sorted(trust._normal_points())
    assert points == pytest.approx(norm.ppf((np.arange(DRAWS) + 0.5) / DRAWS), abs=1e-9)


def test_chances_of_inattention_are_drawn_in_proportion() -> None:
    drawn = trust._drawn([0.25, 0.5, 0.25])
    assert [drawn.count(number) / DRAWS for number in range(3)] == pytest.approx([0.25, 0.5, 0.25], abs=0.03)
    assert set(trust._drawn([0.0, 1.0, 0.0])) == {1}


def test_what_is_slipped_at_all_recalls_alike_is_laid_to_inattention() -> None:
    # Points of .6 come right as predicted and points of .995 slip: loss would have to be greatest where least is lost.
    rng = random.Random(2)
    careful, careless = Trust(Fixed(0.6)), Trust(Fixed(0.6))
    for trusted, slip in ((careful, 0.0), (careless, 0.09)):
        for number in range(600):
            recall = rng.choice((0.6, 0.995))
            right = rng.random() < (1.0 - slip) * recall
            trusted.take(Evidence(f"p{number % 2}", 1.0 * number, right, 0), recall)
    assert careful.inattention()[0] > 0.5 > careful.inattention()[2]
    assert careless.inattention()[2] > 0.5 > careless.inattention()[0]


def test_nodes_are_read_in_proportion_to_their_weight() -> None:
    spread = trust._spread([0.5, 0.0, 0.25, 0.25])
    assert [spread.count(node) for node in range(4)] == [DRAWS // 2, 0, DRAWS // 4, DRAWS // 4]
    assert len(trust._spread([0.1] * 10)) == DRAWS


def test_further_ahead_is_less_sure() -> None:
    trusted = Trust(Fixed(0.9))
    daily(trusted, 0.85)
    spreads = [float(np.std(logit(trusted.recall_by_node(["p"], 400.0 + d, 400.0)[0]))) for d in (1.0, 7.0, 30.0)]
    assert spreads == sorted(spreads)
    assert spreads[0] < spreads[-1]


def test_answers_without_a_pause_are_no_test() -> None:
    trusted = Trust(Fixed(0.9))
    for number in range(50):
        trusted.take(Evidence("p", number / 1000, False, 0))
    assert trusted.counted == 0
    assert correction(trusted).mean == (0.0, 0.0, 0.0)


def test_a_point_never_asked_is_not_corrected() -> None:
    trusted = Trust(Fixed(0.9))
    daily(trusted, 0.4)
    nodes = trusted.recall_by_node(["never"], 400.0, 400.0)[0]
    assert float(np.mean(logit(nodes))) == pytest.approx(log(9.0), abs=1e-9)
    assert mean(trusted) < 0.75


def test_the_state_goes_on_where_it_was_left() -> None:
    whole, first, second = Trust(Fixed(0.9)), Trust(Fixed(0.9)), Trust(Fixed(0.9))
    log_of = [Evidence("p", 2.0 * n, n % 3 > 0, 4) for n in range(60)]
    for one in log_of:
        whole.take(one)
    for one in log_of[:30]:
        first.take(one)
    second.restore(marshal.loads(marshal.dumps(first.state())))
    for one in log_of[30:]:
        second.take(one)
    assert correction(second) == correction(whole)
    assert second.inattention() == whole.inattention()


@settings(max_examples=30)
@given(st.lists(st.booleans(), max_size=60), st.floats(0.05, 0.99), st.sampled_from((0, 2, 4)))
def test_whatever_comes_recall_stays_a_chance_and_one_more_right_answer_never_lowers_it(
    rights: list[bool], recall: float, choices: int
) -> None:
    found = []
    for extra in (False, True):
        trusted = Trust(Fixed(recall))
        for number, right in enumerate([*rights, extra]):
            trusted.take(Evidence("p", 2.0 * number, right, choices))
        found.append(trusted.recall(["p"], 2.0 * len(rights) + 2.0, 2.0 * len(rights))[0])
    assert 0.0 < found[0] <= found[1] < 1.0


def test_readings_agree_with_each_other() -> None:
    trusted = Trust(Fixed(0.6, 0.95))
    daily(trusted, 0.8, days=30)
    nodes, weights = trusted.recall_by_node(["p"], 80.0, 60.0)[0], trusted.weights()
    expected = sum(w * r for w, r in zip(weights, nodes, strict=True))
    assert trusted.recall(["p"], 80.0, 60.0) == pytest.approx([expected])
    assert trusted.standings(["p"], 80.0, 60.0)[0].recall == pytest.approx(expected)
    slip = sum(w * chance for w, chance in zip(trusted.inattention(), trust.INATTENTION, strict=True))
    assert trusted.chance_right("p", 80.0, 4, 60.0) == pytest.approx(0.25 + (0.75 - slip) * expected)
    assert exp(sum(map(log, nodes)) / len(nodes)) < expected
