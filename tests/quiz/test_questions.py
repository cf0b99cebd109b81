"""Every question about every point of every deck has one right answer, judged by an oracle of its own."""

import tomllib
from collections import Counter
from pathlib import Path
from random import Random

import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from tests.quiz.judging import check
from tests.quiz.made_decks import decks
from trainer.authoring.building import build
from trainer.drill.checks import findings
from trainer.drill.deck import Deck
from trainer.quiz.asking import Asker
from trainer.quiz.marking import mark
from trainer.quiz.points import points
from trainer.quiz.questions import KINDS, Question

SHIPPED = sorted(Path(__file__).parents[2].joinpath("decks").glob("*.toml"))


def shipped(path: Path) -> Deck:
    return build(tomllib.loads(path.read_text(encoding="utf-8")))


def check_marks(question: Question) -> None:
    """The right answer marks every point right; every other choice marks its point wrong."""
    marked = mark(question, question.answer)
    assert marked.right
    assert marked.correct == question.answer
    assert marked.choices == question.chance
    assert [point for point, _ in marked.marks] == list(question.points)
    if question.expects == "choice":
        for number in range(len(question.choices)):
            assert mark(question, number).right == (number == question.answer)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_every_question_of_a_shipped_deck_has_one_right_answer(path: Path) -> None:
    deck = shipped(path)
    asker = Asker(deck)
    for point in points(deck):
        kinds = asker.kinds(point.id)
        assert len(kinds) >= (2 if point.essential else 1), point
        for kind in kinds:
            for seed in range(2):
                question = asker.ask(point.id, Random(seed), kind)
                assert question.kind == kind
                assert kind in KINDS
                assert point.id in question.points
                check(deck, question)
                check_marks(question)


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_right_answers_stand_at_every_place_and_guesses_are_worth_what_they_say(path: Path) -> None:
    deck = shipped(path)
    asker = Asker(deck)
    rng = Random(7)
    places: dict[tuple[str, int], Counter[int]] = {}
    for point in points(deck):
        for _ in range(4):
            question = asker.ask(point.id, rng)
            if question.expects == "choice" and isinstance(question.answer, int):
                at = places.setdefault((question.kind, len(question.choices)), Counter())
                at[question.answer] += 1
    for (kind, size), at in places.items():
        asked = sum(at.values())
        if asked >= 60:
            assert set(at) == set(range(size)), kind
            assert max(at.values()) < 0.8 * asked, kind


def test_the_same_seed_asks_the_same_question_and_the_kinds_asked_last_are_avoided() -> None:
    deck = shipped(SHIPPED[0])
    asker = Asker(deck)
    for point in points(deck)[::7]:
        assert asker.ask(point.id, Random(5)) == Asker(deck).ask(point.id, Random(5))
        kinds = asker.kinds(point.id)
        for kind in kinds:
            others = [one for one in kinds if one != kind]
            avoided = asker.ask(point.id, Random(3), avoid=[kind]).kind
            assert avoided in (others or [kind])
        assert asker.ask(point.id, Random(3), avoid=kinds).kind in kinds


def test_an_unknown_point_and_a_kind_that_does_not_fit_are_errors() -> None:
    deck = shipped(SHIPPED[0])
    asker = Asker(deck)
    with pytest.raises(KeyError):
        asker.ask("elsewhere/march/words/command", Random(0))
    with pytest.raises(ValueError, match="cannot be asked"):
        asker.ask(points(deck)[0].id, Random(0), "retest")


@settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
@given(decks(), st.integers(0, 2**32))
def test_every_question_of_any_deck_has_one_right_answer(deck: Deck, seed: int) -> None:
    assume(not findings(deck))
    asker = Asker(deck)
    for point in points(deck):
        kinds = asker.kinds(point.id)
        assert kinds, point
        for kind in kinds:
            question = asker.ask(point.id, Random(seed), kind)
            check(deck, question)
            check_marks(question)


def harbour() -> Asker:
    return Asker(shipped(next(path for path in SHIPPED if path.stem == "harbour_guard_marching")))


def test_a_fault_that_another_movement_could_have_in_kind_is_not_asked_of_it() -> None:
    """Feet work in place with pinned arms in both of these as well, and the left foot closes in the other three."""
    asker = harbour()
    for point, closely in (
        ("mark-time/faults/arm-loose", {"Halt from mark time", "Full ahead"}),
        ("halt/faults/arm-loose", {"Side step to starboard", "Halt from the side step", "Mark time"}),
    ):
        name = next(one.id for one in asker.book.points if one.id.endswith(f"/{point}"))
        for seed in range(20) if "movement of a fault" in asker.kinds(name) else ():
            question = asker.ask(name, Random(seed), "movement of a fault")
            assert len(question.choices) > 2
            assert not closely & set(question.choices)


def test_a_right_fault_is_not_the_only_one_that_names_the_words_of_the_command() -> None:
    asker = harbour()
    for point in asker.book.points:
        if point.family != "faults" or point.movement == "grade-sheet":
            continue
        said = {word.say.upper() for word in asker.book.movement(point).call}
        for seed in range(4):
            question = asker.ask(point.id, Random(seed), "fault of")
            naming = [any(f"“{word}”" in text.upper() or word in text for word in said) for text in question.choices]
            assert isinstance(question.answer, int)
            assert not naming[question.answer] or sum(naming) > 1, question
