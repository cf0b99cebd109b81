"""Chances that enough of several trials succeed, against worked values and scipy."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from trainer.memory.tails import at_least, evaluated, expected_tail, tail, tail_polynomial

shares = st.floats(0.0, 1.0)
counts = st.integers(0, 8)


def test_worked_tails() -> None:
    assert tail(3, 2, 0.9) == pytest.approx(0.972)
    assert tail(9, 8, 0.972) == pytest.approx(0.975240, abs=5e-7)
    chances = [0.1, 0.2, 0.3]
    exactly = [at_least(n, chances) - at_least(n + 1, chances) for n in range(4)]
    assert exactly == pytest.approx([0.504, 0.398, 0.092, 0.006])
    assert at_least(4, [0.9, 0.8, 0.7, 0.6, 0.5]) == pytest.approx(0.5226)
    assert at_least(16, [0.95] * 20) == pytest.approx(0.997426060, abs=5e-10)


@given(st.data(), st.integers(1, 8), shares)
def test_the_polynomial_is_the_tail(data: st.DataObject, trials: int, chance: float) -> None:
    needed = data.draw(st.integers(0, trials))
    assert evaluated(tail_polynomial(trials, needed), chance) == pytest.approx(tail(trials, needed, chance), abs=1e-9)


@given(st.integers(0, 8), counts, shares)
def test_tail_is_scipy_binomial(needed: int, trials: int, chance: float) -> None:
    assert tail(trials, needed, chance) == pytest.approx(stats.binom(trials, chance).sf(needed - 1), abs=1e-12)


@given(st.integers(0, 10), st.lists(shares, min_size=1, max_size=9))
def test_at_least_is_scipy_poisson_binomial(needed: int, chances: list[float]) -> None:
    expected = stats.poisson_binom.sf(needed - 1, chances) if needed <= len(chances) else 0.0
    assert at_least(needed, chances) == pytest.approx(expected, abs=1e-12)


@given(st.integers(0, 8), st.integers(1, 8), st.floats(0.5, 60.0), st.floats(0.5, 60.0))
def test_expected_tail_is_scipy_beta_binomial(needed: int, trials: int, a: float, b: float) -> None:
    expected = stats.betabinom(trials, a, b).sf(needed - 1)
    assert expected_tail(trials, needed, (a, b)) == pytest.approx(expected, abs=1e-10)


@settings(max_examples=20, deadline=None)
@given(st.integers(1, 4), st.floats(0.5, 20.0), st.floats(0.5, 20.0), shares)
def test_expected_tail_with_a_share_is_the_integral(needed: int, a: float, b: float, share: float) -> None:
    expected = stats.beta(a, b).expect(lambda e: stats.binom.sf(needed - 1, 4, share * e))
    assert expected_tail(4, needed, (a, b), share) == pytest.approx(expected, abs=1e-6)
