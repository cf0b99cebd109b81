"""How many choices of a kind of question are really open to who does not know.

Where wrong choices are easily seen to be wrong, a guess is right more often than one in the number of choices, and
right answers are taken for knowledge that is not there. So for each kind every smaller number of choices is tried:
each answer is predicted with it and with the number offered, before it is seen, from the recall that the memory
model foretells. The smaller number is believed once its likelihood is `ENOUGH` times that of the number offered,
and until it has fallen below it again. If a guess is as good as the number says, so high a ratio is ever reached
by one of the numbers tried in at most 1 of `ENOUGH` cases each: Ville (1939), Étude critique de la notion de collectif.

What is believed changes seldom, and what was folded under another number is then folded anew by the caller, who
compares `believed` with what he folded under.
No person has been measured.
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log
from typing import Any

from trainer.memory.grid import INATTENTION

ENOUGH = 20.0
FEWEST = 2


class Guessing:
    """What one candidate's answers say of guessing, taken in the order in which they were given."""

    def __init__(self) -> None:
        self._gains: dict[tuple[str, int], dict[int, float]] = {}
        self._believed: dict[tuple[str, int], int] = {}

    @property
    def believed(self) -> Mapping[tuple[str, int], int]:
        """The number of choices to count with, by kind and number offered, where it is not the number offered."""
        return self._believed

    def choices(self, kind: str, offered: int) -> int:
        """The number of choices to count with for a question of a kind that offers so many; 0 stays 0 (typed)."""
        return self._believed.get((kind, offered), offered)

    def take(self, kind: str, offered: int, recall: float, right: bool) -> None:
        """Take in the next answer.

        Args:
            kind: Kind of the question.
            offered: Its choices; 0 for a typed answer, which says nothing of guessing.
            recall: Recall of the point at that moment, foretold before the answer was seen.
            right: Whether it was right.
        """
        if offered <= FEWEST:
            return
        usual = _chance(offered, recall, right)
        gains = self._gains.setdefault((kind, offered), dict.fromkeys(range(FEWEST, offered), 0.0))
        for number in gains:
            gains[number] += log(_chance(number, recall, right) / usual)
        before = self.choices(kind, offered)
        now = self._judged(before, offered, gains)
        if now != before:
            # Another mapping: who holds the one before has what he folded under.
            others = {key: number for key, number in self._believed.items() if key != (kind, offered)}
            self._believed = others if now == offered else {**others, (kind, offered): now}

    def said(self) -> str:
        """What the log decided on guesses, in a sentence."""
        kinds = len({kind for kind, _ in self._believed})
        if not kinds:
            return (
                "Guesses count as right one time in the number of choices: no answers have shown that they are better."
            )
        at = "one kind" if kinds == 1 else f"{kinds} kinds"
        return f"Guesses at {at} of question count as right more often than the number of choices says, by the answers."

    def state(self) -> tuple[Any, ...]:
        """All that was learnt, as plain values that `marshal` can keep."""
        return {key: dict(gains) for key, gains in self._gains.items()}, dict(self._believed)

    def restore(self, state: tuple[Any, ...]) -> None:
        """Go on from a state."""
        gains, believed = state
        self._gains = {key: dict(one) for key, one in gains.items()}
        self._believed = dict(believed)

    def _judged(self, before: int, offered: int, gains: dict[int, float]) -> int:
        best = max(gains, key=gains.__getitem__)
        if gains[best] >= log(ENOUGH):
            return best
        # A belief once won is kept as long as it does better than none: it is dear to change.
        return before if before != offered and gains[before] > 0.0 else offered


def _chance(choices: int, recall: float, right: bool) -> float:
    """Chance of what came, some way from 0 and 1 whatever the recall."""
    guess = 1.0 / choices
    chance = guess + (1.0 - guess - INATTENTION) * recall
    return chance if right else 1.0 - chance
