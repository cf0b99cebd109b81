"""The plan to the test: made when something changed, kept otherwise, followed by the sitting, told in words."""

import random
from datetime import date
from math import inf
from pathlib import Path

import pytest

from tests.coach.sitting import START, candidate_in, later, sit
from trainer.coach.candidate import settings
from trainer.coach.plan import plan_lines, tonight
from trainer.coach.session import Session
from trainer.coach.standing import open_standing
from trainer.memory.forward import More, Outline
from trainer.memory.readiness import Chance
from trainer.quiz.points import points


def test_the_plan_holds_until_something_changes(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    moment = later(days=1)
    standing = open_standing(candidate, deck, moment)
    first = standing.plan(candidate, moment)
    assert first is not None
    assert standing.plan(candidate, later(days=1, seconds=600)) is first
    assert open_standing(candidate, deck, moment).plan(candidate, moment) is first, "read anew: the same plan"
    wished = [standing.points[0].id]
    assert standing.plan(candidate, moment, wished) is not first, "a tasking"
    candidate.set(settings(test_date=date(2026, 12, 10)), moment)
    assert standing.plan(candidate, moment) is not first, "another date"
    candidate.set(settings(minutes=40), moment)
    assert open_standing(candidate, deck, moment).plan(candidate, moment) is not first, "other minutes"
    next_day = later(days=2)
    assert open_standing(candidate, deck, next_day).plan(candidate, next_day) is not first, "another day"


def test_without_a_test_ahead_or_a_sheet_there_is_no_plan(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path, test_on=None)
    standing = open_standing(candidate, deck, START)
    assert standing.plan(candidate, START) is None
    assert standing.days_to_test(candidate, START) == inf
    dated, deck = candidate_in(tmp_path / "dated")
    assert open_standing(dated, deck, START).days_to_test(dated, START) == pytest.approx(25 + 23 / 24)
    after = later(days=60)
    assert open_standing(dated, deck, after).days_to_test(dated, after) == inf, "passed"
    assert open_standing(dated, deck._replace(grade_sheet=None), START).plan(dated, START) is None


def test_a_sitting_asks_what_a_tasking_names(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    moment = later(days=1)
    standing = open_standing(candidate, deck, moment)
    named = [point.id for point in points(deck) if point.movement == "drum-stop"]
    asked = []
    for wished in ((), named):
        session = Session(candidate, standing, moment, 12, random.Random(1), wished)
        asked.append(len(set(session.plan(moment).open[:6]) & set(named)))
        question = session.next_question(moment)
        assert question is not None
        assert bool(set(question.points) & set(named)) == bool(wished)


def outline(given_up: tuple[str, ...] = (), more: float = 0.7, go: float = 0.6, out: bool = False) -> Outline:
    measures = ("halt", "mark-time")
    chance = Chance(go, 0.4, 0.8)
    return Outline(frozenset(), measures, given_up, chance, Chance(0.2, 0.1, 0.3), 0.9, 11.6, More(20, more), (), out)


def test_the_plan_in_words(tmp_path: Path) -> None:
    _, deck = candidate_in(tmp_path)
    lines = plan_lines(deck, outline(), 41)
    assert "12 sittings of about 41 questions are left. Kept up, they lead to 60 % for a GO" in lines[0]
    assert "with no more practice it is 20 %" in lines[0]
    assert "No habit is known yet; with a sitting on most days 12 sittings" in plan_lines(deck, outline(), 41, 1)[0]
    assert "All 2 measures count for the plan; the weakest on the test date is Halt" in lines[1]
    assert lines[2] == "10 more minutes a day would lead to 70 %."
    assert "no difference that can be told" in plan_lines(deck, outline(more=0.605), 41)[2]
    assert "Let go: Drum stop; the rule allows it" in plan_lines(deck, outline(("drum-stop",)), 41)[1]
    assert "out of reach" in plan_lines(deck, outline(out=True), 41)[-1]


def test_what_tonight_is_for(tmp_path: Path) -> None:
    _, deck = candidate_in(tmp_path)
    every = points(deck)
    ids = [point.id for point in every if point.movement in ("halt", "mark-time")]
    told = tonight(every, deck, ids, 100)
    assert "Mark time" in told
    assert "and" not in told
    assert "more" in tonight(every, deck, [point.id for point in every], 500)
    assert tonight(every, deck, [], 10) == "the rules of the grade sheet"
