"""What Today says, checked against records that were made for it."""

import random
from datetime import date
from pathlib import Path

import pytest

from tests.screens.opened import ARMY, GUARD, NOW, TEST, TODAY, sat, small_deck, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import Candidate
from trainer.coach.naming import point_words
from trainer.coach.standing import Standing, open_standing
from trainer.coach.today import Today, likely_words, practised_words, today
from trainer.drill.grade_sheet import MINOR
from trainer.paths import Home
from trainer.quiz.points import points
from trainer.records.clock import Moment
from trainer.records.drafts import answer, trial


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def standing_of(candidate: Candidate, moment: Moment = NOW) -> Standing:
    return open_standing(candidate, open_deck(candidate.profile.deck, candidate.home), moment)


def today_of(candidate: Candidate, moment: Moment = NOW) -> Today:
    return today(candidate, standing_of(candidate, moment), moment)


def test_a_newcomer_has_everything_before_him(home: Home) -> None:
    now = today_of(someone(home))
    assert (now.handle, now.day, now.test_date, now.days) == ("Morgan", TODAY, TEST, 37)
    assert now.questions_today == now.points_today == 0
    assert all(reason.startswith("none of its ") for weak in now.weakest for reason in weak.reasons)
    assert practised_words(now) == f"Nothing practised yet today; 0 of {now.outlook.total} points asked so far."


def test_the_weakest_are_those_with_the_lowest_chance(home: Home) -> None:
    candidate = someone(home)
    sat(candidate, 60, 2, wrong_every=4)
    sat(candidate, 60, 1)
    now = today_of(candidate)
    lowest = sorted(measure.go for measure in now.outlook.measures)[: len(now.weakest)]
    assert [weak.share for weak in now.weakest] == lowest


def test_reasons_name_what_was_never_asked_and_the_weakest_point(home: Home, tmp_path: Path) -> None:
    candidate = someone(home, deck=str(small_deck(tmp_path / "deck.toml")))
    deck = open_deck(candidate.profile.deck, home)
    essential = [point for point in points(deck) if point.movement == "halt" and point.essential]
    by_name = {point_words(deck, point): point for point in essential}
    command, first = by_name["the words of its command"], by_name["count 1"]
    drafts = [
        answer(point=point.id, fact=point.fact, right=right, choices=0, question="order", ms=5000, session="s")
        for point, right in ((command, True), (first, False))
    ]
    candidate.log.append_many(drafts, Moment(NOW.at_ms - 3_600_000, NOW.offset))
    halt = next(weak for weak in today_of(candidate).weakest if weak.name == "Halt")
    assert halt.reasons[0] == f"{len(essential) - 2} of {len(essential)} points never asked"
    assert halt.reasons[1].startswith("weakest: count 1, recall ")


def test_trials_seen_no_go_come_first(home: Home) -> None:
    candidate = someone(home, deck=GUARD)
    drafts = [trial(run="r", measure="change-step", number=n, go=n == 1, faults=()) for n in (1, 2, 3)]
    candidate.log.append_many(drafts, NOW)
    weak = next(one for one in today_of(candidate).weakest if one.name == "Change step")
    assert weak.reasons[0] == "2 of 3 observed trials NO-GO"


def test_a_changed_fact_is_told_until_it_is_answered_anew(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml")
    candidate = someone(home, deck=str(path))
    sat(candidate, 12, 2)
    assert today_of(candidate).changed == ()
    small_deck(path, call="Forwards")
    (told,) = today_of(candidate).changed
    assert told.startswith("Forward, march: the words of its command; ")
    assert told.endswith(("answer no longer counts", "answers no longer count"))
    command = next(point for point in standing_of(candidate).points if point.id.endswith("/forward/words/command"))
    anew = answer(point=command.id, fact=command.fact, right=True, choices=0, question="say", ms=1, session="t")
    candidate.log.append_many([anew], NOW)
    assert today_of(candidate).changed == ()


def test_mending_the_prose_changes_nothing(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml")
    candidate = someone(home, deck=str(path))
    sat(candidate, 12, 2)
    before = today_of(candidate)
    path.write_text(path.read_text("utf-8").replace("One more step.", "Just one more step."), "utf-8")
    assert today_of(candidate) == before


def test_what_was_practised_today_is_counted_by_the_local_day(home: Home) -> None:
    candidate = someone(home)
    sat(candidate, 4, 1)
    sat(candidate, 3, 0, hour=-2)
    now = today_of(candidate)
    assert now.questions_today == 3
    assert now.points_today >= 3
    assert practised_words(now).startswith(f"Practised today: 3 questions on {now.points_today} points; ")


def test_the_sitting_is_as_long_as_the_minutes_at_his_pace(home: Home) -> None:
    quick, slow = someone(home, "Quick", minutes=10), someone(home, "Slow", minutes=10)
    deck = open_deck(GUARD, home)
    every = points(deck)
    for candidate, ms in ((quick, 6_000), (slow, 54_000)):
        for number in range(40):  # from so many on his own time counts alone
            point = random.Random(number).choice(every)
            made = answer(point=point.id, fact=point.fact, right=True, choices=4, question="q", ms=ms, session="s")
            candidate.log.append_many([made], Moment(NOW.at_ms - 60_000 * (50 - number), NOW.offset))
    # Ten minutes by hand: 600 s over 6 s of answer and 6 s of reading; over 54 s and 6 s.
    assert today_of(quick).questions == 50
    assert today_of(slow).questions == 10


def test_without_a_grade_sheet_movements_stand_for_measures(home: Home, tmp_path: Path) -> None:
    path = small_deck(tmp_path / "deck.toml", grade_sheet=False)
    now = today_of(someone(home, deck=str(path)))
    assert now.outlook.chance is None
    assert {weak.name for weak in now.weakest} == {"Forward, march", "Halt"}
    assert all(0 < weak.share < 1 for weak in now.weakest)


@pytest.mark.parametrize(("test_date", "days"), [(None, None), (date(2026, 11, 20), -4), (TODAY, 0)])
def test_dates_that_are_not_ahead(home: Home, test_date: date | None, days: int | None) -> None:
    now = today_of(someone(home, deck=ARMY, test_date=test_date))
    assert now.days == days
    assert now.outlook.chance is not None


def test_the_measures_that_are_needed_and_likely_are_counted(home: Home) -> None:
    now = today_of(someone(home))
    sheet = open_deck(GUARD, home).grade_sheet
    assert sheet is not None
    assert now.needed == sheet.rule.minors_to_pass
    assert now.likely == sum(one.kind == MINOR and one.go >= 0.5 for one in now.outlook.measures) == 0
    assert likely_words(now) == f"none of the {now.needed} measures you need are likely"
    assert likely_words(now._replace(likely=1)) == f"1 of the {now.needed} measures you need is likely"
    assert likely_words(now._replace(likely=now.needed)) == f"the {now.needed} measures you need are likely"
