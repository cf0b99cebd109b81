"""Tapping along with the beat: how late strikes come on this terminal, kept for it and for no other.

What is measured is the person and the machine together: people tap a few hundredths of a second before a beat, and
screen and keyboard add a delay. The two cannot be told apart, so a mean that is shown later is one against this one.
"""

from collections.abc import Mapping, Sequence
from statistics import median, stdev
from typing import NamedTuple

from trainer.rhythm.grid import Grid
from trainer.rhythm.timing import MS, Strike, on_beats, presses

TAPS = 20
"""Taps that a calibration asks for."""
FEWEST = 16
"""Taps that it needs, each on a beat of its own."""
SETTLING = 4
"""First taps that are left out: people need a few to fall in with a beat. Common practice, no source."""
WIDEST_MS = 75.0
"""Spread beyond which a calibration is refused: about twice that of people with little training."""
FARTHEST = 0.4
"""Part of a beat beyond which the median may as well belong to the beat beside it."""


class Calibration(NamedTuple):
    """How late strikes come on a terminal: the median and the standard deviation in microseconds, over so many taps."""

    delay_us: int
    spread_us: int
    taps: int

    @property
    def delay(self) -> float:
        """The median in seconds."""
        return self.delay_us / 1e6

    @property
    def plain(self) -> dict[str, int]:
        """The same as plain data, to be kept."""
        return dict(self._asdict())


def calibrate(grid: Grid, strikes: Sequence[Strike]) -> Calibration | str:
    """Return what taps along with a beat say of a terminal, or a sentence that says why they say nothing.

    The first taps are left out; of two on one beat the nearer one counts.
    """
    late = [by for _, by in on_beats(grid, presses(strikes)[SETTLING:])]
    if len(late) < FEWEST - SETTLING:
        return (
            f"There were {len(late)} taps on different beats after the first {SETTLING}, and {FEWEST - SETTLING} are "
            "needed. Tap once on every beat, to the end."
        )
    spread = stdev(late) * MS
    if spread > WIDEST_MS:
        return (
            f"The taps are spread too widely to tell: {spread:.0f} ms, and at most {WIDEST_MS:.0f} are of use. Listen "
            "or look for a few beats first, then tap along again."
        )
    middle = median(late)
    if abs(middle) > FARTHEST * 60.0 / grid.cadence:
        return (
            f"The taps come {abs(middle) * MS:.0f} ms {'after' if middle > 0 else 'before'} the beat, nearly between "
            "two beats, so it is open which one they belong to. Tap on the beat itself."
        )
    return Calibration(round(middle * 1e6), round(spread * MS), len(late))


def kept(data: object) -> Calibration | None:
    """Read a calibration from plain data; None if it is none."""
    if not isinstance(data, Mapping):
        return None
    values = [data.get(name) for name in Calibration._fields]
    if not all(type(value) is int for value in values):
        return None
    found = Calibration(*(int(str(value)) for value in values))
    whole = abs(found.delay_us) <= 2_000_000 and 0 <= found.spread_us <= WIDEST_MS * MS and found.taps > 0
    return found if whole else None


def terminal_name(environment: Mapping[str, str]) -> str:
    """Return the name under which a terminal's calibration is kept: its kind, its program, what sits between.

    Args:
        environment: the program's environment variables.
    """
    between = "tmux" if environment.get("TMUX") else "screen" if environment.get("STY") else "direct"
    parts = (environment.get("TERM") or "unknown", environment.get("TERM_PROGRAM") or "unknown", between)
    return "/".join(_short(part) for part in parts)


def remote_link(environment: Mapping[str, str], web: bool = False) -> str | None:
    """Return a sentence if keys come over a link whose delay varies, so that only the foot can be scored, else None.

    Args:
        environment: the program's environment variables.
        web: whether the program is shown in a browser.
    """
    if web:
        return "In a browser the delay of the keys varies, so only the foot of each word is scored."
    if any(environment.get(name) for name in ("SSH_CONNECTION", "SSH_CLIENT", "SSH_TTY", "MOSH_IP")):
        return "Over a remote link the delay of the keys varies, so only the foot of each word is scored."
    return None


def _short(text: str) -> str:
    return "".join(sign if sign.isalnum() or sign in "-._" else "_" for sign in text)[:60]
