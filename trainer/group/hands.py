"""Hands: everybody grades at once, and nobody's hand is shown before all have chosen."""

from collections.abc import Sequence
from typing import NamedTuple

FEWEST, MOST = 2, 8
"""How many can grade; with one alone there is nobody to agree with."""
USUAL = "qwerty"
KEYBOARDS = {
    USUAL: ("qa", "ws", "ed", "rf", "tg", "uj", "ik", "ol"),
    "azerty": ("aq", "zs", "ed", "rf", "tg", "uj", "ik", "ol"),
    "dvorak": (",o", ".e", "pu", "yi", "fd", "gh", "ct", "rn"),
    "йцукен": ("йф", "цы", "ув", "ка", "еп", "го", "шл", "щд"),
}
"""Each grader's two keys, GO above NO-GO, by keyboard: characters that lie above one another on it. From memory."""


class Keys(NamedTuple):
    """The two keys of one grader."""

    go: str
    nogo: str


def keys_of(graders: Sequence[str], places: Sequence[str], keyboard: str = USUAL) -> dict[str, Keys]:
    """Return each grader's keys.

    A person's keys go by his place in the evening and not by who grades now, so that they stay his from turn to
    turn.

    Args:
        graders: who grades.
        places: everybody who ever sat down, in that order.
        keyboard: one of `KEYBOARDS`.
    """
    pairs = KEYBOARDS[keyboard]
    return {grader: Keys(*pairs[places.index(grader) % MOST]) for grader in graders}


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

    def owns(self, key: str) -> bool:
        """Whether a key is somebody's."""
        return key.lower() in self._owner

    def press(self, key: str) -> bool:
        """Take a key; say whether it was a grader's and still counted."""
        owner = self._owner.get(key.lower())
        if owner is None or self.shown is not None:
            return False
        grader, go = owner
        self._up[grader] = go
        return True

    def among(self, keys: dict[str, Keys]) -> "Hands":
        """Return the hands of the people there are now; whose keys are as before keeps his choice, whatever his name.

        Who left is no longer waited for, who came is.
        """
        before = {self.keys[grader]: go for grader, go in self._up.items()}
        found = Hands(keys)
        found._up = {grader: before[pair] for grader, pair in keys.items() if pair in before}
        return found

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


def is_hand(struck: str | None, hands: Hands | None) -> bool:
    """Whether a character is a letter, of whatever script, or on a key of somebody's; such keys are hands alone."""
    return struck is not None and len(struck) == 1 and (struck.isalpha() or (hands is not None and hands.owns(struck)))
