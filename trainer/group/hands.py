"""Hands: everybody grades at once, and nobody's hand is shown before all have chosen."""

from collections.abc import Sequence
from typing import NamedTuple

FEWEST, MOST = 2, 8
"""How many can grade; with one alone there is nobody to agree with."""
PAIRS = ("qa", "ws", "ed", "rf", "tg", "uj", "ik", "ol")
"""Each grader's two keys, GO above NO-GO: letters that lie above one another on the usual keyboards."""


class Keys(NamedTuple):
    """The two keys of one grader."""

    go: str
    nogo: str


def keys_of(graders: Sequence[str], places: Sequence[str]) -> dict[str, Keys]:
    """Return each grader's keys.

    A person's keys go by his place in the evening and not by who grades now, so that they stay his from turn to
    turn.

    Args:
        graders: who grades.
        places: everybody who ever sat down, in that order.
    """
    return {grader: Keys(*PAIRS[places.index(grader) % MOST]) for grader in graders}


class Hands:
    """The choices of one trial. A hand can be changed until the last one is up; then all are shown and stay."""

    def __init__(self, keys: dict[str, Keys]) -> None:
        """Wait for every grader.

        Raises:
            ValueError: where two graders would share a key.
        """
        struck = [key for pair in keys.values() for key in pair]
        if len(set(struck)) < len(struck):
            raise ValueError("two graders share a key")
        self.keys = dict(keys)
        self._owner = {
            key: (grader, go) for grader, pair in keys.items() for key, go in ((pair.go, True), (pair.nogo, False))
        }
        self._up: dict[str, bool] = {}

    def press(self, key: str) -> bool:
        """Take a key; say whether it was a grader's and still counted."""
        owner = self._owner.get(key.lower())
        if owner is None or self.shown is not None:
            return False
        grader, go = owner
        self._up[grader] = go
        return True

    def drop(self, grader: str) -> None:
        """Let somebody who left go; the others then need not wait for him."""
        self._owner = {key: owner for key, owner in self._owner.items() if owner[0] != grader}
        self.keys.pop(grader, None)
        self._up.pop(grader, None)

    @property
    def waiting_for(self) -> tuple[str, ...]:
        """Who has not chosen yet."""
        return tuple(grader for grader in self.keys if grader not in self._up)

    @property
    def shown(self) -> dict[str, bool] | None:
        """Who gave GO, in the order of the graders; None while anybody is waited for."""
        if not self.keys or self.waiting_for:
            return None
        return {grader: self._up[grader] for grader in self.keys}
