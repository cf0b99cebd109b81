"""The checks called on decks directly: what they look at when parts of a deck only stand in."""

import tomllib
from pathlib import Path
from typing import Any

import pytest

from trainer.authoring.building import build
from trainer.drill.checks import Finding, findings, nearest
from trainer.drill.deck import Deck

GUARD = tomllib.loads((Path(__file__).parent.parent / "authoring" / "guard.toml").read_text("utf-8"))
RIGHT_FLANK = 1


def guard(**parts: Any) -> Deck:
    return build(GUARD | parts)


def movements(number: int, **fields: Any) -> list[dict[str, Any]]:
    return [row | fields if n == number else row for n, row in enumerate(GUARD["movement"])]


def paths(found: list[Finding]) -> list[tuple[str | int, ...]]:
    return [finding.path for finding in found]


def test_sound_deck_has_no_findings() -> None:
    assert findings(guard()) == []


def test_a_finding_points_at_the_value() -> None:
    deck = guard(movement=movements(RIGHT_FLANK, turn="90 left"))
    assert paths(findings(deck)) == [("movement", RIGHT_FLANK, "turn")]


def test_rows_only_leaves_out_how_rows_go_together() -> None:
    counts = [{"beat": 1, "foot": "right", "place": "step"}, {"beat": 2, "place": "close", "length": "half"}]
    deck = guard(movement=movements(RIGHT_FLANK, counts=counts, turn="90 left", faults=[]))
    row = ("movement", RIGHT_FLANK, "counts", 1, "length")
    assert paths(findings(deck, rows_only=[RIGHT_FLANK])) == [row]
    counts[1].pop("length")
    deck = guard(movement=movements(RIGHT_FLANK, counts=counts, turn="90 left", faults=[]))
    assert findings(deck, rows_only=[RIGHT_FLANK]) == []
    assert ("movement", RIGHT_FLANK, "counts", 0, "foot") in paths(findings(deck))


def test_movements_of_a_stance_that_stands_in_are_looked_at_row_by_row() -> None:
    deck = guard(stance=GUARD["stance"] | {"marching": {}})
    assert findings(deck, stand_ins=["marching"]) == []
    assert findings(deck) != []


def test_a_stance_that_is_wrong_itself_is_told_alone() -> None:
    cycle = [{"foot": "right", "place": "side"}, {"foot": "right", "place": "close"}]
    deck = guard(stance=GUARD["stance"] | {"side step right": {"cadence": 100, "step": "12 in", "cycle": cycle}})
    assert paths(findings(deck)) == [("stance", "side step right", "cycle", 1, "foot")]


def test_what_does_not_move_the_feet_does_not_hide_what_does() -> None:
    words = [{"say": "Right flank", "beat": -2, "foot": "left"}, {"say": "WHEEL", "beat": 0, "executes": True}]
    rows = [dict(row) for row in GUARD["movement"][RIGHT_FLANK]["counts"]]
    rows[1]["sword"] = "shoulder"
    found = findings(guard(movement=movements(RIGHT_FLANK, words=words, counts=rows)))
    assert set(paths(found)) == {
        ("movement", RIGHT_FLANK, "counts", 1, "sword"),
        ("movement", RIGHT_FLANK, "words", 0, "foot"),
    }


def test_one_finding_from_several_stances_is_told_once() -> None:
    stances = GUARD["stance"] | {"quick": GUARD["stance"]["marching"]}
    deck = guard(stance=stances, movement=movements(RIGHT_FLANK, **{"from": ["marching", "quick"], "turn": "90 left"}))
    assert len(findings(deck)) == 1


@pytest.mark.parametrize("target", ["word", "cue"])
def test_a_row_left_out_comes_last(target: str) -> None:
    number = {"word": RIGHT_FLANK, "cue": 4}[target]
    shows = [{target: 1, "drop": True}, {target: 1, "beat": 1}]
    fault = {"id": "x", "tell": "x", "shows": shows}
    deck = guard(movement=movements(number, faults=[fault]))
    assert paths(findings(deck)) == [("movement", number, "faults", 0, "shows", 0, "drop")]
    deck = guard(movement=movements(number, faults=[fault | {"shows": shows[:1]}]))
    assert findings(deck) == []


@pytest.mark.parametrize(
    ("word", "known", "told"),
    [
        ("haltd", ["halted", "marching"], " Did you mean 'halted'?"),
        ("MARCHING", ["halted", "marching"], " Did you mean 'marching'?"),
        ("xyz", ["halted", "a"], " Known here: a, halted."),
        ("xyz", [], ""),
    ],
)
def test_nearest_name(word: str, known: list[str], told: str) -> None:
    assert nearest(word, known) == told
