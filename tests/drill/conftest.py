"""Decks for the drill tests, written as their authors would write them."""

import tomllib
from pathlib import Path

import pytest

from trainer.authoring.building import build
from trainer.authoring.written import WrittenDeck
from trainer.drill.checks import findings
from trainer.drill.deck import Deck

DECKS = Path(__file__).parent / "decks"


def load(text: str) -> Deck:
    """Return a deck that has passed its shape and its checks."""
    data = tomllib.loads(text)
    WrittenDeck.model_validate(data)
    deck = build(data)
    assert findings(deck) == []
    return deck


@pytest.fixture(scope="session")
def practice_deck() -> Deck:
    """Movements as ceremonial units do them; common practice, no source."""
    return load((DECKS / "common_practice.toml").read_text("utf-8"))


@pytest.fixture(scope="session")
def plain_deck() -> Deck:
    """The movements whose expected scores are written out by hand."""
    return load((DECKS / "by_hand.toml").read_text("utf-8"))
