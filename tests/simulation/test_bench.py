"""The bench as a whole: policies, reproducibility, worlds from outside."""

import json
import random
from pathlib import Path

import pytest

from tests.simulation import bench, course
from tests.simulation.__main__ import main
from tests.simulation.policies import Setting
from tests.simulation.sheet import Deck, Shape, deck

SMALL = Shape(points=30, minors=3, essential=(3, 4))
EVERY = tuple(course.POLICIES)

OUTSIDE = '''
class Pupil:
    """Recalls for good what was asked twice."""

    def __init__(self):
        self.asked = {}

    def recall(self, item, day):
        return 1.0 if self.asked.get(item, 0) > 1 else 0.0

    def answer(self, item, day, choices, rng):
        right = rng.random() < self.recall(item, day)
        self.asked[item] = self.asked.get(item, 0) + 1
        return right


class World:
    name = "asked twice"

    def learner(self, items, groups, rng):
        return Pupil()
'''


@pytest.fixture
def outside(tmp_path: Path) -> Path:
    path = tmp_path / "twice.py"
    path.write_text(OUTSIDE, "utf-8")
    return path


def setting(on: Deck) -> Setting:
    world = bench.load_world("traces")
    pupil = world.learner(on.items, on.groups, random.Random(1))
    return Setting(on, 5.0, 20, frozenset(range(5)), pupil, random.Random(1))


def sequence(policy: str, answers: list[bool], on: Deck) -> list[str | None]:
    chooser = course.POLICIES[policy](setting(on))
    chooser.begin(0.0)
    found = []
    for n, right in enumerate(answers):
        item = chooser.choose(n / 1000)
        found.append(item)
        if item is not None:
            chooser.took(item, n / 1000, right)
    return found


def test_rotation_goes_round_in_deck_order() -> None:
    on = deck(SMALL)
    essential = list(on.essential)
    assert sequence(course.FIXED[0], [False] * 13, on) == (essential * 2)[:13]
    assert sequence(course.FIXED[1], [True] * 30, on) == list(on.items)


def test_the_gap_doubles_and_a_miss_comes_back() -> None:
    on = deck(SMALL)
    found = sequence("doubling gap", [False] + [True] * 7, on)
    assert found[0] == found[6] == on.essential[0]
    assert found[1:6] == list(on.essential[1:6])


@pytest.mark.parametrize("policy", EVERY)
def test_every_policy_keeps_to_the_deck_and_the_budget(policy: str) -> None:
    on = deck(SMALL)
    assert set(sequence(policy, [True, False, True] * 5, on)) <= {*on.items, None}
    outcome = course.study(bench.load_world("exponential"), policy, 6, 0, 3, on, days=4)
    assert 0 < outcome.questions <= 24
    assert 0.0 <= outcome.go <= 1.0


def test_pupils_and_habits_are_shared_by_policies_and_budgets() -> None:
    on = deck(SMALL)
    world = bench.load_world("activation")
    rotation = [course.study(world, name, 6, 4, 3, on).questions for name in course.FIXED]
    assert rotation[0] == rotation[1] == 2 * course.study(world, course.FIXED[0], 3, 4, 3, on).questions


def test_the_truth_helps() -> None:
    on = deck()
    world = bench.load_world("traces")
    go = {name: [course.study(world, name, 20, n, 1, on).go for n in range(6)] for name in ("random", "oracle")}
    assert sum(go["oracle"]) > sum(go["random"]) + 1.0


def test_processes_do_not_change_a_digit() -> None:
    work = bench.jobs(["traces", "performance"], ["random", "ours"], [5], 2, days=3, shape=SMALL)
    alone = [outcome._replace(seconds=0.0) for _, outcome in bench.outcomes(work, 1)]
    together = [outcome._replace(seconds=0.0) for _, outcome in bench.outcomes(work, 2)]
    assert alone == together


def test_the_bench_runs_with_two_pupils(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--quick", "--pupils", "2", "--budgets", "6", "--days", "8", "--workers", "1"]) == 0
    shown = capsys.readouterr().out
    for name in (*bench.WORLDS, "ours", "oracle", "Reliability", "planned sessions", "no person has been measured"):
        assert name in shown


def test_a_world_from_outside(outside: Path, capsys: pytest.CaptureFixture[str]) -> None:
    policies = "fixed, essential;ours;truth, greedy"
    arguments = ["--world", str(outside), "--policies", policies, "--pupils", "2", "--budgets", "10", "--days", "3"]
    assert main([*arguments, "--points", "30", "--minors", "2", "--workers", "1", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    rotation = next(row for row in found["rows"] if row["policy"] == "fixed, essential")
    assert rotation["world"] == "asked twice"
    assert rotation["recall"]["mean"] == pytest.approx(1.0, abs=0.5)
    assert found["comparisons"][0]["world"] == "asked twice"
    assert {one["policy"] for one in found["forecasts"]} == {one["policy"] for one in found["promises"]} == {"ours"}


def test_on_an_uneven_sheet_the_plan_gives_up_what_is_large(capsys: pytest.CaptureFixture[str]) -> None:
    sheet = ["--essential", "2,2,2,2,14", "--minors", "5", "--points", "40"]
    policies = ["--world", "traces", "--policies", "ours;ours, unplanned", "--pupils", "2", "--seed", "3"]
    assert main([*sheet, *policies, "--budgets", "3", "--days", "10", "--workers", "1", "--json"]) == 0
    go = {row["policy"]: row["go"]["mean"] for row in json.loads(capsys.readouterr().out)["rows"]}
    assert go["ours"] > go["ours, unplanned"] + 0.1


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--world", "nowhere.py"], "there is no world 'nowhere.py'"),
        (["--policies", "best"], "no policy is called 'best'"),
        (["--pupils", "0"], "must be 1 or more"),
        (["--points", "20"], "too few for 10 measures"),
        (["--essential", "3,0"], "must be 1 or more"),
    ],
)
def test_wrong_arguments_get_a_sentence(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(arguments) == 2
    assert sentence in capsys.readouterr().err


def test_a_file_without_a_world_gets_a_sentence(tmp_path: Path) -> None:
    path = tmp_path / "empty.py"
    path.write_text("", "utf-8")
    with pytest.raises(ValueError, match="has no class World"):
        bench.load_world(str(path))


def outcome(go: float) -> course.Outcome:
    return course.Outcome(0.9, go, go > 0.5, 100, (), (), 0.0)


def test_ours_is_held_against_the_fairer_rotation() -> None:
    results = []
    for number, (essential, everything, ours) in enumerate([(0.3, 0.6, 0.7), (0.4, 0.5, 0.8)]):
        for policy, go in zip((*course.FIXED, course.OURS), (essential, everything, ours), strict=True):
            results.append((bench.Job("traces", policy, 20, number, 1, 21, Shape()), outcome(go)))
    one = bench.add_up(results).comparisons[0]
    assert one.rotation == course.FIXED[1]
    assert one.difference.mean == pytest.approx(0.2)
    assert one.gain is True
    assert one.no_worse is True
