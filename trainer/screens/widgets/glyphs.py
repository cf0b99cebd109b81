"""Signs of the strip: one for every place, filled or heavy for the left foot, hollow or double for the right."""

from trainer.drill.movement import (
    BACK,
    BALL_TO_HEEL,
    CLOSE,
    IN_PLACE,
    LEFT,
    PIVOT,
    SIDE,
    STAYS,
    STEP,
    TEE,
    TOE_TO_HEEL,
)
from trainer.drill.score import FootAct

GLYPHS = {
    STEP: ("●", "○"),
    BACK: ("◀", "◁"),
    SIDE: ("◆", "◇"),
    IN_PLACE: ("▲", "△"),
    CLOSE: ("■", "□"),
    TEE: ("┳", "╦"),
    TOE_TO_HEEL: ("┫", "╣"),
    BALL_TO_HEEL: ("┣", "╠"),
    PIVOT: ("◉", "◎"),
    STAYS: ("▬", "▭"),
}
"""Left and right sign of every place."""

ARROWS = "↑↗→↘↓↙←↖"
"""Headings, an eighth of a turn apart, clockwise from the first heading."""


def glyph(place: str, foot: str) -> str:
    """Return the sign of a place for the left or the right foot."""
    return GLYPHS[place][0 if foot == LEFT else 1]


def arrow(heading: float) -> str:
    """Return the arrow nearest to a heading in degrees clockwise from straight ahead."""
    return ARROWS[round(heading / 45.0) % 8]


def manners(act: FootAct, full: float, unit: str = "") -> tuple[str, ...]:
    """Return what one foot does in words, longest first, the place alone last.

    Args:
        act: the footfall.
        full: the length that goes without saying, in the deck's unit.
        unit: the deck's unit.
    """
    if act.place == TEE:
        return (f"T at {act.against or 'toe'}", "T")
    if act.place in (STEP, BACK, SIDE) and abs(act.length - full) > 1e-6:
        size = "half" if abs(act.length - full / 2) < 1e-6 else f"{act.length:g} {unit}".strip()
        return (f"{size} {act.place}", size, act.place)
    if act.contact:
        return (f"{act.contact} {act.place}", act.contact, act.place)
    return (act.place,)
