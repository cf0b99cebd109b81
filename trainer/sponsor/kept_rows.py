"""Rows of the roster kept in files, and those that are stale read anew, by two processes where there are many.

A row is filed under what it was read from: the head of the record, the day, the deck as it is, and whether the fold of
all models was at hand. Whatever changes one of these makes the row stale; it can always be read again.
"""

import json
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from datetime import date
from hashlib import sha256
from pathlib import Path
from typing import Any

from trainer.authoring.shelf import DeckError, open_deck
from trainer.coach.candidate import Candidate, Profile
from trainer.coach.dates import day_of
from trainer.coach.forecast import Measured
from trainer.coach.history import Trials
from trainer.coach.kept_mind import fold_file
from trainer.coach.past import Held
from trainer.coach.taskings import Tasking
from trainer.drill.deck import Deck
from trainer.memory.readiness import Chance
from trainer.paths import Home, write_private
from trainer.records.clock import Moment
from trainer.records.errors import LogError
from trainer.records.events import EventError
from trainer.records.log import Head, Log
from trainer.sponsor.roster import FaultRow, MovementRow, Row, read_row, unread

VERSION = 2
FILE = "roster.json"
FEW = 12
"""Stale rows up to which a second process is not worth its start."""
TOGETHER = 4
"""Rows that a process reads before it reports."""
PROCESSES = 2

Progress = Callable[[int, int], None]
"""Told how many rows are there, of how many."""
Decks = dict[str, tuple[Deck | None, str]]
"""Decks by their name in the records: the deck and a hash of it, or None and a sentence."""


def rows(home: Home, moment: Moment, progress: Progress | None = None, processes: int = PROCESSES) -> tuple[Row, ...]:
    """Return the row of every candidate on this laptop, in the order of their ids.

    Args:
        home: where everything is kept.
        moment: the present; its day counts.
        progress: called as rows come in, from the thread that calls this.
        processes: how many may read at the same time.
    """
    ids = [path.stem for path in sorted(home.records.glob("*.db"))] if home.records.is_dir() else []
    decks: Decks = {}
    found = {one: row for one in ids if (row := _kept(home, one, moment, decks)) is not None}
    stale = [one for one in ids if one not in found]
    for fresh in _read(home, stale, moment, processes):
        found |= {row.id: row for row in fresh}
        if progress is not None:
            progress(len(found), len(ids))
    return tuple(found[one] for one in ids)


def read_fully(home: Home, candidate: str, moment: Moment) -> Row:
    """Return one row by all models together, however long that takes, and keep it and the fold."""
    from trainer.coach.candidate import open_candidate
    from trainer.coach.standing import save_standing

    try:
        opened = open_candidate(home, candidate)
        try:
            save_standing(opened, open_deck(opened.profile.deck, home), moment)
        finally:
            opened.close()
    except (LogError, EventError, DeckError):
        pass  # the row says so in its own words
    return _read_one(home, candidate, moment, {})


def _read(home: Home, stale: Sequence[str], moment: Moment, processes: int) -> Iterator[list[Row]]:
    parts = [list(stale[at : at + TOGETHER]) for at in range(0, len(stale), TOGETHER)]
    done = 0
    if len(stale) > FEW and processes > 1:
        for fresh in _by_processes(home, parts, moment, processes):
            done += 1
            yield fresh
    # What no process could do, where the system allows none, is done here.
    for part in parts[done:]:
        yield read_some(home, part, moment)


def _by_processes(home: Home, parts: Sequence[list[str]], moment: Moment, processes: int) -> Iterator[list[Row]]:
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool
    from multiprocessing import get_context

    try:
        # A process begun anew shares no thread and no open file with this one, as a forked one would.
        pool = ProcessPoolExecutor(processes, get_context("spawn"), _let_the_parent_be_stopped)
    except (OSError, ImportError, NotImplementedError):
        return
    try:
        waiting = [pool.submit(read_some, home, part, moment) for part in parts]
        for one in waiting:
            yield one.result()
    except (OSError, BrokenProcessPool):
        return
    finally:
        pool.shutdown(cancel_futures=True)


def _let_the_parent_be_stopped() -> None:
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


def read_some(home: Home, candidates: Sequence[str], moment: Moment) -> list[Row]:
    """Read rows anew and keep them."""
    decks: Decks = {}
    return [_read_one(home, candidate, moment, decks) for candidate in candidates]


def _read_one(home: Home, candidate: str, moment: Moment, decks: Decks) -> Row:
    profile = Profile()
    try:
        with Log.open(home.record(candidate)) as log:
            head, opened = log.head, Candidate(home, log)
            profile = opened.profile
            deck, facts = _deck(home, profile.deck, decks)
            if deck is None:
                return unread(candidate, profile, facts)
            quick = not fold_file(home, candidate, deck).exists()
            row = read_row(opened, deck, moment, quick)
    except (LogError, EventError) as error:
        return unread(candidate, profile, str(error))
    _keep(home, row, profile.deck, _key(head, moment, facts, quick))
    return row


def _deck(home: Home, name: str, decks: Decks) -> tuple[Deck | None, str]:
    """Return a deck and a hash of all that it says; None and a sentence where it cannot be used."""
    if name not in decks:
        if not name:
            return None, "No deck was chosen yet."
        try:
            deck = open_deck(name, home)
            decks[name] = deck, sha256(repr(deck).encode()).hexdigest()
        except DeckError as error:
            decks[name] = None, str(error)
    return decks[name]


# ---------------------------------------------------------------- the file


def _file(home: Home, candidate: str) -> Path:
    return home.standings(candidate) / FILE


def _key(head: Head, moment: Moment, facts: str, quick: bool) -> list[Any]:
    return [VERSION, head.place, head.sha, day_of(moment).isoformat(), moment.offset, facts, quick]


def _keep(home: Home, row: Row, deck: str, key: list[Any]) -> None:
    path = _file(home, row.id)
    with suppress(OSError):  # it can be read again
        write_private(path, json.dumps({"deck": deck, "key": key, "row": _plain(row)}).encode("ascii"), settled=False)


def _kept(home: Home, candidate: str, moment: Moment, decks: Decks) -> Row | None:
    try:
        told = json.loads(_file(home, candidate).read_bytes())
        deck, facts = _deck(home, str(told["deck"]), decks)
        if deck is None:
            return None
        quick = not fold_file(home, candidate, deck).exists()
        with Log.open(home.record(candidate)) as log:
            key = _key(log.head, moment, facts, quick)
        return _row(told["row"]) if told["key"] == key else None
    except (OSError, ValueError, KeyError, TypeError, LogError, EventError):
        return None


def _plain(value: Any) -> Any:
    """Return a value with dates as text and tuples as lists, as JSON has it."""
    if isinstance(value, date):
        return value.isoformat()
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


def _row(told: list[Any]) -> Row:
    row = Row(*told)
    return row._replace(
        test_date=_day(row.test_date),
        chance=Chance(*row.chance) if row.chance else None,
        measures=tuple(Measured(*one[:-1], Trials(*one[-1])) for one in row.measures),
        movements=tuple(MovementRow(*one) for one in row.movements),
        faults=tuple(FaultRow(*one) for one in row.faults),
        last_session=_day(row.last_session),
        last_run=_day(row.last_run),
        verdicts=tuple(Held(*one)._replace(day=date.fromisoformat(str(one[0]))) for one in row.verdicts),
        taskings=tuple(_tasking(one) for one in row.taskings),
        work=tuple(row.work),
    )


def _day(text: Any) -> date | None:
    return None if text is None else date.fromisoformat(text)


def _tasking(told: Any) -> Tasking:
    one = Tasking(*told)
    return one._replace(
        given=date.fromisoformat(told[1]),
        until=date.fromisoformat(told[2]),
        work=tuple(one.work),
        unknown=tuple(one.unknown),
        points=tuple(one.points),
        waiting=tuple(one.waiting),
    )
