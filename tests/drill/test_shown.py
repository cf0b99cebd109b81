"""Whole scores against JSON written out and checked by hand: numbers by arithmetic on the standards' lengths."""

import json
from pathlib import Path
from typing import Any

import pytest

from tests.drill.conftest import load
from trainer.drill.deck import Deck
from trainer.drill.movement import RIGHT
from trainer.drill.shown import shown

EXPECTED = Path(__file__).parent / "expected"


@pytest.mark.parametrize(
    "movement", ["change-step", "rear", "drum-cut", "halt", "side-halt", "short-rear", "double-to-quick"]
)
def test_movement_by_hand(plain_deck: Deck, movement: str) -> None:
    expected = json.loads((EXPECTED / f"{movement}.json").read_text("utf-8"))
    found = shown(plain_deck, plain_deck.movement(movement))
    for beat in found["beats"]:
        del beat["lift"], beat["contact"], beat["cadence"]  # by hand below
    assert found == expected


def by_beat(deck: Deck, movement: str, name: str) -> dict[float, Any]:
    return {beat["beat"]: beat[name] for beat in shown(deck, deck.movement(movement))["beats"]}


def test_lift_and_contact_of_each_foot(plain_deck: Deck) -> None:
    """Marking time lifts the foot of every beat 2 inches; of the two counts the second slides."""
    lifts, contacts = (by_beat(plain_deck, "drum-cut", name) for name in ("lift", "contact"))
    assert [lifts[beat] for beat in (4, 5)] == [{"left": 2, "right": None}, {"left": None, "right": 2}]
    assert lifts[6] == lifts[7] == lifts[8] == {"left": None, "right": None}
    assert contacts[7] == {"left": None, "right": "slide"}
    assert {tuple(row.values()) for beat, row in contacts.items() if beat != 7} == {(None, None)}


def test_the_cadence_changes_on_its_count(plain_deck: Deck) -> None:
    """The double is 180 beats a minute up to the third count, which takes quick time, 120: TC 3-21.5, 2012, 4-5."""
    cadences = by_beat(plain_deck, "double-to-quick", "cadence")
    assert {beat: cadence for beat, cadence in cadences.items() if beat >= 0} == {
        0: 180,
        1: 180,
        2: 180,
        3: 120,
        4: 120,
    }


def test_faults_of_cadence_lift_and_contact_differ_from_the_right_performance() -> None:
    changes = ('{ count = 1, contact = "slide" }', '{ count = 1, lift = "4 cm" }', '{ tempo = "+5 %" }')
    for change in changes:
        deck = load(FLAWED.replace("CHANGE", change))
        movement = deck.movement("go")
        assert shown(deck, movement) != shown(deck, movement, fault=movement.faults[0]), change


FLAWED = """
[deck]
id = "flawed"
title = "Flawed"
unit = "in"
[stance.marching]
cadence = 120
step = "30 in"
[stance.halted]
[[movement]]
id = "go"
name = "Go"
from = ["halted"]
to = "marching"
called_on = "halted"
words = [ { say = "Forward", beat = -2 }, { say = "GO", beat = 0, executes = true } ]
counts = [ { beat = 1, foot = "left", place = "step" } ]
faults = [ { id = "x", tell = "x", shows = [ CHANGE ] } ]
"""


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
