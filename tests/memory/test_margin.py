"""The error that no answer can tell: against scipy's normal quantiles, and laws that every reading must keep."""

from collections.abc import Iterable, Sequence
from math import log

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import logit
from scipy.stats import norm

from trainer.memory import margin
from trainer.memory.margin import DRAWS, Margin
from trainer.memory.recall import Standing


class Fixed:
    """A model that says the same recall of every item at every date, by equal nodes."""

    def __init__(self, *recalls: float) -> None:
        self.recalls = recalls

    def weights(self) -> list[float]:
        return [1.0 / len(self.recalls)] * len(self.recalls)

    def recall_by_node(self, items: Iterable[str], at: float, now: float) -> list[Sequence[float]]:
        return [self.recalls for _ in items]

    def recall(self, items: Iterable[str], at: float, now: float) -> list[float]:
        return [sum(self.recalls) / len(self.recalls) for _ in items]

    def standings(self, items: Sequence[str], at: float, now: float) -> list[Standing]:
        return [Standing(item, self.recalls[0], 1) for item in items]


def test_normal_points_against_scipy() -> None:
    points = sorted(margin._normal_points())
    assert points == pytest.approx(norm.ppf((np.arange(DRAWS) + 0.5) / DRAWS), abs=1e-9)


def test_the_error_has_its_size_and_no_bias_in_the_logit() -> None:
    logits = logit(Margin(Fixed(0.9)).recall_by_node(["p"], 10.0, 10.0)[0])
    assert np.mean(logits) == pytest.approx(log(9.0), abs=1e-9)
    assert np.std(logits) == pytest.approx(margin.ERROR, rel=0.02)


def test_it_is_shared_by_all_points() -> None:
    first, second = Margin(Fixed(0.6)).recall_by_node(["p", "q"], 10.0, 10.0)
    assert first == second


def test_nodes_are_read_in_proportion_to_their_weight() -> None:
    spread = margin._spread([0.5, 0.0, 0.25, 0.25])
    assert [spread.count(node) for node in range(4)] == [DRAWS // 2, 0, DRAWS // 4, DRAWS // 4]
    assert len(margin._spread([0.1] * 10)) == DRAWS


def test_the_error_hangs_on_no_node() -> None:
    read = Margin(Fixed(0.2, 0.9)).recall_by_node(["p"], 10.0, 10.0)[0]
    low, high = logit(read[: DRAWS // 2]), logit(read[DRAWS // 2 :])
    assert np.mean(low) == pytest.approx(log(0.25), abs=0.01)
    assert np.mean(high) == pytest.approx(log(9.0), abs=0.01)


def test_further_ahead_is_less_sure() -> None:
    read = Margin(Fixed(0.9))
    spreads = [float(np.std(logit(read.recall_by_node(["p"], d, 0.0)[0]))) for d in (1.0, 7.0, 30.0)]
    assert spreads[0] < spreads[1] < spreads[2]


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=4), st.floats(0.0, 90.0))
def test_readings_agree_with_each_other_and_stay_chances(recalls: list[float], days: float) -> None:
    read = Margin(Fixed(*recalls))
    nodes = read.recall_by_node(["p"], 5.0 + days, 5.0)[0]
    assert all(0.0 < one < 1.0 for one in nodes)
    expected = sum(w * r for w, r in zip(read.weights(), nodes, strict=True))
    assert read.recall(["p"], 5.0 + days, 5.0) == pytest.approx([expected])
    assert read.standings(["p"], 5.0 + days, 5.0)[0].recall == pytest.approx(expected)
