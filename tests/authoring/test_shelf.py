"""Decks are found by id, file name or path, and one that is not is told of in sentences."""

from pathlib import Path

import pytest

from trainer.authoring import shelf
from trainer.authoring.shelf import DeckError, find, open_deck, shipped
from trainer.paths import Home

GUARD = Path(__file__).parent / "guard.toml"


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


@pytest.fixture
def two_shipped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A shelf with a deck whose file is not called as its id, and a broken one."""
    folder = tmp_path / "shelf"
    folder.mkdir()
    text = GUARD.read_text("utf-8")
    (folder / "old_gate.toml").write_text(text, "utf-8")
    (folder / "zz_broken.toml").write_text(text.replace('id = "gate-guard"', 'id = "Gate"'), "utf-8")
    monkeypatch.setattr(shelf, "shipped_decks", lambda: folder)
    return folder


def test_shipped_decks_are_sound_and_by_title(home: Home) -> None:
    decks = shipped(home)
    assert {deck.id for deck in decks} >= {"harbour-guard-marching", "us-army-individual-drill"}
    assert [deck.title for deck in decks] == sorted(deck.title for deck in decks)
    assert all(deck.movements == len(deck.deck.movements) > 0 for deck in decks)


@pytest.mark.parametrize("name", ["old_gate", "old-gate", "Old-Gate", "gate-guard", "gate_guard"])
def test_shipped_deck_by_file_name_or_id(name: str, two_shipped: Path, home: Home) -> None:
    assert find(name, home) == two_shipped / "old_gate.toml"
    assert open_deck(name, home).id == "gate-guard"


def test_deck_by_path(home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert open_deck(GUARD, home).id == "gate-guard"
    assert open_deck(str(GUARD), home).id == "gate-guard"
    (tmp_path / "mine").write_bytes(GUARD.read_bytes())
    monkeypatch.chdir(tmp_path)
    assert find("mine", home) == Path("mine")


def test_broken_shipped_deck_is_left_out_but_its_trouble_is_told(two_shipped: Path, home: Home) -> None:
    assert [deck.id for deck in shipped(home)] == ["gate-guard"]
    with pytest.raises(DeckError, match=r"has a problem and cannot be used\. In line 2: 'id' holds small letters"):
        open_deck("zz-broken", home)


def test_unknown_name_is_told_with_the_nearest(two_shipped: Path, home: Home) -> None:
    with pytest.raises(DeckError, match=r"no deck called 'gate-gard'\. Did you mean 'gate-guard'\?") as told:
        find("gate-gard", home)
    assert told.value.problems == ()
    with pytest.raises(DeckError, match=r"Known: gate-guard\. A deck in a file is given by its path\."):
        find("parade", home)


def test_path_that_leads_nowhere(home: Home, tmp_path: Path) -> None:
    for path in (tmp_path / "none.toml", tmp_path / "none" / "deck"):
        with pytest.raises(DeckError, match="cannot be opened: there is no such file") as told:
            open_deck(path, home)
        assert told.value.problems[0].line == 0


def test_problems_are_attached(home: Home, tmp_path: Path) -> None:
    path = tmp_path / "deck.toml"
    path.write_text(GUARD.read_text("utf-8").replace("trials = 4", "trials = 2").replace('to = "halted"', "to = 1"))
    with pytest.raises(DeckError, match="has 4 problems and cannot be used") as told:
        open_deck(path, home)
    assert len(told.value.problems) == 4
    assert "deck check" in str(told.value)


def test_nothing_in_a_message_acts_on_a_terminal(home: Home) -> None:
    for name in ("\x1b[2J", "deck\r.toml", "a\u202eb", "x\udcff"):
        with pytest.raises(DeckError) as told:
            open_deck(name, home)
        assert str(told.value).isprintable()
        assert "<U+" in str(told.value)
