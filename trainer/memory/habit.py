"""How often a candidate really sits down, how many questions he then answers, and when a plan has to be made anew."""

from __future__ import annotations

import hashlib
import marshal
from collections.abc import Collection, Mapping, Sequence
from datetime import date
from typing import NamedTuple

from trainer.memory.recall import Evidence

LATELY = 21
"""Days that a habit is read from."""
EXPECTED, EXPECTED_DAYS = 0.85, 4.0
"""Chance of a session a day before anything is seen, and how many days that expectation weighs."""
EXPECTED_SESSIONS = 2.0
"""How many sessions the usual number of questions weighs."""


class Habit(NamedTuple):
    """The chance of a session on a day, and the questions of a session."""

    chance: float
    questions: float


def habit(questions_by_day: Mapping[date, int], usual: int, today: date) -> Habit:
    """The habit of the last three weeks; today counts once something was asked.

    Days before the first session do not count as missed. What is expected of everybody stands in for what was
    not seen yet (common practice, no source).

    Args:
        questions_by_day: Questions answered on each day of practice.
        usual: Questions that fit the minutes he has.
        today: The present day; later ones are left out.
    """
    sat = {day: asked for day, asked in questions_by_day.items() if asked > 0 and day <= today}
    recent = [asked for day, asked in sat.items() if (today - day).days < LATELY]
    days = min(LATELY, (today - min(sat)).days + (today in sat)) if sat else 0
    if len(recent) == LATELY:
        days = LATELY
    chance = (EXPECTED * EXPECTED_DAYS + len(recent)) / (EXPECTED_DAYS + max(days, len(recent)))
    questions = (usual * EXPECTED_SESSIONS + sum(recent)) / (EXPECTED_SESSIONS + len(recent))
    return Habit(min(1.0, chance), questions)


def plan_key(
    today: date,
    test: date | None,
    minutes: int,
    deck: str,
    wished: Collection[str],
    evidence: Sequence[Evidence],
    since: float,
) -> str:
    """What a plan depends on, as a short text: while it stays the same the plan of this morning holds.

    A new day with its missed days, another test date, other minutes, a changed deck, a tasking and answers of earlier
    days (late ones from another laptop, or corrected ones) make another key; today's own answers do not.

    Args:
        today: The present day.
        test: Day of the test, if it has one.
        minutes: What he gives a day.
        deck: Anything that changes with the deck, such as the hash of its facts.
        wished: Ids of the points that taskings name.
        evidence: All answers.
        since: When today began, days, on the scale of the evidence.
    """
    earlier = [(one.item, one.at, one.right, one.choices) for one in evidence if one.at < since]
    told = (today.toordinal(), test.toordinal() if test else None, minutes, deck, sorted(wished), earlier)
    # Version 2 of marshal has no references, so equal contents always give equal bytes.
    return hashlib.sha256(marshal.dumps(told, 2)).hexdigest()
