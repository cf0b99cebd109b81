"""Typed words compared: case, spacing and punctuation are forgiven, words are not."""

from functools import lru_cache
from unicodedata import category, normalize


@lru_cache(maxsize=8192)
def letters(text: str) -> str:
    """Return the letters of a text in one case, without spacing, digits and punctuation."""
    folded = normalize("NFC", normalize("NFC", text).casefold())
    return "".join(char for char in folded if category(char)[0] in "LM")


def same_words(given: str, right: str) -> bool:
    """Whether a typed text says the right words.

    A right text without any letter is compared as it stands, but for case and spacing.
    """
    wanted = letters(right)
    if wanted:
        return letters(given) == wanted
    return " ".join(given.casefold().split()) == " ".join(right.casefold().split())


def edits(one: str | list[str], two: str | list[str]) -> int:
    """Return the fewest insertions, deletions, replacements and swaps of neighbours between two sequences.

    The optimal string alignment distance (Damerau 1964; Levenshtein 1966): no part is edited twice.
    """
    before: list[int] = []
    last = list(range(len(two) + 1))
    for row, char in enumerate(one, 1):
        now = [row]
        for column, other in enumerate(two, 1):
            cost = min(last[column] + 1, now[-1] + 1, last[column - 1] + (char != other))
            if row > 1 and column > 1 and char == two[column - 2] and one[row - 2] == other:
                cost = min(cost, before[column - 2] + 1)
            now.append(cost)
        before, last = last, now
    return last[-1]
