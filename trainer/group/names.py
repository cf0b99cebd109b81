"""The names of those who sit down to an evening."""

from collections.abc import Sequence

from trainer.coach.candidate import CandidateError, checked_handle
from trainer.group.hands import MOST
from trainer.group.journal import EveningError

LEAST_PEOPLE, MOST_PEOPLE = 3, MOST


def checked_name(name: str) -> str:
    """Return a name that can be shown.

    Raises:
        EveningError: with a sentence that says why it cannot.
    """
    try:
        return checked_handle(name)
    except CandidateError as error:
        raise EveningError(str(error)) from error


def checked_names(names: Sequence[str]) -> list[str]:
    """Return the names of those who sit down.

    Raises:
        EveningError: with a sentence that says what is wrong with them.
    """
    checked = [checked_name(name) for name in names]
    twice = [name for place, name in enumerate(checked) if name.casefold() in {o.casefold() for o in checked[:place]}]
    if twice:
        raise EveningError(f"Two people are called {twice[0]}: tell them apart, for instance by a letter more.")
    if not LEAST_PEOPLE <= len(checked) <= MOST_PEOPLE:
        raise EveningError(f"A group is {LEAST_PEOPLE} to {MOST_PEOPLE} people, not {len(checked)}.")
    return checked
