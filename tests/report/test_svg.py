"""Pictures: well-formed SVG that shows every sole where it stands, and every chance of a curve."""

import itertools
import re
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path

import pytest

from trainer.authoring.shelf import open_deck
from trainer.drill.deck import Deck
from trainer.drill.footprints import footprints
from trainer.drill.unrolling import score
from trainer.paths import Home
from trainer.report.svg import CURVE_HEIGHT, CURVE_WIDTH, Place, curve_svg, footprints_svg

NAMESPACE = "{http://www.w3.org/2000/svg}"


@cache
def decks(folder: str) -> tuple[Deck, ...]:
    home = Home(Path(folder))
    return tuple(open_deck(name, home) for name in ("harbour-guard-marching", "us-army-individual-drill"))


@pytest.mark.parametrize("number", [0, 1])
def test_every_movement_has_its_soles(tmp_path: Path, number: int) -> None:
    deck = decks(str(tmp_path.parent))[number]
    for movement in deck.movements:
        played = score(deck, movement)
        tree = ET.fromstring(footprints_svg(deck, played))
        soles = tree.findall(f"{NAMESPACE}polygon")
        stands = footprints(deck, played)
        moved = 2 + sum(
            one.foot(foot) != other.foot(foot)
            for one, other in itertools.pairwise(stands)
            for foot in ("left", "right")
        )
        assert len(soles) == moved
        assert {sole.get("fill") for sole in soles} <= {"#111", "#fff"}
        _inside(tree)


def _inside(tree: ET.Element) -> None:
    width, height = float(tree.get("width") or 0), float(tree.get("height") or 0)
    assert 0 < max(width, height) <= 641
    for polygon in tree.findall(f"{NAMESPACE}polygon"):
        for corner in (polygon.get("points") or "").split():
            x, y = map(float, corner.split(","))
            assert -1 <= x <= width + 1
            assert -1 <= y <= height + 1


def test_forward_is_drawn_to_the_right(tmp_path: Path) -> None:
    deck = decks(str(tmp_path.parent))[1]
    forward = next(movement for movement in deck.movements if not movement.turn and movement.to == "marching")
    tree = ET.fromstring(footprints_svg(deck, score(deck, forward)))
    assert float(tree.get("width") or 0) > 2 * float(tree.get("height") or 0)


def test_the_curve_runs_through_its_places() -> None:
    places = [Place(0, 0.25, 0.1, 0.5), Place(5, 0.5, 0.25, 0.75), Place(10, 1.0, 0.75, 1.0)]
    tree = ET.fromstring(curve_svg([("as <is>", places), ("with practice", [])]))
    line = tree.find(f"{NAMESPACE}polyline")
    assert line is not None
    dots = [tuple(map(float, dot.split(","))) for dot in (line.get("points") or "").split()]
    assert [x for x, _ in dots] == sorted(x for x, _ in dots)
    assert [y for _, y in dots] == sorted((y for _, y in dots), reverse=True), "a higher chance stands higher"
    halfway = (dots[0][0] + dots[2][0]) / 2
    assert dots[1][0] == pytest.approx(halfway, abs=0.1)
    assert "as <is>" in [text.text for text in tree.findall(f"{NAMESPACE}text")]
    assert all(0 <= x <= CURVE_WIDTH and 0 <= y <= CURVE_HEIGHT for x, y in dots)
    assert not re.search(r"nan|inf", curve_svg([("one day", places[:1])]))
