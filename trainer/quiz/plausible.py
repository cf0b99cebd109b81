"""Faults of other movements told so that they could be faults of this one by their words."""

import re
from collections.abc import Iterator

from trainer.drill.movement import Fault, Movement, Word
from trainer.quiz.in_kind import words_of
from trainer.quiz.typed import letters
from trainer.quiz.workbook import Workbook

QUOTED = re.compile('[“"]([^”"]+)[”"]')
SHOUTED = re.compile(r"\b[^\W\d_]{2,}\b")


def mentioned(text: str) -> set[str]:
    """Return the words that a fault names as words: what is quoted, and what is written in capitals."""
    quoted = {part for said in QUOTED.findall(text) for part in said.casefold().split()}
    return quoted | {word.casefold() for word in SHOUTED.findall(text) if word.isupper()}


def foreign(book: Workbook, movement: Movement, text: str) -> bool:
    """Whether a text names what belongs to other movements only: a word of their commands, or a stance."""
    own = words_of(movement)
    theirs = {word for other in book.movements for word in words_of(other)} - own
    stances = {stance.name for stance in book.deck.stances} - {*movement.from_stances, movement.to}
    told, home = letters(text), letters(" ".join((*movement.from_stances, movement.to, movement.name)))
    named = (letters(name) for name in stances)
    return bool(mentioned(text) & theirs) or any(name in told and name not in home for name in named if name)


def retold(fault: Fault, of: Movement, to: Movement) -> Fault | None:
    """Return a fault of one movement told in the words of another's command; None if it names no word of it.

    The word of execution stands for the word of execution, the word before it for the word before it.
    """
    text, numbers = fault.tell, {}
    spoken = all(change.target == "word" for change in fault.shows)
    for one, two in _pairs(of, to):
        if spoken:
            text = _quoting(text, one.say, two.say)
        if one.say.isupper():
            text = re.sub(rf"\b{re.escape(one.say)}\b", two.say.replace("\\", r"\\"), text)
        numbers[of.words.index(one) + 1] = to.words.index(two) + 1
    quoted = [letters(said) for said in QUOTED.findall(text)]
    if text == fault.tell or len(quoted) != len(set(quoted)):
        return None
    changes = tuple(change._replace(number=numbers.get(change.number or 0, change.number)) for change in fault.shows)
    return Fault("", text, changes, fault.seen_by)


def _quoting(text: str, said: str, instead: str) -> str:
    """Put other words for those that a text quotes, with a capital where they had one."""
    for quoted in QUOTED.findall(text):
        if quoted.casefold() == said.casefold():
            begins = instead[:1].upper() if quoted[0].isupper() else instead[:1]
            text = text.replace(quoted, begins + instead[1:])
    return text


def _pairs(of: Movement, to: Movement) -> Iterator[tuple[Word, Word]]:
    """Pair the words of two commands from the last one backwards, as far as both have a preparatory one."""
    return zip(of.call[-2:][::-1], to.call[-2:][::-1], strict=False)
