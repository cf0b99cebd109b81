"""The published figures, as they are kept, and the row that stands beside a cadence."""

import pytest

from trainer.rhythm.scale import FIGURES, SOURCE, beside, beside_words


def test_the_figures_are_those_of_the_paper() -> None:
    """Baath and Madison 2012: 600 ms, 30 people, -40 ms, SD 34; 500 ms, 34 people, -56 ms, SD 31."""
    all_600, all_500, little, much = FIGURES
    assert all_600[1:] == (600.0, 30, 34.0, -40.0)
    assert all_500[1:] == (500.0, 34, 31.0, -56.0)
    assert (little.spread, much.spread) == (39.0, 28.0)
    assert [one.cadence for one in (all_600, all_500)] == [100.0, 120.0]


@pytest.mark.parametrize(("cadence", "period"), [(60, 600), (100, 600), (108, 600), (110, 500), (120, 500), (180, 500)])
def test_the_nearest_beat_stands_beside(cadence: float, period: float) -> None:
    assert {one.period_ms for one in beside(cadence)} == {period}


def test_words_name_the_source_and_the_cadence() -> None:
    said = beside_words(36.4, 118)
    assert said.startswith("Your spread is 36 ms; people who tapped at 120 a minute had 31 ms (all), 39 ms (little")
    assert SOURCE in said
