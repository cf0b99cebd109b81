"""The rule of a grade sheet, against brute force and scipy (binomial and Poisson-binomial tails)."""

from fractions import Fraction
from itertools import product
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from trainer.drill.grade_sheet import GradeSheet, Share, SheetRule, measure_go, outstanding, parse_share, verdict


def sheet(share: str, minors: int, trials: int = 3, needed: int = 2) -> SheetRule:
    names = tuple(f"m{n}" for n in range(minors))
    return GradeSheet(parse_share(share), trials, needed, names, ()).rule


@pytest.mark.parametrize(
    ("share", "minors", "to_pass"),
    # Common practice, no source: 80 percent of nine is eight. The others are arithmetic.
    [
        ("80 %", 9, 8),
        ("75 %", 12, 9),
        ("75 %", 10, 8),
        ("80%", 10, 8),
        ("66.7 %", 3, 3),
        ("8 of 9", 9, 8),
        ("100 %", 4, 4),
    ],
)
def test_minors_to_pass(share: str, minors: int, to_pass: int) -> None:
    assert sheet(share, minors).minors_to_pass == to_pass


@given(st.integers(1, 10000), st.integers(1, 200))
def test_share_is_exact(hundredths: int, count: int) -> None:
    share = parse_share(f"{hundredths // 100}.{hundredths % 100:02d} %")
    assert share.of(count) == ceil(Fraction(hundredths, 10000) * count)


@pytest.mark.parametrize("text", ["80", "0 %", "101 %", "-5 %", "80 percent", "9 of 8", "1e2 %", "²5 %", "", "% 80"])
def test_share_that_cannot_be(text: str) -> None:
    with pytest.raises(ValueError, match="a share"):
        parse_share(text)


def test_share_is_shown_as_written() -> None:
    assert [str(parse_share(text)) for text in ("80 %", "66.7 %", "8 of 9")] == ["80 %", "66.7 %", "8 of 9"]
    assert Share(75, 100).of(0) == 0


def test_measure_and_sheet_against_scipy() -> None:
    """Common practice, no source: .9 a trial gives .972 a minor and .975240 for 8 of 9."""
    rule = sheet("80 %", 9)
    p = 0.9
    chance = sum(
        p ** sum(trials) * (1 - p) ** (3 - sum(trials))
        for trials in product((True, False), repeat=3)
        if measure_go(rule, trials)
    )
    assert chance == pytest.approx(0.972, abs=1e-12)
    assert chance == pytest.approx(stats.binom.sf(1, 3, p), abs=1e-12)
    passing = 0.0
    for go in product((True, False), repeat=9):
        trials = {f"m{n}": [one] * 3 for n, one in enumerate(go)}
        if verdict(rule, trials, ()).go:
            passing += chance ** sum(go) * (1 - chance) ** (9 - sum(go))
    assert passing == pytest.approx(0.975240, abs=5e-7)
    assert passing == pytest.approx(stats.binom.sf(7, 9, chance), abs=1e-12)


@given(
    st.integers(1, 3).flatmap(
        lambda needed: st.tuples(
            st.just(needed),
            st.integers(needed, 4),
            st.integers(1, 4),
            st.integers(1, 4),
        )
    ),
    st.data(),
)
def test_verdict_agrees_with_every_way_the_sheet_can_go_on(
    numbers: tuple[int, int, int, int], data: st.DataObject
) -> None:
    """What is called decided must be the same in every completion of the sheet, and open must not."""
    needed, trials, minors, wanted = numbers
    rule = SheetRule(needed, trials, min(wanted, minors), ("major",))
    seen = {
        f"m{n}": data.draw(st.lists(st.booleans(), max_size=trials), label=f"trials of m{n}") for n in range(minors)
    }
    now = verdict(rule, seen, ())
    endings = set()
    missing = [(name, trials - len(rows)) for name, rows in seen.items()]
    for filled in product(*[list(product((True, False), repeat=count)) for _, count in missing]):
        whole = {name: [*seen[name], *more] for (name, _), more in zip(missing, filled, strict=True)}
        endings.add(sum(sum(rows) >= needed for rows in whole.values()) >= rule.minors_to_pass)
    if now.go is False:
        assert endings == {False}
    if now.go is True:
        assert endings == {True}
    if now.minors_open == 0:
        assert now.go is not None
    assert verdict(rule, seen, ("major",)).go is False


@given(
    st.tuples(st.integers(1, 3), st.integers(0, 1), st.integers(1, 4), st.integers(1, 4)),
    st.booleans(),
    st.data(),
)
def test_what_is_outstanding_agrees_with_every_way_the_open_minors_can_end(
    numbers: tuple[int, int, int, int], failed: bool, data: st.DataObject
) -> None:
    """Brute force: with `may_fail` of the open minors lost the sheet is still passed, with one more it is not."""
    needed, more, minors, wanted = numbers
    rule = SheetRule(needed, needed + more, min(wanted, minors), ("major",))
    seen = {f"m{n}": data.draw(st.lists(st.booleans(), max_size=rule.trials)) for n in range(minors)}
    now = outstanding(rule, seen, ("major",) if failed else ())
    results = [measure_go(rule, trials) for trials in seen.values()]
    passed = {}
    for ending in product((True, False), repeat=results.count(None)):
        total = results.count(True) + sum(ending)
        passed[ending.count(False)] = total >= rule.minors_to_pass and not failed
    assert now.open == results.count(None)
    assert now.may_fail == max((lost for lost, ok in passed.items() if ok), default=None)
    assert now.to_go == max(0, rule.minors_to_pass - results.count(True))
