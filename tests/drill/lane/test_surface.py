"""Surfaces and starts as people write them."""

import pytest

from trainer.drill.lane.surface import LaneError, Place, Surface, in_feet, parse_margin, parse_start, parse_surface


@pytest.mark.parametrize(
    ("text", "unit", "sides"),
    [
        ("60 ft x 40 ft", "in", (720, 480)),
        ("60ft x 40ft", "in", (720, 480)),
        ("60ftx40ft", "in", (720, 480)),
        ("60 x 40 ft", "in", (720, 480)),
        ("60 FT X 40 FT", "ft", (60, 40)),
        ("60 ft 6 in x 40 ft", "in", (726, 480)),
        ("18 m by 12.5 m", "cm", (1800, 1250)),
        ("18 m × 1250 cm", "m", (18, 12.5)),
        ("720 in * 480 in", "in", (720, 480)),
    ],
)
def test_sides_are_read(text: str, unit: str, sides: tuple[float, float]) -> None:
    assert parse_surface(text, unit) == pytest.approx(sides)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("", "two sides"),
        ("60 ft", "two sides"),
        ("60 ft x", "two sides"),
        ("60 ft x 40 ft x 3 ft", "two sides"),
        ("60 ft x -40 ft", "cannot be a side"),
        ("60 yards x 40 ft", "cannot be a side"),
        ("nan ft x 40 ft", "cannot be a side"),
        ("0 ft x 40 ft", "longer than nothing"),
        ("2000 m x 40 ft", "between 0 and 1000 m"),
        ("\x1b[31m x 4 ft", "cannot be a side"),
    ],
)
def test_what_is_no_surface_is_refused_in_a_sentence(text: str, part: str) -> None:
    with pytest.raises(LaneError, match=part):
        parse_surface(text, "in")


def test_starts_are_read() -> None:
    hall = Surface(720, 480, 6)
    assert parse_start("10 ft, 4 ft", hall, "in") == pytest.approx(Place(120, 48, 90))
    assert parse_start("10 ft, 4 ft, 180", hall, "in") == pytest.approx(Place(120, 48, 180))
    assert parse_start("1 ft,1 ft,360°", hall, "in") == pytest.approx(Place(12, 12, 0))
    assert Surface(480, 720).along == 0
    for text, part in [
        ("10 ft", "two lengths"),
        ("10 ft, 4 ft, up", "heading"),
        ("10 ft, 4 ft, 400", "heading"),
        ("100 ft, 4 ft", "outside"),
        ("ten, 4 ft", "place of the start"),
    ]:
        with pytest.raises(LaneError, match=part):
            parse_start(text, hall, "in")


def test_margins_are_read() -> None:
    assert parse_margin("0 in", "in") == 0
    with pytest.raises(LaneError, match="margin"):
        parse_margin("wide", "in")


@pytest.mark.parametrize(
    ("length", "unit", "words"),
    [
        (720, "in", "60 ft"),
        (6.2, "in", "7 in"),
        (30.5, "ft", "30 ft 6 in"),
        (0, "in", "0 in"),
        (1234.5, "cm", "12.35 m"),
    ],
)
def test_lengths_are_said_and_never_too_short(length: float, unit: str, words: str) -> None:
    assert in_feet(length, unit) == words
