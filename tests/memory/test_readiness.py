"""Readiness against worked values, scipy, and every outcome counted one by one."""

from itertools import product
from math import prod
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from trainer.memory.readiness import Assumptions, Forecast, Major, Minor, Sheet
from trainer.memory.recall import Evidence, Learner
from trainer.memory.tails import at_least, expected_tail, tail

KNOWLEDGE = [0.9, 0.8, 0.95, 0.7, 0.99, 0.85, 0.9, 0.6, 0.97]
MAJORS = tuple(Major(f"major {n}") for n in range(5))


def sheet(
    minors: int = 9, majors: tuple[Major, ...] = (), go: int = 0, needed: int = 2, trials: int = 3, to_pass: int = 8
) -> Sheet:
    return Sheet(tuple(Minor(f"m{n}", (f"p{n}",), go) for n in range(minors)), majors, needed, trials, to_pass)


def recalls(known: list[float]) -> dict[str, list[float]]:
    """One node in which every measure has one point."""
    return {f"p{n}": [share] for n, share in enumerate(known)}


def go(of: Sheet, known: list[float]) -> float:
    return Forecast(of, Random(1), draws=0).at(recalls(known), [1.0]).chance.go


def test_worked_measures() -> None:
    assert expected_tail(3, 2, (9.0, 1.0)) == pytest.approx(0.954545455, abs=1e-9)
    assert expected_tail(3, 2, (9.0, 1.0), 0.15) == pytest.approx(0.050164773, abs=1e-9)
    minors = Forecast(sheet(), Random(1), draws=0).at(recalls(KNOWLEDGE), [1.0]).minors
    assert [minor.go for minor in minors] == pytest.approx(
        [0.864107, 0.773669, 0.909326, 0.683231, 0.945502, 0.818888, 0.864107, 0.592793, 0.927414], abs=5e-7
    )
    assert [minor.knowledge for minor in minors] == pytest.approx(KNOWLEDGE)
    assert {minor.execution for minor in minors} == {0.9}


def test_worked_sheet() -> None:
    assert go(sheet(), KNOWLEDGE) == pytest.approx(0.491071708, abs=1e-9)
    assert go(sheet(to_pass=0, majors=MAJORS), KNOWLEDGE) == pytest.approx(0.903920797, abs=1e-9)
    assert go(sheet(majors=MAJORS), KNOWLEDGE) == pytest.approx(0.443889929, abs=1e-9)


def test_worked_sheet_with_perfect_knowledge() -> None:
    perfect = [1.0] * 9
    assert go(sheet(), perfect) == pytest.approx(0.939878002, abs=1e-9)
    assert go(sheet(go=3), perfect) == pytest.approx(0.974288088, abs=1e-9)
    assert go(sheet(majors=MAJORS), perfect) == pytest.approx(0.849575273, abs=1e-9)
    assert go(sheet(go=3, majors=MAJORS), perfect) == pytest.approx(0.880679265, abs=1e-9)


def test_execution_is_the_mean_of_its_beta() -> None:
    # Beta(1, 1) after 7 of 10 is Beta(8, 4); scipy has its mean.
    seen = Sheet((Minor("m", (), 7, 3),), (), 1, 1, 1)
    [minor] = Forecast(seen, Random(1), Assumptions(minor=(1.0, 1.0)), draws=0).at({}, [1.0]).minors
    assert minor.execution == pytest.approx(0.666667, abs=5e-7)
    assert minor.execution == pytest.approx(stats.beta(8, 4).mean())
    assert stats.beta(8, 4).interval(0.95) == pytest.approx((0.390257, 0.890737), abs=5e-7)


shares = st.floats(0.0, 1.0)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(shares, st.integers(0, 3), st.integers(0, 3)), min_size=1, max_size=3),
    st.lists(st.tuples(st.integers(0, 4), st.integers(0, 4)), max_size=2),
    st.integers(0, 2),
    st.data(),
)
def test_sheet_is_the_sum_over_every_outcome(
    minors: list[tuple[float, int, int]], majors: list[tuple[int, int]], needed: int, data: st.DataObject
) -> None:
    to_pass = data.draw(st.integers(0, len(minors)))
    of = Sheet(
        tuple(Minor(f"m{n}", (f"p{n}",), good, bad) for n, (_, good, bad) in enumerate(minors)),
        tuple(Major(f"M{n}", kept, failed) for n, (kept, failed) in enumerate(majors)),
        needed,
        2,
        to_pass,
    )
    # Every way in which each measure knows or not and each of two trials succeeds or not.
    expected = 0.0
    for ways in product(product((True, False), repeat=3), repeat=len(minors)):
        chance, passed = 1.0, 0
        for (known, good, bad), (knows, *trials) in zip(minors, ways, strict=True):
            a, b = 9.0 + good, 1.0 + bad
            mean, square = a / (a + b), a * (a + 1.0) / ((a + b) * (a + b + 1.0))
            share = 1.0 if knows else 0.15
            both, one = share**2 * square, share * mean - share**2 * square
            outcome = (1.0 - both - 2.0 * one, one, both)[sum(trials)]
            chance *= (known if knows else 1.0 - known) * outcome
            passed += sum(trials) >= needed
        expected += chance * (passed >= to_pass)
    expected *= prod((49.0 + kept) / (50.0 + kept + failed) for kept, failed in majors)
    assert go(of, [known for known, _, _ in minors]) == pytest.approx(expected, abs=1e-10)


def test_nodes_are_weighed_after_the_sheet_and_not_before() -> None:
    good_or_bad = {f"p{n}": [1.0, 0.0] for n in range(9)}
    chance = Forecast(sheet(), Random(1)).at(good_or_bad, [0.5, 0.5]).chance
    assert chance.go == pytest.approx((go(sheet(), [1.0] * 9) + go(sheet(), [0.0] * 9)) / 2)
    assert chance.go > go(sheet(), [0.5] * 9)  # which takes the measures for independent


def test_knowledge_is_the_product_of_its_points_in_each_node() -> None:
    of = Sheet((Minor("m", ("p", "q")),), (), 1, 1, 1)
    [minor] = Forecast(of, Random(1)).at({"p": [0.9, 0.5], "q": [0.8, 0.4]}, [0.25, 0.75]).minors
    assert minor.knowledge == pytest.approx(0.25 * 0.72 + 0.75 * 0.2)


def test_a_minor_without_points_is_known() -> None:
    [minor] = Forecast(Sheet((Minor("m"),), (), 2, 3, 1), Random(1)).at({}, [1.0]).minors
    assert minor.knowledge == 1.0
    assert minor.go == pytest.approx(expected_tail(3, 2, (9.0, 1.0)))


def test_a_sheet_of_majors_alone() -> None:
    seen = Forecast(Sheet((), (Major("M", 1, 1),), 2, 3, 0), Random(1)).at({}, [0.5, 0.5])
    assert seen.chance.go == pytest.approx(50 / 52)
    assert seen.majors[0].knowledge is None
    assert seen.majors[0].execution == seen.majors[0].go == pytest.approx(50 / 52)


@settings(max_examples=30, deadline=None)
@given(st.lists(shares, min_size=9, max_size=9), st.lists(shares, min_size=9, max_size=9), shares, st.integers())
def test_the_band_holds_the_chance(first: list[float], second: list[float], weight: float, seed: int) -> None:
    both = {f"p{n}": pair for n, pair in enumerate(zip(first, second, strict=True))}
    chance = Forecast(sheet(majors=MAJORS), Random(seed)).at(both, [weight, 1.0 - weight]).chance
    assert 0.0 <= chance.low <= chance.go <= chance.high <= 1.0 + 1e-12


def test_the_band_is_widened_to_hold_a_chance_beyond_nine_of_ten_draws() -> None:
    rarely = {f"p{n}": [1.0, 0.0] for n in range(9)}
    chance = Forecast(sheet(), Random(1)).at(rarely, [0.05, 0.95]).chance
    assert chance.high == chance.go == pytest.approx(0.05 * 0.939878002, abs=1e-4)
    assert chance.low < 0.001


def test_the_band_is_that_of_a_long_simulation() -> None:
    rng = Random(5)
    known = {f"p{n}": [0.97, 0.9, 0.6] for n in range(9)}
    weights = [0.3, 0.5, 0.2]
    drawn = []
    for _ in range(6000):
        [node] = rng.choices(range(3), weights)
        minors = []
        for n in range(9):
            e, k = rng.betavariate(9, 1), known[f"p{n}"][node]
            minors.append(k * tail(3, 2, e) + (1 - k) * tail(3, 2, 0.15 * e))
        drawn.append(at_least(8, minors) * prod(rng.betavariate(49, 1) for _ in MAJORS))
    drawn.sort()
    chance = Forecast(sheet(majors=MAJORS), Random(2), draws=3000).at(known, weights).chance
    assert chance.low == pytest.approx(drawn[600], abs=0.03)
    assert chance.high == pytest.approx(drawn[5400], abs=0.03)
    assert chance.go == pytest.approx(sum(drawn) / 6000, abs=0.02)


def test_the_same_seed_gives_the_same_band() -> None:
    first, second = (Forecast(sheet(), Random(3)).at(recalls(KNOWLEDGE), [1.0]) for _ in range(2))
    assert first == second


def test_trials_seen_narrow_the_band() -> None:
    new = Forecast(sheet(), Random(3)).at(recalls([1.0] * 9), [1.0]).chance
    seen = Forecast(sheet(go=30), Random(3)).at(recalls([1.0] * 9), [1.0]).chance
    assert seen.high - seen.low < new.high - new.low


def test_the_curve_falls_and_ends_at_the_forecast_of_its_last_date() -> None:
    learner = Learner([Evidence(f"p{n}", 0.1 * n + day, day > 0, 0) for n in range(9) for day in (0, 1, 3)])
    forecast = Forecast(sheet(), Random(1))
    dates = [4.0, 8.0, 16.0, 28.0]
    curve = forecast.curve(learner, dates, 4.0)
    chances = [point.chance.go for point in curve]
    assert chances == sorted(chances, reverse=True)
    assert chances[0] > chances[-1]
    last = dict(zip(forecast.items, learner.recall_by_node(forecast.items, 28.0, 4.0), strict=True))
    assert curve[-1] == forecast.at(last, learner.weights())


@pytest.mark.parametrize(
    ("wrong", "message"),
    [
        (Sheet((), (), 4, 3, 0), "4 trials needed of 3"),
        (Sheet((), (), 2, 3, 1), "1 minors to pass of 0"),
        (Sheet((Minor("m", (), -1),), (), 2, 3, 1), "'m'"),
        (Sheet((), (Major("M", 0, -1),), 2, 3, 0), "'M'"),
    ],
)
def test_a_sheet_that_cannot_be_is_refused(wrong: Sheet, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Forecast(wrong, Random(1))


@pytest.mark.parametrize("wrong", [Assumptions(minor=(0.0, 1.0)), Assumptions(slip=1.5)])
def test_an_assumption_that_cannot_be_is_refused(wrong: Assumptions) -> None:
    with pytest.raises(ValueError, match=r"Beta|slip"):
        Forecast(sheet(), Random(1), wrong)
