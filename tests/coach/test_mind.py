"""What answers taught of a candidate: the same however it was folded, and predictions that were made before."""

import marshal
import random
from math import exp
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.coach.history import Manner
from trainer.coach.mind import Mind
from trainer.memory.grid import INATTENTIONS
from trainer.memory.recall import Evidence, Learner
from trainer.memory.snapshot import pack, unpack
from trainer.memory.times import Timed

ITEMS = [f"p{number}" for number in range(12)]
GROUPS = {item: (f"m{number // 3}", f"f{number % 3}") for number, item in enumerate(ITEMS)}


def answers(days: int, each: int, seed: int, right: float = 0.8) -> list[Evidence]:
    rng = random.Random(seed)
    return [
        Evidence(rng.choice(ITEMS), day + place * 20 / 86_400, rng.random() < right, rng.choice([0, 2, 4]))
        for day in range(days)
        for place in range(each)
    ]


def guessed(days: int, each: int, seed: int, kinds: int = 2) -> tuple[list[Evidence], list[Manner]]:
    """Answers by one who hardly knows a thing but sees most choices of four to be wrong; half are typed."""
    rng = random.Random(seed)
    evidence, manners = [], []
    for day in range(days):
        for place in range(each):
            choices = rng.choice([0, 4])
            right = rng.random() < (0.85 if choices else 0.05)
            evidence.append(Evidence(rng.choice(ITEMS), 3.0 * day + place * 20 / 86_400, right, choices))
            manners.append(Manner(f"k{rng.randrange(kinds)}", exp(rng.gauss(1.5, 0.5))))
    return evidence, manners


def whole(mind: Mind) -> tuple[Any, ...]:
    return packed(mind), mind.state()


def packed(mind: Mind) -> list[bytes]:
    return list(map(pack, mind.learners))


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 99), st.lists(st.integers(1, 30), max_size=6), st.booleans())
def test_portions_are_of_no_account(seed: int, cuts: list[int], prepared: bool) -> None:
    """Answer by answer on the screens, or all at once from the record: the same mind."""
    every = answers(4, 9, seed)
    at_once, bit_by_bit = Mind(GROUPS), Mind(GROUPS)
    at_once.fold(every)
    left = list(every)
    for cut in cuts:
        part, left = left[:cut], left[cut:]
        if part and prepared:
            bit_by_bit.prepare(part[0].at)
        bit_by_bit.fold(part)
    bit_by_bit.fold(left)
    assert bit_by_bit.state()[1:] == at_once.state()[1:]
    assert bit_by_bit.reader.recall(ITEMS, 9.0, 4.0) == pytest.approx(at_once.reader.recall(ITEMS, 9.0, 4.0), abs=1e-12)


def test_what_was_kept_goes_on_as_if_it_had_never_been_left() -> None:
    every = answers(5, 8, 3)
    mind, kept = Mind(GROUPS), Mind(GROUPS)
    mind.fold(every[:20])
    state = marshal.loads(marshal.dumps(mind.state()))
    kept.restore(list(map(unpack, packed(mind))), state, every[:20], [Manner()] * 20)
    for one in (mind, kept):
        one.fold(every[20:])
    assert whole(kept) == whole(mind)


def test_only_answers_after_a_pause_are_predictions() -> None:
    mind = Mind(GROUPS)
    mind.fold([Evidence("p0", 0.0, True, 0), Evidence("p0", 0.01, True, 0), Evidence("p1", 0.02, True, 0)])
    assert mind.predictions == []
    mind.fold([Evidence("p0", 1.0, False, 4), Evidence("p0", 1.001, True, 4), Evidence("p2", 1.002, True, 4)])
    assert [one.right for one in mind.predictions] == [False]
    assert 0.25 < mind.predictions[0].chance < 1.0, "a guess among four is right one time in four"


@pytest.mark.parametrize("place", [0, 4, 9])
def test_a_prediction_is_made_before_the_answer_is_seen(place: int) -> None:
    past, today = answers(3, 8, 5), [Evidence(item, 4.0 + n / 1e4, True, 0) for n, item in enumerate(ITEMS)]
    said = []
    for right in (True, False):
        mind = Mind(GROUPS)
        mind.fold(past)
        mind.fold([*today[:place], today[place]._replace(right=right)])
        said.append([one.chance for one in mind.predictions])
    assert said[0] == said[1]


def test_an_answer_earlier_than_those_taken_is_refused() -> None:
    mind = Mind(GROUPS)
    mind.fold(answers(2, 3, 1))
    with pytest.raises(ValueError, match="earlier"):
        mind.fold([Evidence("p0", 0.5, True, 0)])


def test_nothing_answered_reads_like_the_prior() -> None:
    mind = Mind(GROUPS)
    recall = mind.reader.recall(ITEMS, 5.0, 0.0)
    assert max(recall) - min(recall) < 1e-9
    assert 0.0 < recall[0] < 0.3
    assert mind.predictions == []


GUESSED = guessed(16, 12, 2)


def guesser() -> Mind:
    mind = Mind(GROUPS)
    mind.fold(*GUESSED)
    return mind


def test_better_guesses_are_learnt_and_count_from_the_next_sitting_on() -> None:
    """The filter is then, to the digit, one that was told from the start."""
    mind = guesser()
    believed = mind.guessing.believed
    assert believed
    assert set(believed.values()) <= {2, 3}
    mind.prepare(70.0)
    counted = [
        one._replace(choices=believed.get((manner.kind, one.choices), one.choices))
        for one, manner in zip(*GUESSED, strict=True)
    ]
    assert packed(mind) == [pack(Learner(counted, slips)) for slips in INATTENTIONS]
    plain = Learner(GUESSED[0])
    assert sum(mind.learner.recall(ITEMS, 70.0, 70.0)) < sum(plain.recall(ITEMS, 70.0, 70.0))
    for rival in mind.blend.rivals:
        told = next(one for one in Mind(GROUPS).blend.rivals if one.name == rival.name)
        for one in counted:
            told.take(one)
        assert told.state() == rival.state()


def test_what_was_predicted_before_guesses_were_learnt_stands() -> None:
    mind = guesser()
    before, worth = list(mind.predictions), mind.blend.weights()
    mind.prepare(70.0)
    assert mind.predictions == before
    assert mind.blend.weights() == worth


@settings(max_examples=4, deadline=None)
@given(st.lists(st.integers(1, 60), max_size=8), st.booleans(), st.booleans())
def test_portions_are_of_no_account_where_guesses_are_learnt(cuts: list[int], prepared: bool, kept: bool) -> None:
    """Nor does it matter whether a sitting was made ready for, or the mind kept in a file between two portions."""
    at_once, bit_by_bit = guesser(), Mind(GROUPS)
    start = 0
    for cut in [*cuts, len(GUESSED[0])]:
        evidence, manners = GUESSED[0][start : start + cut], GUESSED[1][start : start + cut]
        if evidence and prepared:
            bit_by_bit.prepare(evidence[0].at)
        bit_by_bit.fold(evidence, manners)
        start += len(evidence)
        if kept:
            state = marshal.loads(marshal.dumps(bit_by_bit.state()))
            learners, bit_by_bit = list(map(unpack, packed(bit_by_bit))), Mind(GROUPS)
            bit_by_bit.restore(learners, state, GUESSED[0][:start], GUESSED[1][:start])
    assert bit_by_bit.state()[1:] == at_once.state()[1:]
    assert packed(bit_by_bit) == packed(at_once)
    for mind in (bit_by_bit, at_once):
        mind.prepare(70.0)
    assert packed(bit_by_bit) == packed(at_once)
    assert bit_by_bit.reader.recall(ITEMS, 90.0, 70.0) == at_once.reader.recall(ITEMS, 90.0, 70.0)


def slowly(days: int, seed: int, telling: bool) -> tuple[list[Evidence], list[Manner]]:
    """Answers of which the slow right ones, where times tell, are followed by wrong ones."""
    rng = random.Random(seed)
    slow: dict[str, bool] = {}
    evidence, manners = [], []
    for day in range(days):
        for place, item in enumerate(ITEMS):
            right = rng.random() < (0.2 if telling and slow.get(item) else 0.9)
            slow[item] = rng.random() < 0.4
            evidence.append(Evidence(item, 2.0 * day + place * 20 / 86_400, right, 0))
            manners.append(Manner("k", 25.0 if slow[item] else 3.0))
    return evidence, manners


@pytest.mark.parametrize("telling", [True, False])
def test_answer_times_move_the_reading_only_where_they_tell(telling: bool) -> None:
    mind = Mind(GROUPS)
    evidence, manners = slowly(14, 3, telling)
    mind.fold(evidence, manners)
    assert mind.times.used is telling
    assert isinstance(mind.reader, Timed) is telling
    untimed = Mind(GROUPS)
    untimed.fold(evidence)
    timed, plain = mind.reader.recall(ITEMS, 32.0, 30.0), untimed.reader.recall(ITEMS, 32.0, 30.0)
    for item, one, other in zip(ITEMS, timed, plain, strict=True):
        slow = mind.times.slowness(item) if telling else 0.0
        assert (one < other, one > other) == (slow > 0.0, slow < 0.0)
    assert [one.right for one in mind.predictions] == [one.right for one in untimed.predictions]
    assert (mind.predictions == untimed.predictions) is not telling


def test_what_the_log_decided_is_told_in_a_sentence_each() -> None:
    models, guesses, times = guesser().said()
    assert "answers" in models
    assert "more often than the number of choices says" in guesses
    assert "not used" in times
