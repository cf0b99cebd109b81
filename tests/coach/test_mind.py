"""What answers taught of a candidate: the same however it was folded, and predictions that were made before."""

import marshal
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.coach.mind import Mind
from trainer.memory.recall import Evidence
from trainer.memory.snapshot import pack, unpack

ITEMS = [f"p{number}" for number in range(12)]
GROUPS = {item: (f"m{number // 3}", f"f{number % 3}") for number, item in enumerate(ITEMS)}


def answers(days: int, each: int, seed: int, right: float = 0.8) -> list[Evidence]:
    rng = random.Random(seed)
    return [
        Evidence(rng.choice(ITEMS), day + place * 20 / 86_400, rng.random() < right, rng.choice([0, 2, 4]))
        for day in range(days)
        for place in range(each)
    ]


def whole(mind: Mind) -> tuple[Any, ...]:
    return pack(mind.learner), mind.state()


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
    assert bit_by_bit.state()[2:] == at_once.state()[2:]
    assert bit_by_bit.reader.recall(ITEMS, 9.0, 4.0) == pytest.approx(at_once.reader.recall(ITEMS, 9.0, 4.0), abs=1e-12)


def test_what_was_kept_goes_on_as_if_it_had_never_been_left() -> None:
    every = answers(5, 8, 3)
    mind, kept = Mind(GROUPS), Mind(GROUPS)
    mind.fold(every[:20])
    kept.restore(unpack(pack(mind.learner)), marshal.loads(marshal.dumps(mind.state())))
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


def test_a_prediction_knows_nothing_of_its_own_sitting() -> None:
    """Whatever else was answered on the day: what was said of a point at its beginning stands."""
    past = answers(3, 8, 5)
    said = []
    for others in (True, False):
        mind = Mind(GROUPS)
        mind.fold(past)
        before = len(mind.predictions)
        mind.fold([Evidence(item, 4.0 + place / 1e4, others, 0) for place, item in enumerate(ITEMS)])
        said.append([one.chance for one in mind.predictions[before:]])
    assert len(said[0]) > 4
    # The correction of trust learns within the day, by little; the models themselves do not.
    assert said[0][0] == said[1][0]


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
