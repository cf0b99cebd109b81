"""How long a lane takes to plan: nine measures three times each on 60 by 40 ft, and a whole shipped sheet."""

import tomllib
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from trainer.authoring.building import build
from trainer.drill.lane.asked import Asked, sheet_trials
from trainer.drill.lane.plan import plan
from trainer.drill.lane.surface import Surface
from trainer.paths import shipped_decks

NINE = Path(__file__).parents[1] / "drill" / "decks" / "common_practice.toml"


@pytest.mark.parametrize(
    ("path", "sides"),
    [
        (NINE, (60, 40)),
        (NINE, (80, 60)),
        (shipped_decks() / "harbour_guard_marching.toml", (120, 60)),
        (shipped_decks() / "us_army_individual_drill.toml", (120, 60)),
    ],
    ids=lambda value: value.stem if isinstance(value, Path) else "x".join(map(str, value)),
)
def test_plan_of_a_whole_sheet(benchmark: BenchmarkFixture, path: Path, sides: tuple[int, int]) -> None:
    deck = build(tomllib.loads(path.read_text("utf-8")))
    asked = Asked(sheet_trials(deck), Surface(sides[0] * 12.0, sides[1] * 12.0, 6.0))
    found = benchmark(plan, deck, asked)
    assert found is not None
