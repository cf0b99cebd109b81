"""Every playable fault of every shipped deck is played as its words say, and shows nothing else."""

import pytest

from tests.decks.measured import SHIPPED, read
from tests.decks.played_faults import ARMY, GUARD
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.movement import Fault, Movement, other_foot
from trainer.drill.score import FootAct
from trainer.drill.unrolling import starts

TABLE = {
    read(SHIPPED / "us_army_individual_drill.toml"): ARMY,
    read(SHIPPED / "harbour_guard_marching.toml"): GUARD,
}
PLAYED = [
    pytest.param(deck, movement, fault, stance, foot, id=f"{movement.id}-{fault.id}-{stance}-{foot}")
    for deck in TABLE
    for movement in deck.movements
    for fault in movement.faults
    if fault.shows
    for stance, foot in starts(deck, movement)
]
Rows = dict[tuple[float, str], tuple[str, str]]


def by_hand(table: str, zero: str | None) -> Rows:
    """Read the rows of a fault, for a movement whose beat 0 has this foot."""
    feet = {"same foot": f"{zero} foot", "other foot": f"{other_foot(zero or '')} foot"}
    rows: Rows = {}
    for line in table.strip().splitlines():
        head, values = line.strip().split(": ", 1)
        when, part = head.split(" ", 1)
        right, flawed = values.split(" > ")
        first, _, last = when.partition("..")
        beats = [float(first)] if not last else [float(beat) for beat in range(int(first), int(last) + 1)]
        parts = ["left arm", "right arm"] if part == "arms" else [feet.get(part, part)]
        for beat in beats:
            for one in parts:
                assert (beat, one) not in rows, line
                rows[beat, one] = (right, flawed)
    return rows


def in_words(part: str, value: object) -> str:
    if part == "voice" and isinstance(value, tuple):
        return " / ".join(say for say, _ in value) or "-"
    if part.endswith("foot") and isinstance(value, tuple):
        return " / ".join(map(of_act, value)) or "-"
    return f"{value:g}" if part in ("body",) else str(value).removesuffix(".0")


def of_act(act: FootAct) -> str:
    said = [act.place]
    said += [f"{act.length:g}"] if act.length else []
    said += [act.contact] if act.contact else []
    said += [f"lift {act.lift.to('in'):g}"] if act.lift else []
    said += [f"against {act.against}"] if act.against else []
    said += [f"toes {act.toes:g}"] if act.toes is not None else []
    return " ".join(said)


@pytest.mark.parametrize(("deck", "movement", "fault", "stance", "foot"), PLAYED)
def test_a_fault_is_played_as_it_is_told(deck: Deck, movement: Movement, fault: Fault, stance: str, foot: str) -> None:
    found = compare(deck, movement, fault, stance, foot)
    shown = {
        (one.beat, one.part): (in_words(one.part, one.right), in_words(one.part, one.flawed))
        for one in found.differences
    }
    assert shown == by_hand(TABLE[deck][movement.id][fault.id], found.right.at_zero)


@pytest.mark.parametrize(("deck", "table"), TABLE.items(), ids=["army", "guard"])
def test_the_table_has_every_playable_fault_and_no_other(deck: Deck, table: dict[str, dict[str, str]]) -> None:
    playable = {movement.id: {fault.id for fault in movement.faults if fault.shows} for movement in deck.movements}
    assert {movement: set(faults) for movement, faults in table.items()} == playable
