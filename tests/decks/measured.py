"""Decks read from their files, and what the engine makes of them, in the terms in which a standard speaks."""

import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from trainer.authoring.building import build
from trainer.authoring.written import WrittenDeck
from trainer.drill.checks import findings
from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero, stance_foot
from trainer.drill.footprints import Print, Stand, footprints, moved, totals
from trainer.drill.movement import LEFT, Movement
from trainer.drill.score import Score
from trainer.drill.unrolling import right_performance, score, unroll

SHIPPED = Path(__file__).parents[2] / "decks"
STANDARDS = Path(__file__).parent / "standards"

Place = tuple[float, float]


def checked(data: Mapping[str, Any]) -> Deck:
    """Return the deck of plain data, once its shape and its checks find nothing."""
    WrittenDeck.model_validate(data)
    deck = build(data)
    assert findings(deck) == []
    return deck


def read(path: Path) -> Deck:
    """Return the deck of a file, once its shape and its checks find nothing."""
    return checked(tomllib.loads(path.read_text("utf-8")))


def starts(movement: Movement) -> list[tuple[str, str]]:
    """Return every stance and foot of beat 0 that a movement may start with."""
    feet = ("left", "right") if movement.called_on == "either" else (LEFT,)
    return [(stance, foot) for stance in movement.from_stances for foot in feet]


def feet_of_words(deck: Deck, movement_id: str, foot: str = LEFT) -> list[str | None]:
    """Return the foot that strikes on each word of a command that is called on the march."""
    movement = deck.movement(movement_id)
    stance = deck.stance(movement.from_stances[0])
    at_zero = foot_at_zero(movement, stance, foot)
    return [stance_foot(stance, movement, at_zero, int(word.beat)) for word in movement.call]


def strikes(deck: Deck, movement_id: str, foot: str = LEFT) -> dict[float, str | None]:
    """Return which foot comes down on which beat."""
    return {beat.beat: beat.strikes for beat in score(deck, deck.movement(movement_id), foot=foot).beats}


def kept_up(deck: Deck, movement_id: str, until: float, foot: str = LEFT) -> tuple[Score, dict[float, Stand]]:
    """Return a movement with the stance after it kept up until a beat, and where the feet stand."""
    movement = deck.movement(movement_id)
    name = movement.from_stances[0]
    at_zero = foot_at_zero(movement, deck.stance(name), foot)
    done = unroll(deck, movement, right_performance(deck, movement, name, at_zero), at_zero, until)
    return done, {stand.beat: stand for stand in footprints(deck, done)}


def seconds(done: Score, first: float, last: float) -> float:
    """Return how long the beats after `first` up to `last` take; every beat in between must be whole."""
    return sum(60.0 / beat.cadence for beat in done.beats if first < beat.beat <= last)


def front(stand: Stand) -> float:
    """Return how far forward the leading ball is while all march straight ahead."""
    return max(stand.left.y, stand.right.y)


def balls(deck: Deck, movement_id: str, foot: str, beats: list[float]) -> list[Place]:
    """Return where the ball of the striking foot stands on each beat, seen from the ball of beat 0."""
    done, stands = kept_up(deck, movement_id, max(beats), foot)
    return _from_zero(done, {beat: stands[beat].foot(_struck(done, beat)) for beat in [0.0, *beats]}, beats)


def heels(deck: Deck, movement_id: str, foot: str, beats: list[float]) -> list[Place]:
    """Return where the heel of the striking foot stands on each beat, seen from the heel of beat 0."""
    done, stands = kept_up(deck, movement_id, max(beats), foot)
    prints = {beat: heel(deck, stands[beat].foot(_struck(done, beat))) for beat in [0.0, *beats]}
    return _from_zero(done, prints, beats)


def heel(deck: Deck, sole: Print) -> Print:
    """Return a print's heel, as a print."""
    x, y = moved(sole.x, sole.y, sole.toes, -deck.sole.ball)
    return Print(x, y, sole.toes)


def _struck(done: Score, beat: float) -> str:
    foot = done.at(beat).strikes
    assert foot in ("left", "right")
    return foot


def _from_zero(done: Score, prints: dict[float, Print], beats: list[float]) -> list[Place]:
    zero = prints[0.0]
    return [(prints[beat].x - zero.x, prints[beat].y - zero.y) for beat in beats]


class Route:
    """Movements done one after the other: where the foot that struck last stands, and where the body looks."""

    def __init__(self, deck: Deck) -> None:
        self.deck = deck
        self.x = self.y = self.heading = 0.0

    def does(self, movement_id: str, foot: str = LEFT) -> "Route":
        """Add one movement, called on the foot that has just struck."""
        done = score(self.deck, self.deck.movement(movement_id), foot=foot)
        whole = totals(done, footprints(self.deck, done))
        self.x, self.y = moved(self.x, self.y, self.heading, whole.y)
        self.x, self.y = moved(self.x, self.y, self.heading + 90.0, whole.x)
        self.heading = (self.heading + whole.turn) % 360.0
        return self

    def steps(self, count: int, length: float) -> "Route":
        """Add plain steps of the march."""
        self.x, self.y = moved(self.x, self.y, self.heading, count * length)
        return self

    @property
    def at(self) -> tuple[float, float, float]:
        """Place and heading."""
        return self.x, self.y, self.heading
