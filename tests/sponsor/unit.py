"""An invented unit of several candidates for the roster: who studied, who was graded, who has not begun."""

import random
import tempfile
from datetime import date
from functools import cache
from pathlib import Path

from tests.coach.sitting import GUARD, START, later
from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import create, settings
from trainer.paths import Home
from trainer.quiz.points import Point, points
from trainer.records.clock import Moment
from trainer.records.drafts import answer, trial, verdict
from trainer.records.events import Draft

NOW = later(days=10)
DAY = date(2026, 12, 4)


@cache
def guard_points() -> tuple[Point, ...]:
    """Return the points of the guard deck."""
    with tempfile.TemporaryDirectory() as folder:
        return points(open_deck(GUARD, Home(Path(folder))))


def answers(seed: int, number: int, days: int = 8, right: float = 0.8) -> list[tuple[Draft, Moment]]:
    """Return answers on the guard deck, spread over days before NOW."""
    rng, known = random.Random(seed), guard_points()
    found = []
    for turn in range(number):
        point = known[rng.randrange(len(known))]
        draft = answer(
            point=point.id,
            fact=point.fact,
            right=rng.random() < right,
            choices=rng.choice((0, 2, 4)),
            question="x",
            ms=8_000,
            session=f"s{turn * days // number}",
        )
        found.append((draft, later(days=1 + turn * days // number, seconds=20 * turn)))
    return found


def run(name: str, go: bool, days: float = 9.0, faults: tuple[str, ...] = ()) -> list[tuple[Draft, Moment]]:
    """Return a short run with its verdict: four halts, the last NO-GO where the run is."""
    marks = (True, True, True, go)
    trials = [
        trial(run=name, measure="halt", number=number, go=mark, faults=() if mark else faults, deck=GUARD)
        for number, mark in enumerate(marks, 1)
    ]
    return [(draft, later(days=days)) for draft in (*trials, verdict(run=name, go=go, deck=GUARD))]


def member(home: Home, handle: str, test: date | None, *told: list[tuple[Draft, Moment]], deck: str = GUARD) -> str:
    """Make a candidate with a past; return his id."""
    candidate = create(home, settings(handle, deck, test, 15), START)
    candidate.log.append_history(sorted((row for rows in told for row in rows), key=lambda row: row[1].at_ms))
    candidate.close()
    return candidate.id
