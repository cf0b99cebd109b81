"""Whole scores against JSON written out and checked by hand: numbers by arithmetic on the standards' lengths."""

import json
from pathlib import Path

import pytest

from trainer.drill.deck import Deck
from trainer.drill.movement import RIGHT
from trainer.drill.shown import shown

EXPECTED = Path(__file__).parent / "expected"


@pytest.mark.parametrize(
    "movement", ["change-step", "rear", "drum-cut", "halt", "side-halt", "short-rear", "double-to-quick"]
)
def test_movement_by_hand(plain_deck: Deck, movement: str) -> None:
    expected = json.loads((EXPECTED / f"{movement}.json").read_text("utf-8"))
    assert shown(plain_deck, plain_deck.movement(movement)) == expected


def test_halt_on_the_right_foot_mirrors_the_halt_on_the_left(plain_deck: Deck) -> None:
    movement = plain_deck.movement("halt")
    on_left, on_right = (shown(plain_deck, movement, foot=foot) for foot in ("left", RIGHT))
    swap = {"left": "right", "right": "left", None: None}
    assert [swap[b["strikes"]] for b in on_left["beats"]] == [b["strikes"] for b in on_right["beats"]]
    assert on_left["totals"]["ground"] == on_right["totals"]["ground"] == {"x": 0, "y": 30}


def test_walked_change_step_moves_the_close_to_a_whole_beat(plain_deck: Deck) -> None:
    movement = plain_deck.movement("change-step")
    flawed = shown(plain_deck, movement, fault=movement.faults[0])
    strikes = {b["beat"]: (b["strikes"], b["place"]) for b in flawed["beats"]}
    assert 1.5 not in strikes
    assert strikes[2] == ("right", "toe to heel")
    assert strikes[3] == ("left", "step")
    assert flawed["totals"]["ground"] == {"x": 0, "y": 48}
