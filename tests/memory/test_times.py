"""Answer times: fitted per kind, and of no effect until they have shown that they tell something."""

import marshal
from collections.abc import Iterator
from copy import deepcopy
from math import exp, log
from random import Random
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.memory.recall import Evidence, Learner
from trainer.memory.rivals import answer_chance
from trainer.memory.times import (
    ENOUGH,
    FARTHEST,
    PRIOR_ANSWERS,
    PRIOR_MEAN,
    PRIOR_SPREAD,
    Answer,
    AnswerTimes,
    Timed,
)

KINDS = ("order of words", "which foot")


def logit(chance: float) -> float:
    return log(chance / (1.0 - chance))


def course(rng: Random, telling: float, number: int = 400, choices: int = 0) -> Iterator[Answer]:
    """Answers whose true logit of recall is that foretold less `telling` a standard deviation of the time before.

    Guesses and inattention come on top.
    """
    before: dict[str, float] = {}
    for _ in range(number):
        item = f"p{rng.randrange(30)}"
        kind = rng.choice(KINDS)
        recall = rng.uniform(0.3, 0.95)
        true = 1.0 / (1.0 + exp(-logit(recall) + telling * before.get(item, 0.0)))
        right = rng.random() < answer_chance(true, choices)
        slow = rng.gauss(0.0, 1.0)
        if right:
            before[item] = slow
        else:
            before.pop(item, None)
        yield Answer(item, kind, exp((1.5 if kind == KINDS[0] else 0.7) + 0.5 * slow), right, recall, choices)


def test_times_that_say_nothing_are_hardly_ever_used() -> None:
    # Ville's inequality: the ratio reaches ENOUGH at any time in no more than 1 of ENOUGH courses.
    opened = 0
    for seed in range(200):
        times = AnswerTimes()
        for answer in course(Random(seed), 0.0, 200):
            times.take(answer)
            if times.used:
                opened += 1
                break
    assert opened <= 200 / ENOUGH


def test_times_that_tell_are_used_and_save_loss() -> None:
    used, saved = 0, []
    for seed in range(20):
        times = AnswerTimes()
        loss = plain = 0.0
        for answer in course(Random(seed), 0.8):
            assert answer.recall is not None
            said = answer_chance(times.shifted(answer.item, answer.recall), 0)
            foretold = answer_chance(answer.recall, 0)
            loss -= log(said if answer.right else 1.0 - said)
            plain -= log(foretold if answer.right else 1.0 - foretold)
            times.take(answer)
        used += times.used
        saved.append(plain - loss)
        assert times.weight > 0.1
    assert used >= 15
    assert fmean(saved) > 2.0


def test_what_choices_hide_is_not_taken_for_little() -> None:
    """Where guesses are often right the chance moves less than recall does; the weight is that of recall."""
    weights = []
    for seed in range(10):
        times = AnswerTimes()
        for answer in course(Random(seed), 0.8, 1500, choices=2):
            times.take(answer)
        weights.append(times.weight)
    assert fmean(weights) > 0.6


def test_an_answer_of_which_nothing_was_foretold_is_no_test() -> None:
    times = AnswerTimes([Answer("a", "k", 30.0, True, 0.5)])
    slow = times.slowness("a")
    times.take(Answer("a", "k", 30.0, True, None))
    assert times.gain == 0.0
    assert 0.0 < times.slowness("a") < slow, "its time counts all the same"


def test_times_go_on_from_a_kept_state() -> None:
    every = list(course(Random(5), 0.9, 300))
    whole, first, second = AnswerTimes(every), AnswerTimes(every[:120]), AnswerTimes()
    second.restore(marshal.loads(marshal.dumps(first.state())))
    for answer in every[120:]:
        second.take(answer)
    assert second.state() == whole.state()


def test_a_model_is_read_with_the_shift_of_each_point_and_no_other() -> None:
    learner = Learner([Evidence(item, day, True, 0) for day in (0.0, 1.0) for item in ("slow", "quick", "untimed")])
    times = AnswerTimes(list(course(Random(4), 0.9)))
    times.take(Answer("slow", KINDS[0], 60.0, True, None))
    times.take(Answer("quick", KINDS[0], 0.5, True, None))
    items = ("slow", "quick", "untimed", "never asked")
    timed, plain = Timed(learner, times), learner.recall(items, 9.0, 1.0)
    slow, quick, *others = timed.recall(items, 9.0, 1.0)
    assert slow < plain[0]
    assert quick > plain[1]
    assert others == pytest.approx(plain[2:])
    nodes, moved = learner.recall_by_node(["slow"], 9.0, 1.0)[0], timed.recall_by_node(["slow"], 9.0, 1.0)[0]
    worth = [node for node, recall in enumerate(nodes) if 1e-4 < recall < 1.0 - 1e-4]
    assert len(worth) > 20
    apart = [logit(moved[node]) - logit(nodes[node]) for node in worth]
    assert apart == pytest.approx([times.shift("slow")] * len(worth), abs=1e-6)
    assert [one.recall for one in timed.standings(items, 9.0, 1.0)] == timed.recall(items, 9.0, 1.0)


def test_what_is_said_follows_the_evidence() -> None:
    assert "not used" in AnswerTimes().said()
    assert "are used" in AnswerTimes(list(course(Random(4), 0.9))).said()


def test_slowness_is_the_distance_from_the_mean_of_its_kind() -> None:
    seconds = [4.0, 9.0, 2.0, 5.0, 7.5]
    times = AnswerTimes([Answer(f"p{n}", "k", s, True, 0.5) for n, s in enumerate(seconds)])
    times.take(Answer("last", "k", 20.0, True, 0.5))
    # The prior is worth eight answers that have its mean and its spread.
    known = [log(s) for s in seconds]
    mean = (PRIOR_ANSWERS * PRIOR_MEAN + sum(known)) / (PRIOR_ANSWERS + 5)
    squares = PRIOR_ANSWERS * (PRIOR_SPREAD**2 + (PRIOR_MEAN - mean) ** 2) + sum((v - mean) ** 2 for v in known)
    spread = (squares / (PRIOR_ANSWERS + 5)) ** 0.5
    assert times.slowness("last") == pytest.approx((log(20.0) - mean) / spread)


def test_kinds_are_fitted_apart() -> None:
    rng = Random(3)
    times = AnswerTimes([Answer("p", "typed", exp(rng.gauss(3.0, 0.3)), True, 0.5) for _ in range(60)])
    times.take(Answer("a", "typed", 20.0, True, 0.5))
    times.take(Answer("b", "foot", 20.0, True, 0.5))
    assert abs(times.slowness("a")) < 0.5
    assert times.slowness("b") > 1.5


@pytest.mark.parametrize("last", [Answer("a", "k", 30.0, False, 0.5), Answer("a", "k", None, True, 0.5)])
def test_a_wrong_or_untimed_answer_says_nothing_of_slowness(last: Answer) -> None:
    times = AnswerTimes([Answer("a", "k", 30.0, True, 0.5)])
    assert times.slowness("a") > 0.0
    times.take(last)
    assert times.slowness("a") == 0.0


def test_nothing_is_moved_before_there_is_evidence() -> None:
    times = AnswerTimes(list(course(Random(1), 0.0, 50)))
    assert not times.used
    assert all(times.shifted(f"p{n}", 0.7) == 0.7 for n in range(30))


@given(st.floats(0.0, 1e9), st.floats(0.0, 1.0), st.booleans())
def test_no_time_and_no_chance_breaks_it(seconds: float, chance: float, right: bool) -> None:
    times = AnswerTimes(list(course(Random(2), 1.2, 300)))
    times.take(Answer("p1", KINDS[0], seconds, True, chance))
    times.take(Answer("p1", KINDS[0], seconds, right, chance))
    assert abs(times.slowness("p1")) <= FARTHEST
    assert 0.0 < times.shifted("p1", chance) < 1.0 or not times.shift("p1")


def test_slower_is_never_surer() -> None:
    known = AnswerTimes(list(course(Random(4), 0.9)))
    assert known.used
    said = []
    for seconds in (0.1, 1.0, 3.0, 9.0, 30.0, 3000.0):
        times = deepcopy(known)
        times.take(Answer("never seen", KINDS[0], seconds, True, 0.7))
        said.append(times.shifted("never seen", 0.7))
    assert said == sorted(said, reverse=True)
    assert said[0] > 0.7 > said[-1]
