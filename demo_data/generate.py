"""Make the histories of the invented unit: `python demo_data/generate.py`, always the same result.

Nobody in it exists. Eight made-up learners sit the program's own sessions on a made-up calendar, answer as a
simple model of forgetting of their own says, and have some runs graded. What they answered is written to
`histories.json` with times before the day on which the demo is opened.
"""

import json
import math
import random
import sys
import tempfile
from datetime import date, timedelta
from pathlib import Path
from typing import Any, NamedTuple

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from trainer.authoring.shelf import open_deck  # noqa: E402  (the checkout comes first)
from trainer.coach.candidate import Candidate, create, settings  # noqa: E402
from trainer.coach.session import Session  # noqa: E402
from trainer.coach.standing import open_standing  # noqa: E402
from trainer.drill.deck import Deck  # noqa: E402
from trainer.paths import Home  # noqa: E402
from trainer.quiz.questions import CHOICE, FEET, ORDER, Question  # noqa: E402
from trainer.records.clock import Moment  # noqa: E402

SEED = 1917
DAY_MS = 86_400_000
TODAY = date(2026, 3, 2)
"""The made-up day on which the histories end; the demo moves it to the day on which it is opened."""
HARBOUR, ARMY = "harbour-guard-marching", "us-army-individual-drill"


class Person(NamedTuple):
    """A made-up candidate: who, what he works towards, when he sits, how well he keeps what he learns."""

    handle: str
    deck: str
    test_in: int
    minutes: int
    days: tuple[int, ...]
    questions: int
    gain: float
    fading: float
    known_before: float
    hands: float
    runs: tuple[int, ...] = ()
    shaky: tuple[str, ...] = ()
    tasked: tuple[str, ...] = ()


TERN_AWAY = (4, 8, 9, 11)
TASKED = ("turn-port", "faults-of-last-run")

PEOPLE = (
    Person("Tern", HARBOUR, 9, 15, tuple(d for d in range(13, 0, -1) if d not in TERN_AWAY), 19, 0.4, 0.15, 0.15, 0.9),
    Person("Plover", HARBOUR, 6, 15, tuple(range(24, 0, -1)), 24, 0.5, 0.11, 0.3, 0.95, (5, 2), ("drum-stop",)),
    Person("Dunlin", HARBOUR, 21, 15, (1,), 22, 0.35, 0.15, 0.1, 0.9),
    Person("Knot", HARBOUR, 28, 10, (), 0, 0.35, 0.15, 0.1, 0.9),
    Person("Curlew", HARBOUR, 3, 15, tuple(range(26, 14, -1)), 19, 0.36, 0.17, 0.15, 0.9),
    Person(
        "Sanderling",
        HARBOUR,
        5,
        20,
        tuple(range(22, 0, -2)),
        44,
        0.5,
        0.11,
        0.5,
        0.62,
        (7, 4, 1),
        ("turn-port",),
        TASKED,
    ),
    Person("Turnstone", ARMY, 30, 15, (11, 9, 8, 6, 5, 3, 2), 24, 0.4, 0.14, 0.2, 0.9),
    Person("Gull", HARBOUR, -1, 15, tuple(range(16, 1, -1)), 16, 0.36, 0.16, 0.1, 0.75, (1,), ("come-about",)),
)


class Learner:
    """One made-up learner: power-law traces, with numbers of his own and not those of the program's model."""

    def __init__(self, person: Person, rng: random.Random) -> None:
        self.person, self.rng = person, rng
        self.traces: dict[str, list[tuple[float, float]]] = {}
        self.offsets: dict[str, float] = {}

    def knows(self, point: str, at: float) -> bool:
        """Draw whether a point comes to mind, then leave a trace of the question."""
        if point not in self.traces:
            old = self.rng.random() < self.person.known_before
            self.traces[point] = [(at - 40.0, 0.7)] if old else []
            self.offsets[point] = self.rng.gauss(0.0, 0.04)
        strength = sum(u * (1 + (at - t) / 0.03) ** -self.person.fading for t, u in self.traces[point])
        chance = 1 / (1 + math.exp(-(strength - 0.25 - self.offsets[point]) / 0.03))
        self.traces[point].append((at, self.person.gain * max(0.0, 1 - strength)))
        return self.rng.random() < chance

    def answer(self, question: Question, at: float) -> Any:
        """Return his answer: right where he knows, else a guess of the kind people make."""
        known = [self.knows(point, at) for point in question.points]
        if all(known):
            return question.answer
        if question.expects == CHOICE:
            return self.rng.randrange(len(question.choices))
        if question.expects == FEET:
            right = list(question.answer) if isinstance(question.answer, tuple) else []
            return [foot if k else self.rng.choice(("left", "right")) for foot, k in zip(right, known, strict=True)]
        if question.expects == ORDER:
            order = list(question.answer) if isinstance(question.answer, tuple) else []
            place = self.rng.randrange(max(1, len(order) - 1))
            order[place : place + 2] = reversed(order[place : place + 2])
            return order
        return "I do not know"


def moment(days_ago: float) -> Moment:
    """Return a reading of the made-up clock, some days before the histories end."""
    end = (TODAY - date(1970, 1, 1)).days * DAY_MS + 12 * 3_600_000
    return Moment(end - round(days_ago * DAY_MS), 0)


def study(person: Person, deck: Deck, candidate: Candidate, rng: random.Random) -> list[list[Any]]:
    """Sit a person's sessions; return one row a question."""
    learner = Learner(person, rng)
    rows = []
    for number, days_ago in enumerate(person.days):
        at = days_ago - rng.uniform(0.2, 0.35)
        sitting = Session(
            candidate,
            open_standing(candidate, deck, moment(at)),
            moment(at),
            person.questions,
            random.Random(rng.random()),
        )
        while (question := sitting.next_question(moment(at))) is not None:
            ms = round(min(90.0, rng.lognormvariate(math.log(9.0), 0.5)) * 1000)
            at -= (ms + 5000) / DAY_MS
            now = moment(at)
            marked = sitting.answer(learner.answer(question, now.at_ms / DAY_MS), ms, now)
            rights = [int(right) for _, right in marked.marks]
            rows.append(
                [round(at * DAY_MS), marked.kind, marked.choices, ms, number, [p for p, _ in marked.marks], rights]
            )
    return rows


def graded(person: Person, deck: Deck, rng: random.Random) -> list[dict[str, Any]]:
    """Return the runs graded on the ground."""
    sheet = deck.grade_sheet
    runs = []
    for number, days_ago in enumerate(person.runs if sheet else ()):
        assert sheet is not None
        trials = {}
        for measure in sheet.minors:
            chance = person.hands - (0.35 if measure in person.shaky else 0.0)
            trials[measure] = [int(rng.random() < chance) for _ in range(sheet.trials)]
        go = sum(sum(t) >= sheet.needed for t in trials.values()) >= sheet.rule.minors_to_pass
        # The last of three runs or more ended off the surface.
        failed = ["left-surface"] if len(person.runs) > 2 and number == len(person.runs) - 1 else []
        runs.append(
            {"ago": round((days_ago - 0.3) * DAY_MS), "trials": trials, "failed": failed, "go": go and not failed}
        )
    return runs


def note_faults(runs: list[dict[str, Any]], deck: Deck, rng: random.Random) -> None:
    """Put the faults that a grader noted into every NO-GO trial: of each movement mostly the same one."""
    for run in runs:
        run["faults"] = {}
        for measure, trials in run["trials"].items():
            faults = [fault.id for fault in deck.movement(measure).faults]
            usual = faults[len(measure) % len(faults)]
            noted = [[] if go else [usual if rng.random() < 0.7 else rng.choice(faults)] for go in trials]
            if any(noted):
                run["faults"][measure] = noted


def taskings(person: Person) -> list[dict[str, Any]]:
    """Return what the sponsor, an invented one, gave half a day ago."""
    if not person.tasked:
        return []
    note = "Walk through it by count before you sit."
    work = list(person.tasked)
    return [{"ago": DAY_MS // 2, "until_in": 4, "work": work, "sponsor": "Osprey", "note": note}]


def main() -> None:
    """Write the histories."""
    people = []
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder))
        for number, person in enumerate(PEOPLE):
            rng = random.Random(SEED + number)
            deck = open_deck(person.deck, home)
            test = TODAY + timedelta(days=person.test_in)
            candidate = create(home, settings(person.handle, person.deck, test, person.minutes), moment(30))
            rows = study(person, deck, candidate, rng)
            runs = graded(person, deck, rng)
            note_faults(runs, deck, random.Random(f"{SEED} {person.handle}"))
            people.append(pack(person, rows, runs))
            candidate.close()
            print(f"{person.handle}: {len(rows)} questions, {len(person.runs)} runs")
    told = "Invented: nobody in this file exists. Made by demo_data/generate.py."
    text = json.dumps({"invented": told, "candidates": people}, separators=(",", ":"), ensure_ascii=True)
    (ROOT / "demo_data" / "histories.json").write_text(text.replace('{"handle"', '\n{"handle"') + "\n", "ascii")


def pack(person: Person, rows: list[list[Any]], runs: list[dict[str, Any]]) -> dict[str, Any]:
    """Return one candidate with points and kinds as numbers into lists of their names."""
    names = sorted({point for row in rows for point in row[5]})
    kinds = sorted({row[1] for row in rows})
    place = {name: n for n, name in enumerate(names)}
    return {
        "handle": person.handle,
        "deck": person.deck,
        "test_in": person.test_in,
        "minutes": person.minutes,
        "points": names,
        "kinds": kinds,
        "questions": [
            [ago, kinds.index(kind), choices, ms, session, [place[p] for p in marked], rights]
            for ago, kind, choices, ms, session, marked, rights in rows
        ],
        "runs": runs,
        "taskings": taskings(person),
    }


if __name__ == "__main__":
    main()
