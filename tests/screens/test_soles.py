"""Soles: at their place, turned to their heading, left and right unlike without colour."""

import math
from itertools import combinations

import pytest

from trainer.drill.deck import Deck, usual_sole
from trainer.drill.footprints import footprints
from trainer.drill.movement import LEFT, RIGHT
from trainer.drill.unrolling import score
from trainer.plain import columns
from trainer.screens.widgets.braille import Dot, Sheet, edge, fill
from trainer.screens.widgets.ground import GAUGE, lay_ground
from trainer.screens.widgets.soles import aim, beat_text, draw_soles, outline, sole_dots
from trainer.screens.widgets.spans import BRASS, INK, row_text

SOLE = usual_sole("in")
HEADINGS = [0.0, 45.0, 90.0, 135.0, 180.0, 225.0, 270.0, 315.0]


def middle(dots: frozenset[Dot]) -> tuple[float, float]:
    return sum(x for x, _ in dots) / len(dots), sum(y for _, y in dots) / len(dots)


@pytest.mark.parametrize("scale", [0.8, 1.0, 1.5])
@pytest.mark.parametrize("foot", [LEFT, RIGHT])
@pytest.mark.parametrize("heading", HEADINGS)
def test_a_sole_lies_within_a_dot_of_its_place_and_heading(foot: str, heading: float, scale: float) -> None:
    """The ball lies 9 of 12 in from the heel, so the middle of the sole lies 3 in behind the ball."""
    dots, _ = sole_dots(SOLE, foot, heading, scale)
    angle = math.radians(heading)
    behind = -(SOLE.ball - SOLE.length / 2) * scale
    x, y = middle(dots)
    assert math.dist((x, y), (behind * math.sin(angle), -behind * math.cos(angle))) < 1.0 + 0.2 * scale
    along = [x * math.sin(angle) - y * math.cos(angle) for x, y in dots]
    assert max(along) == pytest.approx(SOLE.toe * scale, abs=1.0)
    assert min(along) == pytest.approx(-SOLE.ball * scale, abs=1.0)


def test_a_sole_is_broader_at_the_ball_than_at_the_heel_and_narrow_at_the_waist() -> None:
    dots, _ = sole_dots(SOLE, LEFT, 0.0, 4.0)

    def width(inches_from_heel: float) -> int:
        y = round((SOLE.ball - inches_from_heel) * 4)
        return len([x for x, at in dots if at == y])

    assert width(9) > width(1.5) > 0
    assert width(5) < width(1.5)


def test_the_big_toe_is_on_the_inner_side_of_both_feet() -> None:
    for foot, inner in ((LEFT, 1), (RIGHT, -1)):
        tip = max((point for point in outline(SOLE, foot, 0.0, 4.0)[0]), key=lambda point: -point[1])
        assert tip[0] * inner > 0


def test_left_is_solid_and_right_is_hollow() -> None:
    for scale in (0.8, 1.0, 1.5):
        left, _ = sole_dots(SOLE, LEFT, 0.0, scale)
        right, border = sole_dots(SOLE, RIGHT, 0.0, scale)
        assert len(border) < len(right)
        assert {(-x, y) for x, y in left} == set(right)


def test_a_polygon_is_filled_like_its_area() -> None:
    assert fill([(0.0, 0.0), (3.0, 0.0), (3.0, 2.0), (0.0, 2.0)]) >= {(1, 1), (2, 1)}
    square = {(x, y) for x in range(4) for y in range(4)}
    assert edge(square) == square - {(1, 1), (1, 2), (2, 1), (2, 2)}


def test_a_dot_is_the_dot_that_the_braille_block_has_there() -> None:
    """Unicode numbers the dots 1 2 3 7 down the left column and 4 5 6 8 down the right one, bit n-1 for dot n."""
    for number, (x, y) in enumerate([(0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3)]):
        sheet = Sheet(1, 1)
        sheet.set(x, y, INK)
        assert row_text(sheet.rows()[0]) == chr(0x2800 + (1 << number))


def test_feet_at_the_halt_stand_side_by_side_and_apart(deck: Deck) -> None:
    last = lay_ground(deck, score(deck, deck.movement("halt"))).treads[-1]
    assert last.right.x - last.left.x == pytest.approx(GAUGE * deck.sole.width)
    assert last.right.y == last.left.y
    scale = 1.0
    left, right = (sole_dots(deck.sole, placed.foot, placed.toes, scale)[0] for placed in (last.left, last.right))
    shift = round((last.right.x - last.left.x) * scale)
    assert not set(left) & {(x + shift, y) for x, y in right}


def test_feet_side_by_side_follow_the_body_when_it_turns(deck: Deck) -> None:
    last = lay_ground(deck, score(deck, deck.movement("right-face"))).treads[-1]
    assert last.left.y - last.right.y == pytest.approx(GAUGE * deck.sole.width)
    assert last.left.x == pytest.approx(last.right.x)


@pytest.mark.parametrize(("movement", "beat"), [("to-the-rear", 2.0), ("to-the-rear", 3.0), ("change-step", 1.5)])
def test_soles_set_against_each_other_keep_their_exact_places(deck: Deck, movement: str, beat: float) -> None:
    shown = score(deck, deck.movement(movement))
    stand = next(stand for stand in footprints(deck, shown) if stand.beat == beat)
    ground = lay_ground(deck, shown)
    tread = ground.treads[ground.at(beat)]
    assert tread.left.x - tread.right.x == pytest.approx(stand.left.x - stand.right.x)
    assert tread.left.y - tread.right.y == pytest.approx(stand.left.y - stand.right.y)


@pytest.mark.parametrize("movement", ["right-flank", "to-the-rear", "change-step", "halt", "side-halt", "right-face"])
@pytest.mark.parametrize("whole", [False, True])
@pytest.mark.parametrize("size", [(36, 11), (60, 26), (22, 8)])
def test_both_soles_that_stand_are_in_the_picture(
    deck: Deck, movement: str, whole: bool, size: tuple[int, int]
) -> None:
    width, height = size
    ground = lay_ground(deck, score(deck, deck.movement(movement)))
    for index, tread in enumerate(ground.treads):
        rows = draw_soles(ground, tread.beat, width, height, whole=whole)
        assert [columns(row_text(row)) for row in rows] == [width] * height
        camera = aim(ground, index, width, height, whole=whole)
        for placed in tread.soles:
            x = width + (placed.x - camera.x) * camera.scale
            y = height * 2 - (placed.y - camera.y) * camera.scale
            assert 0 <= x <= width * 2
            assert 0 <= y <= height * 4


def test_a_tee_is_large_enough_to_be_read_where_there_is_little_room(deck: Deck) -> None:
    ground = lay_ground(deck, score(deck, deck.movement("to-the-rear")))
    assert aim(ground, ground.at(2.0), 36, 11, whole=False).scale * deck.sole.length >= 10


def test_what_stands_now_is_named_and_the_newest_stands_out(deck: Deck) -> None:
    rows = draw_soles(lay_ground(deck, score(deck, deck.movement("right-flank"))), 2.0, 60, 26)
    spans = [span for row in rows for span in row]
    assert ("R2", BRASS) in [(span.text.strip(), span.role) for span in spans]
    assert any("L1" in span.text or "L2" in span.text for span in spans)


def test_every_beat_looks_different_while_the_feet_move(deck: Deck) -> None:
    shown = score(deck, deck.movement("right-flank"))
    ground = lay_ground(deck, shown)
    pictures = ["\n".join(row_text(row) for row in draw_soles(ground, beat.beat, 36, 11)) for beat in shown.beats]
    assert all(one != other for one, other in combinations(pictures, 2))


def test_left_and_right_are_told_apart_without_colour(deck: Deck) -> None:
    """At the halt the two soles are mirror images in place and outline, but one is solid and the other hollow."""
    rows = [
        row_text(row) for row in draw_soles(lay_ground(deck, score(deck, deck.movement("right-face"))), 0.0, 40, 16)
    ]
    drawn = {(n, m): char for n, row in enumerate(rows) for m, char in enumerate(row) if ord(char) > 0x2800}
    full = {place for place, char in drawn.items() if char == "⣿"}
    assert len(full) >= 6
    assert all(column < 20 for _, column in full)
    assert any(column > 20 for _, column in drawn)


@pytest.mark.parametrize(("beat", "text"), [(2.0, "2"), (-1.0, "-1"), (1.5, "1½"), (0.5, "½")])
def test_beats_are_written_short(beat: float, text: str) -> None:
    assert beat_text(beat) == text


def test_metric_decks_are_drawn_alike(deck: Deck) -> None:
    """The same sole in centimetres, with the scale in dots a centimetre, gives the same dots."""
    metric = usual_sole("cm")
    assert sole_dots(metric, LEFT, 90.0, 1.0 / 2.54)[0] == sole_dots(SOLE, LEFT, 90.0, 1.0)[0]
