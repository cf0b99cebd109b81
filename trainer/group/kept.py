"""The evenings that are kept on this laptop: one file each, newest first."""

import os
import random
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from trainer.coach.dates import day_of
from trainer.drill.deck import Deck
from trainer.group.evening import Evening, resumed
from trainer.group.hands import KEYBOARDS, USUAL
from trainer.group.journal import Entry, EveningError, Journal
from trainer.group.turns import ROUNDS
from trainer.paths import Home
from trainer.quiz.points import Point
from trainer.records.clock import Moment

SUFFIX = ".jsonl"


class Kept(NamedTuple):
    """An evening as a list shows it.

    `left` have not decided where their answers go; `trouble` says why it cannot be read.
    """

    path: Path
    name: str
    deck: str = ""
    people: tuple[str, ...] = ()
    turns: int = 0
    over: bool = False
    left: tuple[str, ...] = ()
    trouble: str = ""
    keyboard: str = USUAL


def kept_evenings(home: Home) -> list[Kept]:
    """Return the evenings of this laptop, the newest first."""
    if not home.evenings.is_dir():
        return []
    return [_kept(path) for path in sorted(home.evenings.glob(f"*{SUFFIX}"), reverse=True)]


def find_evening(home: Home, name: str) -> Kept:
    """Return the evening of that name.

    Raises:
        EveningError: where there is none, or it cannot be read.
    """
    known = kept_evenings(home)
    found = next((one for one in known if one.name == name), None)
    if found is None:
        names = ", ".join(one.name for one in known) or "none yet"
        raise EveningError(f'No evening is called "{name}". On this laptop: {names}.')
    if found.trouble:
        raise EveningError(found.trouble)
    return found


def _kept(path: Path) -> Kept:
    try:
        entries = Journal(path).entries()
    except EveningError as error:
        return Kept(path, path.stem, trouble=str(error))
    steps = [str(entry["step"]) for entry in entries]
    if not entries or steps[0] != "begin":
        return Kept(path, path.stem, trouble=f"{path}: this evening does not begin; move the file away.")
    people, asked = _people(entries)
    left = tuple(name for name in people if name in asked)
    deck, keyboard = str(entries[0].get("deck", "")), USUAL
    for entry in entries:
        keyboard = str(entry.get("keyboard", keyboard))
    return Kept(path, path.stem, deck, people, steps.count("grade"), "end" in steps, left, keyboard=keyboard)


def _people(entries: Sequence[Entry]) -> tuple[tuple[str, ...], set[str]]:
    """Return everybody who ever sat down, under the name that was put right, and who has yet to decide on his own."""
    names = entries[0].get("names")
    people = [str(name) for name in names] if isinstance(names, list) else []
    asked: set[str] = set()
    performer = ""
    for entry in entries:
        step, name = entry["step"], str(entry.get("name"))
        if step == "sit" and name not in people:
            people.append(name)
        elif step == "rename":
            better = str(entry.get("better"))
            people = [better if one == name else one for one in people]
            asked = {better if one == name else one for one in asked}
            performer = better if performer == name else performer
        elif step == "handed":
            asked.discard(name)
        elif step == "turn":
            performer = str(entry.get("performer"))
        elif step == "grade" and performer:
            asked.add(performer)
    return tuple(people), asked


def new_evening(
    home: Home,
    deck: Deck,
    points: Sequence[Point],
    names: Sequence[str],
    moment: Moment,
    kinds: Iterable[str] = ROUNDS,
    rng: random.Random | None = None,
) -> Evening:
    """Begin an evening in a file of its own.

    Args:
        home: where evenings are kept.
        deck: the deck that it is held on.
        points: the deck's points.
        names: who sits there.
        moment: the present.
        kinds: the rounds that are held.
        rng: gives the seed of the lot; unpredictable if None.

    Raises:
        EveningError: where the people will not do, or the file cannot be written.
    """
    seed = (rng or random.Random(os.urandom(8))).randrange(10**6)
    second = (moment.at_ms // 1000 + moment.offset * 60) % 86_400
    name = f"{day_of(moment).isoformat()}-{second:05d}"
    while (path := home.evenings / f"{name}{SUFFIX}").exists():
        second += 1
        name = f"{day_of(moment).isoformat()}-{second:05d}"
    evening = Evening(deck, points, Journal(path).add)
    # A laptop's keys lie as they did the last time.
    last = next((one.keyboard for one in kept_evenings(home) if one.keyboard in KEYBOARDS), USUAL)
    evening.begin(f"{name}-{os.urandom(4).hex()}", names, seed, kinds, last)
    return evening


def open_evening(path: Path, deck: Deck, points: Sequence[Point]) -> Evening:
    """Go on with an evening that is kept.

    Raises:
        EveningError: where it cannot be read, or was held on another deck.
    """
    journal = Journal(path)
    return resumed(deck, points, journal.entries(), journal.add)
