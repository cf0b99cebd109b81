"""One sitting: what is on disk when, what it does to recall, what it is told at the end."""

import random
from pathlib import Path

import pytest

from tests.coach.sitting import START, Faulty, candidate_in, faulty, later, right, sit, wrong
from trainer.coach.candidate import device_id
from trainer.coach.pace import questions_for
from trainer.coach.session import LONGEST_ANSWER_MS, Session
from trainer.coach.standing import open_standing
from trainer.quiz.asking import Asker
from trainer.quiz.questions import REVERSE, Question
from trainer.records.errors import LogFullError
from trainer.records.log import Log


def answers_in(path: str) -> list[str]:
    with Log.open(path) as log:
        return [str(event.body["point"]) for event in log.events() if event.kind == "answer"]


def test_an_answer_is_on_the_disk_before_the_next_question(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    session = Session(candidate, open_standing(candidate, deck, START), START, 12, random.Random(3))
    marked_points: list[str] = []
    while (question := session.next_question(START)) is not None:
        marked = session.answer(question.answer, 5_000, START)
        marked_points += [point for point, _ in marked.marks]
        assert answers_in(candidate.log.path) == marked_points, "read by another connection, as another process would"
    assert session.answered == 12


def test_what_was_just_told_is_not_asked_the_other_way_round(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    asker = Asker(deck)
    told_before = 0
    for seed in range(3):
        session = Session(candidate, open_standing(candidate, deck, START), START, 40, random.Random(seed))
        while (question := session.next_question(START)) is not None:
            last = {one.movement for one, _ in session.asked[-2:]}
            if question.movement in last and any(set(asker.kinds(point)) - REVERSE for point in question.points):
                told_before += 1
                assert question.kind not in REVERSE
            session.answer(question.answer, 5_000, START)
    assert told_before, "some movement came again at once"


def test_the_question_stays_until_it_is_answered(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    session = Session(candidate, open_standing(candidate, deck, START), START, 3)
    first = session.next_question(START)
    assert session.next_question(later(seconds=90)) is first
    with pytest.raises(RuntimeError):
        Session(candidate, open_standing(candidate, deck, START), START, 3).answer(0, 1, START)


def test_an_answer_that_cannot_be_recorded_changes_nothing(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    path = candidate.log.path
    candidate.close()
    candidate.log = Log.open(path, device_id(candidate.home), connect=faulty)
    standing = open_standing(candidate, deck, START)
    session = Session(candidate, standing, START, 4, random.Random(3))
    question = session.next_question(START)
    assert question is not None
    before = standing.learner.recall(list(question.points), 30.0 + standing.now(START), standing.now(START))
    Faulty.full = True
    try:
        with pytest.raises(LogFullError):
            session.answer(question.answer, 5_000, START)
    finally:
        Faulty.full = False
    assert session.next_question(START) is question
    assert session.answered == 0
    assert answers_in(path) == []
    after = standing.learner.recall(list(question.points), 30.0 + standing.now(START), standing.now(START))
    assert after == before, "what was not recorded is not learnt from"
    assert session.answer(question.answer, 5_000, START).right
    assert answers_in(path) == list(question.points)


def test_a_learner_who_learns_is_seen_to_learn(tmp_path: Path) -> None:
    """A simulated candidate who knows nothing at first and never misses what he was told once."""
    candidate, deck = candidate_in(tmp_path)
    told: set[str] = set()

    def learner(question: Question) -> object:
        # A wrong answer marks all points of a question: one of them known, and the rest is guessed from it.
        known = not told.isdisjoint(question.points)
        told.update(question.points)
        return question.answer if known else None

    chances, recalls = [], []
    again = risen = 0
    for day in range(6):
        session, _, end = sit(candidate, deck, later(days=day), 30, learner, seed=day)
        summary = session.summary(end)
        assert summary.now.chance is not None
        chances.append(summary.now.chance.go)
        recalls.append(summary.now.mean_recall)
        asked_before = [one for one in summary.moved if one.right and not one.wrong and one.before > 0.0]
        again += len(asked_before)
        risen += sum(one.now > one.before for one in asked_before)
    assert risen >= 0.6 * again, "what was answered right is mostly better known"
    assert chances[-1] == max(chances)
    assert chances[-1] > 100 * chances[0]
    assert recalls[-1] == max(recalls)


def test_who_comes_back_tomorrow_is_asked_the_weakest_essential_points_and_later_all_of_them_again(
    tmp_path: Path,
) -> None:
    candidate, deck = candidate_in(tmp_path)
    days = []
    for day in range(6):
        session, standing, _ = sit(candidate, deck, later(days=day), 25, seed=day)
        days.append({point for _, marked in session.asked for point, _ in marked.marks})
    minors = deck.grade_sheet.minors if deck.grade_sheet else ()
    essential = {point.id for point in standing.points if point.essential and point.movement in minors}
    assert days[1] - days[0], "what was never asked is weakest"
    assert essential <= set().union(*days), "every point that the sheet hangs on has had a turn"
    assert days[0] & set().union(*days[1:]), "and what was seen comes again"


def test_past_midnight_right_answers_still_count_for_today(tmp_path: Path) -> None:
    """Answers after midnight belong to the new day, or points right three times would be asked on and on."""
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, later(days=-1), 6)
    midnight = later(START, seconds=(14 * 60 - 2) * 60)  # 23:58 where he is
    standing = open_standing(candidate, deck, midnight)
    session = Session(candidate, standing, midnight, 60, random.Random(5))
    moment, asked_new_day = midnight, []
    while (question := session.next_question(moment)) is not None:
        moment = later(moment, seconds=15)
        for point, _ in session.answer(question.answer, 9_000, moment).marks:
            if moment.at_ms > later(midnight, seconds=120).at_ms:
                asked_new_day.append(point)
    most = max(asked_new_day.count(point) for point in asked_new_day)
    alone = [kind for kind in asked_new_day if asked_new_day.count(kind) == most]
    assert most <= 6, f"{alone[0]} was asked {most} times after midnight"


def test_the_summary_is_the_sum_of_its_answers(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    turns = iter([right, wrong, right, right, wrong] * 3)
    session, standing, end = sit(candidate, deck, START, 15, lambda question: next(turns)(question))
    summary = session.summary(end)
    marks = [mark for _, marked in session.asked for mark in marked.marks]
    assert summary.questions == 15
    assert summary.all_right == 9
    assert sum(one.right for one in summary.moved) == sum(ok for _, ok in marks)
    assert sum(one.wrong for one in summary.moved) == sum(not ok for _, ok in marks)
    assert {one.point.id for one in summary.moved} == {point for point, _ in marks}
    assert summary.now == standing.outlook(candidate, end)


def test_a_summary_without_a_test_date_is_for_now(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path, test_on=None)
    session, standing, end = sit(candidate, deck, START, 8)
    summary = session.summary(end)
    now = standing.now(end)
    for one in summary.moved:
        assert one.now == standing.reader.recall([one.point.id], now, now)[0]


@pytest.mark.parametrize("ms", [-5, 0, 7_200_000, 10**18])
def test_a_time_that_cannot_be_is_kept_within_an_hour(tmp_path: Path, ms: int) -> None:
    candidate, deck = candidate_in(tmp_path)
    session = Session(candidate, open_standing(candidate, deck, START), START, 1)
    assert session.next_question(START) is not None
    session.answer(None, ms, START)  # type: ignore[arg-type]
    kept = candidate.log.events()[-1].body["ms"]
    assert kept == min(max(ms, 0), LONGEST_ANSWER_MS)


def test_a_clock_gone_wild_in_a_sitting_neither_ends_it_nor_fades_what_is_known(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    tomorrow = later(days=1)
    standing = open_standing(candidate, deck, tomorrow)
    session = Session(candidate, standing, tomorrow, 10, random.Random(2))
    known = standing.outlook(candidate, tomorrow).mean_recall
    for years in (8, -8, 0):
        moment = later(tomorrow, days=365 * years)
        question = session.next_question(moment)
        assert question is not None
        session.answer(question.answer, 5_000, moment)
        assert standing.outlook(candidate, moment).mean_recall > 0.9 * known
    assert standing.now(tomorrow) - standing.history.now < 1.0
    assert len(answers_in(candidate.log.path)) > 0


def test_every_point_of_the_shipped_decks_can_be_asked(tmp_path: Path) -> None:
    _, deck = candidate_in(tmp_path)
    asker = Asker(deck)
    assert [point.id for point in asker.book.points if not asker.kinds(point.id)] == []


@pytest.mark.parametrize(
    ("minutes", "times", "fits"),
    [
        (15, [], 41),
        (15, [9_000] * 20, 49),
        (15, [9_000] * 40, 60),
        (1, [], 5),
        (240, [1_000] * 50, 120),
        (15, [10**9] * 40, 9),
    ],
)
def test_as_many_questions_as_fit_the_minutes(minutes: int, times: list[int], fits: int) -> None:
    """15 minutes of 16 s and 6 s to read are 41 questions; own times, 4 to 90 s each, count
    from the fifth on, by half at twenty and alone from forty on."""
    assert questions_for(minutes, times) == fits
