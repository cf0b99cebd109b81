"""The blend: weights by prequential log loss, without jumps, and the reading of all models as one."""

import marshal
import random
from math import exp, log

import pytest

from tests.simulation.sheet import deck
from tests.simulation.worlds import activation, exponential, performance, traces
from tests.simulation.worlds.common import World
from trainer.memory.blend import ENOUGH, HEAD_START, INATTENTION_WEIGHTS, KEPT, LIGHT, MAIN, PAUSE, Blend, Blended
from trainer.memory.grid import INATTENTIONS
from trainer.memory.recall import Evidence, Learner
from trainer.memory.rivals import answer_chance


def course(world: World, seed: int, days: int = 12, points: int = 26) -> list[Evidence]:
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


class Followed:
    """Learners and blend that take one answer after the other."""

    def __init__(self, log: list[Evidence] | None = None) -> None:
        self.learners = [Learner(inattention=one) for one in INATTENTIONS]
        self.blend = Blend()
        self.blended = Blended(self.learners, self.blend)
        self.last: dict[str, float] = {}
        for one in log or []:
            self.take(one)

    def take(self, one: Evidence) -> None:
        tests = one.at - self.last.get(one.item, one.at) >= PAUSE
        recalls = [learner.recall((one.item,), one.at, one.at)[0] for learner in self.learners]
        self.blend.take(one, recalls if tests else None)
        for learner in self.learners:
            learner.fold([one])
        self.last[one.item] = one.at


def total(blend: Blend) -> float:
    return sum(map(sum, blend.weights()))


def test_before_any_answer_the_main_model_stands_alone() -> None:
    followed = Followed()
    assert [level[0] for level in followed.blend.weights()] == pytest.approx(INATTENTION_WEIGHTS)
    assert total(followed.blend) == pytest.approx(1.0)
    assert followed.blended.recall(["p"], 5.0, 0.0) == pytest.approx(Learner().recall(["p"], 5.0, 0.0))
    assert f"until {ENOUGH} answers" in followed.blend.said()


def test_weights_are_those_of_log_loss_worked_anew() -> None:
    told = course(traces.World(), 3, days=8)
    blend, learners, others = Blend(), [Learner(inattention=one) for one in INATTENTIONS], Blend().rivals
    scores, counted = [[0.0] * 5 for _ in INATTENTIONS], 0
    last: dict[str, float] = {}
    for one in told:
        main = None
        if one.at - last.get(one.item, one.at) > 0.2:
            main = [learner.recall((one.item,), one.at, one.at)[0] for learner in learners]
            recalls = [main, *(rival.recall(one.item, one.at) for rival in others)]
            counted += 1
            for level, slip in enumerate(INATTENTIONS):
                chances = [answer_chance(recall[level], one.choices, slip) for recall in recalls]
                new = [log(c if one.right else 1.0 - c) for c in chances]
                scores[level] = [KEPT * old + more for old, more in zip(scores[level], new, strict=True)]
        last[one.item] = one.at
        blend.take(one, main)
        for learner in learners:
            learner.fold([one])
        for rival in others:
            rival.take(one)
    assert counted == blend.counted > ENOUGH
    raw = [
        [w * exp(score - HEAD_START * (n > 0)) for n, score in enumerate(level)]
        for w, level in zip(INATTENTION_WEIGHTS, scores, strict=True)
    ]
    whole = sum(map(sum, raw))
    kept = [[one if one >= LIGHT * whole else 0.0 for one in level] for level in raw]
    for found, expected in zip(blend.weights(), kept, strict=True):
        assert found == pytest.approx([one / sum(map(sum, kept)) for one in expected])


def test_who_slips_on_what_he_knows_is_told_from_who_forgets() -> None:
    rng = random.Random(8)
    careful, careless = Followed(), Followed()
    for day in range(20):
        for place in range(7):
            at = day + place / 3000
            careful.take(Evidence(f"p{place}", at, True, 0))
            careless.take(Evidence(f"p{place}", at, rng.random() > 0.1, 0))
    assert careful.blend.inattention() < 0.03 < 0.05 < careless.blend.inattention()


def test_weights_never_jump() -> None:
    followed = Followed()

    def models() -> list[float]:
        return [sum(weights) for weights in zip(*followed.blend.weights(), strict=True)]

    before = models()
    for one in course(activation.World(), 5):
        followed.take(one)
        now = models()
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
    first = [Followed(course(world, seed, 14, 40)).blend.shares()[0].name for seed in (1, 2, 3)]
    assert first.count(name) >= 2, first


def test_the_blend_reads_as_one_model() -> None:
    followed = Followed(course(activation.World(), 2))
    blended, blend = followed.blended, followed.blend
    items = [*deck().essential[:5], "never"]
    nodes, weights = blended.recall_by_node(items, 20.0, 14.0), blended.weights()
    assert sum(weights) == pytest.approx(1.0)
    assert {len(one) for one in nodes} == {len(weights)}
    means = [sum(w * r for w, r in zip(weights, one, strict=True)) for one in nodes]
    assert blended.recall(items, 20.0, 14.0) == pytest.approx(means)
    assert [s.recall for s in blended.standings(items, 20.0, 14.0)] == pytest.approx(means)
    assert [s.answers for s in blended.standings(items, 20.0, 14.0)] == [
        s.answers for s in followed.learners[0].standings(items, 20.0, 14.0)
    ]
    mains = [learner.recall(items[:1], 20.0, 14.0)[0] for learner in followed.learners]
    assert blend.predict(items[0], 20.0, mains) == pytest.approx(means[0])


def test_a_model_that_weighs_nothing_is_not_read() -> None:
    followed = Followed(course(traces.World(), 7))
    read = sum(weight > 0.0 for level in followed.blend.weights() for weight in level)
    assert read < 15
    assert len(followed.blended.weights()) < 3 * (90 + 3 * 18 + 1)


def test_what_is_said_names_the_heaviest_first_and_its_weight() -> None:
    blend = Followed(course(activation.World(), 2)).blend
    first = blend.shares()[0]
    assert blend.said().startswith(f"By {blend.counted} answers after a pause, {first.name} weighs {first.weight:.0%}")


def test_the_state_goes_on_where_it_was_left() -> None:
    told = course(traces.World(), 7, days=6)
    whole, restored = Followed(told), Followed(told[:60])
    state = marshal.loads(marshal.dumps(restored.blend.state()))
    restored.blend = Blend()
    restored.blend.restore(state)
    for one in told[60:]:
        restored.take(one)
    assert restored.blend.weights() == whole.blend.weights()
    assert restored.blend.counted == whole.blend.counted


def test_an_answer_from_before_is_refused_and_nothing_is_taken() -> None:
    blend = Blend()
    blend.take(Evidence("p", 2.0, True, 0), (0.5, 0.5, 0.5))
    state = marshal.loads(marshal.dumps(blend.state()))
    with pytest.raises(ValueError, match="the answer to 'q' is earlier than one already taken"):
        blend.take(Evidence("q", 1.0, True, 0))
    assert blend.state() == state


def test_rivals_learn_anew_and_the_weights_stay() -> None:
    told = course(traces.World(), 4, days=6)
    blend = Followed(told).blend
    weights, rivals = blend.weights(), [rival.state() for rival in blend.rivals]
    blend.refold(told)
    assert [rival.state() for rival in blend.rivals] == rivals, "the same answers, the same rivals"
    blend.refold([one._replace(choices=2) if one.choices else one for one in told])
    assert [rival.state() for rival in blend.rivals] != rivals
    assert blend.weights() == weights
