"""How long a frame takes to draw; the aim is 5 ms for the footprints."""

from collections.abc import Callable
from typing import Any

from tests.screens.conftest import HERE, read_deck
from trainer.drill.unrolling import score
from trainer.screens.widgets.curve import Place, Series, draw_curve
from trainer.screens.widgets.ground import lay_ground
from trainer.screens.widgets.soles import draw_soles
from trainer.screens.widgets.strip import draw_strip

Benchmark = Callable[..., Any]
DECK = read_deck(HERE / "quay_guard.toml")
SHOWN = score(DECK, DECK.movement("to-the-rear"))


def test_a_frame_of_footprints(benchmark: Benchmark) -> None:
    rows = benchmark(draw_soles, lay_ground(DECK, SHOWN), 4.0, 60, 26)
    assert len(rows) == 26


def test_a_frame_of_the_strip(benchmark: Benchmark) -> None:
    assert benchmark(draw_strip, SHOWN, 2.0, 118)


def test_a_chart(benchmark: Benchmark) -> None:
    line = Series("chance", tuple(Place(day, day / 60, day / 80, min(day / 50, 1.0)) for day in range(60)))
    assert len(benchmark(draw_curve, [line, line], 100, 20, test_day=42)) == 20
