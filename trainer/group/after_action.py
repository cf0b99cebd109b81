"""The after-action list: what was to happen, what happened, why, what to sustain, what to improve.

The order of the questions is the trade's (common practice, no source). The list is made of the faults and trials on
which the group did not agree with itself or with the truth.
"""

from collections.abc import Sequence
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.movement import Fault, Movement
from trainer.group.evening import Evening
from trainer.group.turns import PLAYED, QUESTION, Graded

NOTHING_YET = "Nothing to name yet."


class Item(NamedTuple):
    """One thing to talk about: the movement, what was to happen, what happened, why the group was not of one mind."""

    measure: str
    name: str
    to_happen: str
    happened: str
    why: str


class AfterAction(NamedTuple):
    """The list of an evening, what to sustain and what to improve."""

    items: tuple[Item, ...]
    sustain: tuple[str, ...]
    improve: tuple[str, ...]


def after_action(evening: Evening) -> AfterAction:
    """Return the after-action list of an evening so far."""
    disputed = [one for one in evening.graded if is_disputed(one)]
    return AfterAction(
        tuple(_item(evening.deck, one) for one in disputed),
        tuple(_sustain(evening)),
        tuple(_improve(evening, disputed)),
    )


def is_disputed(one: Graded) -> bool:
    """Whether a turn is to be talked about: not all gave the same, or all gave what is not true."""
    return bool(one.gave) and (not one.agreed or (one.right is not None and one.right not in one.gave.values()))


def hands_words(one: Graded) -> str:
    """Say who gave what: `GO Ada, Ben; NO-GO Cem`."""
    go = [name for name, gave in one.gave.items() if gave]
    nogo = [name for name, gave in one.gave.items() if not gave]
    return "; ".join(f"{word} {', '.join(names)}" for word, names in (("GO", go), ("NO-GO", nogo)) if names)


def rule_of(movement: Movement) -> str:
    """Return what is to happen in a movement, as its deck tells it."""
    called = movement.command or f"started by the {movement.cued_by or 'cue'}"
    counts = " ".join(count.tell for count in movement.counts if count.tell)
    return f"{called}: {counts}" if counts else called


def _item(deck: Deck, one: Graded) -> Item:
    movement = deck.movement(one.turn.measure)
    told = one.told
    to_happen = f"{told.asked} {told.correct}" if told is not None and told.correct else rule_of(movement)
    return Item(one.turn.measure, movement.name, to_happen, _happened(movement, one), _why(one))


def _happened(movement: Movement, one: Graded) -> str:
    faults = [fault.tell for fault in _faults(movement, one)]
    told = "; ".join(faults)
    if one.turn.kind == PLAYED:
        return f"Played with a fault: {told}" if faults else "Played as it should be."
    if one.turn.kind == QUESTION:
        how = "right" if one.right else "wrong"
        said = f": {one.told.said}" if one.told is not None and one.told.said else "."
        return f"{one.turn.performer} answered {how}{said}"
    if faults:
        return f"{one.turn.performer} performed it; the group settled on: {told}"
    return f"{one.turn.performer} performed it; the group settled on no fault."


def _faults(movement: Movement, one: Graded) -> list[Fault]:
    return [fault for fault in (movement.fault(name) for name in one.faults) if fault is not None]


def _why(one: Graded) -> str:
    hands = hands_words(one)
    if one.right is None:
        return (
            f"{hands}. Nobody knows the truth of a performance on the floor: ask each what he saw, and on which count."
        )
    mistaken = [name for name, go in one.gave.items() if go != one.right]
    what = "took it for right" if not one.right else "saw a fault that was not there"
    return f"{hands}. {', '.join(mistaken)} {what}."


def _sustain(evening: Evening) -> list[str]:
    """Movements of which every turn was seen alike, and truly where the truth is known."""
    found = []
    for measure, turns in _by_measure(evening.graded).items():
        if all(one.gave and not is_disputed(one) for one in turns):
            times = "its one turn" if len(turns) == 1 else f"all {len(turns)} turns"
            found.append(f"{evening.deck.movement(measure).name}: seen alike in {times}.")
    return found


def _improve(evening: Evening, disputed: Sequence[Graded]) -> list[str]:
    found = []
    for measure, turns in _by_measure(disputed).items():
        movement = evening.deck.movement(measure)
        told = dict.fromkeys(fault.tell for one in turns for fault in _faults(movement, one))
        what = f" Watch for: {'; '.join(told)}" if told else ""
        times = "once" if len(turns) == 1 else f"{len(turns)} times"
        found.append(f"{movement.name}: disputed {times}.{what}")
    for name, grader in evening.against_truth().items():
        clean = grader.false_alarms + grader.passed
        if clean > 2 and grader.false_alarms * 2 > clean:
            found.append(f"{name} called {grader.false_alarms} of {clean} right ones NO-GO: faults that are not there.")
    return found


def _by_measure(turns: Sequence[Graded]) -> dict[str, list[Graded]]:
    found: dict[str, list[Graded]] = {}
    for one in turns:
        found.setdefault(one.turn.measure, []).append(one)
    return found


def turns_words(number: int) -> str:
    """Return a number of turns in words."""
    if not number:
        return "no turn graded yet"
    return "one turn" if number == 1 else f"{number} turns"


def lines(evening: Evening, title: str) -> list[str]:
    """Return the evening as plain lines to print: agreement, each grader's eye, the after-action list."""
    listed = after_action(evening)
    agreed = evening.agreement()
    together, known, turns = evening.team()
    out = [title, f"People: {', '.join(evening.places)}", f"Turns graded: {turns}", f"Lot: {evening.seed}", ""]
    out.append("How far the group agrees")
    if agreed.percent is not None:
        out.append(f"  {100 * agreed.percent:.0f} % of pairs gave the same, over {turns_words(agreed.trials)}")
    if agreed.value is not None:
        band = f", 95 percent interval {agreed.low:.2f} to {agreed.high:.2f}" if agreed.low is not None else ""
        out.append(f"  {agreed.name} {agreed.value:.2f}{band}")
    out += [f"  {told}" for told in (agreed.told, agreed.left_out()) if told]
    if known:
        out.append(f"  All of one mind and right: {together} of {known} turns whose truth is known")
    out += ["", "Each grader against the known truth"]
    seen = evening.against_truth()
    out += [f"  {name}: {seen[name].words()}" for name in evening.places if name in seen]
    out += [] if seen else ["  No turn with a known truth was graded."]
    out += ["", "After action"]
    for number, item in enumerate(listed.items, 1):
        out += [
            f"{number:>3}. {item.name}",
            f"     To happen: {item.to_happen}",
            f"     Happened:  {item.happened}",
            f"     Why:       {item.why}",
        ]
    out += [] if listed.items else ["  Nothing was disputed."]
    for head, told in (("Sustain", listed.sustain), ("Improve", listed.improve)):
        out += ["", head, *(f"  {one}" for one in told or (NOTHING_YET,))]
    return out
