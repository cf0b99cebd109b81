"""A small figure from its right side, facing right: legs as the soles stand, arms as the score has them.

The left leg and arm are solid, the right ones dotted, so that they are told apart without colour.
"""

import math
from typing import NamedTuple

from trainer.drill.footprints import heading_vector
from trainer.drill.movement import LEFT, RIGHT, other_foot
from trainer.drill.score import Beat
from trainer.plain import visible
from trainer.screens.widgets.braille import DOTS_ACROSS, DOTS_DOWN, Point, Sheet
from trainer.screens.widgets.glyphs import arrow
from trainer.screens.widgets.ground import Tread
from trainer.screens.widgets.spans import FAINT, INK, LEFT_SOLE, RIGHT_SOLE, Row, Span

ACROSS, DOWN = 12, 7
"""Cells of the figure."""
HEAD, NECK, HIP = 0.10, 0.22, 0.58
"""The middle of the head, the shoulders and the hips, in heights from the top."""
ARM, REACH = 0.34, 22.0
"""The length of an arm in heights; degrees by which a swinging arm leaves the seam."""
FOOT = 3
"""Dots of a foot from heel to toe."""
WAIST = 2
"""Dots from the middle of the body to its front and back; an arm on the seam lies between them."""
LIFT = 3
"""Dots by which a foot is off the ground while it passes the other one."""
SPREAD = 0.42
"""The distance of the feet in a full step, in heights."""
DOTTED = 2
ROLES = {LEFT: LEFT_SOLE, RIGHT: RIGHT_SOLE}


class Pose(NamedTuple):
    """The figure on a beat, or between that one and the next, while one foot passes the other."""

    tread: Tread
    beat: Beat
    passing: str | None = None


def ahead(tread: Tread) -> dict[str, float]:
    """Return how far each foot stands before the middle of both, along the body's heading, in the deck's unit."""
    dx, dy = heading_vector(tread.body)
    place = {sole.foot: sole.x * dx + sole.y * dy for sole in tread.soles}
    middle = sum(place.values()) / 2
    return {foot: at - middle for foot, at in place.items()}


def draw_figure(pose: Pose, full: float, width: int = ACROSS, height: int = DOWN) -> list[Row]:
    """Return the figure as `height` rows of `width` cells.

    Args:
        pose: what is shown.
        full: the full step in the deck's unit.
        width: cells across.
        height: cells down.
    """
    sheet = Sheet(width, height)
    x, tall = width * DOTS_ACROSS // 2 - 1, height * DOTS_DOWN - 1
    radius = HEAD * tall
    for degrees in range(0, 360, 15):
        across, up = heading_vector(float(degrees))
        sheet.set(round(x + across * radius), round(radius + up * radius), INK)
    neck, hip = (x, NECK * tall), (x, HIP * tall)
    for side in (-WAIST, WAIST):
        sheet.line((x + side, neck[1]), (x + side, hip[1]), INK)
    offsets = ahead(pose.tread)
    for foot in (RIGHT, LEFT):
        every = 1 if foot == LEFT else DOTTED
        at = 0.0 if pose.passing else offsets[foot] / full * SPREAD * tall
        ground = tall - (LIFT if pose.passing == foot else 0)
        ankle = (x + at, ground)
        sheet.line(hip, ankle, ROLES[foot], every)
        sheet.line(ankle, (ankle[0] + FOOT, ground), ROLES[foot])
        sheet.line(neck, _hand(pose, foot, neck, ARM * tall), ROLES[foot], every)
    return sheet.rows()


def _hand(pose: Pose, side: str, shoulder: Point, length: float) -> Point:
    """Return where a hand is: on the seam, or before or behind it as the arm swings against its leg."""
    arm = pose.beat.left_arm if side == LEFT else pose.beat.right_arm
    struck = pose.tread.soles[-1].foot
    if arm != "swing" or pose.passing:
        return shoulder[0], shoulder[1] + length
    angle = math.radians(REACH if side == other_foot(struck) else -REACH)
    return shoulder[0] + math.sin(angle) * length, shoulder[1] + math.cos(angle) * length


def pose_words(pose: Pose) -> list[Row]:
    """Return arms, sword, the manner of a footfall and the heading in words, a row each."""
    beat = pose.beat
    arms = [f"arms {visible(beat.left_arm)}"]
    if beat.left_arm != beat.right_arm:
        arms = [f"left arm {visible(beat.left_arm)}", f"right arm {visible(beat.right_arm)}"]
    if beat.sword:
        arms.append(f"sword {visible(beat.sword)}")
    for act in beat.acts:
        if act.contact:
            arms.append(f"{act.foot} foot {visible(act.contact)}")
        if act.lift and act.lift.value:
            arms.append(f"{act.foot} foot up {act.lift.value:g} {act.lift.unit}")
    return [*((Span(text, INK),) for text in arms), (Span("faces ", FAINT), Span(arrow(pose.tread.body), INK))]
