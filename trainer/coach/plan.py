"""The plan to the test: made from the candidate's habit, kept until something changes, and told in words."""

from collections import Counter
from collections.abc import Sequence

from trainer.coach.words import percent
from trainer.drill.deck import Deck
from trainer.memory.forward import Outline
from trainer.quiz.points import SHEET, Point

MORE_MINUTES = 10
"""What is asked of more practice: so many minutes a day."""
NAMED = 3
"""Movements that a sitting is said to be for."""
NO_HABIT = 3
TOLD_FROM = 0.01
"""Chances that differ by less are said to be the same."""


def tonight(points: Sequence[Point], deck: Deck, opened: Sequence[str], size: int) -> str:
    """Return what a sitting is for, in words.

    Args:
        points: the deck's points.
        deck: the deck.
        opened: ids of the open points in the order of their turns.
        size: questions of the sitting.
    """
    of = {point.id: point.movement for point in points}
    counted = Counter(of[point] for point in opened[:size] if of[point] != SHEET)
    names = [deck.movement(movement).name for movement, _ in counted.most_common(NAMED)]
    rest = len(counted) - len(names)
    more = f" and {rest} more" if rest > 0 else ""
    return f"{', '.join(names)}{more}" if names else "the rules of the grade sheet"


def plan_lines(deck: Deck, outline: Outline, questions: int, days: int = NO_HABIT) -> list[str]:
    """Return the plan as sentences.

    Args:
        deck: the deck.
        outline: the plan.
        questions: questions of a usual sitting.
        days: days on which he has practised; with fewer than `NO_HABIT` there is no habit to go by yet.
    """
    by = "By your habit" if days >= NO_HABIT else "No habit is known yet; with a sitting on most days"
    sittings = round(outline.sessions)
    many = "one sitting" if sittings == 1 else f"{sittings} sittings"
    habit = (
        f"{by} {many} of about {questions} questions are left. Kept up, they lead to {percent(outline.go.go)} "
        f"for a GO; with no more practice it is {percent(outline.resting.go)}."
    )
    lines = [habit, _carried_words(deck, outline), _more_words(outline)]
    if outline.out_of_reach:
        lines.append(
            "The date is out of reach: even the best plan leads to less than 10 %. Find more time a day, or ask for a "
            "later date."
        )
    return lines


def _carried_words(deck: Deck, outline: Outline) -> str:
    names = {movement.id: movement.name for movement in deck.movements}
    if not outline.given_up:
        weakest = names[outline.measures[0]]
        return f"All {len(outline.measures)} measures count for the plan; the weakest on the test date is {weakest}."
    let_go = ", ".join(names[measure] for measure in outline.given_up)
    rule = "the rule allows it and the time is better spent on the others"
    return f"{len(outline.measures)} measures count for the plan. Let go: {let_go}; {rule}."


def _more_words(outline: Outline) -> str:
    gain = outline.more.go - outline.go.go
    if gain < TOLD_FROM:
        return f"{MORE_MINUTES} more minutes a day would make no difference that can be told."
    return f"{MORE_MINUTES} more minutes a day would lead to {percent(outline.more.go)}."
