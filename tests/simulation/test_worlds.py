"""The worlds against published values, and what all of them owe to the bench."""

import ast
import random
from pathlib import Path

import pytest

import tests.simulation.worlds as worlds
from tests.simulation.bench import WORLDS, load_world
from tests.simulation.sheet import deck
from tests.simulation.worlds import activation, performance
from tests.simulation.worlds.exponential import ExponentialPupil
from tests.simulation.worlds.traces import TracePupil

FILES = sorted(Path(worlds.__file__).parent.glob("*.py"))


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_no_world_knows_the_program(path: Path) -> None:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
        names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
        for name in names:
            assert name.split(".")[0] != "trainer", f"{path.name} imports {name}"
            assert "importlib" not in name, path.name
            if name.startswith("tests."):
                # Only the bench's own worlds, so that nothing of the program comes in by a detour.
                assert name.startswith("tests.simulation.worlds"), f"{path.name} imports {name}"


# Cepeda, Vul, Rohrer, Wixted and Pashler (2008), percent recalled by (gap, retention) in days, and the five
# parameters that fit their 26 conditions best in this form, to 4.02 points.
CEPEDA_2008: dict[tuple[float, float], float] = {(1, 7): 97.3, (11, 35): 81.9, (21, 70): 61.2, (21, 350): 21.9}


@pytest.mark.parametrize(("gap", "retention"), CEPEDA_2008)
def test_traces_come_near_published_recall(gap: float, retention: float) -> None:
    pupil = TracePupil(delta=0.4013, d=0.13667, sigma=0.02668, thresholds={"word": 0.24653})
    for day in (0.0, gap):
        pupil.practise("word", day, True)
    assert 100 * pupil.recall("word", gap + retention) == pytest.approx(CEPEDA_2008[gap, retention], abs=2.5 * 4.02)


def test_traces_of_four_exposures_spaced_and_massed() -> None:
    # Worked by hand from the formulas for delta .25, d .137, tau0 .0318, theta .2465, sigma .03, tested on day 28.
    for days, strength, recall in (((0, 1, 4, 11), 0.333128, 0.947230), ((0, 0.001, 0.002, 0.003), 0.270751, 0.691764)):
        pupil = TracePupil(delta=0.25, d=0.137, sigma=0.03, thresholds={"word": 0.2465})
        for day in days:
            pupil.practise("word", day, True)
        assert pupil.strength("word", 28.0) == pytest.approx(strength, abs=5e-7)
        assert pupil.recall("word", 28.0) == pytest.approx(recall, abs=5e-7)


@pytest.mark.parametrize(
    ("times", "at", "level", "recall"),
    [
        ((0,), 60, -0.724699, 0.479718),
        ((0, 10), 610, -0.799929, 0.407046),
        ((0, 100, 200), 1200, -0.616624, 0.584834),
    ],
)
def test_activation_with_the_parameters_of_pavlik_and_anderson(
    times: tuple[int, ...], at: float, level: float, recall: float
) -> None:
    # Pavlik and Anderson (2005), Cognitive Science 29(4): a .177, c .217, tau -.704, s .255, seconds.
    practices: list[tuple[float, float]] = []
    for time in times:
        practices.append((time, activation.decay(activation.activation(time, practices))))
    assert activation.activation(at, practices) == pytest.approx(level, abs=2e-6)
    assert activation.recalled(activation.activation(at, practices)) == pytest.approx(recall, abs=1e-6)


def test_activation_pupil_counts_seconds_of_one_day_as_they_are() -> None:
    pupil = activation.ActivationPupil(activation.A, activation.C, activation.S, {"word": activation.TAU})
    for second in (0, 100, 200):
        pupil.practise("word", second / 86400, True)
    assert pupil.recall("word", 1200 / 86400) == pytest.approx(0.584834, abs=1e-6)


def test_time_never_runs_backwards_in_the_activation_world() -> None:
    counted = [activation.seconds(n / 500) for n in range(-1000, 2000)]
    assert counted == sorted(set(counted))
    assert activation.seconds(3.0) - activation.seconds(2.0) == pytest.approx(0.025 * 86400)


@pytest.mark.parametrize(
    ("times", "at", "elapsed", "decay", "level", "recall"),
    [
        ((0,), 10, 10.0, 0.04, 0.912011, 0.574509),
        ((0, 5), 10, 6.987505, 0.079147, 0.918920, 0.616093),
        ((0, 100), 200, 139.750106, 0.057271, 0.807674, 0.090450),
    ],
)
def test_performance_equation_with_the_parameters_of_walsh(
    times: tuple[int, ...], at: float, elapsed: float, decay: float, level: float, recall: float
) -> None:
    # Walsh et al. (2018), Journal of Experimental Psychology: General 147(9): b .04, m .08, tau .9, s .04, c .1, x .6.
    equation = performance.Equation()
    assert performance.elapsed(at, times, equation.x) == pytest.approx(elapsed, abs=1e-6)
    assert performance.decay(times, equation.b, equation.m) == pytest.approx(decay, abs=1e-6)
    reached = performance.performance(at, times, equation)
    assert reached == pytest.approx(level, abs=1e-6)
    assert performance.recalled(reached, 0.9, equation.s) == pytest.approx(recall, abs=1e-6)


def test_exponential_halves_in_the_same_time_and_slows_down_with_repetition() -> None:
    pupil = ExponentialPupil(gain=2.0, first_lives={"word": 1.0})
    pupil.practise("word", 0.0, True)
    assert pupil.recall("word", 4.0) == pytest.approx(pupil.recall("word", 2.0) ** 2)
    once = pupil.recall("word", 2.0)
    pupil.practise("word", 2.0, True)
    assert pupil.recall("word", 4.0) > once


@pytest.mark.parametrize("name", WORLDS)
class TestEveryWorld:
    def test_pupils_follow_from_the_seed_and_differ(self, name: str) -> None:
        on = deck()
        world = load_world(name)
        days = [0.0, 1.0, 3.0]

        def course(seed: int) -> list[float]:
            pupil = world.learner(on.items, on.groups, random.Random(seed))
            for day in days:
                for item in on.essential:
                    pupil.answer(item, day, 4, random.Random(f"{item}{day}"))
            return [pupil.recall(item, 5.0) for item in on.items]

        assert course(1) == course(1) != course(2)

    def test_recall_is_a_chance_that_fades_and_that_practice_raises(self, name: str) -> None:
        on = deck()
        pupil = load_world(name).learner(on.items, on.groups, random.Random(3))
        before = {item: pupil.recall(item, 1.0) for item in on.items}
        for item in on.items:
            pupil.answer(item, 0.0, 0, random.Random(item))
            assert 0.0 <= pupil.recall(item, 20.0) <= pupil.recall(item, 1.0) <= 1.0
            assert pupil.recall(item, 1.0) >= before[item]

    def test_some_points_are_known_before_and_unevenly(self, name: str) -> None:
        on = deck()
        known = []
        for seed in range(40):
            pupil = load_world(name).learner(on.items, on.groups, random.Random(seed))
            by_movement: dict[str, list[bool]] = {}
            for item in on.items:
                by_movement.setdefault(on.groups[item][0], []).append(pupil.recall(item, 0.0) > 0.2)
            known.append([sum(found) / len(found) for found in by_movement.values()])
        shares = [share for pupil in known for share in pupil]
        mean = sum(shares) / len(shares)
        assert 0.05 < mean < 0.6
        # Movements of independent points would vary by mean (1 - mean) / 12; these vary more.
        variance = sum((share - sum(pupil) / len(pupil)) ** 2 for pupil in known for share in pupil) / len(shares)
        assert variance > 1.5 * mean * (1.0 - mean) / 12

    def test_what_an_asking_would_do_is_what_it_does(self, name: str) -> None:
        on = deck()
        pupil = load_world(name).learner(on.items, on.groups, random.Random(5))
        foreseen = getattr(pupil, "recall_if_asked")  # noqa: B009  # optional, so not in the interface
        item = on.essential[0]
        for day in (0.0, 1.0, 4.0):
            pupil.answer(item, day, 0, random.Random(1))
        expected, chance = foreseen(item, 6.0, 9.0), pupil.recall(item, 6.0)
        after = []
        for right in (True, False):
            twin = load_world(name).learner(on.items, on.groups, random.Random(5))
            for day in (0.0, 1.0, 4.0):
                twin.answer(item, day, 0, random.Random(1))
            twin.practise(item, 6.0, right)  # type: ignore[attr-defined]
            after.append(twin.recall(item, 9.0))
        assert expected == pytest.approx(chance * after[0] + (1.0 - chance) * after[1])

    def test_guessing_and_slips_are_there(self, name: str) -> None:
        on = deck()
        rng = random.Random(8)
        item = on.essential[0]
        fresh = [load_world(name).learner(on.items, on.groups, random.Random(seed)) for seed in range(400)]
        unknown = [pupil for pupil in fresh if pupil.recall(item, 0.0) < 0.01]
        share = sum(pupil.answer(item, 0.0, 4, rng) for pupil in unknown) / len(unknown)
        assert share == pytest.approx(0.25, abs=0.1)
