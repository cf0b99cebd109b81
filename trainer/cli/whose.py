"""Whose records a verb works on: a candidate of this laptop, or one of the invented unit."""

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from typing import NamedTuple

from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import Candidate, CandidateError, open_candidate, whose
from trainer.drill.deck import Deck
from trainer.paths import Home, home
from trainer.records.clock import Moment, read_clock


class Opened(NamedTuple):
    """A candidate with his record open, his deck, and when that was."""

    home: Home
    candidate: Candidate
    deck: Deck
    moment: Moment


@contextmanager
def placed(arguments: argparse.Namespace) -> Iterator[tuple[Home, Moment]]:
    """Give the home that the arguments mean, and the present: this user's, or the whole invented unit's.

    Raises:
        CandidateError, DeckError, LogError: one sentence each.
    """
    moment = read_clock()
    if not arguments.demo:
        yield home(), moment
        return
    from trainer.coach.demo import demo_home

    with demo_home(moment) as (place, _):
        yield place, moment


@contextmanager
def opened(arguments: argparse.Namespace) -> Iterator[Opened]:
    """Open the candidate that the arguments name, and his deck.

    Raises:
        CandidateError, DeckError, LogError: one sentence each.
    """
    moment = read_clock()
    if arguments.demo:
        from trainer.coach.demo import demo_home, first_handle

        wanted = arguments.candidate or first_handle()
        with demo_home(moment, wanted) as (place, _), _candidate(place, whose(place, wanted), moment) as one:
            yield one
        return
    place = home()
    with _candidate(place, whose(place, arguments.candidate), moment) as one:
        yield one


@contextmanager
def _candidate(place: Home, candidate_id: str, moment: Moment) -> Iterator[Opened]:
    candidate = open_candidate(place, candidate_id)
    try:
        if not candidate.profile.deck:
            raise CandidateError("This candidate has no deck yet: start the program without a verb and choose one.")
        yield Opened(place, candidate, open_deck(candidate.profile.deck, place), moment)
    finally:
        candidate.close()
