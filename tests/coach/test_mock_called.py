"""A mock test whose feet are called on the beat: judged as the exercise is, and by the same essential points."""

import random
import tempfile
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.coach.mocking import RELATIVE, beside, point_of, sit, struck, zero_of
from tests.coach.sitting import START, candidate_in
from trainer.authoring.shelf import open_deck
from trainer.coach.beat import CALL
from trainer.coach.mock import MockTest
from trainer.coach.mock_paper import UNAIDED, Papers, called_feet
from trainer.coach.standing import open_standing
from trainer.drill.deck import Deck
from trainer.paths import Home
from trainer.quiz.points import COMMAND, FEET, WORDS, points
from trainer.quiz.questions import Question
from trainer.records.log import Log
from trainer.rhythm.calls import tells_foot
from trainer.rhythm.exercise import Exercise

GUARD, ARMY = "harbour-guard-marching", "us-army-individual-drill"
with tempfile.TemporaryDirectory() as folder:
    DECKS = {name: open_deck(name, Home(Path(folder))) for name in (GUARD, ARMY)}
PAPERS = {name: Papers(deck, points(deck)) for name, deck in DECKS.items()}


def callable_measures(name: str) -> list[str]:
    sheet = DECKS[name].grade_sheet
    assert sheet is not None
    return [minor for minor in sheet.minors if PAPERS[name].call(minor, random.Random(0))]


CALLABLE = [(name, measure) for name in DECKS for measure in callable_measures(name)]
calls = st.builds(
    lambda which, seed: PAPERS[which[0]].call(which[1], random.Random(seed)),
    st.sampled_from(CALLABLE),
    st.integers(0, 2**32),
)


def begun(folder: Path, called: bool = True, seed: int = 5) -> tuple[MockTest, Deck]:
    candidate, deck = candidate_in(folder)
    test = MockTest(candidate, open_standing(candidate, deck, START), START, random.Random(seed))
    test.asked_why = None if called else ""
    return test, deck


def events_of(test: MockTest, kind: str) -> list[dict[str, object]]:
    with Log.open(test.candidate.log.path) as log:
        return [dict(event.body) for event in log.events() if event.kind == kind]


def to_call(test: MockTest) -> Exercise:
    """Answer all that comes before the next call."""
    while not isinstance(task := test.next_task(), Exercise):
        assert task is not None
        sit(test, most=1)
    return task


def finish_trial(test: MockTest) -> bool:
    measure, before = test.measure, len(test.trials[test.measure])
    while len(test.trials[measure]) == before:
        sit(test, most=1)
    return test.trials[measure][-1]


# ---------------------------------------------------------------- what is called


def test_every_measure_with_a_foot_of_its_own_is_called_and_no_other() -> None:
    assert {measure for name, measure in CALLABLE if name == GUARD} == {
        "halt",
        "mark-time",
        "short-pace",
        "halt-from-mark-time",
        "turn-starboard",
        "turn-port",
        "come-about",
        "change-step",
        "side-halt",
    }, "not from the halt, where no foot strikes, nor to the drum, where nothing is said"


@given(calls)
def test_nothing_helps_in_a_call_of_a_test(done: Exercise) -> None:
    level = done.level
    assert level == UNAIDED
    assert level.letters, "the words are not shown"
    assert not any((level.feet_shown, level.foot_named, level.slow))
    assert done.moves


@given(st.sampled_from(CALLABLE), st.integers(0, 2**32))
def test_asked_and_called_touch_the_same_essential_points(which: tuple[str, str], seed: int) -> None:
    name, measure = which
    own = [point for point in points(DECKS[name]) if point.movement == measure]
    essential = {point.id for point in own if point.essential}
    for called in (False, True):
        paper = PAPERS[name].draw(measure, random.Random(seed), called)
        told = [one for one in paper if isinstance(one, Exercise)]
        touched = {point for one in paper if isinstance(one, Question) for point in one.points}
        assert len(told) == called
        feet = {point.id for done in told for point in called_feet(own, done)}
        assert essential <= touched | feet
        assert not feet & touched, "a foot that is called is not asked as well"


@given(st.sampled_from(CALLABLE), st.integers(0, 2**32))
def test_the_words_are_asked_before_the_call_that_names_the_movement(which: tuple[str, str], seed: int) -> None:
    name, measure = which
    paper = PAPERS[name].draw(measure, random.Random(seed), True)
    command = f"{DECKS[name].standard}/{measure}/{WORDS}/{COMMAND}"
    call = next(place for place, one in enumerate(paper) if isinstance(one, Exercise))
    asked = [place for place, one in enumerate(paper) if isinstance(one, Question) and command in one.points]
    assert asked
    assert max(asked) < call


# ---------------------------------------------------------------- laws of a call


@given(calls, st.data())
def test_every_word_on_its_foot_is_right_however_early_or_late(done: Exercise, data: st.DataObject) -> None:
    late = {due.number: data.draw(st.floats(-0.35, 0.35)) for due in done.dues}
    called = struck(done, late)
    assert called.right
    assert all(mark.right for mark in called.marks)


@given(calls, st.data())
def test_any_one_word_on_the_wrong_foot_is_not_right(done: Exercise, data: st.DataObject) -> None:
    word = data.draw(st.sampled_from(done.dues))
    called = struck(done, {word.number: beside(done, word)})
    assert not called.right
    wrong = {mark.number for mark in called.marks if mark.of == "foot" and not mark.right}
    if tells_foot(word):
        assert word.number in wrong
    if not any(due.foot in RELATIVE for due in done.dues):
        assert wrong == {word.number}, "the others are on their feet, and that is said"


@given(calls, st.data())
def test_a_word_that_is_not_called_is_no_command(done: Exercise, data: st.DataObject) -> None:
    word = data.draw(st.sampled_from(done.dues))
    called = struck(done, missed=[word.number])
    assert not called.right
    assert [mark.right for mark in called.marks if mark.of == COMMAND] == [False]


# ---------------------------------------------------------------- trials


def test_who_calls_every_word_on_its_foot_passes_in_the_fewest_trials(tmp_path: Path) -> None:
    test, deck = begun(tmp_path)
    sit(test)
    result, sheet = test.result(), deck.grade_sheet
    assert sheet is not None
    assert result.go is True
    assert {measure.trials for measure in result.measures} == {(True,) * sheet.needed}
    assert len(result.calls) == sheet.needed * len(callable_measures(GUARD))
    assert all(call.called.right for call in result.calls)
    assert all(one < two for one, two in pairwise([call.trial for call in result.calls if call.measure == "halt"]))
    assert result.asked_why == ""


@pytest.mark.parametrize("seed", range(2))
def test_asked_and_called_come_to_the_same_of_who_knows_the_same(tmp_path: Path, seed: int) -> None:
    """Some essential points are not known: the verdict on every measure hangs on these alone, in either way."""
    rng, found = random.Random(seed), []
    deck = DECKS[GUARD]
    essential = [one for one in points(deck) if one.essential]
    feet = [one.id for one in essential if one.family == FEET]
    unknown = set(rng.sample(feet, 3)) | {rng.choice([one.id for one in essential])}
    for called in (False, True):
        test, _ = begun(tmp_path / str(called), called, seed)
        sit(test, unknown)
        found.append({measure.id: measure.go for measure in test.result().measures})
    assert found[0] == found[1]
    assert False in found[0].values()
    assert True in found[0].values()


def test_a_first_word_on_the_wrong_foot_is_told_and_the_trial_hangs_on_the_word_of_execution(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    done = to_call(test)
    first = done.dues[0]
    test.call(struck(done, {first.number: beside(done, first)}), 4_000, START)
    assert finish_trial(test) is True, "as where it is asked"
    result = test.result()
    assert not result.calls[0].called.right
    missed = next(measure.missed for measure in result.measures if measure.id == done.movement.id)
    assert point_of(test, done, first) in {point.id for point in missed}


def test_without_its_word_of_execution_a_call_is_no_go_and_nothing_is_said_of_its_foot(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    while (done := to_call(test)).dues[-1].foot not in ("left", "right"):
        sit(test, most=1)
    last = done.dues[-1]
    before = len(events_of(test, "answer"))
    test.call(struck(done, missed=[last.number], zero=zero_of(done)), 4_000, START)
    kept = {str(one["point"]): one["right"] for one in events_of(test, "answer")[before:]}
    assert point_of(test, done, last) not in kept
    assert kept[f"harbour-guard/{done.movement.id}/words/command"] is False
    assert finish_trial(test) is False
    missed = next(measure.missed for measure in test.result().measures if measure.id == done.movement.id)
    assert point_of(test, done, last) in {point.id for point in missed}, "it was not shown, so it is missed here"


def test_a_call_given_up_is_no_go_and_nothing_is_said_of_words_that_were_asked_before(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    done = to_call(test)
    before = len(events_of(test, "answer"))
    test.call(struck(done, missed=[due.number for due in done.dues]), 0, START)
    assert events_of(test, "answer")[before:] == []
    assert finish_trial(test) is False
    missed = next(measure.missed for measure in test.result().measures if measure.id == done.movement.id)
    assert {point.id for point in missed} == {point.id for point in called_feet(test.standing.points, done)}


def test_a_call_is_on_the_disk_at_once_as_answers_and_timing_of_this_test(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    done = to_call(test)
    before = len(events_of(test, "answer"))
    called = struck(done, {due.number: 0.1 for due in done.dues})
    test.call(called, 4_000, START)
    kept = events_of(test, "answer")[before:]
    assert {(one["question"], one["session"]) for one in kept} == {(CALL, test.id)}
    assert {one["point"] for one in kept} >= {point.id for point in called_feet(test.standing.points, done)}
    (told,) = events_of(test, "timing")
    assert (told["movement"], told["session"], told["missed"]) == (done.movement.id, test.id, 0)
    assert told["mean_us"] == pytest.approx(0.1 * 60e6 / done.cadence, abs=2)
    with pytest.raises(RuntimeError, match="no call"):
        test.call(called, 4_000, START)


def test_answers_and_calls_do_not_stand_for_each_other(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    to_call(test)
    with pytest.raises(RuntimeError, match="no question"):
        test.answer(0, 1_000, START)


def test_left_in_a_call_there_is_no_verdict_and_nothing_of_it_is_kept(tmp_path: Path) -> None:
    test, _ = begun(tmp_path)
    to_call(test)
    assert events_of(test, "timing") == []
    assert test.result().go is None
    assert test.result().calls == ()


def test_a_seed_draws_the_same_calls_again(tmp_path: Path) -> None:
    one, other = begun(tmp_path / "one", seed=9)[0], begun(tmp_path / "other", seed=9)[0]
    for test in (one, other):
        sit(test, most=30)
    drawn = [[(call.measure, call.done.first, call.done.stance.name) for call in test.calls] for test in (one, other)]
    assert drawn[0] == drawn[1]
    assert drawn[0]
