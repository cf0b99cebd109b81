"""How long a sitting takes, on about 200 points and 5,000 answers. Run with `pytest --benchmark-enable -n 0`.

Bars: next question 20 ms, forecast 60 ms, start of a session with its plan 500 ms.
"""

import random
from collections.abc import Callable, Iterator
from typing import Any, cast

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from tests.benchmarks.conftest import Sized
from tests.coach.sitting import START, candidate_in, later
from trainer.coach.candidate import Candidate
from trainer.coach.session import Session
from trainer.coach.standing import Standing, open_standing, save_standing
from trainer.drill.deck import Deck
from trainer.quiz.asking import Asker
from trainer.quiz.points import points
from trainer.records.drafts import answer

ANSWERS, DAYS = (5_000, 500), 25
"""Answers in full, and where nothing is timed."""
NOW = later(days=DAYS)

Known = tuple[Candidate, Deck]


def timed(benchmark: BenchmarkFixture) -> Callable[..., Any]:
    return cast("Callable[..., Any]", benchmark.pedantic)


@pytest.fixture(scope="module")
def known(tmp_path_factory: pytest.TempPathFactory, sized: Sized) -> Iterator[Known]:
    candidate, deck = candidate_in(tmp_path_factory.mktemp("speed"))
    rng, known_points = random.Random(1), points(deck)
    for day in range(DAYS):
        for turn in range(sized(*ANSWERS) // DAYS // 10):
            drafts = [
                answer(
                    point=point.id,
                    fact=point.fact,
                    right=rng.random() < 0.8,
                    choices=rng.choice((0, 2, 4)),
                    question="x",
                    ms=8_000,
                    session=f"s{day}",
                )
                for point in rng.choices(known_points, k=10)
            ]
            candidate.log.append_many(drafts, later(days=day, seconds=60 * turn))
    save_standing(candidate, deck, NOW)
    yield candidate, deck
    candidate.close()


@pytest.fixture
def standing(known: Known) -> Standing:
    return open_standing(*known, NOW)


def test_opening_the_standing_from_the_cache(benchmark: BenchmarkFixture, known: Known, sized: Sized) -> None:
    opened = timed(benchmark)(lambda: open_standing(*known, NOW), rounds=10, warmup_rounds=1)
    assert len(opened.history.evidence) == sized(*ANSWERS)


def test_the_next_question(benchmark: BenchmarkFixture, known: Known, standing: Standing) -> None:
    """From the key that goes on to the question, as it comes in a sitting: each one planned and made anew."""
    session = Session(known[0], standing, NOW, 10_000, random.Random(2))

    def forget() -> None:
        session.question = None
        # Another date was asked for in between, as the forecast of the answer before would.
        standing.learner.recall([standing.points[0].id], standing.now(NOW) + 1.0, standing.now(NOW))

    question = timed(benchmark)(lambda: session.next_question(NOW), setup=forget, rounds=100, warmup_rounds=3)
    assert question is not None


def test_the_slowest_question_of_the_deck(benchmark: BenchmarkFixture, known: Known) -> None:
    """Made by an asker that has made none before."""
    deck = known[1]

    def fresh() -> tuple[tuple[Asker], dict[str, object]]:
        return (Asker(deck),), {}

    fault = next(point.id for point in points(deck) if point.id.endswith("faults/word-late"))
    question = timed(benchmark)(lambda asker: asker.ask(fault, random.Random(1)), setup=fresh, rounds=20)
    assert question.points == (fault,)


def test_an_answer_recorded_and_folded(benchmark: BenchmarkFixture, known: Known, standing: Standing) -> None:
    session = Session(known[0], standing, NOW, 10_000, random.Random(2))

    def ask() -> None:
        session.next_question(NOW)

    marked = timed(benchmark)(lambda: session.answer(None, 5_000, NOW), setup=ask, rounds=50)  # type: ignore[arg-type]
    assert not marked.right


def test_the_start_of_a_session_with_its_first_question(
    benchmark: BenchmarkFixture, known: Known, standing: Standing
) -> None:
    def start() -> object:
        return Session(known[0], standing, NOW, 20, random.Random(2)).next_question(NOW)

    assert timed(benchmark)(start, rounds=10, warmup_rounds=1) is not None


def test_the_forecast(benchmark: BenchmarkFixture, known: Known, standing: Standing) -> None:
    def other_date() -> None:
        standing.learner.recall([point.id for point in standing.points], standing.now(NOW) + 1.0, standing.now(NOW))

    outlook = timed(benchmark)(lambda: standing.outlook(known[0], NOW), setup=other_date, rounds=20, warmup_rounds=1)
    assert outlook.chance is not None
    assert START.at_ms < NOW.at_ms
