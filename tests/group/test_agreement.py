"""Agreement against published tables and statsmodels."""

from collections.abc import Hashable, Sequence
from math import isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st
from statsmodels.stats import inter_rater  # reference library

from trainer.group.agreement import AgainstTruth, against_truth, cohen_value, fleiss_value, kappa, observed

# The worked example of ten subjects, fourteen raters, five categories that follows Fleiss (1971), from memory.
TEN_SUBJECTS = (
    (0, 0, 0, 0, 14),
    (0, 2, 6, 4, 2),
    (0, 0, 3, 5, 6),
    (0, 3, 9, 2, 0),
    (2, 2, 8, 1, 1),
    (7, 7, 0, 0, 0),
    (3, 2, 6, 3, 0),
    (2, 5, 3, 2, 2),
    (6, 5, 2, 1, 0),
    (0, 2, 2, 3, 7),
)


def as_ratings(counts: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(category for category, number in enumerate(counts) for _ in range(number))


def crossed(table: tuple[tuple[int, ...], ...]) -> list[tuple[int, int]]:
    return [
        (row, column) for row, line in enumerate(table) for column, number in enumerate(line) for _ in range(number)
    ]


def named(trials: Sequence[Sequence[object]]) -> list[dict[str, Hashable]]:
    """Let the same graders stand in the same order in every trial."""
    return [{f"g{place}": rating for place, rating in enumerate(ratings)} for ratings in trials]


def test_fleiss_on_the_ten_subjects() -> None:
    value = fleiss_value([as_ratings(row) for row in TEN_SUBJECTS])
    assert value == pytest.approx(0.2099307, abs=5e-8)
    assert value == pytest.approx(inter_rater.fleiss_kappa(TEN_SUBJECTS), abs=1e-12)


@pytest.mark.parametrize(
    ("table", "value"), [(((20, 5), (10, 15)), 0.40), (((45, 15), (25, 15)), 0.130435)], ids=["fifty", "hundred"]
)
def test_cohen_on_published_tables(table: tuple[tuple[int, ...], ...], value: float) -> None:
    """Textbook tables for Cohen (1960), from memory."""
    assert cohen_value(crossed(table)) == pytest.approx(value, abs=1e-6)
    assert cohen_value(crossed(table)) == pytest.approx(inter_rater.cohens_kappa(table).kappa, abs=1e-12)


def test_the_jackknife_interval_is_close_to_the_asymptotic_one() -> None:
    """Reference: statsmodels, whose interval is that of Fleiss, Cohen and Everitt (1969)."""
    table = ((45, 15), (25, 15))
    told, reference = kappa(named(crossed(table))), inter_rater.cohens_kappa(table)
    assert told.low == pytest.approx(reference.kappa_low, abs=0.01)
    assert told.high == pytest.approx(reference.kappa_upp, abs=0.01)


BINARY = st.lists(st.lists(st.booleans(), min_size=3, max_size=3).map(tuple), min_size=1, max_size=30)


@given(BINARY)
def test_fleiss_agrees_with_statsmodels(trials: list[tuple[bool, ...]]) -> None:
    value = fleiss_value(trials)
    table = [(sum(one), len(one) - sum(one)) for one in trials]
    if value is None:
        assert len({rating for one in trials for rating in one}) == 1
    else:
        assert isclose(value, inter_rater.fleiss_kappa(table), abs_tol=1e-9)


@given(BINARY, st.randoms(use_true_random=False))
def test_the_order_of_trials_is_of_no_account(trials: list[tuple[bool, ...]], rng: object) -> None:
    mixed = list(trials)
    rng.shuffle(mixed)  # type: ignore[attr-defined]
    one, other = kappa(named(trials)), kappa(named(mixed))
    assert one.told == other.told
    for mine, theirs in zip(one[2:6], other[2:6], strict=True):
        assert mine == theirs or isclose(mine, theirs, abs_tol=1e-9)  # type: ignore[arg-type]


@given(BINARY)
def test_an_interval_holds_its_value(trials: list[tuple[bool, ...]]) -> None:
    told = kappa(named(trials))
    assert told.percent == pytest.approx(observed(trials))
    if told.low is not None and told.high is not None and told.value is not None:
        assert told.low <= told.value <= told.high


def test_everybody_always_go_gets_a_sentence_instead_of_a_number() -> None:
    told = kappa(named([(True, True, True)] * 9))
    assert (told.percent, told.value, told.low) == (1.0, None, None)
    assert told.told == "Everybody always gave the same in 9 trials: kappa has no value then."


def test_nothing_graded_by_two_gets_a_sentence() -> None:
    told = kappa(named([(True,), ()]))
    assert (told.trials, told.percent, told.value) == (0, None, None)
    assert told.told == "No trial was graded by two people yet."


def test_trials_of_one_grader_are_left_out_and_that_is_told() -> None:
    both = [(True, True), (False, False), (True, False)]
    told = kappa(named([*both, (True,)]))
    assert told._replace(alone=0) == kappa(named(both)), "they change nothing else"
    assert told.left_out() == "One trial was graded by one alone and left out of this: nobody agrees with himself."
    assert kappa(named([*both, (True,), (False,)])).left_out().startswith("2 trials were graded by one alone")
    assert kappa(named(both)).left_out() == ""
    assert kappa(named([(True,)])).left_out() == "", "where nothing else is told, there is nothing to leave out"


def test_few_trials_have_a_value_and_no_interval() -> None:
    told = kappa(named([(True, True), (False, False), (True, False)]))
    assert told.value is not None
    assert told.low is None
    assert told.told == "3 trials: too few for an interval."


def test_an_interval_that_hangs_on_one_trial_is_not_given() -> None:
    """Without the one NO-GO everybody would have always given the same, so nothing can be said of the spread."""
    told = kappa(named([(True, True, True)] * 8 + [(False, False, False)]))
    assert told.value == pytest.approx(1.0)
    assert told.low is None


def test_full_agreement_gets_no_interval_of_no_width() -> None:
    told = kappa(named([(True, True, True)] * 4 + [(False, False, False)] * 4))
    assert (told.value, told.low, told.high) == (1.0, None, None)
    assert told.told == "8 trials: too much alike for an interval."


def test_two_graders_are_judged_by_cohen_and_three_by_fleiss() -> None:
    assert kappa(named([(True, False)] * 6)).name == "Cohen's kappa"
    assert kappa(named([(True, False, True)] * 6)).name == "Fleiss' kappa"
    changing = [{"Ada": True, "Ben": False}, {"Ben": True, "Cem": True}, {"Ada": True, "Cem": False}] * 2
    assert kappa(changing).name == "Fleiss' kappa", "two a trial, but not the same two"
    swapped = [{"Ada": True, "Ben": False}, {"Ben": False, "Ada": True}] * 3
    assert kappa(swapped).value == pytest.approx(0.0), "who gave what counts, not who was named first"


def test_trials_with_unlike_numbers_of_graders_count_alike() -> None:
    """By hand: pairs alike 1 of 1 and 1 of 3, so 2/3; shares of GO 4 of 5: chance .64 + .04 = .68."""
    trials = [(True, True), (True, True, False)]
    assert observed(trials) == pytest.approx(2 / 3)
    assert fleiss_value(trials) == pytest.approx((2 / 3 - 0.68) / 0.32)


def test_a_grader_against_the_known_truth() -> None:
    graded = [
        (False, {"Ada": False, "Ben": True}),
        (True, {"Ada": False, "Ben": True}),
        (True, {"Ada": True}),
    ]
    assert against_truth(graded) == {"Ada": AgainstTruth(1, 0, 1, 1), "Ben": AgainstTruth(0, 1, 0, 1)}
    assert against_truth(graded)["Ada"].words() == "saw 1 of 1 faulty trials, called 1 of 2 right ones NO-GO"
    assert AgainstTruth().words() == "No trial with a known truth yet."
