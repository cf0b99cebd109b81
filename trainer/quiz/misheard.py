"""Commands that are nearly a movement's own: with another word, a word less, or two words swapped."""

from collections.abc import Iterator

from trainer.drill.movement import Movement
from trainer.quiz.workbook import Workbook, plain

LIKEST = 3
"""Words are borrowed from this many likest movements; common practice, no source."""


def misheard(book: Workbook, movement: Movement) -> list[str]:
    """Return commands that nobody has, made from a movement's own: the likeliest slips first.

    Where one has the words of a real command, it is left out.
    """
    real = {plain(other.command) for other in book.movements if other.command}
    found: dict[str, str] = {}
    for said in _slips(book, movement):
        text = " ".join(said)
        if plain(text) and plain(text) not in real:
            found.setdefault(plain(text), text)
    return list(found.values())


def _slips(book: Workbook, movement: Movement) -> Iterator[list[str]]:
    """Give what may be said instead: a fault's word, a word of a similar command, a word less, two words swapped."""
    yield from _faulty(movement)
    parts = movement.command.split()
    borrowed = list(_borrowed(book, movement, parts))
    yield from borrowed[:1]
    if len(parts) > 2:
        yield from (_cased(parts, parts[:at] + parts[at + 1 :]) for at in range(len(parts) - 2, -1, -1))
        swapped = [*parts[:-3], parts[-2], parts[-3], parts[-1]]
        yield _cased(parts, swapped)
    yield from borrowed[1:]


def _faulty(movement: Movement) -> Iterator[list[str]]:
    """Give the command as each fault of the voice has it."""
    for fault in movement.faults:
        changed = list(movement.words)
        for change in fault.shows:
            fields = dict(change.fields)
            if change.target != "word" or change.number is None or change.number > len(changed):
                continue
            if change.drop:
                changed[change.number - 1] = changed[change.number - 1]._replace(say="")
            elif "say" in fields:
                changed[change.number - 1] = changed[change.number - 1]._replace(say=str(fields["say"]))
        said = [word.say for word in changed if word.speaker is None and word.say]
        if said != [word.say for word in movement.call]:
            yield said


def _borrowed(book: Workbook, movement: Movement, parts: list[str]) -> Iterator[list[str]]:
    """Give the command with one word of a similar command in its place, of commands with as many words."""
    others = [other.command.split() for other in book.others(movement)]
    others = [theirs for theirs in others if len(theirs) == len(parts)][:LIKEST]
    for back in (2, 1, 3):
        for theirs in others:
            if back <= len(parts) and theirs[-back] not in parts:
                at = len(parts) - back
                yield _cased(parts, [*parts[:at], theirs[-back], *parts[at + 1 :]])


def _cased(parts: list[str], said: list[str]) -> list[str]:
    """Return words with a capital at the beginning only, as the command has it, so that it does not tell."""
    if not parts[0][:1].isupper() or (len(parts[0]) > 1 and parts[0].isupper()):
        return said
    lower = [word if len(word) > 1 and word.isupper() else word[:1].lower() + word[1:] for word in said]
    return [lower[0][:1].upper() + lower[0][1:], *lower[1:]]
