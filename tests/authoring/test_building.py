"""Texts of a deck that stand for numbers: read as people write them, and only so."""

import pytest

from trainer.authoring.building import parse_tempo
from trainer.drill.movement import parse_turn


@pytest.mark.parametrize(
    ("text", "factor"), [("+4 %", 1.04), ("-5%", 0.95), ("+ 2.5 %", 1.025), ("+100 %", 2.0), ("-50 %", 0.5)]
)
def test_a_change_of_tempo(text: str, factor: float) -> None:
    assert parse_tempo(text) == pytest.approx(factor)


@pytest.mark.parametrize(
    "text", ["", "%", "4 %", "+4", "+1_0 %", "+1e1 %", "+４ %", "++4 %", "+4 % %", "+%4", "+0 %", "-51 %", "+101 %"]
)
def test_what_is_no_change_of_tempo(text: str) -> None:
    with pytest.raises(ValueError, match="a change of tempo is written"):
        parse_tempo(text)


@pytest.mark.parametrize("text", ["9_0 right", "1e1 left", "９0 right", "+90 right", "0 right", "361 left", "nan left"])
def test_what_is_no_turn(text: str) -> None:
    with pytest.raises(ValueError, match="a turn is written"):
        parse_turn(text)
