"""Typed words that are nearly right, set against the right ones."""

from trainer.quiz.typed import edits, letters
from trainer.quiz.wording import listed, ordinal

LONGEST = 400
"""A typed answer longer than this is no near miss of anything."""


def near_miss(given: str, right: str) -> str:
    """Return a remark that sets given words against right ones where few differ, else nothing."""
    if len(given) > LONGEST or len(right) > LONGEST:
        return ""
    said, wanted = letters(given), letters(right)
    if not said or not wanted or said == wanted:
        return ""
    words_said, words_wanted = _words(given), _words(right)
    close_letters = edits(said, wanted) <= max(1, len(wanted) // 6)
    close_words = len(words_wanted) > 1 and edits(words_said, words_wanted) <= 1
    if not close_letters and not close_words:
        return ""
    return f"You gave: {' '.join(given.split())}; right: {right}; {_what_differs(words_said, words_wanted)}."


def _what_differs(said: list[str], wanted: list[str]) -> str:
    if len(said) < len(wanted):
        return "a word is missing"
    if len(said) > len(wanted):
        return "there is a word too many"
    places = [place for place, (one, two) in enumerate(zip(said, wanted, strict=True), 1) if one != two]
    if len(places) > 1 and sorted(said) == sorted(wanted):
        return "the words stand in another order"
    named = listed(tuple(ordinal(place) for place in places), "and")
    return f"the {named} word{' differs' if len(places) == 1 else 's differ'}"


def misspelt(given: str, right: str) -> bool:
    """Whether given words are the right ones but for the spelling: as many, each nearly as it should be."""
    if len(given) > LONGEST or len(right) > LONGEST:
        return False
    said, wanted = _words(given), _words(right)
    pairs = list(zip(said, wanted, strict=False))
    return (
        said != wanted
        and len(said) == len(wanted)
        and all(edits(one, two) <= max(1, len(two) // 5) for one, two in pairs)
    )


def _words(text: str) -> list[str]:
    return [word for part in text.replace("-", " ").split() if (word := letters(part))]
