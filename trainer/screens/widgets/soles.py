"""Footprints from above: shoe soles in braille dots, the left one solid, the right one an outline.

Forward of the first heading is up. `draw_soles` is a pure function of a score and its stands.
"""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from textual.content import Content
from textual.reactive import reactive
from textual.widget import Widget

from trainer.drill.deck import Deck, Sole
from trainer.drill.footprints import heading_vector
from trainer.drill.movement import LEFT, RIGHT
from trainer.drill.score import Score
from trainer.screens.widgets.braille import DOTS_ACROSS, DOTS_DOWN, Dot, Point, Sheet, edge, fill, rim
from trainer.screens.widgets.ground import Ground, Placed, Tread, lay_ground, shift_along
from trainer.screens.widgets.spans import BRASS, FAINT, LEFT_SOLE, LINE, RIGHT_SOLE, Row, content

FOREPART = (
    (-0.30, 0.37),
    (-0.20, 0.46),
    (-0.42, 0.60),
    (-0.54, 0.74),
    (-0.50, 0.88),
    (-0.30, 0.98),
    (-0.02, 1.0),
    (0.26, 0.95),
    (0.45, 0.83),
    (0.50, 0.68),
    (0.44, 0.52),
    (0.36, 0.37),
)
HEEL = ((-0.38, 0.27), (-0.42, 0.11), (-0.26, 0.0), (0.26, 0.0), (0.42, 0.11), (0.38, 0.27))
"""A right sole, its big toe and waist on the left: x in widths from the middle line, y in lengths from the heel."""

CLOSEST, CLEAR = 22, 15
"""Dots of a sole: the longest that is drawn, and the length at which everything about it is clear."""
AHEAD, ARROW = 0.15, 0.6
"""The heading arrow, in sole lengths: its distance from the foremost toes and its length."""
LEGIBLE, BROADEST = 4.6, 1.4
"""A sole narrower than so many dots is drawn broader, by this factor at most, so that left and right stay unlike."""
MARGIN = 1
"""Dots kept free at the edges."""
FADE_AFTER = 2
"""Earlier prints fade once more when they are older than this, in prints."""
SAME_HEADING = 20.0
"""Degrees; a sole turned by less lies on its earlier print, which is then left out."""
MARCH_EVERY = 4
"""The line of march shows every n-th dot."""


class Camera(NamedTuple):
    """The place in the middle of the picture, and how many dots a unit of length takes."""

    x: float
    y: float
    scale: float


def outline(sole: Sole, foot: str, toes: float, scale: float) -> list[list[Point]]:
    """Return forepart and heel of one sole as polygons in dots from its ball, y down."""
    ahead, right = heading_vector(toes), heading_vector(toes + 90.0)
    width = sole.width * scale
    width *= min(max(LEGIBLE / width, 1.0), BROADEST)
    mirror = 1.0 if foot == RIGHT else -1.0
    shapes = []
    for part in (FOREPART, HEEL):
        shape = []
        for across, forward in part:
            u, v = across * width * mirror, (forward * sole.length - sole.ball) * scale
            shape.append((u * right[0] + v * ahead[0], -(u * right[1] + v * ahead[1])))
        shapes.append(shape)
    return shapes


@lru_cache(maxsize=512)
def sole_dots(sole: Sole, foot: str, toes: float, scale: float) -> tuple[frozenset[Dot], frozenset[Dot]]:
    """Return the dots of one sole from its ball at (0, 0): all of them, and those of its edge."""
    parts = [fill(shape) for shape in outline(sole, foot, toes, scale)]
    return frozenset().union(*parts), frozenset().union(*map(edge, parts))


def _reach(sole: Sole, placed: Placed) -> Iterator[Point]:
    """Yield the corners of the box around a sole."""
    for forward in (-sole.ball, sole.toe):
        for across in (-sole.width / 2, sole.width / 2):
            dx, dy = shift_along(placed.toes, forward)
            ex, ey = shift_along(placed.toes + 90.0, across)
            yield placed.x + dx + ex, placed.y + dy + ey


def _arrow_line(sole: Sole, tread: Tread) -> tuple[Point, Point]:
    """Return where the heading arrow begins and ends: ahead of both soles, on the line of the body."""
    dx, dy = heading_vector(tread.body)
    x, y = (tread.left.x + tread.right.x) / 2, (tread.left.y + tread.right.y) / 2
    corners = [corner for placed in tread.soles for corner in _reach(sole, placed)]
    front = max((cx - x) * dx + (cy - y) * dy for cx, cy in corners) + AHEAD * sole.length
    tip = front + ARROW * sole.length
    return (x + dx * front, y + dy * front), (x + dx * tip, y + dy * tip)


def _window(ground: Ground, index: int) -> list[Point]:
    """Return the places that must be in the picture at one beat."""
    tread = ground.treads[index]
    return [*(c for placed in tread.soles for c in _reach(ground.sole, placed)), *_arrow_line(ground.sole, tread)]


def _fit(points: Sequence[Point], dots: Dot) -> Camera:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    across, down = (max(n - 2 * MARGIN, 1) for n in dots)
    scale = min(across / max(max(xs) - min(xs), 1e-9), down / max(max(ys) - min(ys), 1e-9))
    return Camera((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2, scale)


@lru_cache(maxsize=64)
def aim(ground: Ground, index: int, width: int, height: int, *, whole: bool) -> Camera:
    """Choose the camera: over the movement's own beats, or close over the feet of one beat.

    The scale of the close view is one for the whole movement, so that soles keep their size; only where that
    is too small to be read and the feet are near each other (a T, a close) it comes nearer.
    """
    dots = (width * DOTS_ACROSS, height * DOTS_DOWN)
    longest = CLOSEST / ground.sole.length
    now = ground.treads[index].beat
    first, last = min(0.0, now), max(ground.last_count, now)
    path = [n for n, tread in enumerate(ground.treads) if first <= tread.beat <= last]
    everything = [point for n in path for point in _window(ground, n)]
    all_of_it = _fit(everything, dots)
    if whole:
        return all_of_it._replace(scale=min(all_of_it.scale, longest))
    scale = min([longest, *(_fit(_window(ground, n), dots).scale for n in range(len(ground.treads)))])
    if all_of_it.scale >= scale:
        return all_of_it._replace(scale=scale)
    close = _fit(_window(ground, index), dots)
    return close._replace(scale=max(scale, min(close.scale, CLEAR / ground.sole.length)))


def draw_soles(
    ground: Ground, beat: float, width: int, height: int, *, whole: bool = False, numbered: bool = True
) -> list[Row]:
    """Return the footprints up to a beat as `height` rows of `width` cells.

    Args:
        ground: the score, made ready by `lay_ground`.
        beat: the last beat that is shown; its soles stand, the ones before fade.
        width: cells across.
        height: cells down.
        whole: the whole path of the counts rather than a close view of the last steps.
        numbered: name every print by foot and beat, where there is room.
    """
    sheet = Sheet(width, height)
    index = ground.at(beat)
    view = _View(ground.sole, aim(ground, index, width, height, whole=whole), sheet)
    march = [tread.march for tread in ground.treads[: index + 1]]
    for start, end in pairwise(march):
        sheet.line(view.dot(*start), view.dot(*end), LINE, MARCH_EVERY)
    now = ground.treads[index]
    older = _faded(ground, index)
    for age, placed in older:
        view.tread(placed, FAINT if age < FADE_AFTER else LINE, sparse=True)
    for placed in now.soles:
        view.tread(placed, LEFT_SOLE if placed.foot == LEFT else RIGHT_SOLE, sparse=False)
    view.arrow(*_arrow_line(ground.sole, now))
    if not numbered:
        return sheet.rows()
    for placed in reversed(now.soles):
        view.name(placed, BRASS if placed.beat == now.beat else FAINT)
    for _, placed in reversed(older):
        view.name(placed, FAINT)
    return sheet.rows()


def _faded(ground: Ground, index: int) -> list[tuple[int, Placed]]:
    """Return the earlier prints that are not trodden over, oldest first, with their age in prints."""
    kept = list(ground.treads[index].soles)
    older: list[tuple[int, Placed]] = []
    for tread in reversed(ground.treads[:index]):
        for placed in reversed(tread.soles):
            if all(_apart(placed, one, ground.sole) for one in kept):
                kept.append(placed)
                older.append((len(older), placed))
    return older[::-1]


def _apart(one: Placed, other: Placed, sole: Sole) -> bool:
    """Whether both prints can be read: not one on the other, unless the same foot turned across its own place."""
    middles = []
    for placed in (one, other):
        dx, dy = shift_along(placed.toes, sole.length / 2 - sole.ball)
        middles.append((placed.x + dx, placed.y + dy))
    turned = abs((one.toes - other.toes + 180.0) % 360.0 - 180.0)
    across = SAME_HEADING < turned < 180.0 - SAME_HEADING
    return math.dist(*middles) >= sole.width * 1.5 or (one.foot == other.foot and across)


class _View(NamedTuple):
    """What is drawn on, and from where."""

    sole: Sole
    camera: Camera
    sheet: Sheet

    def dot(self, x: float, y: float) -> Point:
        across, down = self.sheet.dots
        camera = self.camera
        return (across - 1) / 2 + (x - camera.x) * camera.scale, (down - 1) / 2 - (y - camera.y) * camera.scale

    def tread(self, placed: Placed, role: str, *, sparse: bool) -> None:
        """Draw one sole over what was there: left solid, right as an outline; a sparse one has every second dot.

        A dot all round is kept free, so that soles set against each other stay apart to the eye.
        """
        ball_x, ball_y = (round(value) for value in self.dot(placed.x, placed.y))
        inside, border = sole_dots(self.sole, placed.foot, placed.toes, self.camera.scale)
        drawn = inside if placed.foot == LEFT else border
        for x, y in rim(inside):
            self.sheet.clear(ball_x + x, ball_y + y)
        for x, y in drawn:
            if not sparse or (x + y) % 2 == 0:
                self.sheet.set(ball_x + x, ball_y + y, role)

    def arrow(self, start: Point, tip: Point) -> None:
        """Draw the heading of the body."""
        (x0, y0), (x1, y1) = self.dot(*start), self.dot(*tip)
        self.sheet.line((x0, y0), (x1, y1), BRASS)
        length = math.hypot(x1 - x0, y1 - y0)
        if length < 1:
            return
        ahead = ((x1 - x0) / length, (y1 - y0) / length)
        barb = max(length * 0.4, 2.0)
        for side in (-1.0, 1.0):
            back = (x1 - barb * (ahead[0] - side * ahead[1]), y1 - barb * (ahead[1] + side * ahead[0]))
            self.sheet.line((x1, y1), back, BRASS)

    def name(self, placed: Placed, role: str) -> None:
        """Write foot and beat beside a sole where there is room, on its outer side first."""
        text = ("L" if placed.foot == LEFT else "R") + beat_text(placed.beat)
        outward = placed.toes + (90.0 if placed.foot == RIGHT else -90.0)
        middle = shift_along(placed.toes, self.sole.length / 2 - self.sole.ball)
        x, y = self.dot(placed.x + middle[0], placed.y + middle[1])
        if not (0 <= x < self.sheet.dots[0] and 0 <= y < self.sheet.dots[1]):
            return
        for turn in (0.0, 180.0, 90.0, -90.0):
            right, ahead = heading_vector(outward + turn)
            half = (self.sole.width if turn % 180.0 == 0.0 else self.sole.length) / 2 * self.camera.scale
            for gap in (3.0, 5.0):
                column = (x + right * (half + gap)) / DOTS_ACROSS - len(text) * (1.0 - right) / 2
                row = (y - ahead * (half + gap)) / DOTS_DOWN
                if self.sheet.say(round(column), math.floor(row), text, role):
                    return


def beat_text(beat: float) -> str:
    """Return a beat in as few cells as can be: `2`, `-1`, `1½`."""
    whole = math.floor(beat)
    return f"{whole}" if beat == whole else f"{whole or ''}½"


class Soles(Widget):
    """Footprints from above, following the current beat."""

    DEFAULT_CSS = """
    Soles { text-wrap: nowrap; text-overflow: clip; }
    """

    beat: reactive[float] = reactive(0.0)
    """The last beat that is shown."""
    whole: reactive[bool] = reactive(False)
    """Whether the whole path is shown rather than the last steps."""

    def __init__(self, *, id: str | None = None, classes: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id, classes=classes)
        self._ground: Ground | None = None

    def show(self, deck: Deck, score: Score, beat: float) -> None:
        """Show the footprints of a score up to a beat."""
        self._ground = lay_ground(deck, score)
        self.beat = beat
        self.refresh()

    def render(self) -> Content:
        """Draw the footprints."""
        width, height = self.content_size
        if self._ground is None or not width or not height:
            return Content("")
        return content(draw_soles(self._ground, self.beat, width, height, whole=self.whole))
