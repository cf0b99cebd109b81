"""Taskings given to several candidates: everything checked before anything is written."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from tests.coach.sitting import GUARD
from tests.screens.opened import ARMY
from tests.sponsor.unit import DAY, NOW, answers, member, run
from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import create, open_candidate, settings
from trainer.coach.taskings import LAST_RUN, Tasking, open_taskings
from trainer.paths import Home
from trainer.quiz.points import points
from trainer.records.errors import LogError
from trainer.records.log import Log
from trainer.sponsor.graders import sponsored_by
from trainer.sponsor.tasking import Order, TaskingError, give, given_lines, resolved, withdraw

UNTIL = DAY + timedelta(days=4)


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def held(home: Home, candidate_id: str) -> tuple[Tasking, ...]:
    candidate = open_candidate(home, candidate_id)
    deck = open_deck(candidate.profile.deck, home)
    found = open_taskings(candidate.events(), points(deck), DAY, deck.id)
    candidate.close()
    return found


def test_one_tasking_for_several(home: Home) -> None:
    ash, birch = member(home, "Ash", DAY, answers(1, 5)), member(home, "Birch", None)
    name = open_deck(GUARD, home).movement("halt").name
    given = give(
        home, [ash, birch, ash], Order((name, "mark-time/feet"), UNTIL, "Owl", " Slowly,\n then at cadence. "), NOW
    )
    assert [one.handle for one in given] == ["Ash", "Birch"]
    for one in (ash, birch):
        (got,) = held(home, one)
        assert got.work == ("halt", "mark-time/feet")
        assert (got.until, got.sponsor, got.note) == (UNTIL, "Owl", "Slowly, then at cadence.")
        assert len(got.points) == given[0].points > 0
    assert given_lines(given, UNTIL)[0].startswith(f"Ash: {name}; feet of ")


def test_the_faults_of_the_last_run_are_each_ones_own(home: Home) -> None:
    faults = open_deck(GUARD, home).movement("halt").faults
    ash = member(home, "Ash", DAY, run("a", go=False, faults=(faults[0].id,)))
    birch = member(home, "Birch", DAY, run("b", go=False, faults=(faults[1].id,)))
    give(home, [ash, birch], Order((LAST_RUN,), UNTIL), NOW)
    places = [[point.rpartition("/")[2] for point in held(home, one)[0].points] for one in (ash, birch)]
    assert places == [[faults[0].id], [faults[1].id]]


def test_nobody_gets_what_one_cannot_get(home: Home) -> None:
    fault = open_deck(GUARD, home).movement("halt").faults[0].id
    ash = member(home, "Ash", DAY, run("a", go=False, faults=(fault,)))
    birch = member(home, "Birch", DAY, run("b", go=True))
    with pytest.raises(TaskingError, match=r"Nobody was given anything\.\nBirch: no fault was noted"):
        give(home, [ash, birch], Order((LAST_RUN,), UNTIL), NOW)
    assert not held(home, ash)


@pytest.mark.parametrize(
    ("order", "told"),
    [
        (Order((), UNTIL), "at least one thing"),
        (Order(("halt",), DAY - timedelta(days=1)), "has passed"),
        (Order(("halt",), date(2029, 1, 1)), "more than a year"),
        (Order(("halt",), UNTIL, note="x" * 401), "at most 400"),
        (Order(("halt",), UNTIL, note="\x1b[31m"), "can be shown"),
        (Order(("hallt",), UNTIL), "Did you mean “halt”"),
        (Order(("halt/toes",), UNTIL), "nothing of the deck"),
    ],
)
def test_what_cannot_be_given_says_why(home: Home, order: Order, told: str) -> None:
    ash = member(home, "Ash", DAY)
    with pytest.raises(TaskingError, match=told):
        give(home, [ash], order, NOW)
    assert not held(home, ash)


def test_it_ends_today_at_the_earliest(home: Home) -> None:
    assert not give(home, [member(home, "Ash", DAY)], Order(("halt",), DAY), NOW)[0].trouble


def test_no_one_to_give_it_to(home: Home) -> None:
    with pytest.raises(TaskingError, match="to whom"):
        give(home, [], Order(("halt",), UNTIL), NOW)


def test_a_candidate_without_a_deck(home: Home) -> None:
    candidate = create(home, settings("Ash"), NOW)
    candidate.close()
    with pytest.raises(TaskingError, match="Ash: no deck was chosen yet"):
        give(home, [candidate.id], Order(("halt",), UNTIL), NOW)


def test_the_sponsor_on_record_gives_it_unless_another_is_named(home: Home) -> None:
    ash = member(home, "Ash", DAY, [(sponsored_by("Owl"), NOW)])
    give(home, [ash], Order(("halt",), UNTIL), NOW)
    give(home, [ash], Order(("halt",), UNTIL, "Heron"), NOW)
    assert {one.sponsor for one in held(home, ash)} == {"Owl", "Heron"}


def test_a_record_that_cannot_be_written_is_told_and_the_others_have_it(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    ash, birch = member(home, "Ash", DAY), member(home, "Birch", DAY)
    whole = Log.append_many

    def refusing(self: Log, drafts: object, now: object) -> object:
        if self.candidate == ash:
            raise LogError(self.path, "The disk is full.")
        return whole(self, drafts, now)  # type: ignore[arg-type]

    monkeypatch.setattr(Log, "append_many", refusing)
    given = give(home, [ash, birch], Order(("halt",), UNTIL), NOW)
    assert [bool(one.trouble) for one in given] == [True, False]
    assert given_lines(given, UNTIL)[0].startswith("Ash: NOT written.")
    monkeypatch.undo()
    assert not held(home, ash)
    assert held(home, birch)


def test_a_tasking_taken_back_is_gone(home: Home) -> None:
    ash = member(home, "Ash", DAY)
    give(home, [ash], Order(("halt",), UNTIL), NOW)
    (one,) = held(home, ash)
    withdraw(home, ash, one.id, NOW)
    assert not held(home, ash)
    with pytest.raises(TaskingError, match="no such tasking"):
        withdraw(home, ash, one.id, NOW)


def test_a_list_is_taken_apart_and_a_name_with_a_comma_stays_whole(home: Home) -> None:
    deck = open_deck(ARMY, home)
    known = points(deck)
    name = deck.movements[0].name
    assert "," in name
    first, second = deck.movements[0].id, deck.movements[1].id
    assert resolved(deck, known, [name]) == [first]
    assert resolved(deck, known, [f"{first}, {second}/feet ,last-run"]) == [first, f"{second}/feet", LAST_RUN]
    assert resolved(deck, known, [f"{name}; {second}", first]) == [first, second]
    assert resolved(deck, known, [f"{deck.movements[1].name}/feet"]) == [f"{second}/feet"]


def test_work_is_kept_by_id(home: Home) -> None:
    deck = open_deck(GUARD, home)
    known = points(deck)
    assert resolved(deck, known, ["halt", deck.movement("halt").name.upper(), "feet", known[0].id]) == [
        "halt",
        "feet",
        known[0].id,
    ]
