"""A grade sheet as it stands: a pure fold of one run's events, so that a run goes on wherever it was interrupted."""

from collections.abc import Mapping, Sequence
from datetime import date
from typing import NamedTuple

from trainer.coach.history import GROUND, local_day
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GradeSheet, Outstanding, Verdict, measure_go, outstanding, verdict
from trainer.records.corrections import effective
from trainer.records.events import Event

TRAINING = "training"
BROKEN_OFF = {
    "injury": "an injury or illness",
    "weather": "the weather",
    "time": "the end of the time",
    "equipment": "the equipment or the surface",
    "other": "another reason",
}
"""Why a run is broken off, in words."""
NO_VERDICT = "This is no NO-GO: the run has no verdict, and every trial made counts as observed."


class Trial(NamedTuple):
    """One trial as the grader saw it; `id` is that of its event."""

    id: str
    measure: str
    go: bool
    faults: tuple[str, ...]


class Row(NamedTuple):
    """One minor measure of a sheet.

    Attributes:
        id: the movement.
        name: its name.
        trials: those that count, in order.
        go: GO or NO-GO, None while open.
        left: trials that may still come.
        to_go: right trials that it still needs.
        spoilt: trials that do not count, for their prompt was bad.
    """

    id: str
    name: str
    trials: tuple[Trial, ...]
    go: bool | None
    left: int
    to_go: int
    spoilt: int


class Sheet(NamedTuple):
    """A grade sheet as it stands.

    Attributes:
        run: id of the run.
        begun: the body of the event that began it.
        on: the day of the run.
        rows: every minor, in the order of the deck's sheet.
        failed: ids of the majors failed, in order.
        training: trials after a major failure, for training; they decide nothing.
        notes: what the grader wrote down, in order.
        now: what the trials decide.
        ahead: what is still asked for.
        recorded: the verdict on record, None while there is none.
        broken_off: why the run was broken off, a key of `BROKEN_OFF`; "" where it was not, or has a verdict all the
            same, as where two laptops ended it.
        at_ms: clock reading of the last event of the run.
        last: ids of the events that `undo` takes back, the latest last.
    """

    run: str
    begun: Mapping[str, object]
    on: date
    rows: tuple[Row, ...]
    failed: tuple[str, ...]
    training: tuple[Trial, ...]
    notes: tuple[str, ...]
    now: Verdict
    ahead: Outstanding
    recorded: bool | None
    broken_off: str
    at_ms: int
    last: tuple[str, ...]

    @property
    def ended(self) -> bool:
        """Whether a major failure has ended the run."""
        return bool(self.failed)

    @property
    def over(self) -> bool:
        """Whether nothing more is marked: it has its verdict, or was broken off."""
        return self.recorded is not None or bool(self.broken_off)

    @property
    def outcome(self) -> str:
        """What came of it, in words."""
        if self.broken_off:
            return f"broken off ({BROKEN_OFF.get(self.broken_off, self.broken_off)})"
        return {True: "GO", False: "NO-GO", None: "open"}[self.recorded]

    @property
    def complete(self) -> bool:
        """Whether no trial of the sheet is left to make."""
        return not any(row.left for row in self.rows)

    @property
    def verdict(self) -> bool | None:
        """GO or NO-GO as it would be recorded now; GO only when no trial is left, for a major may fail until then."""
        if self.now.go is False:
            return False
        return True if self.now.go and self.complete else None

    @property
    def grader(self) -> str:
        """Who grades."""
        return str(self.begun["grader"])

    def row(self, measure: str) -> Row:
        """Return the row of a minor.

        Raises:
            KeyError: if the sheet has none of that id.
        """
        for row in self.rows:
            if row.id == measure:
                return row
        raise KeyError(measure)


def sheets(events: Sequence[Event], deck: Deck) -> list[Sheet]:
    """Return every run on the ground of a deck that a record holds, in the order in which they were begun.

    Runs that were recorded without having been begun here (with trials and a verdict alone) are among them.
    """
    if deck.grade_sheet is None:
        return []
    runs: dict[str, list[Event]] = {}
    for event in effective(events).events:
        name = event.body.get("run") or (event.body.get("about") if event.kind == "note" else None)
        if not isinstance(name, str) or event.body.get("deck", deck.id) != deck.id:
            continue
        if event.body.get("held", GROUND) in (GROUND, TRAINING):
            runs.setdefault(name, []).append(event)
    return [_sheet(deck, deck.grade_sheet, name, told) for name, told in runs.items() if _is_run(told)]


def latest(held: Sequence[Sheet]) -> Sheet | None:
    """Return the run of the latest day, of several on one day the one begun last; None without any.

    Args:
        held: in the order in which they were begun.
    """
    return max(reversed(held), key=lambda sheet: sheet.on, default=None)


def _is_run(told: Sequence[Event]) -> bool:
    return any(event.kind in ("run", "trial", "verdict", "broken off") for event in told)


def _sheet(deck: Deck, written: GradeSheet, run: str, told: Sequence[Event]) -> Sheet:
    majors = {major.id for major in written.majors}
    counted: dict[str, list[Trial]] = {minor: [] for minor in written.minors}
    spoilt = dict.fromkeys(written.minors, 0)
    failed: dict[str, None] = {}
    training: list[Trial] = []
    notes: list[str] = []
    last: list[str] = []
    begun: Mapping[str, object] = {}
    recorded: bool | None = None
    broken = ""
    for event in told:
        body = event.body
        if event.kind == "run":
            begun = body
            continue
        last.append(event.header.id)
        if event.kind == "note":
            notes.append(str(body["text"]))
        elif event.kind == "verdict":
            recorded = bool(body["go"])
        elif event.kind == "broken off":
            broken = str(body["why"])
        elif event.kind == "trial":
            trial = _trial(event)
            if body.get("held") == TRAINING:
                training.append(trial)
            elif trial.measure in majors:
                failed |= {} if trial.go else {trial.measure: None}
            elif trial.measure in counted:
                if "prompt" in body:
                    spoilt[trial.measure] += 1
                else:
                    counted[trial.measure].append(trial)
    first = told[0]
    named = next((event.body["on"] for event in told if "on" in event.body), None)
    day = date.fromisoformat(str(named)) if named else local_day(first.header.at_ms, first.header.offset)
    trials = {minor: [trial.go for trial in rows] for minor, rows in counted.items()}
    rows = tuple(_row(deck, written, minor, tuple(rows), spoilt[minor]) for minor, rows in counted.items())
    if not begun:
        begun = {"run": run, "deck": deck.id, "grader": str(first.body.get("grader", "")), "checked": []}
    return Sheet(
        run,
        begun,
        day,
        rows,
        tuple(failed),
        tuple(training),
        tuple(notes),
        verdict(written.rule, trials, tuple(failed)),
        outstanding(written.rule, trials, tuple(failed)),
        recorded,
        broken if recorded is None else "",
        told[-1].header.at_ms,
        tuple(last),
    )


def _trial(event: Event) -> Trial:
    faults = event.body["faults"]
    seen = tuple(str(fault) for fault in faults) if isinstance(faults, list | tuple) else ()
    return Trial(event.header.id, str(event.body["measure"]), bool(event.body["go"]), seen)


def _row(deck: Deck, written: GradeSheet, minor: str, trials: tuple[Trial, ...], spoilt: int) -> Row:
    seen = [trial.go for trial in trials]
    go = measure_go(written.rule, seen)
    over = go is not None and written.stop_when_decided
    left = 0 if over else max(0, written.trials - len(seen))
    to_go = max(0, written.needed - sum(seen)) if go is None else 0
    return Row(minor, deck.movement(minor).name, trials, go, left, to_go, spoilt)
