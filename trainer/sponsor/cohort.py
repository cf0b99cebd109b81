"""What a whole group fails: movements and faults, so that the next drill period is spent right."""

from collections.abc import Sequence
from typing import NamedTuple

from trainer.authoring.shelf import open_deck
from trainer.coach.words import percent
from trainer.drill.deck import Deck
from trainer.paths import Home
from trainer.sponsor.roster import Row

WEAK = 0.5
"""A measure below this chance of GO counts as one that its candidate fails."""
NAMED = 3


class GroupMovement(NamedTuple):
    """A movement over the whole group.

    Attributes:
        id: of the movement.
        name: its name.
        recall: mean recall of its points on each candidate's date.
        knowledge: mean chance that all it needs is known; None where it is not on the grade sheet.
        go: mean chance of GO; None likewise.
        failing: candidates whose chance of GO is below one half (whose recall is, off the sheet).
        nogo: trials seen NO-GO.
        trials: trials seen.
    """

    id: str
    name: str
    recall: float
    knowledge: float | None
    go: float | None
    failing: int
    nogo: int
    trials: int


class GroupFault(NamedTuple):
    """A fault over the whole group: how often it was noted, with how many candidates, and mean recall of its point."""

    movement: str
    name: str
    tell: str
    seen: int
    candidates: int
    recall: float


class Cohort(NamedTuple):
    """A group on one deck: movements, the weakest first, those off the sheet last; faults, those noted most first.

    Averages are over the `candidates` who have begun; `waiting` are those of whom nothing was asked yet.
    """

    deck: Deck
    candidates: int
    waiting: int
    graded: int
    movements: tuple[GroupMovement, ...]
    faults: tuple[GroupFault, ...]


def cohort(deck: Deck, rows: Sequence[Row]) -> Cohort:
    """Return what the candidates of a deck fail together; rows of other decks are left out."""
    known = [row for row in rows if row.deck == deck.id and not row.trouble]
    own = [row for row in known if row.asked or row.last_run]
    movements = [_movement(movement.id, movement.name, own) for movement in deck.movements] if own else []
    movements.sort(key=lambda one: (one.go is None, one.recall if one.go is None else one.go, one.name))
    tell = {
        (movement.id, fault.id): (movement.name, fault.tell) for movement in deck.movements for fault in movement.faults
    }
    faults = [_fault(*key, *told, own) for key, told in tell.items()] if own else []
    faults.sort(key=lambda one: (-one.seen, one.recall, one.name))
    graded = sum(row.last_run is not None for row in own)
    return Cohort(deck, len(own), len(known) - len(own), graded, tuple(movements), tuple(faults))


def cohorts(rows: Sequence[Row], home: Home) -> list[Cohort]:
    """Return the group of every deck that somebody has begun on, the largest first."""
    decks: dict[str, Deck] = {}
    for row in rows:
        if not row.trouble and row.deck not in decks:
            decks[row.deck] = open_deck(row.deck_name, home)
    found = [cohort(deck, rows) for deck in decks.values()]
    return sorted((one for one in found if one.candidates), key=lambda one: (-one.candidates, one.deck.title))


def _movement(movement: str, name: str, own: Sequence[Row]) -> GroupMovement:
    seen = [one for row in own for one in row.movements if one.id == movement]
    measured = [one for row in own for one in row.measures if one.id == movement and one.knowledge is not None]
    recall = _mean([one.recall for one in seen])
    failing = sum(one.go < WEAK for one in measured) if measured else sum(one.recall < WEAK for one in seen)
    return GroupMovement(
        movement,
        name,
        recall,
        _mean([one.knowledge or 0.0 for one in measured]) if measured else None,
        _mean([one.go for one in measured]) if measured else None,
        failing,
        sum(one.nogo for one in seen),
        sum(one.go + one.nogo for one in seen),
    )


def _fault(movement: str, fault: str, name: str, tell: str, own: Sequence[Row]) -> GroupFault:
    told = [one for row in own for one in row.faults if (one.movement, one.fault) == (movement, fault)]
    return GroupFault(
        movement,
        name,
        tell,
        sum(one.seen for one in told),
        sum(one.seen > 0 for one in told),
        _mean([one.recall for one in told]),
    )


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


def period_words(group: Cohort) -> str:
    """Return what the next drill period is best spent on."""
    asked_for = [one for one in group.movements if one.go is not None] or group.movements
    failed = [one for one in asked_for if one.failing or one.nogo][:NAMED]
    if not failed:
        return "No movement is failed by anybody; spend the period on whatever the next test asks first."
    first = "; ".join(f"{one.name} ({_why(one, group.candidates)})" for one in failed)
    seen = [one for one in group.faults if one.seen][:NAMED]
    noted = "; ".join(f"{one.name}: {one.tell} ({_often(one.seen)})" for one in seen)
    return f"Next drill period, first: {first}." + (f" Watch for: {noted}." if noted else "")


def _often(times: int) -> str:
    return {1: "once", 2: "twice"}.get(times, f"{times} times")


def _why(one: GroupMovement, candidates: int) -> str:
    told = [f"{one.failing} of {candidates} below one half"] if one.failing else []
    told += [f"{one.nogo} of {one.trials} trials NO-GO"] if one.nogo else []
    return ", ".join(told)


def group_words(group: Cohort) -> str:
    """Return who makes up a group."""
    many = f"{group.candidates} candidate{'' if group.candidates == 1 else 's'}, {group.graded} with a graded run"
    return f"{many}; {group.waiting} not begun yet, left out" if group.waiting else many


def cohort_lines(group: Cohort) -> list[str]:
    """Return the group as plain lines."""
    lines = [f"{group.deck.title}: {group_words(group)}.", period_words(group)]
    for one in group.movements:
        go = "not on the sheet" if one.go is None else f"GO {percent(one.go)}, known {percent(one.knowledge or 0.0)}"
        lines.append(
            f"{one.name}: {go}, recall {percent(one.recall)}; {one.failing} of {group.candidates} below one half; "
            f"{one.nogo} of {one.trials} trials NO-GO"
        )
    lines += [
        f"  fault noted {one.seen} times with {one.candidates}: {one.name}, {one.tell}; recall {percent(one.recall)}"
        for one in group.faults
        if one.seen
    ]
    return lines
