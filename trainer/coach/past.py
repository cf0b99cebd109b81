"""Past forecasts against what happened: of answers, point by point, and of whole tests."""

from collections.abc import Sequence
from datetime import date
from typing import NamedTuple

from trainer.coach.history import GROUND, local_day
from trainer.coach.mind import Prediction
from trainer.coach.words import percent
from trainer.drill.deck import Deck
from trainer.memory.accuracy import Assessment, assess
from trainer.records.corrections import effective
from trainer.records.events import Event

FEWEST = 20
"""Predictions below which nothing is said of them; common practice, no source."""
BINS = 5
HELD = {GROUND: "on the ground", "mock": "mock test at the screen", "group": "study group"}


class Held(NamedTuple):
    """A test that was held: its day, where, what had been forecast (None where nothing was), and how it went."""

    day: date
    where: str
    said: float | None
    go: bool


def held_tests(events: Sequence[Event], deck: Deck) -> tuple[Held, ...]:
    """Return the tests on record that came to a verdict on this deck, the latest first."""
    found = []
    for event in effective(events).events:
        if event.kind != "verdict" or event.body.get("deck", deck.id) != deck.id:
            continue
        said = event.body.get("said")
        on = event.body.get("on")
        day = date.fromisoformat(str(on)) if on else local_day(event.header.at_ms, event.header.offset)
        chance = said / 1000 if isinstance(said, int) else None
        found.append(Held(day, str(event.body.get("held", GROUND)), chance, bool(event.body["go"])))
    return tuple(reversed(found))


def judged(predictions: Sequence[Prediction]) -> Assessment | None:
    """Return how good the predictions of answers were; None where there are too few."""
    if len(predictions) < FEWEST:
        return None
    return assess([one.chance for one in predictions], [one.right for one in predictions], BINS)


def past_lines(predictions: Sequence[Prediction], held: Sequence[Held]) -> list[str]:
    """Return past forecasts against what happened, as plain lines.

    Args:
        predictions: of answers after a pause, each made before it was seen.
        held: tests that came to a verdict.
    """
    found = judged(predictions)
    if found is None:
        lines = [f"{len(predictions)} answers after a pause so far; from {FEWEST} on the forecasts of them are judged."]
    else:
        came, said = percent(found.came), percent(found.said)
        lines = [f"Of {found.number} answers after a pause {came} were right; forecast were {said}."]
        lines += [
            f"  forecast {percent(one.low)} to {percent(one.high)}: {one.size} answers, said {percent(one.said)}, "
            f"right {percent(one.came)} (with chance {percent(one.came_low)} to {percent(one.came_high)})"
            for one in found.bins
        ]
        lines.append(
            f"  Brier score {found.brier:.3f}; it would be {found.brier_if_right:.3f} if every forecast were right. "
            f"Log loss {found.log_loss:.3f}."
        )
        lines.append(f"  {_verdict(found)}")
    for one in held:
        forecast = "nothing was forecast" if one.said is None else f"forecast {percent(one.said)}"
        where, came = HELD.get(one.where, one.where), "GO" if one.go else "NO-GO"
        lines.append(f"{one.day.isoformat()}, {where}: {forecast}, it was {came}.")
    return lines if held else [*lines, "No test with a verdict is on record yet."]


def _verdict(found: Assessment) -> str:
    if found.surprise > 2.0:
        return "The forecasts were surer than they should have been; the models are corrected by that."
    return "That is as good as forecasts that are right on the whole come out by chance."
