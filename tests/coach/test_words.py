"""Readiness in words."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.coach.sitting import START, candidate_in, later, sit
from trainer.coach.history import Trials
from trainer.coach.standing import open_standing
from trainer.coach.words import chance_words, days_words, outlook_lines, percent, readiness_words, standing_words
from trainer.memory.readiness import Chance


@given(st.floats(0.0, 1.0))
def test_a_share_is_never_nothing_and_never_certain(share: float) -> None:
    words = percent(share)
    assert words not in ("0 %", "100 %")
    whole = {"under 1 %": 0, "over 99 %": 100}.get(words) if words[0] in "uo" else int(words.split()[0])
    assert abs(whole - share * 100) <= 0.5 + 1e-9  # type: ignore[operator]


@pytest.mark.parametrize(
    ("share", "words"),
    [
        (0.0, "under 1 %"),
        (0.005, "under 1 %"),
        (0.0051, "1 %"),
        (0.5, "50 %"),
        (0.994, "99 %"),
        (0.995, "over 99 %"),
        (1.0, "over 99 %"),
    ],
)
def test_shares_at_the_edges(share: float, words: str) -> None:
    assert percent(share) == words


def test_a_band_is_told_where_it_can_be() -> None:
    assert chance_words(Chance(0.4, 0.3, 0.5)) == "Chance of a GO: 40 % (8 times in 10 between 30 % and 50 %)."
    assert chance_words(Chance(0.001, 0.0, 0.002)) == "Chance of a GO: under 1 %."


def test_words_rise_with_the_chance() -> None:
    told = [standing_words(Chance(go / 100, 0.0, 1.0)) for go in range(101)]
    assert list(dict.fromkeys(told)) == ["Far from ready", "Not yet", "More likely than not", "Nearly ready", "Ready"]


def test_days_in_words() -> None:
    assert [days_words(days) for days in (None, -1, -3, 0, 1, 9)] == [
        "no test date",
        "the test date was 1 day ago",
        "the test date was 3 days ago",
        "the test is today",
        "the test is tomorrow",
        "9 days to the test",
    ]


def test_plain_lines_tell_every_measure_whole_and_what_is_assumed(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    outlook = open_standing(candidate, deck, later(days=1)).outlook(candidate, later(days=1))
    lines = outlook_lines(deck, candidate.profile, 25, outlook)
    text = "\n".join(lines)
    assert all(one.name in text for one in outlook.measures)
    assert "Execution is assumed, no graded run is on record: 9 of 10 trials, majors kept 49 of 50 tests." in lines
    assert "Without the knowledge a trial still succeeds 15 % as often." in lines
    assert " 0 %" not in text
    assert "100 %" not in text


def test_readiness_is_on_paper_while_execution_is_assumed_and_not_known_before_any_question(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    outlook = open_standing(candidate, deck, START).outlook(candidate, START)
    assert readiness_words(outlook) == "Not known yet"
    asked = outlook._replace(asked=1)
    for go, words in ((0.95, "Ready on paper"), (0.8, "Nearly ready on paper"), (0.1, "Far from ready")):
        assert readiness_words(asked._replace(chance=Chance(go, 0.0, 1.0))) == words
    seen = outlook.measures[0]._replace(trials=Trials(3, 0))
    observed = asked._replace(chance=Chance(0.95, 0.9, 1.0), measures=(seen, *outlook.measures[1:]))
    assert readiness_words(observed) == "Ready"
