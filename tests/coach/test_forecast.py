"""Readiness of a candidate on a deck: what it rests on, and that it agrees with its parts."""

from pathlib import Path
from typing import NamedTuple

import pytest

from tests.coach.sitting import START, candidate_in, later, sit
from trainer.coach.candidate import Candidate
from trainer.coach.forecast import essential_points
from trainer.coach.standing import CURVE_STEPS, Standing, open_standing
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import MAJOR
from trainer.records.clock import Moment
from trainer.records.drafts import trial


class Practised(NamedTuple):
    """A candidate after four evenings of forty right answers."""

    candidate: Candidate
    deck: Deck
    standing: Standing
    end: Moment


@pytest.fixture(scope="module")
def practised(tmp_path_factory: pytest.TempPathFactory) -> Practised:
    candidate, deck = candidate_in(tmp_path_factory.mktemp("practised"))
    for day in range(4):
        _, standing, end = sit(candidate, deck, later(days=day), 40, seed=day)
    return Practised(candidate, deck, standing, end)


def test_nothing_practised_is_told_as_such(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    outlook = open_standing(candidate, deck, START).outlook(candidate, START)
    assert outlook.chance is not None
    assert outlook.chance.low <= outlook.chance.go <= outlook.chance.high < 0.01
    assert outlook.asked == 0
    assert outlook.assumed
    assert [one.id for one in outlook.measures] == [*deck.grade_sheet.minors, *(m.id for m in deck.grade_sheet.majors)]  # type: ignore[union-attr]


def test_every_measure_by_hand(practised: Practised) -> None:
    """With execution 9 of 10 a trial (Beta 9, 1) and 3 of 4 needed, GO given knowledge is a beta-binomial tail.

    P(3 or 4 of 4) = sum of C(4, k) B(9 + k, 1 + 4 - k) / B(9, 1) = 0.9231 (9 (9 + 1) (9 + 2) ... / (10 ... 13) by hand:
    k = 4: 9 10 11 12 / (10 11 12 13) = 9/13; k = 3: 4 * 9 10 11 * 1 / (10 11 12 13) = 3/13; together 12/13).
    """
    candidate, _, standing, end = practised
    outlook = standing.outlook(candidate, end)
    best = max((one for one in outlook.measures if one.kind != MAJOR), key=lambda one: one.knowledge or 0.0)
    assert best.knowledge is not None
    assert best.knowledge > 0.5
    known = 12 / 13
    assert best.knowledge * known <= best.go <= best.knowledge * known + (1 - best.knowledge) * 0.05
    assert best.execution == pytest.approx(0.9)
    essential = essential_points(standing.points)[best.id]
    assert (best.asked, best.points) == (sum(p in standing.practice for p in essential), len(essential))


def test_observed_trials_take_the_place_of_what_was_assumed(tmp_path: Path) -> None:
    """Beta (9, 1) with one GO and three NO-GO has the mean 10 / 14; a major failed once in one test 49 / 51."""
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    before = open_standing(candidate, deck, later(days=1)).outlook(candidate, later(days=1))
    drafts = [trial(run="r", measure="halt", number=n, go=n == 1) for n in (1, 2, 3, 4)]
    candidate.log.append_many([*drafts, trial(run="r", measure="sword-lost", number=1, go=False)], later(days=1))
    after = open_standing(candidate, deck, later(days=1)).outlook(candidate, later(days=1))
    measures = {one.id: one for one in after.measures}
    assert measures["halt"].execution == pytest.approx(10 / 14)
    assert measures["sword-lost"].go == pytest.approx(49 / 51)
    assert not after.assumed
    assert before.chance is not None
    assert after.chance is not None
    assert after.chance.go < before.chance.go
    knowledge = {one.id: one.knowledge for one in before.measures}
    assert {one.id: one.knowledge for one in after.measures} == knowledge, "seen runs tell nothing of knowledge"


def test_the_curve_ends_in_the_forecast_and_falls_if_nothing_is_practised(practised: Practised) -> None:
    candidate, _, standing, end = practised
    outlook = standing.outlook(candidate, end, curve=True)
    assert outlook.chance == standing.outlook(candidate, end).chance
    assert len(outlook.curve) == CURVE_STEPS + 1
    dates = [date for date, _ in outlook.curve]
    assert dates == sorted(dates)
    assert outlook.curve[-1] == (standing.test_at(candidate, end), outlook.chance)
    assert outlook.curve[0][1].go >= outlook.curve[-1][1].go
    assert standing.chance(dates[7], end) == outlook.curve[7][1], "one date alone says the same"


def test_without_a_grade_sheet_there_is_recall_and_no_chance(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    bare = deck._replace(grade_sheet=None)
    standing = open_standing(candidate, bare, START)
    outlook = standing.outlook(candidate, START, curve=True)
    assert outlook.chance is None
    assert outlook.measures == ()
    assert outlook.curve == ()
    assert 0.0 < outlook.mean_recall < 1.0
    assert standing.chance(standing.now(START), START) is None


def test_majors_alone_bound_the_chance(practised: Practised) -> None:
    """No chance exceeds that of keeping all four majors, (49 / 50) ** 4; on a sheet without minors it is that."""
    candidate, deck, standing, end = practised
    kept = (49 / 50) ** 4
    chance = standing.outlook(candidate, end).chance
    assert chance is not None
    assert 0.0 < chance.go < kept
    assert deck.grade_sheet is not None
    bare = deck._replace(grade_sheet=deck.grade_sheet._replace(minors=()))
    alone = open_standing(candidate, bare, end).outlook(candidate, end).chance
    assert alone is not None
    assert alone.go == pytest.approx(kept)
