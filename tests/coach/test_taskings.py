"""Taskings: what they name, how far they are done, and what they bring into a sitting."""

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.coach.sitting import GUARD, START, candidate_in, later, sit
from trainer.coach.candidate import Candidate
from trainer.coach.session import Session
from trainer.coach.standing import open_standing
from trainer.coach.taskings import (
    LAST_RUN,
    Tasking,
    named,
    open_taskings,
    progress_words,
    tasking_lines,
    taskings,
    wished,
    work_words,
)
from trainer.drill.deck import Deck
from trainer.quiz.points import FAULTS, FEET, SHEET, Point, points
from trainer.records.drafts import answer, replacement, tasking, trial, void
from trainer.records.events import Draft, Event, Header, new_id

DAY = date(2026, 11, 24)
UNTIL = date(2026, 11, 28)


Guard = tuple[Candidate, Deck, tuple[Point, ...]]


@pytest.fixture
def guard(tmp_path: Path) -> Iterator[Guard]:
    candidate, deck = candidate_in(tmp_path)
    yield candidate, deck, points(deck)
    candidate.close()


def tell(candidate: Candidate, *drafts: Draft, days: float = 0.0) -> Event:
    return candidate.log.append_many(list(drafts), later(days=days))[0]


def answered(point: Point, right: bool) -> Draft:
    return answer(point=point.id, fact=point.fact, right=right, choices=0, question="x", ms=1, session="s")


def only(guard: Guard) -> Tasking:
    candidate, deck, known = guard
    (one,) = open_taskings(candidate.events(), known, DAY, deck.id)
    return one


def test_work_names_movements_families_both_and_single_points(guard: Guard) -> None:
    _, _, known = guard
    halt = [point for point in known if point.movement == "halt"]
    assert named("halt", known) == tuple(point.id for point in halt)
    assert named("halt/feet", known) == tuple(point.id for point in halt if point.family == FEET)
    assert named("feet", known) == tuple(point.id for point in known if point.family == FEET)
    assert named(halt[0].id, known) == (halt[0].id,)
    assert named("halt/nothing", known) == named("nowhere", known) == ()


def test_progress_counts_what_was_asked_since_it_was_given(guard: Guard) -> None:
    candidate, _, known = guard
    feet = [point for point in known if point.movement == "halt" and point.family == FEET]
    tell(candidate, answered(feet[0], True))
    tell(candidate, tasking(work=["halt/feet"], until=UNTIL.isoformat(), sponsor="Owl", note="Slowly."))
    assert only(guard)[6:9] == (0, 0, 0)
    tell(candidate, answered(feet[0], True), answered(feet[1], False))
    one = only(guard)
    assert (one.asked, one.right, one.once, one.done) == (2, 1, 1, False)
    assert one.waiting == tuple(point.id for point in feet[1:])
    tell(candidate, *(answered(point, True) for point in feet), answered(feet[0], False))
    one = only(guard)
    assert one.done
    assert one.waiting == (feet[0].id,), "what was missed last is brought again, though the tasking is done"
    assert progress_words(one) == f"done, {len(feet)} points right since"


def test_an_answer_to_a_fact_that_has_changed_does_not_count(guard: Guard) -> None:
    candidate, _, known = guard
    point = known[0]
    tell(candidate, tasking(work=[point.id], until=UNTIL.isoformat()))
    tell(candidate, answered(point._replace(fact="another"), True))
    assert only(guard).asked == 0


def test_it_is_open_until_its_date_and_on_it(guard: Guard) -> None:
    candidate, deck, known = guard
    tell(candidate, tasking(work=["halt"], until=UNTIL.isoformat()))
    assert open_taskings(candidate.events(), known, UNTIL, deck.id)
    assert not open_taskings(candidate.events(), known, UNTIL + timedelta(days=1), deck.id)
    assert not wished(candidate.events(), known, UNTIL + timedelta(days=1), deck.id)
    assert taskings(candidate.events(), known, UNTIL + timedelta(days=1), deck.id)


def test_corrections_hold(guard: Guard) -> None:
    candidate, _, known = guard
    event = tell(candidate, tasking(work=["halt"], until=UNTIL.isoformat()))
    tell(candidate, replacement(event.header.id, tasking(work=["halt/feet"], until=UNTIL.isoformat())))
    assert only(guard).points == named("halt/feet", known)
    tell(candidate, void(event.header.id))
    assert not taskings(candidate.events(), known, DAY)


def test_a_tasking_of_another_deck_stays_out(guard: Guard) -> None:
    candidate, deck, known = guard
    tell(candidate, tasking(work=["halt"], until=UNTIL.isoformat(), deck="pier-drill"))
    assert not taskings(candidate.events(), known, DAY, deck.id)


def test_the_faults_of_the_last_run_before_it(guard: Guard) -> None:
    candidate, deck, known = guard
    fault, other = [point for point in known if point.movement == "halt" and point.family == FAULTS][:2]
    assert deck.grade_sheet is not None
    major = deck.grade_sheet.majors[0].id
    tell(candidate, trial(run="a", measure="halt", number=1, go=False, faults=[other.place], deck=deck.id))
    tell(candidate, trial(run="b", measure="halt", number=1, go=True, faults=[fault.place], deck=deck.id))
    tell(candidate, trial(run="b", measure=major, number=1, go=False, deck=deck.id))
    tell(candidate, trial(run="m", measure="halt", number=1, go=False, faults=[other.place], held="mock"))
    tell(candidate, tasking(work=[LAST_RUN], until=UNTIL.isoformat()))
    tell(candidate, trial(run="c", measure="halt", number=1, go=False, faults=[other.place], deck=deck.id))
    rule = next(point for point in known if point.movement == SHEET and point.place == major)
    assert only(guard).points == (fault.id, rule.id)
    assert work_words(deck, known, [LAST_RUN]) == "the faults of the last run"


def test_a_last_run_without_a_fault_names_none(guard: Guard) -> None:
    candidate, _, known = guard
    fault = next(point for point in known if point.movement == "halt" and point.family == FAULTS)
    tell(candidate, trial(run="a", measure="halt", number=1, go=False, faults=[fault.place]))
    tell(candidate, trial(run="b", measure="halt", number=1, go=True))
    tell(candidate, tasking(work=[LAST_RUN], until=UNTIL.isoformat()))
    assert only(guard).points == ()
    assert only(guard).unknown == (LAST_RUN,)
    assert progress_words(only(guard)) == "names nothing of this deck"


def test_a_sheet_entered_later_counts_by_its_own_day(guard: Guard) -> None:
    candidate, _, known = guard
    fault, other = [point for point in known if point.movement == "halt" and point.family == FAULTS][:2]
    tell(candidate, trial(run="a", measure="halt", number=1, go=False, faults=[fault.place]))
    tell(candidate, trial(run="p", measure="halt", number=1, go=False, faults=[other.place], on="2026-10-01"))
    tell(candidate, tasking(work=[LAST_RUN], until=UNTIL.isoformat()))
    assert only(guard).points == (fault.id,)
    assert wished(candidate.events(), known, DAY) == {fault.id}, "a run of October is no longer fresh"


def test_faults_seen_no_go_come_back_until_they_are_known(guard: Guard) -> None:
    candidate, deck, known = guard
    fault, other = [point for point in known if point.movement == "halt" and point.family == FAULTS][:2]
    tell(candidate, answered(fault, True))
    spoilt = trial(run="a", measure="halt", number=3, go=False, faults=[other.place], prompt="bad")
    tell(
        candidate,
        trial(run="a", measure="halt", number=1, go=False, faults=[fault.place]),
        trial(run="a", measure="halt", number=2, go=True, faults=[other.place]),
        spoilt,
    )
    assert wished(candidate.events(), known, DAY, deck.id) == {fault.id}
    assert wished(candidate.events(), known, DAY + timedelta(days=6), deck.id) == {fault.id}
    assert not wished(candidate.events(), known, DAY + timedelta(days=7), deck.id)
    tell(candidate, answered(fault, True))
    assert not wished(candidate.events(), known, DAY, deck.id)


def test_a_tasking_steers_a_sitting_and_does_not_replace_it(guard: Guard) -> None:
    candidate, deck, known = guard
    sit(candidate, deck, later(days=-3), 30)
    tell(candidate, tasking(work=["halt"], until=UNTIL.isoformat()))
    standing = open_standing(candidate, deck, START)
    wishes = wished(candidate.events(), known, DAY, deck.id)
    session = Session(candidate, standing, START, 12, wished=wishes)
    touched = []
    moment = START
    while (question := session.next_question(moment)) is not None:
        moment = later(moment, seconds=20)
        session.answer(question.answer, 5_000, moment)
        touched.append(any(point in wishes for point in question.points))
    assert 5 <= sum(touched) <= 8


def test_lines_say_who_what_how_far_and_the_note(guard: Guard) -> None:
    candidate, deck, known = guard
    tell(candidate, tasking(work=["halt", "feet", "x"], until=UNTIL.isoformat(), sponsor="Owl", note="Slowly."))
    given = open_taskings(candidate.events(), known, DAY, deck.id)
    first, note = tasking_lines(deck, known, given, DAY)
    halt = deck.movement("halt").name
    assert first.startswith("Tasking from Owl, 4 days left; 0 of ")
    assert first.endswith(f": {halt}; all feet; “x”, which the deck does not have.")
    assert note == "  Slowly."
    assert deck.id == GUARD


@given(st.lists(st.tuples(st.integers(0, 3), st.booleans()), max_size=30), st.integers(0, 30))
def test_progress_agrees_with_a_plain_count(marks: list[tuple[int, bool]], place: int) -> None:
    """Against a count that goes through the answers one by one."""
    known = tuple(Point(f"s/m/feet/{n}", "f", "m", FEET, True, str(n)) for n in range(4))
    drafts = [answered(known[n], right) for n, right in marks]
    place = min(place, len(drafts))
    drafts.insert(place, tasking(work=["m"], until="2026-12-01"))
    events = [
        Event(Header(new_id(n, bytes(10)), "c" * 8, "d" * 8, n + 1, "", n, 0, n), draft.kind, draft.body)
        for n, draft in enumerate(drafts)
    ]
    (one,) = taskings(events, known, DAY)
    state: dict[int, bool] = {}
    ever = set()
    for n, right in marks[place:]:
        state[n] = right
        if right:
            ever.add(n)
    assert (one.asked, one.right, one.once) == (len(state), sum(state.values()), len(ever))
    assert one.done == (len(ever) == 4)
    assert set(one.waiting) == {point.id for n, point in enumerate(known) if not state.get(n)}
