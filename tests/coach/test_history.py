"""Events to evidence: what counts, what does not, and when it was."""

from datetime import date
from pathlib import Path

import pytest

from tests.coach.sitting import START, TEST_ON, candidate_in, later, sit, wrong
from trainer.coach import history as past
from trainer.coach.candidate import Candidate
from trainer.coach.history import GROUND, History, Manner, Trials, history
from trainer.coach.standing import open_standing
from trainer.drill.deck import Deck
from trainer.quiz.points import COUNTS, points
from trainer.records.clock import Moment
from trainer.records.drafts import replacement, trial, verdict, void


def told(candidate: Candidate, deck: Deck, moment: Moment) -> History:
    return history(candidate.log.events(), points(deck), moment)


def changed_step(deck: Deck, movement_id: str, number: int) -> Deck:
    """Return a deck whose standard now says another foot on one count."""
    movement = deck.movement(movement_id)
    counts = list(movement.counts)
    counts[number - 1] = counts[number - 1]._replace(lift=deck.stance("marking time").lift, tell="As it is now.")
    new = movement._replace(counts=tuple(counts))
    return deck._replace(movements=tuple(new if one.id == movement_id else one for one in deck.movements))


def test_answers_to_a_changed_fact_no_longer_count_and_are_told(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 60)
    before = told(candidate, deck, START)
    point = next(
        p for p in points(deck) if p.family == COUNTS and p.id in before.practice and p.movement != "grade-sheet"
    )
    answers = before.practice[point.id].answers
    new = changed_step(deck, point.movement, int(point.place))
    now = told(candidate, new, START)
    assert now.changed[point.id] == answers
    assert point.id not in now.practice
    assert len(now.evidence) == len(before.evidence) - sum(now.changed.values())
    assert now.questions_by_day == before.questions_by_day, "it was practice all the same"
    sit(candidate, new, later(days=1), 60)
    again = told(candidate, new, later(days=2))
    assert point.id not in again.changed or point.id not in again.practice, "answered anew, there is nothing to tell"


def test_a_mended_text_changes_nothing(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 20)
    mended = deck._replace(
        movements=tuple(
            one._replace(counts=tuple(count._replace(tell="Mended.") for count in one.counts), name=f"{one.name}!")
            for one in deck.movements
        )
    )
    assert told(candidate, mended, START) == told(candidate, deck, START)


def test_kind_and_seconds_go_with_every_answer(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    session, _, _ = sit(candidate, deck, START, 12)
    past_now = told(candidate, deck, later(days=1))
    asked = [
        (point, right, Manner(question.kind, 9.0))
        for question, marked in session.asked
        for point, right in marked.marks
    ]
    read = [(one.item, one.right, how) for one, how in zip(past_now.evidence, past_now.manners, strict=True)]
    assert read == asked
    assert len({how.kind for how in past_now.manners}) > 1


def test_a_voided_answer_is_gone_and_a_replaced_one_counts_as_it_is_now(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 10)
    before = told(candidate, deck, later(seconds=200))
    answers = [event for event in candidate.log.events() if event.kind == "answer"]
    first, second = answers[0], answers[1]
    candidate.log.append_many([void(first.header.id)], later(days=1))
    turned = type(void(first.header.id))("answer", {**second.body, "right": not second.body["right"]})
    candidate.log.append_many([replacement(second.header.id, turned)], later(days=1))
    after = told(candidate, deck, later(days=1))
    assert len(after.evidence) == len(before.evidence) - 1
    assert after.evidence[0].item == second.body["point"]
    assert after.evidence[0].right is not second.body["right"]
    assert after.evidence[0].at == pytest.approx(before.evidence[1].at), "a correction does not move the answer in time"


def test_trials_on_the_ground_count_and_mock_tests_do_not(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    drafts = [trial(run="r1", measure="halt", number=n, go=n < 3) for n in (1, 2, 3)]
    drafts.append(trial(run="r1", measure="sword-lost", number=1, go=True, held=GROUND))
    drafts.append(trial(run="m1", measure="halt", number=1, go=False, held="mock"))
    drafts.append(trial(run="g1", measure="halt", number=1, go=False, held="group"))
    candidate.log.append_many(drafts, START)
    assert told(candidate, deck, START).trials == {"halt": Trials(2, 1), "sword-lost": Trials(1, 0)}


def test_verdicts_on_the_ground_are_runs_and_mock_verdicts_are_not(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    drafts = [verdict(run="r1", go=False), verdict(run="r1", go=True), verdict(run="r2", go=True, held=GROUND)]
    drafts += [verdict(run="m1", go=True, held="mock"), verdict(run="g1", go=True, held="group", said=500)]
    candidate.log.append_many(drafts, START)
    assert told(candidate, deck, START).runs == 2


def test_trials_of_another_deck_do_not_count_for_this_one(tmp_path: Path) -> None:
    """Two decks may give two movements the same id; a trial without a deck counts, for it was seen on this one."""
    candidate, deck = candidate_in(tmp_path)
    drafts = [
        trial(run=f"r{number}", measure="halt", number=1, go=True, **named)
        for number, named in enumerate(({}, {"deck": deck.id}, {"deck": "another-deck"}))
    ]
    drafts += [verdict(run="r0", go=True), verdict(run="r1", go=True, deck=deck.id)]
    drafts.append(verdict(run="r2", go=False, deck="another-deck"))
    candidate.log.append_many(drafts, START)
    standing = open_standing(candidate, deck, START).history
    assert (standing.trials, standing.runs) == ({"halt": Trials(2, 0)}, 2)
    everywhere = told(candidate, deck, START)
    assert (everywhere.trials, everywhere.runs) == ({"halt": Trials(3, 0)}, 3)


def test_years_on_the_clock_do_not_mass_or_stretch_what_was_spaced(tmp_path: Path) -> None:
    """Three sittings a day apart; the clock of the second is eight years off, either way."""
    for years in (8, -8):
        candidate, deck = candidate_in(tmp_path / str(years))
        sit(candidate, deck, START, 8)
        sit(candidate, deck, later(days=1 + 365 * years), 8)
        sit(candidate, deck, later(days=2), 8)
        times = [one.at for one in told(candidate, deck, later(days=3)).evidence]
        assert times == sorted(times)
        assert times[-1] - times[0] == pytest.approx(2.0, abs=0.6)


def test_days_are_those_where_the_answer_was_given(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    night = Moment(1_795_559_400_000, 60)  # 23:30 where he is, 22:30 in Greenwich
    _, _, _ = sit(candidate, deck, night, 4)
    sit(candidate, deck, later(night, seconds=3_600), 3)
    days = told(candidate, deck, later(night, seconds=8_000)).questions_by_day
    assert days == {date(2026, 11, 24): 4, date(2026, 11, 25): 3}


def test_right_answers_of_the_last_day_are_counted_for_the_planner(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    session, _, _ = sit(candidate, deck, START, 20)
    marks = [mark for _, marked in session.asked for mark in marked.marks]
    practice = told(candidate, deck, START).practice
    for point in practice:
        assert practice[point].right_on_last_day == sum(name == point for name, _ in marks)
        assert practice[point].first_day == practice[point].last_day == date(2026, 11, 24)
    sit(candidate, deck, later(days=1), 90, wrong)
    later_practice = told(candidate, deck, later(days=1)).practice
    again = [point for point in practice if later_practice[point].last_day == date(2026, 11, 25)]
    assert again
    assert all(later_practice[point].right_on_last_day == 0 for point in again)


def test_a_test_that_has_passed_is_now() -> None:
    assert past.test_day(100.0, START, TEST_ON) == pytest.approx(100.0 + 25 + 23 / 24)
    assert past.test_day(100.0, later(days=40), TEST_ON) == 100.0
