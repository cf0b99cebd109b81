"""Lengths; the inch is 25.4 mm (international yard and pound agreement, 1959)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.drill.length import MILLIMETRES, Length, parse_length


@pytest.mark.parametrize(
    ("text", "unit", "value"),
    [
        ("30 in", "in", 30),
        ("2.5 ft", "in", 30),
        ("75 cm", "cm", 75),
        ("1 m", "cm", 100),
        ("30in", "in", 30),
        ("1 in", "cm", 2.54),
        (".5 m", "cm", 50),
    ],
)
def test_length(text: str, unit: str, value: float) -> None:
    assert parse_length(text).to(unit) == pytest.approx(value, rel=1e-12)


ODD_NUMBERS = ["1_0 in", "１２ in", "1e1 in", "+3 in", "3. in", "0x1 in", "٣ in", "1,5 m"]
"""Some of them are numbers to Python; no author means them."""


@pytest.mark.parametrize(
    "text",
    ["", "30", "in", "thirty in", "30 inches", "-3 in", "nan in", "inf m", "1e9 m", "3 in in", *ODD_NUMBERS],
)
def test_length_that_cannot_be(text: str) -> None:
    with pytest.raises(ValueError, match="a length"):
        parse_length(text)


@given(st.floats(0, 500, allow_nan=False), st.sampled_from(list(MILLIMETRES)), st.sampled_from(list(MILLIMETRES)))
def test_there_and_back(value: float, one: str, two: str) -> None:
    there = Length(value, one).to(two)
    assert Length(there, two).to(one) == pytest.approx(value, rel=1e-12, abs=1e-12)


def test_shown_as_written() -> None:
    assert str(parse_length("30 in")) == "30 in"
