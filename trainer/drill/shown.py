"""A movement as plain data for scripts: every beat with both feet, and what falls out of it.

Lengths are in the deck's unit, the origin lies under the left foot's ball at the first beat shown, x to the
right, y forward, headings in degrees clockwise from the first heading, beats as in the deck. Cadence is beats a minute;
`lift` and `contact` say for each foot how high it was lifted and how it comes down, null where nothing says so.
"""

from typing import Any

from trainer.drill.deck import Deck
from trainer.drill.faults import flawed_score
from trainer.drill.footprints import Print, Stand, footprints, totals
from trainer.drill.movement import BOTH, LEFT, RIGHT, Fault, Movement
from trainer.drill.score import Beat, FootAct
from trainer.drill.unrolling import score


def shown(
    deck: Deck,
    movement: Movement,
    from_stance: str | None = None,
    foot: str = LEFT,
    fault: Fault | None = None,
) -> dict[str, Any]:
    """Return one performance of a movement, right or with a fault.

    Args:
        deck: the deck that the movement belongs to.
        movement: the movement.
        from_stance: the stance it starts from; its first one if None.
        foot: the foot of beat 0 where either may have it.
        fault: a fault of the movement to be shown in it.

    Raises:
        KeyError: if the movement does not start from that stance.
    """
    if fault is None:
        done = score(deck, movement, from_stance, foot)
    else:
        done = flawed_score(deck, movement, fault, from_stance, foot)
    stands = footprints(deck, done)
    total = totals(done, stands)
    return {
        "movement": movement.id,
        "unit": deck.unit,
        "beats": [_beat(beat, stand, deck.unit) for beat, stand in zip(done.beats, stands, strict=True)],
        "totals": {
            "beats": tidy(total.beats),
            "turn": tidy(total.turn),
            "ground": {"x": tidy(total.x), "y": tidy(total.y)},
            "ends": total.ends,
            "leads_next": total.leads_next,
        },
    }


def tidy(number: float) -> float | int:
    """Return a number rounded to a millionth, whole where it is whole, without a negative zero."""
    near = round(number, 6)
    return int(near) if near == int(near) else near


def _beat(beat: Beat, stand: Stand, unit: str) -> dict[str, Any]:
    return {
        "beat": tidy(beat.beat),
        "said": " / ".join(word.say for word in beat.said) or None,
        "cue": " ".join(beat.cues) or None,
        "feet": {"left": _print(stand.left), "right": _print(stand.right)},
        "strikes": beat.strikes,
        "place": beat.place,
        "arms": {"left": beat.left_arm, "right": beat.right_arm},
        "sword": beat.sword,
        "body": tidy(stand.body),
        "lift": {foot: _lift(beat, foot, unit) for foot in (LEFT, RIGHT)},
        "contact": {
            foot: next((act.contact for act in _acts(beat, foot) if act.contact), None) for foot in (LEFT, RIGHT)
        },
        "cadence": tidy(beat.cadence),
    }


def _acts(beat: Beat, foot: str) -> list[FootAct]:
    return [act for act in beat.acts if act.foot in (foot, BOTH)]


def _lift(beat: Beat, foot: str, unit: str) -> float | int | None:
    lift = next((act.lift for act in _acts(beat, foot) if act.lift), None)
    return None if lift is None else tidy(lift.to(unit))


def _print(foot: Print) -> dict[str, Any]:
    return {"x": tidy(foot.x), "y": tidy(foot.y), "toes": tidy(foot.toes)}
