"""The after-action list speaks of what was disputed, and of nothing else."""

import pytest

from tests.group.sitting import AT_MS, begun, guard_deck, play
from trainer.drill.deck import Deck
from trainer.group.after_action import after_action, is_disputed, lines
from trainer.group.evening import Evening
from trainer.group.turns import LIVE, PLAYED, QUESTION, Graded, Turn
from trainer.quiz.marking import mark
from trainer.report.evening import evening_page
from trainer.report.page import text_page
from trainer.screens.evening_rows import end_rows


@pytest.fixture(scope="session")
def deck(tmp_path_factory: pytest.TempPathFactory) -> Deck:
    return guard_deck(str(tmp_path_factory.mktemp("home")))


def graded(gave: dict[str, bool], right: bool | None) -> Graded:
    return Graded(Turn(1, PLAYED, "", "right-flank"), gave, right)


@pytest.mark.parametrize(
    ("one", "disputed"),
    [
        (graded({"Ada": True, "Ben": True}, True), False),
        (graded({"Ada": True, "Ben": False}, True), True),
        (graded({"Ada": True, "Ben": True}, False), True),
        (graded({"Ada": True, "Ben": True}, None), False),
        (graded({"Ada": False, "Ben": True}, None), True),
        (graded({}, True), False),
    ],
)
def test_what_is_disputed(one: Graded, disputed: bool) -> None:
    assert is_disputed(one) is disputed


def truth_but_ada(evening: Evening) -> dict[str, bool]:
    assert evening.turn is not None
    truth = evening.turn.fault == ""
    return {name: truth != (name == "Ada") for name in evening.graders}


def test_a_missed_fault_is_told_with_its_rule(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(PLAYED,))
    while True:
        one = play(evening, truth_but_ada)
        if one.turn.fault:
            break
    item = after_action(evening).items[-1]
    movement = deck.movement(one.turn.measure)
    fault = movement.fault(one.turn.fault)
    assert fault is not None
    assert item.name == movement.name
    assert item.to_happen.startswith(f"{movement.command}: ")
    assert fault.tell in item.happened
    assert item.why == "GO Ada; NO-GO Ben, Cem, Dov. Ada took it for right."
    assert any(fault.tell in line for line in after_action(evening).improve)


def test_agreement_is_sustained(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(PLAYED,))
    measures = len(deck.grade_sheet.minors) if deck.grade_sheet else 0

    def truth(now: Evening) -> dict[str, bool]:
        assert now.turn is not None
        return dict.fromkeys(now.graders, now.turn.fault == "")

    for _ in range(3 * measures):
        play(evening, truth)
    told = after_action(evening)
    assert told.items == ()
    assert told.improve == ()
    assert told.sustain
    assert all("seen alike in all" in line for line in told.sustain)


def test_who_sees_faults_that_are_not_there_is_told(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(PLAYED,))
    for _ in range(25):
        play(evening, lambda now: {name: name != "Dov" for name in now.graders})
    assert any(line.startswith("Dov called ") and "not there" in line for line in after_action(evening).improve)


def test_a_performance_on_the_floor_has_no_truth(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(LIVE,))
    one = play(evening, lambda now: {name: place == 0 for place, name in enumerate(now.graders)})
    item = after_action(evening).items[0]
    assert item.happened == f"{one.turn.performer} performed it; the group settled on no fault."
    assert "Nobody knows the truth" in item.why
    fault = deck.movement(one.turn.measure).faults[0]
    evening.settle([fault.id])
    assert fault.tell in after_action(evening).items[0].happened


def test_the_printed_evening(deck: Deck) -> None:
    evening, _ = begun(deck)
    assert "  Nothing was disputed." in lines(evening, "Evening")
    assert "  No trial was graded by two people yet." in lines(evening, "Evening")
    for _ in range(9):
        play(evening, lambda now: {name: place > 0 for place, name in enumerate(now.graders)})
    printed = "\n".join(lines(evening, "Evening"))
    assert "Fleiss' kappa" in printed
    assert "  1. " in printed
    assert "To happen:" in printed


def test_a_turn_of_one_grader_is_told_wherever_the_evening_is(deck: Deck) -> None:
    evening, _ = begun(deck, ("Ada", "Ben", "Cem"), kinds=(LIVE,))
    for _ in range(3):
        play(evening)
    evening.draw()
    evening.leave(evening.graders[0])
    evening.grade(dict.fromkeys(evening.graders, True))
    told = "One trial was graded by one alone and left out"
    screen = " ".join("".join(span.text for span in row) for row in end_rows(evening, 80))
    for text in ("\n".join(lines(evening, "Evening")), text_page(evening_page(evening)), screen):
        assert told in " ".join(text.split())
    assert "over 3 turns" in screen


def test_a_question_is_told_with_what_was_asked_and_said(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(QUESTION,))
    evening.draw()
    question = evening.question()
    evening.answer(mark(question, None), 900, AT_MS, 60, "the left", "Which foot?", "The right.")
    evening.grade(dict.fromkeys(evening.graders, True))
    (item,) = after_action(evening).items
    assert item.to_happen == "Which foot? The right."
    assert item.happened.endswith(" answered wrong: the left")
    (improve,) = after_action(evening).improve
    assert "disputed once" in improve
