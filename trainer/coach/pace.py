"""How many questions fit the minutes at hand."""

from collections.abc import Sequence

USUAL_ANSWER_S = 16.0
READING_S = 6.0
"""Seconds to read the right answer and its reason before the next question."""
RECENT_QUESTIONS = 60
FEWEST, MOST = 5, 120
SURE = 40
"""Answers from which on the candidate's own time alone counts: the first ones are often hurried or hesitant."""


def questions_for(minutes: int, question_ms: Sequence[int]) -> int:
    """Return how many questions fit the minutes at hand, by the candidate's own lately median time."""
    recent = sorted(ms / 1000 for ms in question_ms[-RECENT_QUESTIONS:] if ms > 0)
    own = min(max(recent[len(recent) // 2], 4.0), 90.0) if len(recent) >= FEWEST else USUAL_ANSWER_S
    share = min(len(recent) / SURE, 1.0)
    seconds = share * own + (1.0 - share) * USUAL_ANSWER_S
    return min(max(round(minutes * 60 / (seconds + READING_S)), FEWEST), MOST)
