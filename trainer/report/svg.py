"""Pictures for the sheets as inline SVG (W3C SVG 1.1, 2011): footprints from above, and the curve to the test."""

from collections.abc import Sequence
from html import escape
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.footprints import Print, footprints, heading_vector
from trainer.drill.length import Length
from trainer.drill.movement import LEFT, RIGHT
from trainer.drill.score import Score
from trainer.plain import visible

GAUGE = 4.0
"""Inches drawn between the middles of the feet; for drawing only."""
LONGEST = 640.0
"""Pixels of the longer side of a picture of footprints at most."""
SCALE = 3.0
"""Pixels an inch at most."""
CURVE_WIDTH, CURVE_HEIGHT = 640, 220
LEFT_MARGIN, BOTTOM_MARGIN, TOP_MARGIN = 44, 26, 10


class Place(NamedTuple):
    """A chance at a day from today, with its band; shares from 0 to 1."""

    day: float
    go: float
    low: float
    high: float


def footprints_svg(deck: Deck, score: Score) -> str:
    """Return the footprints of a performance; left soles are filled, right ones are outlines, beats are numbers.

    Only soles that moved are drawn. The line of march runs to the right.
    """
    unit = _inches(deck)
    soles = _moved_soles(deck, score)
    reach = [corner for _, place, foot in soles for corner in _outline(deck, place, foot)]
    low_x, high_x = min(x for x, _ in reach), max(x for x, _ in reach)
    low_y, high_y = min(y for _, y in reach), max(y for _, y in reach)
    room = 14.0 / unit
    # Forward is drawn to the right: a page is wide, and most ground is covered forward.
    width, height = high_y - low_y + 2 * room, high_x - low_x + 2 * room
    scale = min(SCALE * unit, LONGEST / max(width, height))
    parts = []
    for beat, place, foot in soles:
        corners = " ".join(
            f"{(y - low_y + room) * scale:.1f},{(x - low_x + room) * scale:.1f}" for x, y in _outline(deck, place, foot)
        )
        fill = "#111" if foot == LEFT else "#fff"
        parts.append(f'<polygon points="{corners}" fill="{fill}" stroke="#111" stroke-width="1.2"/>')
        x, y = _shifted(deck, place, foot)
        outward = 11.0 / unit * (-1 if foot == LEFT else 1)
        dx, dy = heading_vector(place.toes + 90.0)
        at_y, at_x = (x + dx * outward - low_x + room) * scale, (y + dy * outward - low_y + room) * scale
        parts.append(
            f'<text x="{at_x:.1f}" y="{at_y + 3:.1f}" font-size="9" text-anchor="middle" fill="#111">'
            f"{'L' if foot == LEFT else 'R'}{beat:g}</text>"
        )
    title = f"Footprints seen from above, the line of march to the right: {len(soles)} soles."
    return drawing(width * scale, height * scale, title, parts)


def _inches(deck: Deck) -> float:
    """Return inches in one of the deck's units."""
    return Length(1.0, deck.unit).to("in")


def _moved_soles(deck: Deck, score: Score) -> list[tuple[float, Print, str]]:
    found: list[tuple[float, Print, str]] = []
    last: dict[str, Print] = {}
    for stand in footprints(deck, score):
        for foot, place in ((LEFT, stand.left), (RIGHT, stand.right)):
            if last.get(foot) != place:
                found.append((stand.beat, place, foot))
                last[foot] = place
    return found


def _shifted(deck: Deck, place: Print, foot: str) -> tuple[float, float]:
    """Return the ball of a sole, set apart from the line of march by half the gauge."""
    dx, dy = heading_vector(place.toes + 90.0)
    by = GAUGE / _inches(deck) / 2 * (1 if foot == RIGHT else -1)
    return place.x + dx * by, place.y + dy * by


def _outline(deck: Deck, place: Print, foot: str) -> list[tuple[float, float]]:
    """Return the corners of a sole: a long octagon whose inner side is straight, so that left and right differ."""
    sole = deck.sole
    x, y = _shifted(deck, place, foot)
    ahead, aside = heading_vector(place.toes), heading_vector(place.toes + 90.0)
    outer = 1 if foot == RIGHT else -1
    half = sole.width / 2
    toe, heel = sole.length - sole.ball, -sole.ball
    shape = (
        (toe, -0.2 * half),
        (toe * 0.7, -half),
        (heel * 0.5, -0.8 * half),
        (heel * 0.9, -0.8 * half),
        (heel, -0.3 * half),
        (heel, 0.4 * half),
        (heel * 0.8, 0.8 * half),
        (heel * 0.35, 0.6 * half),
        (toe * 0.3, half),
        (toe * 0.8, 0.7 * half),
    )
    return [
        (x + ahead[0] * along + aside[0] * out * outer, y + ahead[1] * along + aside[1] * out * outer)
        for along, out in shape
    ]


def curve_svg(series: Sequence[tuple[str, Sequence[Place]]]) -> str:
    """Return chances by day with their bands; the first series is solid, the second dashed."""
    last = max((place.day for _, places in series for place in places), default=1.0) or 1.0
    wide, high = CURVE_WIDTH - LEFT_MARGIN - 12, CURVE_HEIGHT - TOP_MARGIN - BOTTOM_MARGIN

    def x(day: float) -> float:
        return LEFT_MARGIN + wide * day / last

    def y(share: float) -> float:
        return TOP_MARGIN + high * (1 - min(max(share, 0.0), 1.0))

    parts = []
    for quarter in range(5):
        at = y(quarter / 4)
        parts.append(f'<line x1="{LEFT_MARGIN}" x2="{LEFT_MARGIN + wide}" y1="{at:.1f}" y2="{at:.1f}" stroke="#bbb"/>')
        parts.append(
            f'<text x="{LEFT_MARGIN - 6}" y="{at + 3:.1f}" font-size="9" text-anchor="end">{quarter * 25} %</text>'
        )
    parts += [
        f'<text x="{x(day):.1f}" y="{CURVE_HEIGHT - 8}" font-size="9" text-anchor="middle">{day}</text>'
        for day in _days(last)
    ]
    for number, (name, places) in enumerate(series):
        if not places:
            continue
        band = [f"{x(p.day):.1f},{y(p.high):.1f}" for p in places]
        band += [f"{x(p.day):.1f},{y(p.low):.1f}" for p in reversed(places)]
        fill = ("#888", "#ccc")[number % 2]
        parts.append(f'<polygon points="{" ".join(band)}" fill="{fill}" fill-opacity=".35" stroke="none"/>')
        line = " ".join(f"{x(p.day):.1f},{y(p.go):.1f}" for p in places)
        dash = ' stroke-dasharray="5 4"' if number else ""
        parts.append(f'<polyline points="{line}" fill="none" stroke="#111" stroke-width="1.6"{dash}/>')
        end = places[-1]
        parts.append(
            f'<text x="{x(end.day) - 4:.1f}" y="{y(end.go) - 5 + 14 * number:.1f}" font-size="9" text-anchor="end">'
            f"{escape(visible(name))}</text>"
        )
    return drawing(CURVE_WIDTH, CURVE_HEIGHT, "Chance of a GO by days from today.", parts)


def _days(last: float) -> list[int]:
    step = next(step for step in (1, 2, 5, 7, 14, 30, 60, 120, 365, 10**6) if last / step <= 10)
    return list(range(0, int(last) + 1, step))


def drawing(width: float, height: float, title: str, parts: Sequence[str]) -> str:
    """Return a drawing of parts, with its title for who cannot see it."""
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{width:.0f}" height="{height:.0f}" '
        f'viewBox="0 0 {width:.1f} {height:.1f}" font-family="DejaVu Sans, Arial, sans-serif">'
        f"<title>{escape(title)}</title>{''.join(parts)}</svg>"
    )
