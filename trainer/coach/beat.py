"""Calls struck on the beat: which movement next, what a call says of the points, and how timing went over the days."""

import random
import secrets
from collections.abc import Iterable, Sequence
from datetime import date
from statistics import fmean
from typing import NamedTuple

from trainer.coach.candidate import Candidate
from trainer.coach.history import local_day
from trainer.coach.session import LONGEST_ANSWER_MS
from trainer.coach.standing import Standing
from trainer.drill.movement import Movement
from trainer.quiz.points import COMMAND, FEET, WORDS, Point
from trainer.records.clock import Moment
from trainer.records.corrections import effective
from trainer.records.drafts import answer as answer_event
from trainer.records.drafts import timing
from trainer.records.events import Draft, Event
from trainer.rhythm.calls import FOOT, Called, Mark
from trainer.rhythm.exercise import Exercise, Level, exercise

CALL = "call"
"""The kind of question that a call on the beat is."""
BY_CHANCE = {FEET: 2, WORDS: 0}
"""How many answers a guess chooses from: two feet; a command is not guessed."""
EASILY = 0.05
"""What a movement that is known for certain still weighs when the next one is drawn."""


class Call(NamedTuple):
    """One call of the record: its day, its movement, how it fell; times in ms, None where they are not known."""

    day: date
    movement: str
    level: int
    cadence: int
    words: int
    feet: int
    missed: int
    spread: float | None
    drift: float | None
    mean: float | None


class Day(NamedTuple):
    """The calls of one day: how many, the share of words on their foot, the mean spread in ms (None if not known)."""

    day: date
    calls: int
    feet: float
    spread: float | None


class BeatPractice:
    """Calls of one candidate on his deck; every call is in the record before `record` returns.

    Args:
        candidate: whose record it is.
        standing: his standing on the deck.
        rng: draws movements, stances and the foot that begins.
    """

    def __init__(self, candidate: Candidate, standing: Standing, rng: random.Random | None = None) -> None:
        self.candidate, self.standing = candidate, standing
        self.id = secrets.token_hex(8)
        self.rng = rng or random.Random(secrets.randbits(64))
        self._last: str | None = None

    def draw(self, level: Level, moment: Moment, movement: Movement | None = None) -> Exercise:
        """Return the next exercise: of a movement, or of one drawn by how badly its feet and words are known."""
        chosen = movement or self._drawn(moment)
        self._last = chosen.id
        return exercise(self.standing.deck, chosen, self.rng.choice(chosen.from_stances), level, self.rng)

    def _drawn(self, moment: Moment) -> Movement:
        movements = [one for one in self.standing.deck.movements if one.call or one.cued_by]
        others = [one for one in movements if one.id != self._last] or movements
        now, test_at = self.standing.now(moment), self.standing.test_at(self.candidate, moment)
        weights = []
        for one in others:
            ids = [point.id for point in self.standing.points if point.movement == one.id and _called(point)]
            recalls = self.standing.learner.recall(ids, test_at, now)
            weights.append(1.0 + EASILY - (fmean(recalls) if recalls else 0.0))
        return self.rng.choices(others, weights)[0]

    def record(self, done: Exercise, called: Called, ms: int, moment: Moment, remote: bool = False) -> None:
        """Record a call and fold what it says of the points.

        Args:
            done: what was to be called.
            called: what was called.
            ms: time from the first beat to the last strike.
            moment: the present.
            remote: whether the keys came over a link on which timing cannot be told.

        Raises:
            LogError: one sentence, if it could not be recorded; nothing was folded then.
        """
        marks, drafts = call_drafts(self.standing, done, called, ms, self.id, remote)
        self.candidate.log.append_many(drafts, moment)
        fold_call(self.standing, marks, ms, moment)


def _called(point: Point) -> bool:
    """Whether a call shows whether a point is known."""
    return point.family == FEET or (point.family == WORDS and point.place == COMMAND)


def marked_points(points: Iterable[Point], movement: str, marks: Iterable[Mark]) -> list[tuple[Point, bool]]:
    """Return the points that the marks of a call speak of; a word that has no point of its own is passed over."""
    places = {(point.family, point.place): point for point in points if point.movement == movement}
    found = []
    for mark in marks:
        key = (FEET, str(mark.number)) if mark.of == FOOT else (WORDS, COMMAND)
        if key in places:
            found.append((places[key], mark.right))
    return found


def call_drafts(
    standing: Standing, done: Exercise, called: Called, ms: int, session: str, remote: bool = False
) -> tuple[list[tuple[Point, bool]], list[Draft]]:
    """Return what a call says of the points, and the events that keep it.

    Args:
        standing: the standing whose points it speaks of.
        done: what was to be called.
        called: what was called.
        ms: time from the first beat to the last strike.
        session: id of the sitting.
        remote: whether the keys came over a link on which timing cannot be told.
    """
    marks = marked_points(standing.points, done.movement.id, called.marks)
    drafts = [
        answer_event(
            point=point.id,
            fact=point.fact,
            right=right,
            choices=BY_CHANCE[point.family],
            question=CALL,
            ms=min(max(0, ms), LONGEST_ANSWER_MS),
            session=session,
        )
        for point, right in marks
    ]
    return marks, [*drafts, timing_draft(standing.deck.standard, done, called, session, remote)]


def fold_call(standing: Standing, marks: Iterable[tuple[Point, bool]], ms: int, moment: Moment) -> None:
    """Fold what a call says of the points, once it is in the record."""
    said = list(marks)
    for family, choices in BY_CHANCE.items():
        own = [(point.id, right) for point, right in said if point.family == family]
        if own:
            standing.take(own, choices, moment, CALL, ms)


def timing_draft(deck: str, done: Exercise, called: Called, session: str, remote: bool = False) -> Draft:
    """Return the event that keeps the timing of a call; what could not be told is left out."""
    more: dict[str, int] = {"remote": True} if remote else {}
    if called.timing is not None:
        told = {
            "spread_us": called.timing.spread,
            "drift_us": called.timing.drift,
            "mean_us": called.timing.mean,
        }
        more |= {name: round(value * 1000) for name, value in told.items() if value is not None}
    return timing(
        deck=deck,
        movement=done.movement.id,
        level=done.level.number,
        cadence=max(round(done.cadence), 1),
        words=len(done.dues),
        feet=called.feet_right,
        missed=len(called.missed),
        session=session,
        **more,
    )


def calls(events: Sequence[Event], deck: str) -> list[Call]:
    """Return the calls of a record on a standard, in order, corrections made."""

    def ms(event: Event, name: str) -> float | None:
        value = event.body.get(name)
        return value / 1000 if isinstance(value, int) else None

    return [
        Call(
            local_day(event.header.at_ms, event.header.offset),
            str(event.body["movement"]),
            int(str(event.body["level"])),
            int(str(event.body["cadence"])),
            int(str(event.body["words"])),
            int(str(event.body["feet"])),
            int(str(event.body["missed"])),
            ms(event, "spread_us"),
            ms(event, "drift_us"),
            ms(event, "mean_us"),
        )
        for event in effective(events).events
        if event.kind == "timing" and event.body["deck"] == deck
    ]


def by_day(all_calls: Iterable[Call]) -> list[Day]:
    """Return calls day by day, the first day first."""
    days: dict[date, list[Call]] = {}
    for call in all_calls:
        days.setdefault(call.day, []).append(call)
    found = []
    for day, those in sorted(days.items()):
        spreads = [call.spread for call in those if call.spread is not None]
        words = sum(call.words for call in those)
        feet = sum(call.feet for call in those) / words if words else 0.0
        found.append(Day(day, len(those), feet, fmean(spreads) if spreads else None))
    return found
