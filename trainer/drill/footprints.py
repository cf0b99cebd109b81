"""Score to footprints: where each sole stands and where the body looks, seen from above.

x runs to the right and y forward of the first heading; headings are degrees clockwise from it. The gauge
(the space between the feet) is left out: it is for drawing and never shifts the line of march.
"""

import math
from typing import NamedTuple

from trainer.drill.deck import Deck, Sole
from trainer.drill.movement import (
    BACK,
    BALL_TO_HEEL,
    BOTH,
    CLOSE,
    IN_PLACE,
    LEFT,
    PIVOT,
    RIGHT,
    SIDE,
    STAYS,
    STEP,
    TEE,
    TOE_TO_HEEL,
    other_foot,
)
from trainer.drill.score import Beat, FootAct, Score


class Print(NamedTuple):
    """One sole: the place of its ball (deck's unit) and the heading of its toes (degrees, 0 to 360)."""

    x: float
    y: float
    toes: float


class Stand(NamedTuple):
    """Both feet and the body after one beat."""

    beat: float
    left: Print
    right: Print
    body: float

    def foot(self, foot: str) -> Print:
        """Return one of the two soles."""
        return self.left if foot == LEFT else self.right


class Totals(NamedTuple):
    """What falls out of a movement.

    `beats` run from beat 0 to the last count; `turn` is the body's whole turn, degrees clockwise; `x` and
    `y` are where the ball of the last count's foot is, seen from the ball of the foot that struck at beat 0
    (from where the balls stood, if called at the halt).
    """

    beats: float
    turn: float
    x: float
    y: float
    ends: str
    leads_next: str | None


_AXES = {0.0: (0.0, 1.0), 90.0: (1.0, 0.0), 180.0: (0.0, -1.0), 270.0: (-1.0, 0.0)}


def heading_vector(heading: float) -> tuple[float, float]:
    """Return the unit vector of a heading; quarter turns are exact."""
    heading %= 360.0
    if heading in _AXES:
        return _AXES[heading]
    angle = math.radians(heading)
    return math.sin(angle), math.cos(angle)


def moved(x: float, y: float, heading: float, by: float) -> tuple[float, float]:
    """Return a place moved by a length along a heading."""
    dx, dy = heading_vector(heading)
    return x + by * dx, y + by * dy


def footprints(deck: Deck, score: Score) -> tuple[Stand, ...]:
    """Return where both feet stand after every beat of a score.

    The origin lies under the left foot's ball at the first beat of the score.
    """
    walker = _Walker(deck.sole, score)
    stands = [walker.take(beat) for beat in score.beats]
    origin = stands[0].left
    return tuple(_shifted(stand, -origin.x, -origin.y) for stand in stands)


def totals(score: Score, stands: tuple[Stand, ...]) -> Totals:
    """Return what falls out of a movement: turn, ground covered, closing stance, leading foot."""
    by_beat = {stand.beat: stand for stand in stands}
    start = by_beat[0.0].foot(score.at_zero or LEFT)
    foot = score.at_zero or LEFT
    for beat in score.beats:
        if 0 < beat.beat <= score.last_count and beat.strikes:
            foot = beat.strikes if beat.strikes != BOTH else foot
    end = by_beat[max(score.last_count, 0.0)].foot(foot)
    turn = sum(beat.turn for beat in score.beats)
    return Totals(score.last_count, turn, end.x - start.x, end.y - start.y, score.to, score.leads_next)


def _shifted(stand: Stand, dx: float, dy: float) -> Stand:
    left = Print(stand.left.x + dx, stand.left.y + dy, stand.left.toes)
    right = Print(stand.right.x + dx, stand.right.y + dy, stand.right.toes)
    return Stand(stand.beat, left, right, stand.body)


class _Walker:
    """Both soles and the body, moved beat by beat."""

    def __init__(self, sole: Sole, score: Score) -> None:
        self.sole, self.score = sole, score
        self.body = 0.0
        self.feet = {LEFT: Print(0.0, 0.0, 0.0), RIGHT: Print(0.0, 0.0, 0.0)}

    def take(self, beat: Beat) -> Stand:
        """Move by one beat and return where everything stands after it."""
        before = self.body
        self.body = (self.body + beat.turn) % 360.0
        if beat.turn:
            self._pivot_standing_foot(beat)
        for act in beat.acts:
            for foot in (LEFT, RIGHT) if act.foot == BOTH else (act.foot,):
                self.feet[foot] = self._placed(act, foot, before, beat)
        return Stand(beat.beat, self.feet[LEFT], self.feet[RIGHT], self.body)

    def _pivot_standing_foot(self, beat: Beat) -> None:
        """Turn the sole that bears the weight on its ball; one that another is set against stays across."""
        moving = {act.foot for act in beat.acts}
        if BOTH in moving or any(act.place == TEE for act in beat.acts):
            return
        for foot in {LEFT, RIGHT} - moving:
            self.feet[foot] = self.feet[foot]._replace(toes=self.body)

    def _placed(self, act: FootAct, foot: str, before: float, beat: Beat) -> Print:
        own, other = self.feet[foot], self.feet[other_foot(foot)]
        toes = self.body if act.toes is None else (before + act.toes) % 360.0
        if act.place == STAYS:
            return own if act.toes is None else own._replace(toes=toes)
        if act.place == PIVOT:
            return own._replace(toes=toes)
        if act.place == TEE:
            return self._tee(act, foot, other, toes, beat)
        if act.place == IN_PLACE and not act.steady:
            return own._replace(toes=toes)
        return Print(*self._ball(act, foot, own, other, toes), toes)

    def _ball(self, act: FootAct, foot: str, own: Print, other: Print, toes: float) -> tuple[float, float]:
        if act.place == STEP:
            return moved(other.x, other.y, self.body, act.length)
        if act.place == BACK:
            return moved(other.x, other.y, self.body, -act.length)
        if act.place == SIDE:
            outward = self.body + (90.0 if foot == RIGHT else -90.0)
            return moved(other.x, other.y, outward, act.length)
        if act.place in (TOE_TO_HEEL, BALL_TO_HEEL):
            heel = moved(other.x, other.y, other.toes, -self.sole.ball)
            return heel if act.place == BALL_TO_HEEL else moved(*heel, toes, -self.sole.toe)
        if act.place == IN_PLACE:
            dx, dy = heading_vector(self.body)
            ahead = (other.x - own.x) * dx + (other.y - own.y) * dy
            return moved(own.x, own.y, self.body, ahead)
        if act.place == CLOSE:
            return other.x, other.y
        raise ValueError(f"no footfall is known by the place {act.place!r}")

    def _tee(self, act: FootAct, foot: str, other: Print, toes: float, beat: Beat) -> Print:
        centre = moved(other.x, other.y, other.toes, self.sole.length / 2 - self.sole.ball)
        if act.against == "heel":
            heel = moved(*centre, toes, self.sole.width / 2)
            return Print(*moved(*heel, toes, self.sole.ball), toes)
        if act.toes is None:
            toes = (other.toes + self._across(foot, beat)) % 360.0
        toe = moved(other.x, other.y, other.toes, self.sole.toe)
        middle = moved(*toe, other.toes, self.sole.width / 2)
        return Print(*moved(*middle, toes, self.sole.ball - self.sole.length / 2), toes)

    def _across(self, foot: str, beat: Beat) -> float:
        """Towards the coming turn; inwards if none comes."""
        for later in self.score.beats:
            if later.beat > beat.beat and later.turn:
                return 90.0 if later.turn > 0 else -90.0
        return 90.0 if foot == LEFT else -90.0
