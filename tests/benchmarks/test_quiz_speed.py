"""How long questions take to make and answers to mark, on a shipped deck of more than 150 points."""

import tomllib
from itertools import cycle
from pathlib import Path
from random import Random
from typing import Any

from trainer.authoring.building import build
from trainer.quiz.asking import Asker
from trainer.quiz.marking import mark
from trainer.quiz.points import points

DECK = Path(__file__).parents[2] / "decks" / "harbour_guard_marching.toml"


def test_the_points_of_a_deck(benchmark: Any) -> None:
    deck = build(tomllib.loads(DECK.read_text(encoding="utf-8")))
    assert len(benchmark(points, deck)) >= 150


def test_the_first_question_of_a_sitting(benchmark: Any) -> None:
    deck = build(tomllib.loads(DECK.read_text(encoding="utf-8")))
    ids = cycle(point.id for point in points(deck))
    rng = Random(1)
    question = benchmark(lambda: Asker(deck).ask(next(ids), rng))
    assert question.points


def test_one_question_within_a_sitting(benchmark: Any) -> None:
    deck = build(tomllib.loads(DECK.read_text(encoding="utf-8")))
    asker, rng = Asker(deck), Random(1)
    ids = [point.id for point in points(deck)]
    assert len(ids) >= 150
    rng.shuffle(ids)
    following = cycle(ids)
    question = benchmark(lambda: asker.ask(next(following), rng))
    assert question.points


def test_one_answer_marked(benchmark: Any) -> None:
    deck = build(tomllib.loads(DECK.read_text(encoding="utf-8")))
    asker, rng = Asker(deck), Random(1)
    questions = [asker.ask(point.id, rng) for point in points(deck)]
    following = cycle(questions)

    def one() -> bool:
        question = next(following)
        return mark(question, question.answer).right

    assert benchmark(one)
