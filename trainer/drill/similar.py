"""Which movements are easily taken for each other: the mirror, the similar call, the similar counts."""

from collections import Counter
from collections.abc import Mapping
from functools import cached_property
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero, settle_feet
from trainer.drill.movement import FULL, LEFT, RIGHT, Count, Movement, Stance, other_foot

CALL, FEET, COUNTS = 0.8, 0.3, 0.8
"""How likely each kind of likeness alone is to mislead, where it is complete; common practice, no source."""
RIVALS_FROM = 0.35
"""Movements at least as alike as this are taken for each other; common practice, no source."""
ELSEWHERE = 0.8
"""Factor for two movements that no stance has in common: they are never expected at the same time."""
MIRROR = 1.0

Step = tuple[object, ...]


class _Traits(NamedTuple):
    """What likeness is judged by; `steps` by beat, and the same mirrored."""

    words: frozenset[str]
    feet: tuple[tuple[float, str], ...]
    steps: frozenset[Step]
    mirrored: frozenset[Step]
    stances: frozenset[str]


def rivals(deck: Deck) -> Mapping[str, tuple[str, ...]]:
    """Return for each movement those that are easily taken for it, the likest first."""
    judge = Likeness(deck)
    return {
        movement.id: tuple(other for other in judge.order(movement.id) if judge.of(movement.id, other) >= RIVALS_FROM)
        for movement in deck.movements
    }


class Likeness:
    """Likeness within one deck, with what it is judged by read once."""

    def __init__(self, deck: Deck) -> None:
        self.deck = deck
        self._orders: dict[str, tuple[str, ...]] = {}

    @cached_property
    def _traits(self) -> dict[str, _Traits]:
        traits = {movement.id: _traits(self.deck, movement) for movement in self.deck.movements}
        said = Counter(word for one in traits.values() for word in one.words)
        common = {word for word, times in said.items() if times > max(2, len(traits) / 2)}
        return {name: one._replace(words=one.words - common) for name, one in traits.items()}

    @cached_property
    def mirrors(self) -> Mapping[str, str]:
        """The movement that is each one with left and right swapped in feet and turns, by id, where there is one.

        One that is its own mirror image has no other; arms, faults and prose do not matter.
        """
        shapes: dict[Step, str] = {}
        for movement in self.deck.movements:
            shapes.setdefault(_shape(self.deck, movement, swap=False), movement.id)
        found = {}
        for movement in self.deck.movements:
            wanted = _shape(self.deck, movement, swap=True)
            other = shapes.get(wanted)
            if other is not None and wanted != _shape(self.deck, movement, swap=False):
                found[movement.id] = other
        return found

    def of(self, one: str, two: str) -> float:
        """Return how easily two movements are taken for each other, from 0 to 1; symmetric, 1 for mirrors."""
        if two in (self.mirrors.get(one), one) or one == self.mirrors.get(two):
            return MIRROR
        first, second = self._traits[one], self._traits[two]
        same_feet = bool(first.feet) and first.feet == second.feet
        words = len(first.words & second.words) / (min(len(first.words), len(second.words)) or 1)
        steps = max(_shared(first.steps, second.steps), _shared(first.mirrored, second.steps) / 2)
        told_apart = (1 - CALL * words) * (1 - FEET * same_feet) * (1 - COUNTS * steps)
        alike = 1 - told_apart
        return alike if first.stances & second.stances else alike * ELSEWHERE

    def order(self, movement_id: str) -> tuple[str, ...]:
        """Return all other movements, the likest first; those equally alike in the order of the deck."""
        if movement_id not in self._orders:
            others = [other.id for other in self.deck.movements if other.id != movement_id]
            self._orders[movement_id] = tuple(sorted(others, key=lambda other: -self.of(movement_id, other)))
        return self._orders[movement_id]


def _shared(one: frozenset[object], two: frozenset[object]) -> float:
    """Return the share of two sets that they have in common (Jaccard)."""
    both = len(one | two)
    return len(one & two) / both if both else 0.0


def _traits(deck: Deck, movement: Movement) -> _Traits:
    return _Traits(
        _call_words(movement),
        _word_feet(movement),
        _steps(deck, movement, swap=False),
        _steps(deck, movement, swap=True),
        frozenset(movement.from_stances),
    )


def _call_words(movement: Movement) -> frozenset[str]:
    """Return the words of a call, but not a word of execution such as MARCH, which tells it from nothing."""
    said = [word for word in movement.call if not word.executes]
    return frozenset(part for word in said or movement.call for part in word.say.casefold().split())


def _word_feet(movement: Movement) -> tuple[tuple[float, str], ...]:
    if movement.called_on == "halted":
        return ()
    spoken = [word.beat for word in movement.call] or [cue.beat for cue in movement.cues]
    return tuple((beat, movement.called_on) for beat in spoken)


def _steps(deck: Deck, movement: Movement, swap: bool) -> frozenset[Step]:
    at_zero = foot_at_zero(movement, deck.stance(movement.from_stances[0]))
    falls = settle_feet(movement, at_zero)
    return frozenset(_step(fall.row, fall.foot, swap) for fall in falls)


def _step(count: Count, foot: str | None, swap: bool) -> Step:
    """Return what feet and body do on one count, swapped left for right if asked.

    Arms are left out: a sword hand does not change sides, and who mixes up two movements does not go by the arms.
    """
    return (
        float(count.beat),
        _swapped(foot) if swap else foot,
        count.place,
        str(count.length or FULL),
        count.against,
        count.contact,
        str(count.lift),
        _turned(count.turn, swap),
        _turned(count.toes, swap),
        count.sword,
        count.cadence,
    )


def _turned(degrees: float | None, swap: bool) -> float | None:
    if degrees is None:
        return None
    return (-degrees if swap else degrees) + 0.0


def _swapped(foot: str | None) -> str | None:
    return other_foot(foot) if foot in (LEFT, RIGHT) else foot


def _shape(deck: Deck, movement: Movement, swap: bool) -> Step:
    """Return everything but prose and faults, swapped left for right if asked."""
    called = movement.called_on
    if called == "either":
        # Feet are written as same and other than that of beat 0, which is so in the mirror as well.
        steps = tuple(_step(count, count.foot, swap) for count in movement.counts)
    else:
        at_zero = foot_at_zero(movement, deck.stance(movement.from_stances[0]))
        steps = tuple(_step(fall.row, fall.foot, swap) for fall in settle_feet(movement, at_zero))
    return (
        _swapped(called) if swap else called,
        tuple((word.beat, word.executes) for word in movement.call),
        tuple((cue.beat, cue.sound) for cue in movement.cues),
        steps,
        frozenset(_stance_shape(deck.stance(name), swap) for name in movement.from_stances),
        _stance_shape(deck.stance(movement.to), swap),
    )


def _stance_shape(stance: Stance, swap: bool) -> Step:
    """Return what feet and body do in a stance, without its name."""
    return (
        stance.cadence,
        str(stance.step),
        stance.place,
        str(stance.length),
        stance.contact,
        str(stance.lift),
        stance.sword,
        tuple(_step(row, row.foot, swap) for row in stance.cycle),
    )
