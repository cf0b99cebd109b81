"""What movements take of ground and time, against published distances and arithmetic on them."""

import tomllib
from pathlib import Path

import pytest

import trainer
from trainer.authoring.building import build
from trainer.drill.deck import Deck
from trainer.drill.footprints import Print
from trainer.drill.lane.moves import Node, drill_of, lead_beats
from trainer.drill.lane.plan import workings
from trainer.drill.lane.reach import box_of, hull, swept, turned
from trainer.drill.length import Length

DECKS = Path(trainer.__file__).parents[1] / "decks"
YARD = 36.0


@pytest.fixture(scope="module")
def army() -> Deck:
    return build(tomllib.loads((DECKS / "us_army_individual_drill.toml").read_text("utf-8")))


@pytest.fixture(scope="module")
def harbour() -> Deck:
    return build(tomllib.loads((DECKS / "harbour_guard_marching.toml").read_text("utf-8")))


def marched(deck: Deck, stance: str, beats: int) -> tuple[float, float]:
    """Return the yards and the seconds of some beats of a stance."""
    drill = drill_of(deck)
    move = next(move for move in drill.moves if move.stance == stance)
    x, y = drill.steady[stance].shift(0, beats)
    assert x == 0
    return y / YARD, beats * move.beat_seconds


def test_120_paces_of_30_inches_cover_100_yards_in_a_minute(army: Deck) -> None:
    """Infantry Training, 1905 (UK), s. 11."""
    assert marched(army, "marching", 120) == pytest.approx((100, 60))


def test_180_paces_cover_200_yards_in_a_minute(army: Deck) -> None:
    """Infantry Training, 1905 (UK), s. 11, which makes the pace 40 inches."""
    stances = tuple(one._replace(step=Length(40.0, "in")) if one.name == "double time" else one for one in army.stances)
    assert marched(army._replace(stances=stances), "double time", 180) == pytest.approx((200, 60))


def test_120_half_steps_cover_50_yards(army: Deck) -> None:
    """Arithmetic on the 15-inch half step of TC 3-21.5, 2012, 4-9."""
    assert marched(army, "half step", 120) == pytest.approx((50, 60))


def test_backward_march_goes_back_and_marking_time_stays(army: Deck) -> None:
    assert marched(army, "backward march", 12)[0] == pytest.approx(-5)
    assert marched(army, "marking time", 12)[0] == 0


def furthest(deck: Deck, prompt: int, movement: str) -> float:
    """The most ground along the line of march, from the first word of the prompt to the last count."""
    drill = workings(deck, prompt).drill
    boxes = [move.ground(drill.steady[move.stance]) for move in drill.moves if move.movement == movement]
    return max(box.far - box.near for box in boxes)


def test_a_three_word_flank_with_a_four_beat_prompt_takes_196_inches(practice_deck: Deck) -> None:
    """By hand: six 30-inch steps from the first beat of the prompt to the word of execution, 9 in of heel behind
    the ball, and a T whose far edge lies 3 in of toe and 4 in of sole ahead of it: 180 + 9 + 7."""
    for flank in ("right-flank", "left-flank"):
        assert furthest(practice_deck, 4, flank) == pytest.approx(196)
        assert furthest(practice_deck, 0, flank) == pytest.approx(196 - 4 * 30)


def test_a_prompt_written_in_the_deck_is_kept_unless_another_is_asked_for(harbour: Deck) -> None:
    turn = harbour.movement("turn-starboard")
    assert lead_beats(turn, None) == 9
    assert lead_beats(turn, 4) == 8
    assert lead_beats(harbour.movement("drum-stop"), None) == 4


def test_what_comes_after_a_movement_is_known(harbour: Deck) -> None:
    ends = {(move.movement, move.stance, move.at_zero): move.end for move in drill_of(harbour).moves}
    assert ends["step-off", "halted", None] == Node("marching", 0), "the right foot has struck last"
    assert ends["short-pace", "marching", "left"] == Node("half step", 1)
    assert ends["side-port", "halted", None] == Node("side step to port", 0), "the left foot goes out again"
    assert ends["drum-stop", "half step", "right"] == Node("halted", 0)


def test_words_fall_on_their_foot_and_side_steps_are_halted_together(harbour: Deck) -> None:
    drill = drill_of(harbour)
    for move in drill.moves:
        steady = drill.steady[move.stance]
        for phase in range(steady.size):
            wait = drill.waits(Node(move.stance, phase), move)
            assert wait > move.lead
            assert wait - move.lead <= steady.size
            assert (phase + wait - 1) % steady.size == move.phase


def test_a_mirrored_flank_takes_mirrored_ground(practice_deck: Deck) -> None:
    moves = {move.movement: move for move in drill_of(practice_deck).moves}
    right, left = moves["right-flank"], moves["left-flank"]
    assert left.shift == pytest.approx((-right.shift[0], right.shift[1]))
    here, there = box_of(right.reach), box_of(left.reach)
    assert there == pytest.approx((-here.right, -here.left, here.near, here.far))


def test_a_turning_sole_needs_its_whole_circle(practice_deck: Deck) -> None:
    """A half turn on the ball: the heel's corners go round at the root of 9² + 2², 9.22 in, the toe's at 3.61 in."""
    points = swept(practice_deck.sole, Print(0, 0, 0), Print(0, 0, 180), 180.0)
    box = box_of(points)
    radius = (9**2 + 2**2) ** 0.5
    assert box.left == pytest.approx(-radius, abs=0.02), "turning right, the heel goes round by the left"
    assert box.right == pytest.approx((3**2 + 2**2) ** 0.5, abs=0.02)
    assert (box.near, box.far) == pytest.approx((-radius, radius), abs=0.02)


def test_nothing_reaches_beyond_the_hull() -> None:
    points = [(float(x * 7 % 5), float(x * 3 % 11)) for x in range(40)]
    corners = hull(points)
    assert set(corners) <= set(points)
    for heading in range(0, 360, 15):
        assert box_of(turned(p, heading) for p in corners) == pytest.approx(box_of(turned(p, heading) for p in points))
