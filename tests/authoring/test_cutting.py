"""A focused deck is a sound deck, with the very points of the larger one."""

import random
import tomllib

import pytest

from trainer.authoring.cutting import CutError, cut, deck_text
from trainer.authoring.reading import read_deck, read_deck_bytes
from trainer.paths import shipped_decks
from trainer.quiz.points import points

DECKS = sorted(shipped_decks().glob("*.toml"))


@pytest.mark.parametrize("path", DECKS, ids=lambda path: path.stem)
def test_a_deck_written_anew_says_the_same(path: object) -> None:
    data = read_deck(path).data  # type: ignore[arg-type]
    assert data is not None
    assert tomllib.loads(deck_text(data)) == data


@pytest.mark.parametrize("path", DECKS, ids=lambda path: path.stem)
@pytest.mark.parametrize("seed", range(6))
def test_points_keep_their_ids_and_facts(path: object, seed: int) -> None:
    whole = read_deck(path)  # type: ignore[arg-type]
    assert whole.data is not None
    assert whole.deck is not None
    ids = [movement.id for movement in whole.deck.movements]
    kept = random.Random(seed).sample(ids, 1 + seed * (len(ids) - 1) // 5)
    text = cut(whole.data, kept, "focused", 'Focused "deck" \\ é')
    part = read_deck_bytes(text.encode(), "focused.toml")
    assert part.problems == ()
    assert part.deck is not None
    assert (part.deck.id, part.deck.title) == ("focused", 'Focused "deck" \\ é')
    assert [movement.id for movement in part.deck.movements] == [one for one in ids if one in kept]
    assert part.deck.cautions == whole.deck.cautions
    before = {point.id: point.fact for point in points(whole.deck)}
    assert all(before[point.id] == point.fact for point in points(part.deck))
    sheet = whole.deck.grade_sheet
    assert (part.deck.grade_sheet is not None) == (sheet is not None and set(sheet.minors) <= set(kept))


def test_an_unknown_movement_is_told() -> None:
    data = read_deck(DECKS[0]).data
    assert data is not None
    with pytest.raises(CutError, match="Did you mean 'halt'"):
        cut(data, ["hallt"], "x", "x")
    with pytest.raises(CutError, match="at least one"):
        cut(data, [], "x", "x")
