"""The chart: ticks, columns, and a line that lies where its numbers say."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.plain import columns
from trainer.screens.widgets.braille import DOTS_ACROSS, DOTS_DOWN
from trainer.screens.widgets.curve import (
    AXIS,
    Place,
    Series,
    as_text,
    day_ticks,
    draw_curve,
    nice_step,
    percent,
)
from trainer.screens.widgets.spans import BRASS, STRONG, Row, row_text

RISING = Series("with sessions", (Place(0, 0.0, 0.0, 0.1), Place(20, 1.0, 0.8, 1.0)))
FALLING = Series("without", (Place(0, 0.6), Place(20, 0.2)))


def heights(rows: list[Row], role: str) -> dict[int, list[float]]:
    """Return the heights (0 to 1) of the dots of a role in every column of dots."""
    plot = rows[:-3]
    high = len(plot) * DOTS_DOWN - 1
    found: dict[int, list[float]] = {}
    for number, row in enumerate(plot):
        cells = [(char, span.role) for span in row for char in span.text][AXIS:]
        for column, (char, at) in enumerate(cells):
            if at != role or not 0x2800 < ord(char) <= 0x28FF:
                continue
            for bit, (x, y) in enumerate([(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3)]):
                if (ord(char) - 0x2800) >> bit & 1:
                    found.setdefault(column * DOTS_ACROSS + x, []).append(1 - (number * DOTS_DOWN + y) / high)
    return found


@pytest.mark.parametrize(
    ("span", "most", "step"), [(21, 6, 5), (60, 6, 10), (7, 7, 1), (90, 4, 50), (1, 9, 1), (0, 4, 1)]
)
def test_steps_are_round_numbers(span: float, most: int, step: float) -> None:
    assert nice_step(span, most) == step


@given(st.integers(-30, 30), st.integers(1, 400), st.integers(1, 20))
def test_ticks_are_whole_days_in_range_and_few_enough(first: int, span: int, most: int) -> None:
    ticks = day_ticks(first, first + span, most)
    assert len(ticks) <= most + 1
    assert all(first <= tick <= first + span and tick == int(tick) for tick in ticks)


@pytest.mark.parametrize("width", [20, 24, 40, 80, 120])
@pytest.mark.parametrize("height", [5, 8, 20])
def test_every_row_is_exactly_as_wide_as_asked(width: int, height: int) -> None:
    rows = draw_curve([RISING, FALLING], width, height, test_day=18)
    assert [columns(row_text(row)) for row in rows] == [width] * height


def test_the_line_lies_where_its_numbers_say() -> None:
    rows = draw_curve([RISING._replace(places=tuple(Place(p.day, p.value) for p in RISING.places))], 60, 14)
    across = (60 - AXIS) * DOTS_ACROSS - 1
    found = heights(rows, STRONG)
    assert set(found) == set(range(across + 1))
    for column, values in found.items():
        assert all(abs(value - column / across) < 2 / (11 * DOTS_DOWN) for value in values)


def test_the_test_day_is_marked_by_a_line_and_a_word() -> None:
    rows = draw_curve([RISING], 60, 14, test_day=10)
    columns_of_mark = set(heights(rows, BRASS))
    assert len(columns_of_mark) == 1
    assert abs(columns_of_mark.pop() - (60 - AXIS)) <= 1
    assert "test 10" in row_text(rows[-2])


def test_a_second_line_is_broken_so_that_it_is_told_apart_without_colour() -> None:
    across = set(range((60 - AXIS) * DOTS_ACROSS))
    one = set(heights(draw_curve([FALLING], 60, 14), STRONG))
    both = heights(draw_curve([RISING, FALLING], 60, 14), "ink")
    assert one == across
    assert both
    assert set(both) < across


def test_a_single_day_can_be_drawn() -> None:
    assert len(draw_curve([Series("now", (Place(0, 0.5),))], 30, 8)) == 8


def test_no_room_and_no_places_are_said_in_words() -> None:
    with pytest.raises(ValueError, match="at least 20 columns"):
        draw_curve([RISING], 19, 10)
    with pytest.raises(ValueError, match="nothing to draw"):
        draw_curve([Series("none", ())], 40, 10)


@pytest.mark.parametrize(
    ("value", "text"), [(0.0, "0 %"), (0.001, "<1 %"), (0.5, "50 %"), (0.999, ">99 %"), (1.0, "100 %")]
)
def test_certainty_is_never_claimed_by_rounding(value: float, text: str) -> None:
    assert percent(value) == text


def test_the_same_numbers_as_lines_of_text() -> None:
    lines = as_text([RISING, FALLING], test_day=20)
    assert lines == [
        "day 0: with sessions 0 % (0 % to 10 %), without 60 %",
        "day 20 (test): with sessions 100 % (80 % to 100 %), without 20 %",
    ]
