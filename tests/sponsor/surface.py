"""An invented sponsor's surface: a candidate on the shipped guard deck, graders, and small sheets of our own."""

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import Any

from tests.coach.sitting import START, candidate_in
from trainer.coach.candidate import Candidate
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GradeSheet, Share
from trainer.records.clock import Moment
from trainer.records.events import Draft, Event, Header, new_id
from trainer.sponsor.graders import Grader
from trainer.sponsor.grading import Run, begin
from trainer.sponsor.opening import gate

OWL = Grader("Owl", date(2027, 1, 31))
KNOWN = (OWL, Grader("Old Owl", date(2026, 1, 31)))


def with_sheet(deck: Deck, minors: int, needed: int, trials: int, to_pass: int, **more: Any) -> Deck:
    """The deck with a small sheet over its first minors."""
    sheet = deck.grade_sheet
    assert sheet is not None
    small = GradeSheet(Share(to_pass, minors), trials, needed, sheet.minors[:minors], sheet.majors[:1])
    return deck._replace(grade_sheet=small._replace(**more))


def begun(candidate: Candidate, deck: Deck, moment: Moment = START, **more: Any) -> Run:
    return begin(candidate, deck, KNOWN, moment, grader="owl", checked=gate(deck), **more)


def on_surface(folder: Path) -> tuple[Candidate, Deck]:
    return candidate_in(folder)


class InMemory(Candidate):
    """A candidate whose record is a list, for trying thousands of runs without a disk."""

    def __init__(self) -> None:
        self.id, self._told = "candidate-1", list[Event]()

    @property
    def log(self) -> Any:  # type: ignore[override]
        return self

    def append_many(self, drafts: Sequence[Draft], now: Moment) -> None:
        for draft in drafts:
            number = len(self._told) + 1
            name = new_id(now.at_ms, number.to_bytes(10, "big"))
            header = Header(name, self.id, "laptop-01", number, "", now.at_ms, now.offset, number)
            self._told.append(Event(header, draft.kind, draft.body))

    def events(self) -> Sequence[Event]:
        return self._told
