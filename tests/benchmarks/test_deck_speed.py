"""How long a deck takes to open: from the cache, and checked from scratch."""

import re
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from trainer.authoring.compiled import open_checked
from trainer.authoring.reading import read_deck
from trainer.paths import shipped_decks

SHIPPED = sorted(shipped_decks().glob("*.toml"))
LARGE_BYTES = 120_000


@pytest.fixture(scope="module")
def large_deck(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A deck of about 120 KB: the movements of a shipped one over and over, with ids of their own."""
    text = (shipped_decks() / "harbour_guard_marching.toml").read_text("utf-8")
    start = text.index("[[movement]]")
    copies = [text]
    while sum(map(len, copies)) < LARGE_BYTES:
        number = len(copies)
        copies.append(re.sub(r'^id = "(.*)"', rf'id = "\1-{number}"', text[start:], flags=re.MULTILINE))
    path = tmp_path_factory.mktemp("decks") / "large.toml"
    path.write_text("\n".join(copies), "utf-8")
    return path


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_deck_from_the_cache(path: Path, tmp_path: Path, benchmark: BenchmarkFixture) -> None:
    open_checked(path, tmp_path)
    assert benchmark(open_checked, path, tmp_path).deck is not None


def test_large_deck_from_the_cache(large_deck: Path, tmp_path: Path, benchmark: BenchmarkFixture) -> None:
    open_checked(large_deck, tmp_path)
    assert benchmark(open_checked, large_deck, tmp_path).deck is not None


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_shipped_deck_from_scratch(path: Path, benchmark: BenchmarkFixture) -> None:
    assert benchmark(read_deck, path).deck is not None


def test_large_deck_from_scratch(large_deck: Path, benchmark: BenchmarkFixture) -> None:
    assert benchmark(read_deck, large_deck).deck is not None


def test_large_deck_with_a_mistake_in_every_movement(
    large_deck: Path, tmp_path: Path, benchmark: BenchmarkFixture
) -> None:
    path = tmp_path / "spoilt.toml"
    path.write_text(re.sub(r'^to = "', 'to = "x', large_deck.read_text("utf-8"), flags=re.MULTILINE), "utf-8")
    movements = large_deck.read_text("utf-8").count("[[movement]]")
    assert len(benchmark(read_deck, path).problems) == min(movements, 101)
