"""Evenings on this laptop: begun, listed, gone on with."""

import random
from pathlib import Path

import pytest

from tests.coach.sitting import START, later
from tests.group.sitting import FOUR, all_points, guard_deck, play
from trainer.drill.deck import Deck
from trainer.group.journal import EveningError
from trainer.group.kept import kept_evenings, new_evening, open_evening
from trainer.paths import Home
from trainer.records.clock import Moment


@pytest.fixture(scope="session")
def deck(tmp_path_factory: pytest.TempPathFactory) -> Deck:
    return guard_deck(str(tmp_path_factory.mktemp("home")))


def test_an_evening_is_listed_and_gone_on_with(tmp_path: Path, deck: Deck) -> None:
    home = Home(tmp_path)
    assert kept_evenings(home) == []
    points = all_points(deck)
    evening = new_evening(home, deck, points, FOUR, START, rng=random.Random(3))
    play(evening)
    waiting = evening.draw()
    new_evening(home, deck, points, FOUR[:3], later(days=1)).end()
    latest, first = kept_evenings(home)
    assert (latest.people, latest.turns, latest.over) == (FOUR[:3], 0, True)
    assert (first.people, first.turns, first.over, first.deck) == (FOUR, 1, False, deck.id)
    again = open_evening(first.path, deck, points)
    assert again.draw() == waiting
    assert again.graded == evening.graded
    play(again)
    assert kept_evenings(home)[1].turns == 2


def test_a_file_that_is_no_evening_says_so(tmp_path: Path, deck: Deck) -> None:
    home = Home(tmp_path)
    home.evenings.mkdir()
    (home.evenings / "a.jsonl").write_text("{}\n")
    (home.evenings / "b.jsonl").write_text("")
    (home.evenings / "c.jsonl").write_text('{"step":"end"}\n')
    assert all(one.trouble for one in kept_evenings(home))
    with pytest.raises(EveningError, match="does not begin"):
        open_evening(home.evenings / "b.jsonl", deck, all_points(deck))


def test_people_who_make_no_group_leave_no_file(tmp_path: Path, deck: Deck) -> None:
    with pytest.raises(EveningError, match="3 to 8 people"):
        new_evening(Home(tmp_path), deck, all_points(deck), ("Ada",), START)
    assert kept_evenings(Home(tmp_path)) == []


def test_evenings_are_in_the_order_of_their_local_time_and_never_share_a_file(tmp_path: Path, deck: Deck) -> None:
    home, points = Home(tmp_path), all_points(deck)
    west = Moment(1_795_564_740_000, -300)  # 25 November 2026, 18:59 five hours west of Greenwich
    for moment in (west, Moment(west.at_ms + 180_000, -300), west):
        new_evening(home, deck, points, FOUR, moment)
    names = [one.name for one in kept_evenings(home)]
    assert names == ["2026-11-24-68520", "2026-11-24-68341", "2026-11-24-68340"]


def test_who_has_not_decided_is_left(tmp_path: Path, deck: Deck) -> None:
    evening = new_evening(Home(tmp_path), deck, all_points(deck), FOUR, START)
    while not set(FOUR) <= {one.turn.performer for one in evening.graded}:
        play(evening)
    evening.end()
    evening.hand_over("Ada", "0" * 32)
    assert kept_evenings(Home(tmp_path))[0].left == FOUR[1:]


def test_who_came_late_and_whose_name_was_put_right_may_still_decide(tmp_path: Path, deck: Deck) -> None:
    home = Home(tmp_path)
    held = new_evening(home, deck, all_points(deck), ("Ada", "Bne", "Cem"), START)
    held.rename("Bne", "Ben")
    held.sit_down("Dov")
    while len({one.turn.performer for one in held.graded} - {""}) < 3:
        play(held)
    idle = set(held.places) - {one.turn.performer for one in held.graded}
    held.hand_over("Ben", "")
    held.end()
    (one,) = kept_evenings(home)
    assert one.people == ("Ada", "Ben", "Cem", "Dov")
    assert set(one.left) == {"Ada", "Ben", "Cem", "Dov"} - idle - {"Ben"}, "who has nothing of his own decides nothing"
