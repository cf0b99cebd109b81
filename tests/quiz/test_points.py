"""Which points a deck has, and when a fact changes."""

import tomllib

import pytest

from tests.quiz.sample import TEXT, sample
from trainer.authoring.building import build
from trainer.quiz.points import Point, points

DECK = sample()
POINTS = points(DECK)


def ids_of(movement: str, essential: bool | None = None) -> list[str]:
    return [
        f"{point.family}/{point.place}"
        for point in POINTS
        if point.movement == movement and essential in (None, point.essential)
    ]


def facts(*changes: tuple[str, str]) -> dict[str, str]:
    return {point.id: point.fact for point in points(sample(*changes))}


def changed(*changes: tuple[str, str]) -> set[str]:
    before, after = facts(), facts(*changes)
    return {one for one in before.keys() | after.keys() if before.get(one) != after.get(one)}


def test_the_points_of_a_called_movement() -> None:
    assert ids_of("change-step") == [
        *("words/command", "words/from", "feet/1", "feet/2"),
        *("counts/1", "counts/2", "counts/3", "faults/walked", "faults/flat"),
    ]
    assert ids_of("change-step", True) == ["words/command", "feet/2", "counts/1", "counts/2", "counts/3"]


def test_ids_tell_standard_movement_family_and_place() -> None:
    point = next(one for one in POINTS if one.movement == "change-step")
    assert point.id == "quay-guard/change-step/words/command"
    assert len({one.id for one in POINTS}) == len(POINTS)
    for one in POINTS:
        assert one.id == f"quay-guard/{one.movement}/{one.family}/{one.place}"
        assert len(one.fact) == 16
        assert set(one.fact) <= set("0123456789abcdef")


def test_another_speakers_words_make_no_points() -> None:
    assert ids_of("right-flank")[:4] == ["words/command", "words/from", "feet/1", "feet/2"]


def test_either_foot_and_heels_together_are_facts_of_the_words() -> None:
    assert "feet/2" in ids_of("halt", True)
    assert "feet/2" in ids_of("side-halt", True)
    either, left = facts(), facts(('called_on = "either"', 'called_on = "left"'))
    assert either["quay-guard/halt/feet/2"] != left["quay-guard/halt/feet/2"]


def test_a_command_at_the_halt_has_no_feet_and_keeps_its_beats() -> None:
    assert ids_of("forward") == ["words/command", "words/from", "counts/1"]
    moved = changed(('say = "Forward", beat = -2', 'say = "Forward", beat = -4'))
    assert moved == {"quay-guard/forward/words/command"}


def test_cues_take_the_place_of_the_command() -> None:
    assert ids_of("tap-halt", True) == ["words/cues", "feet/first-cue", "counts/1", "counts/2"]
    assert changed(('beat = 2, sound = "single"', 'beat = 2, sound = "double"')) == {"quay-guard/tap-halt/words/cues"}


def test_the_sheet_has_points_of_its_own_and_none_is_essential() -> None:
    assert ids_of("grade-sheet") == ["counts/trials", "counts/minors", "counts/retest", "faults/bearing"]
    assert ids_of("grade-sheet", True) == []


def test_movements_come_in_the_order_of_the_sheet_then_the_others_then_the_sheet() -> None:
    order = list(dict.fromkeys(point.movement for point in POINTS))
    assert order == [
        *("right-flank", "left-flank", "change-step", "halt", "side-halt", "forward", "tap-halt", "grade-sheet")
    ]


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Toe to heel.", "The toe goes to the heel; mend this [spelling]."),
        ("The close takes a whole beat", "The close takes one whole beat"),
        ("Command without inflection", "A command with no inflection"),
        ("Loses military bearing.", "Loses his bearing."),
        ("Quay order 1 (invented)", "Quay order 1, 2nd edition (invented)"),
        ('say = "Change step"', 'say = "CHANGE  STEP"'),
        ('title = "Marching test, quay guard"', 'title = "Test"'),
        ("Off again.", "Off."),
        ('foot = "left", place = "step", length = "half"', 'place = "step", length = "half"'),
        ('place = "step", arms = "swing"', 'place = "step", length = "full", arms = "swing"'),
        ('retest_after = "24 h"', 'retest_after = "1 d"'),
    ],
)
def test_prose_and_other_ways_of_writing_change_no_fact(old: str, new: str) -> None:
    assert changed((old, new)) == set()


@pytest.mark.parametrize(
    ("old", "new", "point"),
    [
        ('length = "half", tell', 'length = "12 in", tell', "tap-halt/counts/1"),
        ('contact = "slide", arms = "still"', 'arms = "still"', "tap-halt/counts/2"),
        ('place = "close", arms = "still"', 'place = "close", arms = "pinned"', "halt/counts/2"),
        ('place = "toe to heel"', 'place = "close"', "change-step/counts/2"),
        ('turn = "90 left", tell', 'turn = "45 left", tell', "left-flank/counts/2"),
        ('say = "Left flank"', 'say = "Port flank"', "left-flank/words/command"),
        ('say = "Change step", beat = -2', 'say = "Change step", beat = -3', "change-step/feet/1"),
        ('from = ["half step"]', 'from = ["half step", "marching"]', "tap-halt/words/from"),
        ("{ count = 2, beat = 2 }", "{ count = 2, beat = 2.5 }", "change-step/faults/walked"),
        ('seen_by = "grader"', 'seen_by = "the squad"', "change-step/faults/flat"),
        ("needed = 3", "needed = 2", "grade-sheet/counts/trials"),
        ('pass = "75 %"', 'pass = "100 %"', "grade-sheet/counts/minors"),
        ('retest_after = "24 h"', 'retest_after = "48 h"', "grade-sheet/counts/retest"),
    ],
)
def test_a_changed_fact_is_the_fact_of_one_point(old: str, new: str, point: str) -> None:
    assert changed((old, new)) == {f"quay-guard/{point}"}


def test_a_call_on_the_other_foot_changes_the_feet_of_every_word() -> None:
    # The counts say their feet, so they do not change with the call.
    swapped = changed(
        ('to = "marching"\ncalled_on = "right"\nsource', 'to = "marching"\ncalled_on = "left"\nsource'),
    )
    assert swapped == {"quay-guard/change-step/feet/1", "quay-guard/change-step/feet/2"}


def test_a_deck_cut_out_of_a_larger_one_keeps_ids_and_facts() -> None:
    data = tomllib.loads(TEXT)
    data["deck"] |= {"id": "quay-guard-flanks", "standard": "quay-guard"}
    data["movement"] = [row for row in data["movement"] if "flank" in row["id"]]
    del data["grade_sheet"]
    cut = {point.id: point.fact for point in points(build(data))}
    whole = {point.id: point.fact for point in POINTS}
    assert cut
    assert cut.items() <= whole.items()


def test_the_same_deck_has_the_same_points() -> None:
    assert points(sample()) == POINTS
    assert all(isinstance(point, Point) for point in POINTS)
