"""An evening on the shipped guard deck whose steps are kept in a list."""

from collections.abc import Callable, Sequence
from functools import cache

from trainer.authoring.shelf import open_deck
from trainer.drill.deck import Deck
from trainer.group.evening import Evening
from trainer.group.journal import Entry
from trainer.group.turns import QUESTION, ROUNDS, Graded
from trainer.paths import Home
from trainer.quiz.marking import mark
from trainer.quiz.points import Point, points

FOUR = ("Ada", "Ben", "Cem", "Dov")
AT_MS = 1_795_510_800_000


@cache
def guard_deck(folder: str) -> Deck:
    from pathlib import Path

    return open_deck("harbour-guard-marching", Home(Path(folder)))


@cache
def all_points(deck: Deck) -> tuple[Point, ...]:
    return points(deck)


def begun(
    deck: Deck, names: Sequence[str] = FOUR, seed: int = 7, kinds: Sequence[str] = ROUNDS
) -> tuple[Evening, list[Entry]]:
    kept: list[Entry] = []
    evening = Evening(deck, all_points(deck), kept.append)
    evening.begin("e1", names, seed, kinds)
    return evening, kept


def everybody_go(evening: Evening) -> dict[str, bool]:
    return dict.fromkeys(evening.graders, True)


def play(evening: Evening, gave: Callable[[Evening], dict[str, bool]] = everybody_go, right: bool = True) -> Graded:
    """Hold one turn; a question is answered as `right` says."""
    turn = evening.draw()
    if turn.kind == QUESTION:
        question = evening.question()
        evening.answer(mark(question, question.answer if right else None), 4_000, AT_MS, 60)
    return evening.grade(gave(evening))
