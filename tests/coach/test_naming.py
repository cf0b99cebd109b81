"""Points by name: every point of the shipped decks has one, in words and not in ids."""

from pathlib import Path

import pytest

from tests.screens.opened import ARMY, GUARD
from trainer.authoring.shelf import open_deck
from trainer.coach.naming import point_title, point_words
from trainer.paths import Home
from trainer.quiz.points import COUNTS, FEET, SHEET, points


@pytest.mark.parametrize("name", [ARMY, GUARD])
def test_no_two_points_of_a_movement_share_a_name_but_equal_words(tmp_path: Path, name: str) -> None:
    deck = open_deck(name, Home(tmp_path))
    named: dict[tuple[str, str], str] = {}
    for point in points(deck):
        words = point_words(deck, point)
        assert words
        assert point.id not in words
        other = named.setdefault((point.movement, words), point.id)
        if other != point.id:
            calls = [word.say for word in deck.movement(point.movement).call]
            assert point.family == FEET
            assert len(set(calls)) < len(calls)


def test_names_in_the_words_of_the_trade(tmp_path: Path) -> None:
    deck = open_deck(GUARD, Home(tmp_path))
    by_id = {point.id.removeprefix(f"{deck.standard}/"): point for point in points(deck)}
    movement = next(one for one in deck.movements if one.call and one.counts and one.called_on == "right")
    words = by_id[f"{movement.id}/words/command"]
    assert point_title(deck, words) == f"{movement.name}: the words of its command"
    assert point_words(deck, by_id[f"{movement.id}/words/from"]) == "the stance it starts from"
    foot = next(point for point in by_id.values() if point.family == FEET and point.movement == movement.id)
    assert point_words(deck, foot) == f"the foot of “{movement.call[int(foot.place) - 1].say}”"
    sheet = [point_title(deck, point) for point in by_id.values() if point.movement == SHEET]
    assert "Grade sheet: how many minors must be GO" in sheet
    assert all(title.startswith("Grade sheet: ") for title in sheet)
    counts = [
        point_words(deck, point) for point in by_id.values() if point.family == COUNTS and point.movement != SHEET
    ]
    assert all(name.startswith("count ") for name in counts)
