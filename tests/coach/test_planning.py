"""What a sitting tells the planner: partners, first days, kinds asked last; and how many questions fit."""

import random
from datetime import timedelta
from pathlib import Path

import pytest

from tests.coach.sitting import START, candidate_in, later, sit
from trainer.coach.candidate import USUAL_MINUTES, Profile, profile_of, settings
from trainer.coach.dates import day_of
from trainer.coach.history import Practice, practised
from trainer.coach.pace import questions_for
from trainer.coach.session import KINDS_REMEMBERED, Session, items
from trainer.coach.standing import open_standing
from trainer.quiz.asking import Asker
from trainer.quiz.points import Point
from trainer.quiz.questions import REVERSE
from trainer.records.drafts import setting
from trainer.records.events import Event, Header

DAY = timedelta(days=1)
TODAY = day_of(START)


def point(movement: str, place: str) -> Point:
    return Point(f"guard/{movement}/counts/{place}", "fact", movement, "counts", True, place)


def test_a_point_is_confusable_with_the_same_place_of_the_likest_movement() -> None:
    """Right and left flank are each other's likest; the halt is like the rear only, which lacks its third count."""
    asked = [point("right", "1"), point("left", "1"), point("halt", "1"), point("halt", "3"), point("rear", "1")]
    alike = {"right": ("left", "rear"), "left": ("right",), "halt": ("rear",)}
    found = items(asked, alike)
    partners = {name.split("/", 1)[1]: item.confusable for name, item in found.items()}
    assert partners == {
        "right/counts/1": ("guard/left/counts/1",),
        "left/counts/1": ("guard/right/counts/1",),
        "halt/counts/1": ("guard/rear/counts/1",),
        "halt/counts/3": (),
        "rear/counts/1": (),
    }
    assert found["guard/halt/counts/1"].groups == ("halt", "counts")


def test_the_planner_is_told_what_was_first_asked_today_and_what_was_right_today(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    first, _, _ = sit(candidate, deck, START, 6)
    second, standing, end = sit(candidate, deck, later(days=1), 6, seed=2)
    old = {mark for _, marked in first.asked for mark, _ in marked.marks}
    rights = [name for _, marked in second.asked for name, right in marked.marks if right]
    told = {one.item.id: one for one in second._candidates(end)}
    assert old
    assert set(rights) - old
    for name, one in told.items():
        assert one.seen == (name in old or name in rights)
        assert one.first_today == (name in rights and name not in old)
        assert one.right_today == rights.count(name)
    tomorrow = Session(candidate, standing, later(days=2), 3)._candidates(later(days=2))
    assert not any(one.first_today or one.right_today for one in tomorrow)


def test_the_first_day_stays_and_right_answers_are_counted_by_the_day() -> None:
    one = practised(Practice(), TODAY, True)
    two = practised(practised(one, TODAY, False), TODAY, True)
    assert (two.answers, two.first_day, two.right_on_last_day) == (3, TODAY, 2)
    three = practised(two, TODAY + DAY, True)
    assert (three.first_day, three.last_day, three.right_on_last_day) == (TODAY, TODAY + DAY, 1)


def test_the_kinds_asked_last_are_not_asked_again_where_there_is_another(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    asker = Asker(deck)
    free = 0
    for seed in range(3):
        session = Session(candidate, open_standing(candidate, deck, START), START, 30, random.Random(seed))
        while (question := session.next_question(START)) is not None:
            last = [one for one, _ in session.asked[-KINDS_REMEMBERED:]]
            recent = {one.kind for one in last}
            other = [set(asker.kinds(name)) - recent - REVERSE for name in question.points]
            if last and all(other):
                free += 1
                assert question.kind not in recent
            session.answer(question.answer, 5_000, START)
    assert free > 30


@pytest.mark.parametrize(
    ("times", "fits"),
    [
        ([10_000] * 4, 27),  # too few to tell: 10 minutes of 16 s and 6 s to read
        ([10_000] * 40, 38),  # 10 s and 6 s
        ([10_000] * 5, 28),  # an eighth of 10 s, the rest of 16 s, and 6 s
        ([4_000, 4_000, 10_000, 90_000, 90_000], 28),  # the median, not the mean
        ([90_000] * 60 + [10_000] * 60, 38),  # the last sixty
        ([0] * 30 + [10_000] * 5, 28),  # a time of nothing is no time
    ],
)
def test_the_pace_is_the_median_of_the_last_answers(times: list[int], fits: int) -> None:
    assert questions_for(10, times) == fits


@pytest.mark.parametrize(("value", "minutes"), [(1, 1), (240, 240), (0, 15), (241, 15), (-5, 15), ("30", 15)])
def test_minutes_beyond_a_sitting_are_passed_over(value: int | str, minutes: int) -> None:
    assert USUAL_MINUTES == 15
    header = Header("id", "candidate-1", "laptop-01", 1, "", START.at_ms, START.offset, START.at_ms)
    assert profile_of([Event(header, *setting("minutes", value))]).minutes == minutes
    (draft,) = settings(minutes=20)
    assert profile_of([Event(header, *draft)]) == Profile(minutes=20)
