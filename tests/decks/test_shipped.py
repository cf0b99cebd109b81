"""What holds in every deck that is shipped, and what the invented guard's deck promises to show."""

import json
from itertools import combinations
from pathlib import Path

import pytest

from tests.decks.measured import SHIPPED, feet_of_words, read, starts
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.grade_sheet import SheetRule
from trainer.drill.movement import Fault, Movement
from trainer.drill.shown import shown
from trainer.quiz.points import points

DECKS = {path.stem: read(path) for path in sorted(SHIPPED.glob("*.toml"))}
GUARD = DECKS["harbour_guard_marching"]
MOVEMENTS = [pytest.param(deck, one, id=f"{name}-{one.id}") for name, deck in DECKS.items() for one in deck.movements]


def played(deck: Deck, movement: Movement, fault: Fault) -> list[object]:
    return [compare(deck, movement, fault, *start).differences for start in starts(movement)]


@pytest.mark.parametrize("path", sorted(SHIPPED.glob("*.toml")), ids=lambda path: path.stem)
def test_deck_says_where_it_comes_from_and_what_to_look_out_for(path: Path) -> None:
    deck = read(path)
    assert deck.sources
    assert len(deck.cautions) >= 4
    assert any("unit's own standard" in line for line in deck.cautions)
    for movement in deck.movements:
        assert movement.source, movement.id


@pytest.mark.parametrize(("deck", "movement"), MOVEMENTS)
def test_every_playable_fault_shows_from_every_start(deck: Deck, movement: Movement) -> None:
    for fault in movement.faults:
        if fault.shows:
            assert all(played(deck, movement, fault)), fault.id
        else:
            assert fault.seen_by == "grader", fault.id


@pytest.mark.parametrize(("deck", "movement"), MOVEMENTS)
def test_no_two_faults_of_a_movement_look_or_read_alike(deck: Deck, movement: Movement) -> None:
    for one, two in combinations(movement.faults, 2):
        assert one.tell != two.tell
        if one.shows and two.shows:
            assert played(deck, movement, one) != played(deck, movement, two), (one.id, two.id)


@pytest.mark.parametrize("deck", DECKS.values(), ids=list(DECKS))
def test_faults_of_two_movements_read_alike_only_where_they_are_the_same(deck: Deck) -> None:
    told: dict[str, set[str]] = {}
    for movement in deck.movements:
        for fault in movement.faults:
            told.setdefault(fault.tell.lower(), set()).add(fault.id)
    assert {tell: ids for tell, ids in told.items() if len(ids) > 1} == {}


@pytest.mark.parametrize(("deck", "movement"), MOVEMENTS)
def test_every_performance_is_plain_data(deck: Deck, movement: Movement) -> None:
    faults: list[Fault | None] = [None, *(fault for fault in movement.faults if fault.shows)]
    for fault in faults:
        for stance, foot in starts(movement):
            data = shown(deck, movement, stance, foot, fault)
            assert json.loads(json.dumps(data)) == data


@pytest.mark.parametrize("deck", DECKS.values(), ids=list(DECKS))
def test_lines_for_people_fit_a_narrow_screen(deck: Deck) -> None:
    tells = [count.tell for m in deck.movements for count in m.counts]
    tells += [fault.tell for m in deck.movements for fault in m.faults]
    assert [tell for tell in tells if not 0 < len(tell) <= 90] == []


@pytest.mark.parametrize("deck", DECKS.values(), ids=list(DECKS))
def test_every_stance_can_be_reached_and_left(deck: Deck) -> None:
    edges = {(start, m.to) for m in deck.movements for start in m.from_stances}
    for first in {stance.name for stance in deck.stances}:
        reached = {first}
        while more := {to for start, to in edges if start in reached} - reached:
            reached |= more
        assert reached == {stance.name for stance in deck.stances}, first


def test_the_decks_teach_more_than_two_hundred_points() -> None:
    counted = [len(points(deck)) for deck in DECKS.values()]
    assert sum(counted) > 200
    assert min(counted) > 100


def test_guard_sheet_is_its_own() -> None:
    # 75 % of twelve minors is nine, by whole numbers.
    sheet = GUARD.grade_sheet
    assert sheet is not None
    majors = ("sword-lost", "left-surface", "wrong-movement", "unsafe")
    assert sheet.rule == SheetRule(needed=3, trials=4, minors_to_pass=9, majors=majors)
    assert sheet.retest_after_hours == 48
    assert len(sheet.minors) == 12


def test_guard_is_called_by_the_grader_first_and_by_the_candidate_then() -> None:
    for movement in GUARD.movements:
        if movement.cued_by:
            assert movement.words == ()
            continue
        first, *rest = movement.words
        assert first.speaker == "grader"
        assert all(word.speaker is None for word in rest)
        assert len(movement.call) in (3, 4)
    assert {len(m.call) for m in GUARD.movements if m.words} == {3, 4}


@pytest.mark.parametrize(
    ("movement", "feet"),
    [
        ("halt", ["right", "left", "left"]),
        ("mark-time", ["left", "left", "right"]),
        ("turn-starboard", ["left", "left", "left"]),
        ("turn-port", ["right", "right", "right"]),
        ("come-about", ["left", "left", "right", "right"]),
        ("change-step", ["right", "right", "left"]),
        ("full-ahead", ["left", "left", "left"]),
        ("halt-from-mark-time", ["left", "right", "right", "right"]),
    ],
)
def test_feet_of_the_guard_words(movement: str, feet: list[str]) -> None:
    # Invented with the guard: counted back from the word of execution, one foot a beat.
    assert feet_of_words(GUARD, movement) == feet


def test_guard_shows_all_that_a_deck_can_say() -> None:
    counts = [count for movement in GUARD.movements for count in movement.counts]
    assert {count.against for count in counts if count.place == "T"} == {"toe", "heel"}
    assert {"slide", "ball"} <= {count.contact for count in counts}
    assert {"carry", "order", "present"} == {count.sword for count in counts} - {None}
    assert any(count.left_arm == count.right_arm == "pinned" for count in counts)
    sounds = {cue.sound for movement in GUARD.movements for cue in movement.cues}
    assert sounds == {"single", "double"}
    assert all(len(movement.faults) >= 4 for movement in GUARD.movements)
    assert any(len(movement.from_stances) > 1 for movement in GUARD.movements)


@pytest.mark.parametrize(("one", "two"), [("turn-starboard", "turn-port"), ("side-starboard", "side-port")])
def test_guard_mirror_pairs_are_mirrored_point_by_point(one: str, two: str) -> None:
    starboard, port = (shown(GUARD, GUARD.movement(name))["beats"] for name in (one, two))
    origin, mirror = starboard[0]["feet"]["left"], port[0]["feet"]["right"]
    for right, left in zip(starboard, port, strict=True):
        for foot, glass in (("left", "right"), ("right", "left")):
            seen, mirrored = right["feet"][foot], left["feet"][glass]
            assert seen["x"] - origin["x"] == mirror["x"] - mirrored["x"]
            assert seen["y"] - origin["y"] == mirrored["y"] - mirror["y"]
            assert (seen["toes"] + mirrored["toes"]) % 360 == 0


def test_guard_comes_about_over_the_tees() -> None:
    # Half step of 14 in; the right sole (12 by 4 in, ball at 9) lies across the left toe, its middle 2 in before it;
    # the left foot turns on its place, heel against that middle; the right closes, the left steps 28 in back.
    beats = {b["beat"]: b for b in shown(GUARD, GUARD.movement("come-about"))["beats"]}
    zero = beats[0]["feet"]["right"]["y"]
    assert beats[1]["feet"]["left"]["y"] - zero == 14
    assert beats[2]["feet"]["right"] == {"x": -3, "y": zero + 14 + 3 + 2, "toes": 270}
    assert beats[3]["feet"]["left"] == {"x": 0, "y": zero + 14 + 3 - 9, "toes": 180}
    assert beats[4]["feet"]["right"] == beats[4]["feet"]["left"]
    assert beats[5]["feet"]["left"]["y"] - zero == 8 - 28
