"""Run the program as a user does: a process of its own, with a home of its own."""

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import trainer

ROOT = Path(trainer.__file__).parents[1]


def stepcall(home: Path, *arguments: str, typed: str = "") -> subprocess.CompletedProcess[str]:
    """Run one command with `typed` as its standard input."""
    environ = {**os.environ, "STEPCALL_HOME": str(home), "PYTHONPATH": str(ROOT)}
    return subprocess.run(
        [sys.executable, "-m", "trainer.cli.main", *arguments],
        input=typed,
        capture_output=True,
        text=True,
        encoding="utf-8",
        env=environ,
        timeout=120,
        check=False,
    )


def objects(done: subprocess.CompletedProcess[str]) -> list[Any]:
    """Return the JSON objects of an output, one a line."""
    assert done.returncode == 0, done.stderr
    return [json.loads(line) for line in done.stdout.splitlines()]
