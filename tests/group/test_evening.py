"""The evening: turns by lot, people who come and go, and the same state from the kept steps."""

import json
from collections import Counter
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.group.sitting import FOUR, all_points, begun, guard_deck, play
from trainer.coach.eye import RIGHT_SHARE
from trainer.drill.deck import Deck
from trainer.group.evening import Evening, resumed
from trainer.group.journal import EveningError
from trainer.group.turns import LIVE, PLAYED, QUESTION


@pytest.fixture(scope="session")
def deck(tmp_path_factory: pytest.TempPathFactory) -> Deck:
    return guard_deck(str(tmp_path_factory.mktemp("home")))


def state(evening: Evening) -> dict[str, Any]:
    return {
        name: value
        for name, value in vars(evening).items()
        if name not in {"_keep", "_lot", "_asker", "deck", "_points"}
    }


def test_the_lot_is_the_seed(deck: Deck) -> None:
    turns = []
    for _ in range(2):
        evening, _ = begun(deck)
        turns.append([play(evening).turn for _ in range(15)])
    other, _ = begun(deck, seed=8)
    assert turns[0] == turns[1]
    assert [play(other).turn for _ in range(15)] != turns[0]


def test_everybody_performs_equally_often_and_never_grades_himself(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(QUESTION, LIVE))
    for _ in range(16):
        turn = evening.draw()
        assert turn.performer not in evening.graders
        assert set(evening.graders) | {turn.performer} == set(FOUR)
        play(evening)
    assert set(Counter(one.turn.performer for one in evening.graded).values()) == {4}


def test_rounds_follow_one_another_and_measures_come_alike(deck: Deck) -> None:
    evening, _ = begun(deck)
    assert deck.grade_sheet is not None
    for _ in range(3 * len(deck.grade_sheet.minors)):
        play(evening)
    assert [one.turn.kind for one in evening.graded[:6]] == [QUESTION, PLAYED, LIVE] * 2
    asked = Counter(one.turn.measure for one in evening.graded if one.turn.kind == QUESTION)
    assert set(asked.values()) == {1}


def test_a_played_turn_knows_its_truth_and_is_often_right(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(PLAYED,))
    for _ in range(120):
        one = play(evening)
        movement = deck.movement(one.turn.measure)
        assert one.right == (one.turn.fault == "")
        assert one.turn.fault == "" or movement.fault(one.turn.fault) is not None
        assert set(one.gave) == set(FOUR), "everybody grades what the program plays"
    share = sum(bool(one.right) for one in evening.graded) / 120
    assert share == pytest.approx(RIGHT_SHARE, abs=0.12)


def test_the_truth_of_a_question_is_the_mark_of_its_answer(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(QUESTION,))
    assert play(evening, right=True).right is True
    assert play(evening, right=False).right is False
    assert [told.marks[0][1] for _, told in evening.answers] == [True, False]


def test_nobody_knows_the_truth_on_the_floor(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(LIVE,))
    assert play(evening).right is None
    assert evening.against_truth() == {}
    evening.settle(["late"])
    assert evening.graded[-1].faults == ("late",)


STEPS = st.lists(
    st.sampled_from(
        ["play", "play", "play wrong", "draw", "leave Ben", "sit Ben", "sit Eli", "rename", "skip", "settle"]
    ),
    max_size=25,
)


@settings(max_examples=40, deadline=None)
@given(STEPS, st.integers(0, 5))
def test_the_kept_steps_give_the_same_evening(deck: Deck, steps: list[str], seed: int) -> None:
    evening, kept = begun(deck, seed=seed)
    for step in steps:
        if len(evening.present) < 3 and step.startswith(("play", "draw")):
            continue
        if step.startswith("play"):
            play(evening, right=step == "play")
        elif step == "draw":
            evening.draw()
        elif step == "leave Ben":
            evening.leave("Ben")
        elif step.startswith("sit"):
            name = step.split()[1]
            if name not in evening.present:
                evening.sit_down(name)
        elif step == "rename":
            evening.rename("Ada" if "Ada" in evening.places else "Adele", "Adele" if "Ada" in evening.places else "Ada")
        elif step == "skip" and evening.turn is not None:
            evening.skip()
        elif step == "settle" and evening.graded:
            evening.settle(["late"])
    lines = [json.loads(json.dumps(entry)) for entry in kept]
    assert state(resumed(deck, all_points(deck), lines, kept.append)) == state(evening)


def test_a_turn_that_was_interrupted_waits(deck: Deck) -> None:
    evening, kept = begun(deck, kinds=(QUESTION,))
    turn, question = evening.draw(), evening.question()
    again = resumed(deck, all_points(deck), kept, kept.append)
    assert again.draw() == turn
    assert again.question() == question


def test_a_turn_falls_with_its_performer(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(LIVE,))
    performer = evening.draw().performer
    evening.leave(performer)
    assert evening.turn is None
    assert evening.draw().performer != performer
    evening.sit_down(performer)
    assert evening.present == list(FOUR), "everybody keeps his place and so his keys"


def test_a_wrong_name_is_put_right_everywhere(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(QUESTION,))
    for _ in range(4):
        play(evening)
    evening.rename("Ada", "Adele")
    assert "Ada" not in str(state(evening)).replace("Adele", "")
    assert "Adele" in {one.turn.performer for one in evening.graded}


@pytest.mark.parametrize(
    ("names", "sentence"),
    [
        (("Ada", "Ben"), "3 to 8 people, not 2"),
        (tuple(f"P{n}" for n in range(9)), "not 9"),
        (("Ada", "Ben", " ada "), "Two people are called ada"),
        (("Ada", "Ben", "  "), "Give a handle"),
        (("Ada", "Ben", "C\x1b[31m"), "cannot be shown"),
    ],
)
def test_people_who_make_no_group(deck: Deck, names: tuple[str, ...], sentence: str) -> None:
    with pytest.raises(EveningError, match=sentence):
        begun(deck, names)


def test_seats_and_names_taken(deck: Deck) -> None:
    evening, _ = begun(deck, tuple("ABCDEFGH"))
    with pytest.raises(EveningError, match="keys for 8 people"):
        evening.sit_down("I")
    with pytest.raises(EveningError, match="sits here already"):
        evening.sit_down("a")
    evening.rename("B", "Bo Li")
    with pytest.raises(EveningError, match="Bo Li sits here already"):
        evening.sit_down(" bo  li")
    with pytest.raises(EveningError, match="somebody else"):
        evening.rename("A", "bo li")


def test_one_alone_cannot_go_on(deck: Deck) -> None:
    evening, _ = begun(deck)
    for name in FOUR[:2]:
        evening.leave(name)
    with pytest.raises(EveningError, match="One alone cannot grade"):
        evening.draw()  # one of the two would perform
    played, _ = begun(deck, kinds=(PLAYED,))
    for name in FOUR[:2]:
        played.leave(name)
    assert played.draw().kind == PLAYED, "where the program plays, two can grade"
    played.leave(FOUR[2])
    played.skip()
    with pytest.raises(EveningError, match="One alone cannot grade"):
        played.draw()


def test_a_step_that_cannot_be_is_not_kept(deck: Deck) -> None:
    evening, kept = begun(deck)
    for step in (lambda: evening.grade({}), lambda: evening.settle([]), evening.skip):
        with pytest.raises(EveningError, match="cannot be done at this point"):
            step()
    assert [entry["step"] for entry in kept] == ["begin"]


def test_steps_that_make_no_evening(deck: Deck) -> None:
    _, kept = begun(deck)
    points = all_points(deck)
    for steps in ([], [{"step": "end"}], [kept[0], {"step": "dance"}], [kept[0], {"step": "grade", "gave": {}}]):
        with pytest.raises(EveningError, match="start a new one"):
            resumed(deck, points, steps, kept.append)
    with pytest.raises(EveningError, match='on the deck "other"'):
        resumed(deck, points, [{**kept[0], "deck": "other"}], kept.append)
    with pytest.raises(EveningError, match="start a new one"):
        resumed(deck, points, [kept[0], {"step": "turn", "number": 1}], kept.append)


def test_the_team_and_the_eyes(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(PLAYED,))

    def all_but_ada_right(now: Evening) -> dict[str, bool]:
        assert now.turn is not None
        truth = now.turn.fault == ""
        return {name: truth if name != "Ada" else not truth for name in now.graders}

    for _ in range(10):
        play(evening, all_but_ada_right)
    assert evening.team() == (0, 10, 10)
    seen = evening.against_truth()
    assert seen["Ada"].hits == seen["Ada"].passed == 0
    assert seen["Ben"].misses == seen["Ben"].false_alarms == 0
    assert seen["Ben"].trials == 10
    assert evening.agreement().trials == 10


def test_who_came_late_does_not_perform_twice_running(deck: Deck) -> None:
    evening, _ = begun(deck, kinds=(QUESTION, LIVE))
    for _ in range(8):
        play(evening)
    evening.sit_down("Eva")
    performers = [play(evening).turn.performer for _ in range(7)]
    assert performers.count("Eva") >= 2, "there are turns to make up for"
    assert all(one != after for one, after in pairwise(performers))
