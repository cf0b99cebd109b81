"""Past forecasts against what happened."""

from datetime import date
from pathlib import Path

from tests.coach.sitting import START, candidate_in, later
from trainer.coach.mind import Prediction
from trainer.coach.past import FEWEST, Held, held_tests, judged, past_lines
from trainer.records.drafts import verdict, void


def test_tests_on_record_the_latest_first(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    candidate.log.append_many([verdict(run="a", go=False, deck=deck.id, held="mock", said=250)], START)
    candidate.log.append_many([verdict(run="b", go=True)], later(days=1))
    candidate.log.append_many([verdict(run="c", go=True, deck="another")], later(days=2))
    kept = held_tests(candidate.events(), deck)
    assert [(one.where, one.said, one.go) for one in kept] == [("ground", None, True), ("mock", 0.25, False)]
    assert kept[0].day > kept[1].day
    candidate.log.append_many([verdict(run="d", go=True, on="2026-10-03")], later(days=2))
    assert held_tests(candidate.events(), deck)[0].day == date(2026, 10, 3), "a sheet from paper has its own day"
    first = next(event for event in candidate.events() if event.kind == "verdict")
    candidate.log.append_many([void(first.header.id)], later(days=3))
    assert len(held_tests(candidate.events(), deck)) == 2, "a corrected verdict does not count"


def test_few_predictions_are_not_judged() -> None:
    few = [Prediction(0.8, True)] * (FEWEST - 1)
    assert judged(few) is None
    assert f"from {FEWEST} on" in past_lines(few, ())[0]


def test_what_was_said_stands_beside_what_came() -> None:
    """By hand: of ten forecasts of 90 percent nine came, of ten of 30 percent three: right on the whole."""
    said = [Prediction(0.9, place < 9) for place in range(10)] + [Prediction(0.3, place < 3) for place in range(10)]
    lines = past_lines(said, [Held(date(2026, 11, 24), "mock", 0.25, False)])
    assert lines[0] == "Of 20 answers after a pause 60 % were right; forecast were 60 %."
    assert any("10 answers, said 90 %, right 90 %" in line for line in lines)
    assert any("10 answers, said 30 %, right 30 %" in line for line in lines)
    assert "Brier score 0.150; it would be 0.150" in " ".join(lines)
    assert any("right on the whole" in line for line in lines)
    assert lines[-1] == "2026-11-24, mock test at the screen: forecast 25 %, it was NO-GO."


def test_too_sure_is_said() -> None:
    lines = past_lines([Prediction(0.95, place % 2 == 0) for place in range(60)], ())
    assert any("surer than they should have been" in line for line in lines)
    assert lines[-1] == "No test with a verdict is on record yet."
