"""A candidate with a record of his own, who sits at given times and answers as he is told to."""

import random
import sqlite3
from collections.abc import Callable
from datetime import date
from pathlib import Path

from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import Candidate, create, settings
from trainer.coach.session import Session
from trainer.coach.standing import Standing, open_standing
from trainer.drill.deck import Deck
from trainer.paths import Home
from trainer.quiz.questions import Question
from trainer.records.clock import Moment

DAY_MS = 86_400_000
START = Moment(1_795_510_800_000, 60)
"""Tuesday 24 November 2026, 10 in the morning, an hour east of Greenwich."""
TEST_ON = date(2026, 12, 20)
GUARD = "harbour-guard-marching"

Answers = Callable[[Question], object]


def later(moment: Moment = START, days: float = 0.0, seconds: float = 0.0) -> Moment:
    """Return a moment some time after another."""
    return Moment(moment.at_ms + round(days * DAY_MS + seconds * 1000), moment.offset)


def candidate_in(folder: Path, test_on: date | None = TEST_ON) -> tuple[Candidate, Deck]:
    """Make a candidate on the shipped guard deck."""
    home = Home(folder / "home")
    candidate = create(home, settings("Morgan", GUARD, test_on, 15), START)
    return candidate, open_deck(GUARD, home)


def right(question: Question) -> object:
    """Answer right."""
    return question.answer


def wrong(question: Question) -> object:
    """Answer wrong, whatever the form."""
    return None


def sit(
    candidate: Candidate, deck: Deck, moment: Moment, questions: int, answers: Answers = right, seed: int = 1
) -> tuple[Session, Standing, Moment]:
    """Hold a sitting, a question in 15 seconds; return it, its standing, and when it ended."""
    standing = open_standing(candidate, deck, moment)
    session = Session(candidate, standing, moment, questions, random.Random(seed))
    while (question := session.next_question(moment)) is not None:
        moment = later(moment, seconds=15)
        session.answer(answers(question), 9_000, moment)  # type: ignore[arg-type]
    return session, standing, moment


class Faulty(sqlite3.Connection):
    """SQLite that finds the disk full while it is told to; nothing of a failed write is kept."""

    full = False

    def executemany(self, *arguments: object) -> sqlite3.Cursor:
        """Refuse, or do it."""
        if Faulty.full:
            error = sqlite3.OperationalError("database or disk is full")
            error.sqlite_errorcode = sqlite3.SQLITE_FULL
            raise error
        return super().executemany(*arguments)  # type: ignore[arg-type]


def faulty(path: str) -> sqlite3.Connection:
    """Open a file through the seam that faults are put into."""
    return sqlite3.connect(f"file:{path}?mode=rw", uri=True, isolation_level=None, factory=Faulty)
