"""The blend: weights by prequential log loss, without jumps, and the reading of all models as one."""

import marshal
import random
from math import exp, log

import pytest

from tests.simulation.sheet import deck
from tests.simulation.worlds import activation, exponential, performance, traces
from tests.simulation.worlds.common import World
from trainer.memory.blend import ENOUGH, HEAD_START, MAIN, Blend, Blended
from trainer.memory.recall import Evidence, Learner
from trainer.memory.rivals import answer_chance


def course(world: World, seed: int, days: int = 14, points: int = 40) -> list[Evidence]:
    """Answers of a synthetic pupil who is asked some of his points every other day or so."""
    on = deck()
    items, rng = on.essential[:points], random.Random(seed)
    pupil = world.learner(on.items, on.groups, random.Random(seed))
    log = []
    for day in range(days):
        for number, item in enumerate(rng.sample(items, points // 2)):
            at = day + number / 3000
            log.append(Evidence(item, at, pupil.answer(item, at, on.choices(item), rng), on.choices(item)))
    return log


def followed(log: list[Evidence]) -> Blended:
    learner = Learner()
    blended = Blended(learner, Blend())
    for one in log:
        blended.take(one)
        learner.fold([one])
    return blended


def test_before_any_answer_the_main_model_stands_alone() -> None:
    blended = Blended(Learner(), Blend())
    assert blended.blend.weights() == [1.0, 0.0, 0.0, 0.0, 0.0]
    assert blended.recall(["p"], 5.0, 0.0) == pytest.approx(Learner().recall(["p"], 5.0, 0.0))
    assert f"until {ENOUGH} answers" in blended.blend.said()


def test_weights_are_those_of_log_loss_worked_anew() -> None:
    told = course(traces.World(), 3, days=8)
    blend, learner, others = Blend(), Learner(), Blend().rivals
    scores, counted = [0.0, *[-HEAD_START] * 4], 0
    last: dict[str, float] = {}
    for one in told:
        main = learner.chance_right(one.item, one.at, one.choices, one.at)
        if one.at - last.get(one.item, one.at) > 0.2:
            chances = [main, *(answer_chance(rival.recall(one.item, one.at), one.choices) for rival in others)]
            counted += 1
            scores = [old + log(c if one.right else 1.0 - c) for old, c in zip(scores, chances, strict=True)]
        last[one.item] = one.at
        blend.take(one, main)
        learner.fold([one])
        for rival in others:
            rival.take(one)
    assert counted == blend.counted > ENOUGH
    raw = [exp(score) for score in scores]
    assert blend.weights() == pytest.approx([one / sum(raw) for one in raw])


def test_weights_never_jump() -> None:
    learner = Learner()
    blended = Blended(learner, Blend())
    before = blended.blend.weights()
    for one in course(activation.World(), 5):
        blended.take(one)
        learner.fold([one])
        now = blended.blend.weights()
        assert sum(now) == pytest.approx(1.0)
        # One answer cannot move the odds by more than the chances it was given allow; a tenth is far above the usual.
        assert max(abs(a - b) for a, b in zip(before, now, strict=True)) < 0.25
        before = now


@pytest.mark.parametrize(
    ("world", "name"),
    [(traces.World(), MAIN), (performance.World(), "performance equation"), (exponential.World(), "disuse")],
    ids=["traces", "performance", "exponential"],
)
def test_a_world_is_left_to_the_model_that_is_most_like_it(world: World, name: str) -> None:
    first = [followed(course(world, seed)).blend.shares()[0].name for seed in (1, 2, 3)]
    assert first.count(name) >= 2, first


def test_the_blend_reads_as_one_model() -> None:
    blended = followed(course(activation.World(), 2))
    items = [*deck().essential[:5], "never"]
    nodes, weights = blended.recall_by_node(items, 20.0, 14.0), blended.weights()
    assert sum(weights) == pytest.approx(1.0)
    assert {len(one) for one in nodes} == {len(weights)}
    means = [sum(w * r for w, r in zip(weights, one, strict=True)) for one in nodes]
    assert blended.recall(items, 20.0, 14.0) == pytest.approx(means)
    assert [s.recall for s in blended.standings(items, 20.0, 14.0)] == pytest.approx(means)
    assert [s.answers for s in blended.standings(items, 20.0, 14.0)] == [
        s.answers for s in blended.main.standings(items, 20.0, 14.0)
    ]
    assert blended.chance_right(items[0], 20.0, 4, 14.0) == pytest.approx(answer_chance(means[0], 4))


def test_what_is_said_names_the_heaviest_first_and_its_weight() -> None:
    blend = followed(course(activation.World(), 2)).blend
    first = blend.shares()[0]
    assert blend.said().startswith(f"By {blend.counted} answers after a pause, {first.name} weighs {first.weight:.0%}")


def test_the_state_goes_on_where_it_was_left() -> None:
    told = course(traces.World(), 7, days=6)
    whole = followed(told).blend
    half = followed(told[:60]).blend
    restored, learner = Blend(), Learner(told[:60])
    restored.restore(marshal.loads(marshal.dumps(half.state())))
    blended = Blended(learner, restored)
    for one in told[60:]:
        blended.take(one)
        learner.fold([one])
    assert restored.weights() == pytest.approx(whole.weights(), rel=1e-9)
    assert restored.counted == whole.counted


def test_an_answer_from_before_is_refused_and_nothing_is_taken() -> None:
    blend = Blend()
    blend.take(Evidence("p", 2.0, True, 0), 0.5)
    state = marshal.loads(marshal.dumps(blend.state()))
    with pytest.raises(ValueError, match="the answer to 'q' is earlier than one already taken"):
        blend.take(Evidence("q", 1.0, True, 0), 0.5)
    assert blend.state() == state


def test_rivals_learn_anew_and_the_weights_stay() -> None:
    told = course(traces.World(), 4, days=6)
    blend = followed(told).blend
    weights, rivals = blend.weights(), [rival.state() for rival in blend.rivals]
    blend.refold(told)
    assert [rival.state() for rival in blend.rivals] == rivals, "the same answers, the same rivals"
    blend.refold([one._replace(choices=2) if one.choices else one for one in told])
    assert [rival.state() for rival in blend.rivals] != rivals
    assert blend.weights() == weights
