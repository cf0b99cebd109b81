"""Ceremonial movements as units commonly do them. Common practice, no source, throughout this file."""

import tomllib
from itertools import pairwise

import pytest

from tests.drill.conftest import DECKS
from trainer.authoring.building import build
from trainer.drill.checks import findings
from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero, stance_foot
from trainer.drill.footprints import footprints, totals
from trainer.drill.grade_sheet import measure_go, verdict
from trainer.drill.score import Beat, Score
from trainer.drill.unrolling import score


def feet_of_words(deck: Deck, movement_id: str) -> list[str | None]:
    movement = deck.movement(movement_id)
    stance = deck.stance(movement.from_stances[0])
    at_zero = foot_at_zero(movement, stance)
    return [stance_foot(stance, movement, at_zero, int(word.beat)) for word in movement.words]


def arms(beat: Beat) -> tuple[str, str]:
    return beat.left_arm, beat.right_arm


@pytest.mark.parametrize(
    ("movement", "feet"),
    [
        ("right-flank", ["right", "left", "right"]),
        ("left-flank", ["left", "right", "left"]),
        ("rear", ["right", "right"]),
        ("change-step", ["right", "left", "right"]),
        ("mark-time", ["left", "left"]),
        ("resume", ["left", "left"]),
        ("ceremonial-halt", ["left", "left"]),
    ],
)
def test_feet_of_the_words(practice_deck: Deck, movement: str, feet: list[str]) -> None:
    assert feet_of_words(practice_deck, movement) == feet


@pytest.mark.parametrize(
    ("movement", "turn", "ground", "leads", "ends"),
    [
        ("forward-march", 0, (0, 30), "right", "marching"),
        ("mark-time", 0, (0, 30), "right", "marking time"),
        ("resume", 0, (0, 30), "right", "marching"),
        ("ceremonial-halt", 0, (0, 30), "right", "halted"),
        ("change-step", 0, (0, 48), "right", "marching"),
        ("right-flank", 90, (33, 5), "left", "marching"),
        ("left-flank", -90, (-33, 5), "right", "marching"),
        ("rear", 180, (0, -36), "right", "marching"),
        ("drum-cut", 0, (0, 15), "left", "halted"),
    ],
)
def test_turn_ground_leading_foot_and_closing_stance(
    practice_deck: Deck, movement: str, turn: float, ground: tuple[float, float], leads: str, ends: str
) -> None:
    done = score(practice_deck, practice_deck.movement(movement))
    total = totals(done, footprints(practice_deck, done))
    assert (total.turn, total.ends, total.leads_next) == (turn, ends, leads)
    assert (total.x, total.y) == pytest.approx(ground, abs=1e-9)


def by_beat(deck: Deck, movement: str) -> Score:
    return score(deck, deck.movement(movement))


def test_mark_time_takes_one_full_step_after_the_last_word(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "mark-time")
    assert (done.at(1).strikes, done.at(1).place, done.at(1).acts[0].length) == ("right", "step", 30)
    lift = done.at(3).acts[0].lift
    assert lift is not None
    assert lift.to("in") == 12, "mid-shin, here 12 inches"


def test_resume_pins_the_arms_for_one_step_in_place(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "resume")
    assert (done.at(1).strikes, done.at(1).place, arms(done.at(1))) == ("right", "in place", ("pinned", "pinned"))
    assert (done.at(2).strikes, done.at(2).place, arms(done.at(2))) == ("left", "step", ("swing", "swing"))
    assert done.at(2).acts[0].contact == "slide"


def test_halt_from_mark_time_steps_out_pinned_and_closes_sliding(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "ceremonial-halt")
    assert (done.at(1).strikes, done.at(1).place, arms(done.at(1))) == ("right", "step", ("pinned", "pinned"))
    assert (done.at(2).strikes, done.at(2).place, done.at(2).acts[0].contact) == ("left", "close", "slide")


def test_flank_sets_a_tee_then_turns_with_arms(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "right-flank")
    assert (done.at(1).place, arms(done.at(1)), done.at(1).turn) == ("T", ("pinned", "pinned"), 0)
    assert (done.at(2).place, arms(done.at(2)), done.at(2).turn) == ("step", ("swing", "swing"), 90)
    stands = {stand.beat: stand for stand in footprints(practice_deck, done)}
    assert stands[1].left.toes == 90, "the sole lies across, its toes towards the coming turn"


def test_rear_turns_into_a_second_tee(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "rear")
    assert [done.at(n).strikes for n in (1, 2, 3)] == ["left", "right", "left"]
    assert [done.at(n).turn for n in (1, 2, 3)] == [0, 180, 0]
    stands = {stand.beat: stand for stand in footprints(practice_deck, done)}
    march = stands[0].right
    assert (stands[2].right.x - march.x, stands[2].right.y - march.y, stands[2].right.toes) == (0, -6, 180)


def test_change_step_pins_the_arms_only_while_the_toe_slides(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "change-step")
    assert [arms(done.at(n))[0] for n in (1, 1.5, 2)] == ["swing", "pinned", "swing"]
    assert done.at(1.5).acts[0].contact == "slide"


def test_first_step_of_forward_march_slides_with_arms_at_once(practice_deck: Deck) -> None:
    first = by_beat(practice_deck, "forward-march").at(1)
    assert (first.strikes, first.acts[0].contact, arms(first)) == ("left", "slide", ("swing", "swing"))


def test_drum_cut_marks_on_the_left_and_never_pins_before_the_close(practice_deck: Deck) -> None:
    done = by_beat(practice_deck, "drum-cut")
    assert [(b.beat, b.strikes) for b in done.beats if b.cues] == [
        (0, "left"), (2, "left"), (4, "left"), (6, "left"), (7, "right"),
    ]  # fmt: skip
    assert [b.cues[0] for b in done.beats if b.cues] == ["double"] * 3 + ["single"] * 2
    assert all(arms(beat) == ("swing", "swing") for beat in done.beats if beat.beat < 7)
    assert (done.at(7).place, done.at(7).acts[0].contact, arms(done.at(7))) == ("close", "slide", ("pinned", "pinned"))


def test_left_flank_told_left_right_and_next_right_is_refused_with_the_missing_step() -> None:
    text = (DECKS / "common_practice.toml").read_text("utf-8")
    told = (
        'words = [ { say = "Left", beat = -3 }, { say = "Flank", beat = -2 }, '
        '{ say = "MARCH", beat = 0, executes = true } ]'
    )
    right = next(line for line in text.splitlines() if '"Left", beat = -2' in line)
    before, after = text.split(right)
    wrong = (
        before.replace('called_on = "left"\nturn = "90 left"', 'called_on = "right"\nturn = "90 left"') + told + after
    )
    found = findings(build(tomllib.loads(wrong)))
    assert found[0].path == ("movement", 6, "counts", 0, "foot")
    assert "count 1 cannot be the right foot on beat 1" in found[0].message
    assert "The missing step is the left foot's, on beat 1" in found[0].message


def test_right_flank_called_right_left_left_is_refused() -> None:
    text = (DECKS / "common_practice.toml").read_text("utf-8")
    told = (
        'words = [ { say = "Right", beat = -3 }, { say = "Flank", beat = -2 }, '
        '{ say = "MARCH", beat = 0, executes = true } ]'
    )
    right = next(line for line in text.splitlines() if '"Right", beat = -2' in line)
    wrong = text.replace('called_on = "right"\nturn = "90 right"', 'called_on = "left"\nturn = "90 right"')
    (finding,) = findings(build(tomllib.loads(wrong.replace(right, told))))
    assert finding.path == ("movement", 5, "counts", 0, "foot")
    assert "count 1 cannot be the left foot on beat 1" in finding.message
    assert "The missing step is the right foot's, on beat 1" in finding.message


def test_a_flank_whose_written_feet_all_speak_against_called_on_is_told_once() -> None:
    text = (DECKS / "common_practice.toml").read_text("utf-8")
    wrong = text.replace('called_on = "right"\nturn = "90 right"', 'called_on = "left"\nturn = "90 right"')
    (finding,) = findings(build(tomllib.loads(wrong)))
    assert finding.path == ("movement", 5, "called_on")


def test_sheet_of_nine_passes_with_eight_and_fails_with_seven(practice_deck: Deck) -> None:
    sheet = practice_deck.grade_sheet
    assert sheet is not None
    rule = sheet.rule
    assert rule.minors_to_pass == 8

    def outcome(go: int, failed: tuple[str, ...] = ()) -> bool | None:
        trials = {m: [True, True] if n < go else [False, False] for n, m in enumerate(sheet.minors)}
        return verdict(rule, trials, failed).go

    assert [outcome(go) for go in (7, 8, 9)] == [False, True, True]
    assert outcome(9, ("third",)) is False
    assert measure_go(rule, [True, False]) is None


def test_feet_alternate_in_every_movement(practice_deck: Deck) -> None:
    for movement in practice_deck.movements:
        struck = [beat.strikes for beat in score(practice_deck, movement).beats if beat.strikes]
        assert all(one != two for one, two in pairwise(struck)), movement.id
