"""The filter against worked values, and against the same sums done the plain way."""

from itertools import product
from math import exp, prod

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.memory.forward_model import probability
from trainer.memory import grid
from trainer.memory.recall import Evidence, Learner
from trainer.memory.states import EVERY_HALF
from trainer.memory.traces import Fit, fade

WORKED = [
    Evidence("a", 0.0, True, 0),
    Evidence("a", 1.0, True, 0),
    Evidence("a", 4.0, False, 0),
    Evidence("b", 0.0, False, 4),
    Evidence("b", 1.0, True, 4),
]

NODES = list(product(grid.EXPONENTS, grid.INCREMENTS, grid.WIDTHS, grid.THRESHOLDS))

evidences = st.lists(
    st.builds(
        Evidence,
        item=st.sampled_from(["a", "b", "c"]),
        at=st.floats(0.0, 40.0).map(lambda at: round(at, 3)),
        right=st.booleans(),
        choices=st.sampled_from([0, 2, 4]),
    ),
    max_size=9,
)


def plainly(evidence: list[Evidence], item: str, at: float, now: float) -> tuple[list[float], list[float]]:
    """Node weights and the item's recall in each node, every state in a loop of its own."""
    first = min((answer.at for answer in evidence), default=now)
    weights, recalls = [], []
    for (d, delta, sigma, theta), log_prior in zip(NODES, grid.LOG_PRIOR, strict=True):
        fit = Fit(delta, d, grid.TAU0, theta, sigma)
        totals = {}
        for name in {"a", "b", "c", item}:
            answers = sorted((e for e in evidence if e.item == name), key=lambda e: (e.at, e.choices, e.right))
            total = recalled = 0.0
            for known, offset in product((False, True), grid.OFFSET_GRID):
                traces = [(first - 30.0, 0.6)] * known
                weight = (0.2 if known else 0.8) * exp(-(offset**2) / (2 * 0.03**2))
                for _, when, right, choices in answers:
                    level = sum(u * fade(when - t, d, grid.TAU0) for t, u in traces)
                    chance = probability(
                        level, fit, offset=offset, guess=1 / choices if choices else 0.0, inattention=0.02
                    )
                    weight *= chance if right else 1.0 - chance
                    traces.append((when, delta * (1.0 - level)))
                level = sum(u * fade(at - t, d, grid.TAU0) for t, u in traces)
                total += weight
                recalled += weight * probability(level, fit, offset=offset)
            totals[name] = total
            if name == item:
                recalls.append(recalled / total)
        weights.append(exp(log_prior) * prod(totals.values()))
    return [weight / sum(weights) for weight in weights], recalls


def posterior(learner: Learner, parameter: int) -> dict[float, float]:
    """Weight of each value of a node's parameter (0 exponent, 1 increment, 2 width, 3 threshold)."""
    shares: dict[float, float] = {}
    for node, weight in zip(NODES, learner.weights(), strict=True):
        shares[node[parameter]] = shares.get(node[parameter], 0.0) + weight
    return shares


def test_worked_recall() -> None:
    # Worked with an independent program from the same priors.
    recalls = Learner(WORKED).recall(["a", "b", "c"], 7.0, 4.0)
    assert recalls == pytest.approx([0.982297752, 0.650774201, 0.114571136], abs=1e-9)


def test_worked_posterior() -> None:
    learner = Learner(WORKED)
    assert list(posterior(learner, 1).values()) == pytest.approx([0.263879, 0.420255, 0.315866], abs=5e-7)
    assert list(posterior(learner, 3).values()) == pytest.approx([0.377650, 0.478614, 0.143736], abs=5e-7)
    assert posterior(learner, 2)[0.02] == pytest.approx(0.366719, abs=5e-7)


@settings(max_examples=40, deadline=None)
@given(evidences, st.sampled_from(["a", "b", "never asked"]))
def test_the_fast_way_is_the_plain_way(evidence: list[Evidence], item: str) -> None:
    learner = Learner(evidence)
    weights, recalls = plainly(evidence, item, 45.0, 40.0)
    assert learner.weights() == pytest.approx(weights, abs=1e-11)
    [read] = learner.recall_by_node([item], 45.0, 40.0)
    assert list(read) == pytest.approx(recalls, abs=1e-10)
    [mean] = learner.recall([item], 45.0, 40.0)
    assert mean == pytest.approx(sum(w * r for w, r in zip(weights, recalls, strict=True)), abs=1e-10)


@settings(max_examples=40, deadline=None)
@given(evidences, st.randoms(use_true_random=False), st.integers(0, 12))
def test_order_and_portions_change_no_digit(evidence: list[Evidence], rng: object, cut: int) -> None:
    shuffled = list(evidence)
    rng.shuffle(shuffled)  # type: ignore[attr-defined]
    whole, parts = Learner(evidence), Learner(shuffled[:cut])
    parts.fold(shuffled[cut:])
    assert parts == whole
    assert parts.weights() == whole.weights()
    assert parts.recall(["a", "b", "x"], 50.0, 40.0) == whole.recall(["a", "b", "x"], 50.0, 40.0)


def test_one_by_one_is_all_at_once_over_many_answers() -> None:
    evidence = [Evidence("a", 0.3 * n, n % 3 > 0, 4 * (n % 2)) for n in range(70)]
    slowly = Learner()
    for answer in evidence:
        slowly.fold([answer])
    assert slowly == Learner(evidence)


def test_thousands_of_answers_do_not_underflow() -> None:
    answers = [Evidence("often", n / 100, n % 7 > 0, 0) for n in range(600)]
    learner = Learner(answers + [Evidence(f"p{n % 150}", n / 100, n % 5 > 0, 0) for n in range(900)])
    assert sum(learner.weights()) == pytest.approx(1.0)
    assert all(0.0 < recall < 1.0 for recall in learner.recall(["often", "p0", "new"], 12.0, 9.0))


def test_answers_against_all_likelihood_do_not_underflow() -> None:
    # Never known and yet always right, three a second: the least likely answers that there are.
    learner = Learner([Evidence("odd", n * 1e-6, bool(n % 2), 0) for n in range(400)])
    assert sum(learner.weights()) == pytest.approx(1.0)
    assert 0.0 < learner.recall(["odd"], 1.0, 0.0)[0] < 1.0


def test_a_late_answer_refolds_its_point_only() -> None:
    learner = Learner(WORKED)
    other = learner.points()["a"]
    learner.fold([Evidence("b", 0.5, True, 0)])
    assert learner.points()["a"] is other
    assert learner == Learner([*WORKED, Evidence("b", 0.5, True, 0)])


def test_an_earlier_first_answer_moves_the_old_trace_of_every_point() -> None:
    learner = Learner(WORKED)
    before = learner.recall_by_node(["c"], 7.0, 4.0)[0]
    learner.fold([Evidence("b", -20.0, True, 0)])
    assert learner.first_at == -20.0
    assert learner == Learner([*WORKED, Evidence("b", -20.0, True, 0)])
    after = learner.recall_by_node(["c"], 7.0, 4.0)[0]
    assert all(late < early for late, early in zip(after, before, strict=True) if late)


def test_before_the_first_answer_the_old_trace_is_counted_from_now() -> None:
    learner = Learner()
    assert learner.recall(["a"], 107.0, 100.0) == pytest.approx(learner.recall(["a"], 7.0, 0.0))
    assert learner.first_at is None


def test_points_never_asked_share_one_computation() -> None:
    first, second = Learner(WORKED).recall_by_node(["x", "y"], 7.0, 4.0)
    assert first is second


def test_a_date_is_read_again_as_the_learner_changes() -> None:
    learner = Learner(WORKED)
    learner.recall(["a", "b", "c"], 60.0, 4.0)
    more = [Evidence("b", 5.0 + n, n % 4 == 0, 0) for n in range(40)]
    learner.fold(more)
    again = learner.recall(["a", "b", "c"], 60.0, 45.0)
    assert again == pytest.approx(Learner(WORKED + more).recall(["a", "b", "c"], 60.0, 45.0), abs=2e-10)


def test_learners_left_out_of_one_reading_are_read_when_they_count_again() -> None:
    memory = Learner(WORKED).points()["a"]
    some = list(memory.recall(7.0, -30.0, frozenset({0, 29})))
    every = list(memory.recall(7.0, -30.0, EVERY_HALF))
    assert every == pytest.approx(Learner(WORKED).recall_by_node(["a"], 7.0, 4.0)[0])
    assert some[:3] + some[-3:] == every[:3] + every[-3:]
    assert set(some[3:-3]) == {0.0}


@pytest.mark.parametrize(("choices", "low", "high"), [(0, 0.0, 0.98), (4, 0.25, 0.98), (2, 0.5, 0.98)])
def test_chance_right_holds_guess_and_inattention(choices: int, low: float, high: float) -> None:
    learner = Learner(WORKED)
    recall = learner.recall(["b"], 7.0, 4.0)[0]
    assert learner.chance_right("b", 7.0, choices, 4.0) == pytest.approx(low + (high - low) * recall)


def test_standings_tell_recall_and_answers() -> None:
    a, c = Learner(WORKED).standings(["a", "c"], 7.0, 4.0)
    assert (a.item, a.answers) == ("a", 3)
    assert a.recall == pytest.approx(0.982297752, abs=1e-9)
    assert (c.item, c.answers) == ("c", 0)


@pytest.mark.parametrize("answer", [Evidence("a", float("nan"), True, 0), Evidence("a", 1.0, True, 1)])
def test_evidence_that_cannot_be_is_refused_and_nothing_is_folded(answer: Evidence) -> None:
    learner = Learner(WORKED)
    with pytest.raises(ValueError, match="'a'"):
        learner.fold([Evidence("b", 3.0, True, 0), answer])
    assert learner == Learner(WORKED)
