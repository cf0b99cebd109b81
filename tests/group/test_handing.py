"""From the evening into records: each his own, once, with their own times."""

from pathlib import Path

import pytest

from tests.coach.sitting import START, candidate_in, later
from tests.group.sitting import AT_MS, all_points, begun, play
from trainer.coach.candidate import create, settings
from trainer.coach.history import history
from trainer.group.evening import Evening
from trainer.group.handing import drafts_for, hand_over
from trainer.group.journal import EveningError
from trainer.group.turns import LIVE, QUESTION
from trainer.paths import Home


def one_go_two_nogo(evening: Evening) -> dict[str, bool]:
    return {name: place == 0 for place, name in enumerate(evening.graders)}


def test_each_gets_his_own_answers_with_their_own_times(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    points = all_points(deck)
    evening, _ = begun(deck, kinds=(QUESTION,))
    for place in range(8):
        play(evening, right=place % 2 == 0)
    known = {point.id: point for point in points}
    mine = [told for who, told in evening.answers if who == "Ada"]
    count = hand_over(evening, "Ada", candidate.log, known, later(days=0.1))
    answers = [event for event in candidate.events() if event.kind == "answer"]
    assert count == len(answers) == sum(len(told.marks) for told in mine)
    assert {event.header.at_ms for event in answers} == {AT_MS}
    past = history(candidate.events(), points, later(days=0.2))
    assert [(e.item, e.right) for e in past.evidence] == [pair for told in mine for pair in told.marks]


def test_a_performance_goes_as_most_of_the_graders_saw_it_and_never_counts_as_a_run(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    evening, _ = begun(deck, kinds=(LIVE,))
    for _ in range(4):
        play(evening, one_go_two_nogo)
    evening.settle(["late"])
    known = {point.id: point for point in all_points(deck)}
    performer = evening.graded[-1].turn.performer
    hand_over(evening, performer, candidate.log, known, START)
    trial = next(event.body for event in candidate.events() if event.kind == "trial")
    assert (trial["go"], trial["held"], trial["faults"]) == (False, "group", ["late"])
    assert history(candidate.events(), all_points(deck), START).trials == {}


def test_even_hands_are_left_out(tmp_path: Path) -> None:
    _, deck = candidate_in(tmp_path)
    evening, _ = begun(deck, ("Ada", "Ben", "Cem"), kinds=(LIVE,))
    one = play(evening, one_go_two_nogo)
    assert drafts_for(evening, one.turn.performer, {}, START) == []


def test_nothing_is_handed_over_twice(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    evening, _ = begun(deck, kinds=(QUESTION,))
    for _ in range(4):
        play(evening)
    known = {point.id: point for point in all_points(deck)}
    hand_over(evening, "Ada", candidate.log, known, START)
    before = len(candidate.events())
    with pytest.raises(EveningError, match="already"):
        hand_over(evening, "Ada", candidate.log, known, START)
    with pytest.raises(EveningError, match="Somebody else"):
        hand_over(evening, "Ben", candidate.log, known, START)
    # The record was written, but the power failed before the evening could note it.
    evening.handed.clear()
    hand_over(evening, "Ada", candidate.log, known, START)
    assert len(candidate.events()) == before


def test_points_that_the_deck_no_longer_has_are_left_out(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    evening, _ = begun(deck, kinds=(QUESTION,))
    for _ in range(4):
        play(evening)
    assert hand_over(evening, "Ada", candidate.log, {}, START) == 0
    other = create(Home(tmp_path / "home"), settings("Ben", deck.id), START)
    assert evening.handed == {"Ada": candidate.id}
    assert other.id != candidate.id
