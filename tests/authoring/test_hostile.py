import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.authoring.hostile import GROUPS
from trainer.plain import is_hidden, visible

ROOT = Path(__file__).parents[2]


def run_group(group: str) -> tuple[list[dict[str, Any]], list[str]]:
    """Run a group in children, a new one after each crash; return the results and what crashed."""
    results: list[dict[str, Any]] = []
    crashes: list[str] = []
    skip = 0
    while True:
        child = subprocess.run(
            [sys.executable, "-m", "tests.authoring.hostile", group, str(skip)],
            cwd=ROOT,
            env={**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "ascii:strict"},
            capture_output=True,
            text=True,
            timeout=300,
            check=False,
        )
        lines = [json.loads(line) for line in child.stdout.splitlines()]
        results += [line for line in lines if "problems" in line]
        if child.returncode == 0:
            return results, crashes
        assert lines, child.stderr
        reason = child.stderr.strip().splitlines()[-1:] or [f"ended by signal {-child.returncode}"]
        crashes.append(f"{lines[-1]['name']}: {reason[0]}")
        skip = lines[-1]["number"] + 1


def faults_of(result: dict[str, Any]) -> list[str]:
    problems = result["problems"]
    shown = [result["file"], *(part for *_, message, line in problems for part in (message, line))]
    faults = [f"shows {char!a}" for text in shown for char in text if is_hidden(char)]
    faults += [f"shows too many marks in {text!a}" for text in shown if visible(text) != text]
    if result["accepted"] and (problems or not result["parsed"]):
        faults.append(f"refused: {problems[:3]}")
    if not result["accepted"] and not problems:
        faults.append("let through without a word")
    faults += [f"says too little: {problem}" for problem in problems if len(problem[3].split()) < 3]
    faults += [f"says too much: {len(problem[3])} characters" for problem in problems if len(problem[3]) > 300]
    if problems != sorted(problems, key=lambda problem: problem[1:3]):
        faults.append("problems out of order")
    if len(problems) > 101:
        faults.append(f"{len(problems)} problems at once")
    return faults


@pytest.mark.parametrize("group", GROUPS)
def test_hostile_files_get_a_clear_word_within_bounds(group: str) -> None:
    """No case crashes, hangs or takes a gibibyte; each is refused in words that can be shown, or is legal."""
    results, crashes = run_group(group)
    assert crashes == []
    assert len(results) == sum(1 for _ in GROUPS[group]())
    faults = {result["name"]: faults for result in results if (faults := faults_of(result))}
    assert faults == {}


def test_a_crash_is_laid_at_the_door_of_its_case(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """The limits of the child work: a gibibyte and an endless loop each end it, and are named."""
    script = tmp_path / "child.py"
    script.write_text(
        "import sys\n"
        "from tests.authoring import hostile\n"
        "def greedy():\n    bytearray(hostile.MEMORY)\n"
        "def endless():\n    while True:\n        pass\n"
        "hostile.SECONDS = 1\n"
        "hostile.GROUPS['x'] = lambda: iter([('greedy', hostile.Case(greedy)), ('endless', hostile.Case(endless)),"
        " ('good', hostile.content('a = 1'))])\n"
        "hostile.main(sys.argv[-2], int(sys.argv[-1]))\n"
    )
    run = subprocess.run

    def run_script(command: list[str], **options: Any) -> subprocess.CompletedProcess[str]:
        return run([sys.executable, str(script), *command[-2:]], **options)

    monkeypatch.setattr(subprocess, "run", run_script)
    results, crashes = run_group("x")
    assert crashes == ["greedy: MemoryError", "endless: ended by signal 14"]
    assert [result["name"] for result in results] == ["good"]
