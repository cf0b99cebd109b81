"""The mock test: the sheet's own rule over questions that touch every essential point."""

import random
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.coach.sitting import START, candidate_in, later
from trainer.coach.history import Trials, history
from trainer.coach.mock import MockTest
from trainer.coach.mock_paper import Papers, Task
from trainer.coach.standing import open_standing
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import SheetRule
from trainer.quiz.points import FAULTS, points
from trainer.quiz.questions import REVERSE, Question
from trainer.records.log import Log

Answers = Callable[[MockTest, Question], object]


def begun(folder: Path, seed: int = 5) -> tuple[MockTest, Deck]:
    candidate, deck = candidate_in(folder)
    return MockTest(candidate, open_standing(candidate, deck, START), START, random.Random(seed)), deck


def asked(paper: list[Task]) -> list[Question]:
    questions = [task for task in paper if isinstance(task, Question)]
    assert len(questions) == len(paper)
    return questions


def take(test: MockTest, answers: Answers, most: int = 10_000) -> int:
    moment, given = START, 0
    while given < most and (question := test.next_task()) is not None:
        assert isinstance(question, Question)
        moment = later(moment, seconds=10)
        test.answer(answers(test, question), 8_000, moment)  # type: ignore[arg-type]
        given += 1
    return given


def knows(test: MockTest, question: Question) -> object:
    return question.answer


def knows_nothing(test: MockTest, question: Question) -> object:
    return None


def events_of(test: MockTest, kind: str) -> list[dict[str, object]]:
    with Log.open(test.candidate.log.path) as log:
        return [dict(event.body) for event in log.events() if event.kind == kind]


def test_a_paper_touches_every_essential_point_and_a_fault(tmp_path: Path) -> None:
    _, deck = begun(tmp_path)
    papers, rng = Papers(deck, points(deck)), random.Random(1)
    assert deck.grade_sheet is not None
    for measure in deck.grade_sheet.minors:
        own = [point for point in points(deck) if point.movement == measure]
        paper = asked(papers.draw(measure, rng))
        touched = {point for question in paper for point in question.points}
        assert touched >= {point.id for point in own if point.essential}
        assert len(paper) <= 1 + len([point for point in own if point.essential])
        assert any(point.family == FAULTS and point.id in touched for point in own)
        straight = [q for q in paper if q.kind not in REVERSE]
        assert len(straight) >= len(paper) - 1, "no question of a paper names what another asks for"


def test_who_knows_everything_passes_in_the_fewest_trials(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    take(test, knows)
    result, sheet = test.result(), deck.grade_sheet
    assert sheet is not None
    assert result.go is True
    assert result.minors_go == len(sheet.minors)
    assert {measure.trials for measure in result.measures} == {(True,) * sheet.needed}
    assert result.wrong == ()
    assert result.not_seen == tuple(major.text for major in sheet.majors)
    said = events_of(test, "verdict")
    assert [(one["go"], one["held"], one["deck"]) for one in said] == [(True, "mock", deck.id)]
    assert said[0]["said"] == round(1000 * test.known_enough), "knowledge alone, as that is what was tested"


def test_who_knows_nothing_fails_and_is_told_where(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    take(test, knows_nothing)
    result, sheet = test.result(), deck.grade_sheet
    assert sheet is not None
    assert result.go is False
    assert {measure.trials for measure in result.measures} == {(False,) * (sheet.trials - sheet.needed + 1)}
    assert len(result.weakest) == len(sheet.minors)
    assert all(measure.missed for measure in result.weakest)
    assert events_of(test, "verdict")[0]["go"] is False


def test_only_essential_points_decide_a_trial(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    essential = {point.id: point.essential for point in test.standing.points}

    def misses_the_rest(_: MockTest, question: Question) -> object:
        return question.answer if any(essential[point] for point in question.points) else None

    take(test, misses_the_rest)
    assert test.result().go is True
    assert test.result().wrong, "the faults were missed, and that is told"


def test_a_verdict_follows_the_rule_of_the_sheet(tmp_path: Path) -> None:
    """One more measure failed than the share of the minors allows."""
    test, deck = begun(tmp_path)
    assert deck.grade_sheet is not None
    rule: SheetRule = deck.grade_sheet.rule
    minors = deck.grade_sheet.minors
    lost = set(minors[: len(minors) - rule.minors_to_pass + 1])
    take(test, lambda t, question: None if t.measure in lost else question.answer)
    result = test.result()
    assert result.go is False
    assert result.minors_go == rule.minors_to_pass - 1
    assert {measure.id for measure in result.weakest} == lost


def test_a_question_and_its_trial_are_on_the_disk_at_once(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    first = test.next_task()
    assert test.next_task() is first
    take(test, knows, most=1)
    assert len(events_of(test, "answer")) == len(test.answered[0][1].marks)
    while not test.trials[test.measure]:
        take(test, knows, most=1)
    trials = events_of(test, "trial")
    assert [(one["measure"], one["number"], one["go"], one["held"]) for one in trials] == [
        (test.measure, 1, True, "mock")
    ]
    assert events_of(test, "verdict") == []
    assert test.result().go is None


def test_a_mock_feeds_knowledge_and_never_execution(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    take(test, knows)
    past = history(test.candidate.events(), points(deck), later(days=0.2))
    assert past.trials == {}
    assert past.runs == 0
    assert len(past.evidence) == sum(len(marked.marks) for _, marked in test.answered)
    assert past.trials.get("right-flank", Trials()) == Trials()


def test_left_with_minors_open_there_is_no_verdict_however_many_are_go(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    assert deck.grade_sheet is not None
    while test.standing_verdict.minors_go < deck.grade_sheet.rule.minors_to_pass:
        take(test, knows, most=1)
    assert test.standing_verdict.minors_open
    assert test.result().go is None
    assert events_of(test, "verdict") == []


def test_trials_left_falls_to_none(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    assert deck.grade_sheet is not None
    assert test.trials_left == len(deck.grade_sheet.minors) * deck.grade_sheet.trials
    take(test, knows)
    assert test.trials_left == 0


def test_the_same_seed_draws_the_same_test(tmp_path: Path) -> None:
    one, other = begun(tmp_path / "one", 9)[0], begun(tmp_path / "other", 9)[0]
    take(one, knows, 30)
    take(other, knows, 30)
    assert [q.prompt for q, _ in one.answered] == [q.prompt for q, _ in other.answered]


def test_without_a_grade_sheet_there_is_no_mock(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    bare = open_standing(test.candidate, deck._replace(grade_sheet=None), START)
    with pytest.raises(ValueError, match="no grade sheet"):
        MockTest(test.candidate, bare, START)
