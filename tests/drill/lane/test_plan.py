"""Plans: counts that stances force, feet, steps between commands, surfaces too small."""

import tomllib
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.authoring.building import build
from trainer.drill.deck import Deck
from trainer.drill.lane.asked import Asked, parse_left, sheet_trials
from trainer.drill.lane.fit import misfit, misfit_lines, too_long
from trainer.drill.lane.moves import lead_beats
from trainer.drill.lane.path import stays_inside, treads
from trainer.drill.lane.plan import Plan, parts, plan, usual_starts, workings
from trainer.drill.lane.reach import turned
from trainer.drill.lane.script import as_data, script_lines, table_rows
from trainer.drill.lane.surface import LaneError, Place, Surface
from trainer.paths import shipped_decks

WIDE = Surface(960.0, 720.0, 6.0)
HALL = Surface(720.0, 480.0, 6.0)


@pytest.fixture(scope="module")
def hall(practice_deck: Deck) -> Plan:
    """Nine measures three times each on 60 by 40 ft."""
    found = plan(practice_deck, Asked(sheet_trials(practice_deck), HALL))
    assert found is not None
    return found


def test_nine_measures_three_times_take_36_commands_and_not_27(practice_deck: Deck) -> None:
    """Three measures leave mark time and two of them halt: nine mark times and six steps off, of which three count.

    By hand: 27 + (9 - 3) + (6 - 3) = 36.
    """
    found = plan(practice_deck, Asked(sheet_trials(practice_deck), WIDE))
    assert found is not None
    assert len(found.commands) == 36
    assert sum(command.trial > 0 for command in found.commands) == 27
    extra = [command.movement for command in found.commands if not command.trial]
    assert sorted(extra) == ["forward-march"] * 3 + ["mark-time"] * 6
    assert found.shortest
    assert found.seconds == pytest.approx(174)


def test_a_smaller_surface_takes_more_turns_and_says_so(practice_deck: Deck, hall: Plan) -> None:
    assert stays_inside(practice_deck, hall)
    assert hall.bound == pytest.approx(174)
    assert hall.seconds <= 200
    assert not hall.shortest
    assert {command.movement for command in hall.commands if not command.trial} >= {"mark-time", "forward-march"}


def test_every_measure_is_tried_as_often_as_the_sheet_says(practice_deck: Deck, hall: Plan) -> None:
    for name in sheet_trials(practice_deck):
        trials = [command.trial for command in hall.commands if command.movement == name]
        assert [trial for trial in trials if trial] == [1, 2, 3]
        assert trials[:3] == [1, 2, 3], "what comes first counts"


def test_stances_feet_and_steps_follow_each_other(practice_deck: Deck, hall: Plan) -> None:
    for command in hall.commands:
        movement = practice_deck.movement(command.movement)
        assert command.stance in movement.from_stances
        if movement.called_on in ("left", "right"):
            assert command.foot == movement.called_on
        assert command.wait > command.lead == lead_beats(movement, None)
    for before, after in pairwise(hall.commands):
        assert practice_deck.movement(before.movement).to == after.stance
        assert after.at == before.at + before.tail + after.wait
        marched = after.wait * 30 if after.stance == "marching" else 0
        x, y = turned((0, marched), before.after.heading)
        assert after.before == pytest.approx(Place(before.after.x + x, before.after.y + y, before.after.heading))


def test_feet_alternate_through_the_whole_plan(practice_deck: Deck, hall: Plan) -> None:
    walked = treads(practice_deck, hall)
    for one, two in pairwise(walked):
        if (
            one.strikes
            and two.strikes
            and practice_deck.movement(hall.commands[two.command].movement).called_on != "halted"
        ):
            assert one.strikes != two.strikes, (one, two)
    assert sum(tread.strikes is not None for tread in walked) == hall.steps


def test_two_right_flanks_come_before_a_left_flank_where_the_surface_is_short(practice_deck: Deck) -> None:
    """Far left, looking along: no room to the left, and after a right and a left flank none ahead for a halt."""
    deck = practice_deck._replace(movements=tuple(m for m in practice_deck.movements if m.id != "rear"))
    asked = Asked({"right-flank": 2, "left-flank": 1}, Surface(480.0, 640.0), Place(20.0, 620.0, 90.0))
    found = plan(deck, asked)
    assert found is not None
    turns = [command.movement for command in found.commands if command.movement.endswith("flank")]
    assert turns[:3] == ["right-flank", "right-flank", "left-flank"]


def test_it_begins_and_ends_halted_inside_and_square(practice_deck: Deck, hall: Plan) -> None:
    first, last = hall.commands[0], hall.commands[-1]
    assert practice_deck.stance(first.stance).moves is False
    assert practice_deck.movement(last.movement).to == "halted"
    assert last.after.heading % 90 == 0
    assert hall.start in usual_starts(workings(practice_deck), HALL)


@settings(max_examples=12, deadline=None)
@given(
    wanted=st.dictionaries(
        st.sampled_from(["rear", "right-flank", "left-flank", "change-step", "drum-cut", "resume"]),
        st.integers(1, 2),
        min_size=1,
        max_size=3,
    ),
    x=st.integers(20, 70),
    y=st.integers(20, 70),
    prompt=st.integers(0, 5),
)
def test_no_plan_leaves_its_surface(practice_deck: Deck, wanted: dict[str, int], x: int, y: int, prompt: int) -> None:
    found = plan(practice_deck, Asked(wanted, Surface(x * 12.0, y * 12.0, 6.0), None, prompt), 8_000)
    if found is not None:
        assert stays_inside(practice_deck, found)
        assert found.bound <= found.seconds + 1e-6


def test_what_goes_over_the_edge_is_seen(practice_deck: Deck, hall: Plan) -> None:
    farthest = max(max(command.before.x, command.after.x) for command in hall.commands)
    narrow = hall.asked.surface._replace(x=farthest + hall.asked.surface.margin)
    assert not stays_inside(practice_deck, hall._replace(asked=hall.asked._replace(surface=narrow)))


def test_a_surface_too_small_names_the_measure_and_the_least_that_holds_it(practice_deck: Deck) -> None:
    asked = Asked({"forward-march": 1, "right-flank": 1}, Surface(330.0, 150.0, 0.0))
    assert plan(practice_deck, asked) is None
    found = misfit(practice_deck, asked)
    assert found.measures == ("right-flank",)
    assert found.least is not None
    holds = plan(practice_deck, asked._replace(wanted={"right-flank": 1}, surface=found.least))
    smaller = found.least._replace(x=found.least.x - 12, y=found.least.y - 12)
    assert holds is not None
    assert plan(practice_deck, asked._replace(wanted={"right-flank": 1}, surface=smaller)) is None
    lines = misfit_lines(practice_deck, asked, found)
    assert found.never == ()
    assert lines[0].startswith("No order was found")
    assert "right-flank" in lines[0]
    assert "least surface" in lines[1]


def test_only_what_takes_more_ground_than_there_is_is_said_never_to_fit(practice_deck: Deck) -> None:
    """A step of 30 in and a sole do not lie on 24 by 24 in; a flank does not fit 12 ft either, but that is no proof."""
    asked = Asked({"right-flank": 1}, Surface(24.0, 24.0, 0.0))
    found = misfit(practice_deck, asked)
    assert found.never == ("right-flank",)
    assert "take more ground than it has" in misfit_lines(practice_deck, asked, found)[0]
    assert not too_long(workings(practice_deck), "right-flank", Surface(144.0, 144.0, 0.0))
    assert too_long(workings(practice_deck), "right-flank", Surface(24.0, 960.0, 6.0))


@settings(max_examples=6, deadline=None)
@given(st.sampled_from(["rear", "right-flank", "mark-time"]), st.integers(10, 60), st.integers(10, 60))
def test_what_is_planned_takes_no_more_ground_than_there_is(practice_deck: Deck, name: str, x: int, y: int) -> None:
    surface = Surface(x * 12.0, y * 12.0, 6.0)
    if plan(practice_deck, Asked({name: 1}, surface), 5_000) is not None:
        assert not too_long(workings(practice_deck), name, surface)


@pytest.mark.parametrize("sizes", [((100, 60), (120, 80))])
def test_larger_ground_takes_no_longer(sizes: tuple[tuple[int, int], ...]) -> None:
    """An order for a surface is one for every larger surface; a whole sheet of many turns."""
    deck = build(tomllib.loads((shipped_decks() / "harbour_guard_marching.toml").read_text("utf-8")))
    plans = [plan(deck, Asked(sheet_trials(deck), Surface(x * 12.0, y * 12.0, 6.0))) for x, y in sizes]
    seconds = [one.seconds for one in plans if one]
    assert len(seconds) == len(sizes)
    for less, more in pairwise(seconds):
        assert more <= less + 1e-6
    assert all(stays_inside(deck, one) for one in plans if one)


@given(st.floats(60, 3000), st.floats(60, 3000), st.floats(0, 12))
def test_parts_lie_on_their_surface(x: float, y: float, margin: float) -> None:
    for part in parts(Surface(x, y, margin), 12.0):
        assert part.x <= x * (1 + 1e-9)
        assert part.y <= y * (1 + 1e-9)
        assert part.margin == margin


def test_data_for_scripts(practice_deck: Deck, hall: Plan) -> None:
    data = as_data(practice_deck, hall)
    assert data["inside"] is True
    assert data["steps"] == hall.steps
    flank = next(command for command in data["commands"] if command["movement"] == "right-flank")
    assert flank["words"] == [
        {"say": "Right", "beat": -2},
        {"say": "Flank", "beat": -1},
        {"say": "MARCH", "beat": 0},
    ]
    assert flank["counted"] is True
    assert (flank["after"]["heading"] - flank["before"]["heading"]) % 360 == 90
    assert set(flank["before"]) == {"x", "y", "heading"}


def test_the_script_says_every_word_on_its_step(practice_deck: Deck, hall: Plan) -> None:
    lines = list(script_lines(practice_deck, hall))
    text = "\n".join(lines)
    assert text.count("candidate: MARCH") + text.count("candidate: HALT") >= 36 - 3
    assert "left foot: candidate: Flank" in text
    assert text.count("grader: ") == len(hall.commands), "every movement is named"
    assert len(table_rows(practice_deck, hall)) == len(hall.commands) + 1


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("nothing:1", "has no movement 'nothing'"),
        ("rear", "is written like"),
        ("rear:x", "is written like"),
        ("rear:21", "from 0 to 20"),
        ("rear:0", "Nothing is left"),
        ("", "Nothing is left"),
        ("rear:-1", "is written like"),
        ("rear:1" + "0" * 5000, "from 0 to 20"),
    ],
)
def test_what_is_left_is_read_or_refused_in_a_sentence(practice_deck: Deck, text: str, part: str) -> None:
    with pytest.raises(LaneError, match=part):
        parse_left(text, practice_deck)


def test_what_cannot_be_reached_is_named(practice_deck: Deck) -> None:
    without = practice_deck._replace(movements=tuple(m for m in practice_deck.movements if m.id != "forward-march"))
    with pytest.raises(LaneError, match="called at the halt"):
        plan(without, Asked({"rear": 1}, WIDE))
    stuck = practice_deck._replace(movements=tuple(m for m in practice_deck.movements if m.id != "mark-time"))
    with pytest.raises(LaneError, match="'rear'"):
        plan(stuck, Asked({"rear": 1}, WIDE))
    with pytest.raises(LaneError, match="no grade sheet"):
        sheet_trials(practice_deck._replace(grade_sheet=None))
    with pytest.raises(LaneError, match="reach over the margin"):
        plan(practice_deck, Asked({"rear": 1}, WIDE, Place(1.0, 1.0, 0.0)))
