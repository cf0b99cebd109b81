"""Looks for faults: right performances among flawed ones, what is kept, and how well each fault is seen."""

import random
from pathlib import Path

import pytest

from tests.screens.opened import NOW, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.eye import SEE, EyePractice, eye_words, fault_eyes, looks, playable, whole_eye
from trainer.coach.standing import open_standing
from trainer.drill.faults import differences
from trainer.paths import Home
from trainer.rhythm.eye import Eye


@pytest.fixture
def practice(tmp_path: Path) -> EyePractice:
    candidate = someone(Home(tmp_path / "home"))
    deck = open_deck(candidate.profile.deck, candidate.home)
    return EyePractice(candidate, open_standing(candidate, deck, NOW), random.Random(5))


def test_about_every_second_performance_is_right_and_has_nothing_in_it(practice: EyePractice) -> None:
    drawn = [practice.draw(NOW) for _ in range(400)]
    right = 0
    for shown in drawn:
        assert shown is not None
        found = differences(shown.right, shown.score)
        assert bool(found) == (shown.fault is not None)
        assert {one.beat for one in found} == shown.beats
        right += shown.fault is None
        assert shown.fault is None or shown.fault in shown.offered
        assert set(shown.offered) <= set(playable(shown.movement))
    assert 160 < right < 240, "a fair coin of 400 throws leaves this band once in 30,000 (four standard deviations)"


def test_every_playable_fault_comes_up(practice: EyePractice) -> None:
    movement = practice.deck.movement("halt")
    seen = {shown.fault for _ in range(300) if (shown := practice.draw(NOW, movement)) is not None}
    assert seen == {None, *playable(movement)}


def test_a_fault_that_was_shown_is_an_answer_and_a_right_performance_is_a_look_alone(practice: EyePractice) -> None:
    movement = practice.deck.movement("halt")
    kinds = {}
    for _ in range(40):
        shown = practice.draw(NOW, movement)
        assert shown is not None
        said = shown.offered[0]
        judged = practice.record(shown, said, min(shown.beats, default=0.0), 2500, NOW)
        assert judged.right == (shown.fault is said)
        kinds[shown.fault] = [dict(event.body) for event in practice.candidate.log.events()[-2:]]
    last = kinds[playable(movement)[0]]
    assert last[0]["shown"] == last[0]["said"] == playable(movement)[0].id
    assert last[0]["placed"] is True
    assert (last[1]["question"], last[1]["right"]) == (SEE, True)
    assert last[1]["point"] == f"harbour-guard/halt/faults/{playable(movement)[0].id}"
    assert "point" not in kinds[None][1], "what was right marks no fault"


def test_who_sees_a_fault_everywhere_is_told_so_and_who_sees_it_where_it_is_too(practice: EyePractice) -> None:
    movement = practice.deck.movement("halt")
    first, second = playable(movement)[:2]
    for _ in range(200):
        shown = practice.draw(NOW, movement)
        assert shown is not None
        said = second if shown.fault is second else first
        practice.record(shown, said, 0.0, 2500, NOW)
    seen = looks(practice.candidate.log.events(), "harbour-guard")
    told = {one.fault.id: one.eye for one in fault_eyes(practice.deck, seen)}
    assert "where it is not" in eye_words(told[first.id])
    assert eye_words(told[second.id]).startswith(
        f"seen in {told[second.id].there} of {told[second.id].there}, called in 0"
    )
    assert "you see it where it is" in eye_words(told[second.id])
    assert whole_eye(seen).rejections == 0
    assert looks(practice.candidate.log.events(), "another") == {}


def test_a_lean_to_one_answer_is_told() -> None:
    assert "in doubt you call it" in eye_words(Eye(40, 1, 15, 26))
    assert "in doubt you let it pass" in eye_words(Eye(26, 15, 1, 40))
    assert "in doubt" not in eye_words(Eye(36, 5, 5, 36))


def test_few_performances_tell_nothing() -> None:
    assert eye_words(Eye(2, 0, 0, 3)) == "seen in 2 of 2, called in 0 of 3 without it; too few to tell yet"
