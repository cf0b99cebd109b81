"""Each rule of the choice, over whole sessions of made-up answers."""

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise
from random import Random
from typing import NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.memory.planner import NO_DATE, Asked, Candidate, Item, Plan, plan


class One(NamedTuple):
    """A question about one point."""

    item: str
    right: bool

    @property
    def asked(self) -> Asked:
        return Asked(((self.item, self.right),))


Session = tuple[list[Candidate], list[One], list[Plan], list[Candidate], float]
"""Points before, what was asked, the plan before every question, points after, days left."""


def deck(movements: int, points: int, confusable: Mapping[str, tuple[str, ...]] | None = None) -> list[Candidate]:
    """Points m0.p0, m0.p1, … of which the odd ones are essential, ranked as listed, none seen."""
    return [
        Candidate(
            Item(f"m{m}.p{p}", (f"m{m}", "feet"), (confusable or {}).get(f"m{m}.p{p}", ())),
            recall=0.1,
            essential=p % 2 == 1,
            rank=m * points + p,
        )
        for m in range(movements)
        for p in range(points)
    ]


def old(name: str, recall: float, **changes: object) -> Candidate:
    """A point seen on an earlier day."""
    return Candidate(Item(name, (name,)), recall, True, 0, seen=True)._replace(**changes)  # type: ignore[arg-type]


def sit(
    candidates: Sequence[Candidate],
    answer: Callable[[str], bool],
    questions: int = 60,
    days_left: float = 20.0,
) -> tuple[list[One], list[Plan], list[Candidate]]:
    """A session: what was asked, the plan before every question, the points after it."""
    state = {candidate.item.id: candidate for candidate in candidates}
    asked: list[One] = []
    plans: list[Plan] = []
    for _ in range(questions):
        chosen = plan(list(state.values()), [one.asked for one in asked], days_left)
        plans.append(chosen)
        if chosen.next is None:
            break
        point = state[chosen.next]
        right = answer(chosen.next)
        asked.append(One(chosen.next, right))
        state[chosen.next] = point._replace(
            seen=True,
            first_today=point.first_today or not point.seen,
            right_today=point.right_today + right,
            recall=min(1.0, point.recall + 0.2 * right + 0.1),
        )
    return asked, plans, list(state.values())


@st.composite
def sessions(draw: st.DrawFn) -> Session:
    """A session on a deck of any size, part of it seen on earlier days, with answers right or wrong."""
    rng = Random(draw(st.integers(0, 10**6)))
    movements, points = draw(st.integers(1, 5)), draw(st.integers(1, 6))
    pairs = draw(st.booleans())
    seen = draw(st.integers(0, movements * points))
    partners = {
        f"m{m}.p{p}": (f"m{m ^ 1}.p{p}",)
        for m in range(movements)
        for p in range(points)
        if pairs and m ^ 1 < movements
    }
    candidates = [
        candidate._replace(seen=place < seen, recall=round(rng.random(), 2) if place < seen else 0.1)
        for place, candidate in enumerate(deck(movements, points, partners))
    ]
    rng.shuffle(candidates)
    share, days_left = draw(st.sampled_from([0.0, 0.3, 0.8, 1.0])), draw(st.sampled_from([1.0, 20.0]))
    asked, plans, after = sit(candidates, lambda _: rng.random() < share, 50, days_left)
    return candidates, asked, plans, after, days_left


def resting(candidate: Candidate) -> bool:
    return candidate.right_today >= (3 if candidate.first_today else 1)


@settings(deadline=None)
@given(sessions())
def test_a_point_rests_after_one_right_or_three_on_its_first_day(session: Session) -> None:
    before, asked, _, _, _ = session
    needed = {c.item.id: 1 if c.seen else 3 for c in before}
    rights = dict.fromkeys(needed, 0)
    for question in asked:
        assert rights[question.item] < needed[question.item]
        rights[question.item] += question.right


@settings(deadline=None)
@given(sessions())
def test_five_others_stand_between_as_far_as_enough_exist(session: Session) -> None:
    _, asked, plans, _, _ = session
    for place, question in enumerate(asked):
        between = next((n for n, past in enumerate(asked[:place][::-1]) if past.item == question.item), 5)
        if between < 5:  # then every open point had been asked within the last five questions
            recent = {past.item for past in asked[max(0, place - 5) : place]}
            assert set(plans[place].open) <= recent


@settings(deadline=None)
@given(sessions())
def test_never_twice_running_after_a_right_answer(session: Session) -> None:
    _, asked, _, _, _ = session
    assert all(not (a.right and a.item == b.item) for a, b in pairwise(asked))


@settings(deadline=None)
@given(sessions())
def test_a_miss_comes_back_once(session: Session) -> None:
    before, asked, plans, _, _ = session
    ended = plans[-1].next is None
    for candidate in before:
        answers = [question.right for question in asked if question.item == candidate.item.id]
        if candidate.seen:
            assert len(answers) <= 2
            if ended and answers[:1] == [False]:
                assert len(answers) == 2


@settings(deadline=None)
@given(sessions())
def test_the_session_ends_only_when_everything_open_is_done(session: Session) -> None:
    _, asked, plans, after, _ = session
    if plans[-1].next is None:
        last_right = asked[-1].item if asked and asked[-1].right else None
        assert set(plans[-1].open) <= {last_right}
        assert all(c.seen for c in after)


@settings(deadline=None)
@given(sessions())
def test_every_carried_point_has_a_turn_before_any_has_a_second(session: Session) -> None:
    before, asked, _, _, _ = session
    carried = {c.item.id for c in before if c.essential}
    turns: set[str] = set()
    for place, question in enumerate(asked):
        recent = {past.item for past in asked[max(0, place - 5) : place]}
        share = place % 5 == 4 and question.item not in carried | turns
        # Out of turn only where everything whose turn it is was asked just now, or where the others have their share.
        if not share and (question.item in turns or question.item not in carried):
            assert carried <= turns | recent
        turns.add(question.item)


@settings(deadline=None)
@given(sessions())
def test_in_the_last_days_new_points_wait_for_those_of_earlier_days(session: Session) -> None:
    before, asked, _, _, days_left = session
    essential = {c.item.id: c.essential for c in before}
    earlier = {c.item.id for c in before if c.seen}
    turns: set[str] = set()
    for question in asked:
        if days_left <= 3 and question.item not in earlier:
            assert {item for item in earlier if essential[item] >= essential[question.item]} <= turns
        turns.add(question.item)


@settings(deadline=None)
@given(sessions(), st.randoms(use_true_random=False))
def test_the_order_in_which_points_are_listed_does_not_matter(session: Session, rng: Random) -> None:
    before, _, plans, _, days_left = session
    listed = list(before)
    rng.shuffle(listed)
    assert plan(listed, [], days_left) == plans[0]


def test_the_weakest_on_the_test_date_goes_first() -> None:
    points = [old(f"o{n}", recall) for n, recall in enumerate([0.9, 0.3, 0.7, 0.5])]
    asked, _, _ = sit(points, lambda _: True)
    assert [question.item for question in asked] == ["o1", "o3", "o2", "o0"]


def test_a_set_that_fits_the_session_is_gone_over_again() -> None:
    asked, _, _ = sit([c for c in deck(4, 4) if c.essential], lambda _: True, questions=24)
    assert len({question.item for question in asked[:8]}) == 8
    assert {question.item for question in asked[8:24]} == {question.item for question in asked[:8]}


def test_carried_points_come_before_all_others() -> None:
    points = [old(f"o{n}", 0.1 * n) for n in range(10)]
    chosen = [plan(points, [], 20.0, carried).next for carried in (None, {"o7", "o9"}, set())]
    assert chosen == ["o0", "o7", "o0"]


def test_new_points_come_essential_first_then_movement_by_movement() -> None:
    chosen = plan(deck(3, 4), [], 20.0)
    assert list(chosen.open[:8]) == [
        "m0.p1", "m0.p3", "m1.p1", "m1.p3", "m2.p1", "m2.p3", "m0.p0", "m0.p2",
    ]  # fmt: skip


def test_points_of_earlier_days_leave_room_for_new_ones() -> None:
    chosen = plan([old(f"o{n}", 0.9) for n in range(30)] + deck(3, 4), [], 20.0)
    assert chosen.next == "m0.p1"
    assert len(chosen.open) == 42


def test_a_miss_comes_back_when_all_had_their_turn() -> None:
    points = [old(f"o{n}", 0.1 * n) for n in range(10)]
    asked, _, _ = sit(points, lambda item: item != "o0")
    assert [place for place, question in enumerate(asked) if question.item == "o0"] == [0, 10]


def test_a_miss_that_has_waited_comes_after_first_turns_and_before_other_second_ones() -> None:
    points = [old("missed", 0.9), old("again", 0.1, right_today=1, first_today=True), old("weak", 0.1)]
    points += [old(f"o{n}", 0.5, right_today=1) for n in range(5)]
    asked = [Asked((("missed", False),)), *(Asked(((f"o{n}", True),)) for n in range(5))]
    assert plan(points, asked, 20.0) == Plan("weak", ("weak", "again", "missed"))
    assert plan([*points[:2], *points[3:]], asked, 20.0).next == "missed"
    assert plan([*points[:2], *points[3:]], asked[:-1], 20.0).next == "again"


def test_a_confusable_partner_comes_next() -> None:
    points = [old(f"o{n}", 0.1 * n) for n in range(9)]
    points[0] = points[0]._replace(item=Item("o0", ("o0",), ("o8", "o4", "o3")))
    asked, _, _ = sit(points, lambda _: True)
    assert [question.item for question in asked[:3]] == ["o0", "o3", "o1"]  # of two partners the weaker


def test_a_strong_partner_takes_no_turn_of_a_weaker_point() -> None:
    points = [
        old(
            f"o{n}",
            0.1 * n,
        )
        for n in range(9)
    ]
    points[0] = points[0]._replace(item=Item("o0", ("o0",), ("o8",)))
    asked, _, _ = sit(points, lambda _: True)
    assert [question.item for question in asked[:2]] == ["o0", "o1"]


def test_a_partner_that_rests_does_not_come() -> None:
    points = [old(f"o{n}", 0.1 * n) for n in range(9)]
    points[0] = points[0]._replace(item=Item("o0", ("o0",), ("o3",)))
    points[3] = points[3]._replace(right_today=1)
    asked, _, _ = sit(points, lambda _: True)
    assert [question.item for question in asked[:2]] == ["o0", "o1"]


def test_a_partner_not_yet_brought_in_does_not_come() -> None:
    partners = {"m0.p1": ("m5.p0",)}
    asked, _, _ = sit(deck(6, 8, partners), lambda _: True, questions=2)
    assert asked[0].item == "m0.p1"
    assert asked[1].item.startswith("m1."), "the next movement, not the partner in the last one"


def test_two_questions_on_other_movements_stand_between_two_on_one() -> None:
    asked, _, _ = sit(deck(4, 6), lambda _: True, questions=10)
    movements = [question.item.split(".")[0] for question in asked]
    assert movements == ["m0", "m1", "m2"] * 3 + ["m3"], "three movements in turns, until all of them had theirs"


def test_one_movement_alone_is_asked_on_and_on() -> None:
    asked, _, _ = sit(deck(1, 6), lambda _: True, questions=4)
    assert len(asked) == 4


def test_one_point_left_and_missed_comes_back_at_once() -> None:
    asked, plans, _ = sit([old("only", 0.4)], lambda _: False)
    assert asked == [One("only", False)] * 2
    assert plans[-1].next is None


def test_nothing_to_ask() -> None:
    assert plan([], [], 20.0) == Plan(None, ())
    assert plan([old("o", 0.2, right_today=1)], [], 20.0) == Plan(None, ())


def test_a_question_that_marks_several_points_is_one_question() -> None:
    """Others wait for five questions, however many points each of them marked."""
    points = [old("missed", 0.9), old("weak", 0.3)] + [old(f"o{n}", 0.95) for n in range(12)]
    wide = [Asked(tuple((f"o{3 * n + k}", True) for k in range(3))) for n in range(4)]
    asked = [Asked((("missed", False), ("weak", True))), *wide]
    rested = [c._replace(right_today=int(c.item.id != "missed")) for c in points]
    assert plan(rested, asked, 20.0).next == "missed", "it is all that is left"
    rested.append(old("other", 0.99, right_today=1, first_today=True))
    assert plan(rested, asked, 20.0).next == "other", "four questions are not five"
    assert plan(rested, [*asked, Asked((("o0", True),))], 20.0).next == "missed"


def days(points: Sequence[Candidate], questions: int, number: int, right: bool) -> list[list[str]]:
    """What a candidate who answers everything right, or nothing, is asked day after day."""
    state, found = list(points), []
    for _ in range(number):
        asked, _, state = sit(state, lambda _: right, questions)
        found.append([question.item for question in asked])
        state = [c._replace(right_today=0, first_today=False, recall=min(0.9, c.recall)) for c in state]
    return found


def wide_deck() -> list[Candidate]:
    """67 essential points and 120 others of four families, one of which is at the very end."""
    carried = [Candidate(Item(f"c{n:02}", (f"m{n // 5}", "counts")), 0.1, True, n) for n in range(67)]
    families = ["faults"] * 90 + ["feet"] * 18 + ["words"] * 9 + ["sheet"] * 3
    others = [
        Candidate(Item(f"{family}{n:03}", (f"m{n // 9}", family)), 0.1, False, 100 + n)
        for n, family in enumerate(families)
    ]
    return [*carried, *others]


@pytest.mark.parametrize("right", [True, False])
def test_every_family_is_asked_within_a_week_at_the_usual_pace(right: bool) -> None:
    asked = [item for day in days(wide_deck(), 41, 7, right) for item in day]
    others = [item for item in asked if not item.startswith("c")]
    assert len(others) == 7
    assert {item.rstrip("0123456789") for item in others} == {"faults", "feet", "words", "sheet"}


def test_of_the_others_the_weakest_comes_once_every_family_was_met() -> None:
    points = [c._replace(recall=0.995, seen=True) if c.essential else c for c in wide_deck()]
    met = {"faults000": 0.3, "feet090": 0.02, "words108": 0.5, "sheet117": 0.6}
    points = [c._replace(seen=True, recall=met[c.item.id]) if c.item.id in met else c for c in points]
    asked, _, _ = sit(points, lambda _: True, 10)
    assert [question.item for question in asked[4::5]] == ["feet090", "faults001"]


def test_the_others_have_a_fifth_once_the_carried_points_stand_well() -> None:
    def share(recall: float) -> int:
        points = [c._replace(recall=recall, seen=True) if c.essential else c for c in wide_deck()]
        asked, _, _ = sit(points, lambda _: True, 40)
        return sum(not question.item.startswith("c") for question in asked)

    assert share(0.995) == 8
    assert share(0.9) == 1


def test_the_others_have_no_share_in_the_last_days() -> None:
    points = [c._replace(recall=0.995, seen=True) if c.essential else c for c in wide_deck()]
    asked, _, _ = sit(points, lambda _: True, 40, days_left=2.0)
    assert all(question.item.startswith("c") for question in asked)


def test_the_last_days_are_those_before_a_test_that_lies_ahead() -> None:
    points = [old("seen", 0.9), *deck(1, 2)]
    weakest = {left: plan(points, [], left).next for left in (-1.0, 0.0, 3.0, 3.1, NO_DATE)}
    assert weakest == {-1.0: "m0.p1", 0.0: "seen", 3.0: "seen", 3.1: "m0.p1", NO_DATE: "m0.p1"}


def test_a_tasking_steers_half_of_the_sitting_until_its_points_had_their_turn() -> None:
    points = [old(f"o{n:02}", 0.01 * n) for n in range(40)]
    wished = {"o30", "o33", "o37"}
    asked: list[Asked] = []
    found: list[str] = []
    for _ in range(12):
        chosen = plan(points, asked, 20.0, wished=wished).next
        assert chosen is not None
        found.append(chosen)
        asked.append(Asked(((chosen, True),)))
    assert found == ["o30", "o00", "o33", "o01", "o37", "o02", "o03", "o04", "o05", "o06", "o07", "o08"]


def test_a_wish_may_be_for_points_that_are_not_carried_and_rests_when_they_were_right_today() -> None:
    points = [*deck(2, 4), old("rested", 0.2, right_today=1)]
    assert plan(points, [], 20.0, wished={"m1.p2", "rested"}).next == "m1.p2"
    assert plan(points, [], 20.0, wished={"rested"}).next == plan(points, [], 20.0).next == "m0.p1"
    assert plan(points, [], 20.0, wished={"not of this deck"}).next == "m0.p1"
