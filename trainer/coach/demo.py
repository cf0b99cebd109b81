"""The invented unit, opened in a throw-away copy: nobody in it exists, and nothing real is touched."""

import json
import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path
from typing import Any

from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import CandidateError, create, settings
from trainer.coach.here import remember
from trainer.coach.history import local_day
from trainer.paths import Home, demo_histories, home
from trainer.quiz.points import points
from trainer.records.clock import Moment
from trainer.records.drafts import answer, tasking, trial, verdict
from trainer.records.events import Draft

NOON_MS = 12 * 3_600_000
DAY_MS = 86_400_000


@contextmanager
def demo_home(moment: Moment, who: str | None = None) -> Iterator[tuple[Home, str]]:
    """Make the invented unit in a temporary folder, and take it away afterwards.

    Args:
        moment: the present; the histories end on this day.
        who: make only the candidate of this handle, which is quicker; all of them if None or unknown.

    Yields:
        Where its records are, and the handle of its first candidate.

    Raises:
        CandidateError: if the histories cannot be read.
    """
    told = _histories()
    folder = Path(tempfile.mkdtemp(prefix="stepcall-demo-"))
    try:
        # Checked decks are shared with the user's own: they are the same files.
        place = Home(folder, home().root)
        wanted = [person for person in told if person["handle"] == who] or told
        made = {person["handle"]: _make(place, person, moment) for person in wanted}
        first = wanted[0]["handle"]
        remember(place, made[first])
        yield place, first
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def first_handle() -> str:
    """Return the handle of the demo's first candidate."""
    return str(_histories()[0]["handle"])


def _histories() -> list[dict[str, Any]]:
    path = demo_histories()
    try:
        told = json.loads(path.read_text("ascii"))
        return list(told["candidates"])
    except (OSError, ValueError, KeyError) as error:
        raise CandidateError(f"The invented unit cannot be read from {path}; install the program anew.") from error


def _make(home: Home, person: dict[str, Any], moment: Moment) -> str:
    """Make one candidate's record; return his id."""
    deck = open_deck(person["deck"], home)
    facts = {point.id: point.fact for point in points(deck)}
    today = local_day(moment.at_ms, moment.offset)
    test = today + timedelta(days=person["test_in"])
    history = list(_history(person, facts, moment))
    start = min((at.at_ms for _, at in history), default=moment.at_ms) - DAY_MS
    first = Moment(start, moment.offset)
    candidate = create(home, settings(person["handle"], person["deck"], test, person["minutes"]), first)
    try:
        candidate.log.append_history(sorted(history, key=lambda row: row[1].at_ms))
    finally:
        candidate.close()
    return candidate.id


def _history(person: dict[str, Any], facts: dict[str, str], moment: Moment) -> Iterator[tuple[Draft, Moment]]:
    # The histories end at noon of their last day; sittings keep their hour, whenever the demo is opened.
    local = moment.at_ms + moment.offset * 60_000
    noon = moment.at_ms - local % DAY_MS + NOON_MS
    names, kinds = person["points"], person["kinds"]
    for ago, kind, choices, ms, session, marked, rights in person["questions"]:
        at = Moment(noon - ago, moment.offset)
        for place, right in zip(marked, rights, strict=True):
            point = names[place]
            if point in facts:
                yield (
                    answer(
                        point=point,
                        fact=facts[point],
                        right=bool(right),
                        choices=choices,
                        question=kinds[kind],
                        ms=ms,
                        session=f"demo-{session}",
                    ),
                    at,
                )
    for number, run in enumerate(person["runs"]):
        at = Moment(noon - run["ago"], moment.offset)
        for measure, trials in run["trials"].items():
            noted = run["faults"].get(measure, [[]] * len(trials))
            for count, (go, faults) in enumerate(zip(trials, noted, strict=True), 1):
                yield trial(run=f"demo-run-{number}", measure=measure, number=count, go=bool(go), faults=faults), at
        for major in run["failed"]:
            yield trial(run=f"demo-run-{number}", measure=major, number=1, go=False), at
        yield verdict(run=f"demo-run-{number}", go=run["go"]), at
    for given in person["taskings"]:
        until = local_day(moment.at_ms, moment.offset) + timedelta(days=given["until_in"])
        more = {name: given[name] for name in ("sponsor", "note")}
        yield tasking(work=given["work"], until=until.isoformat(), **more), Moment(noon - given["ago"], moment.offset)
