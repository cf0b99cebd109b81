"""What is known of the terminal at hand: how late its keys come, whether they come from afar, how beats are shown."""

import json
from collections.abc import Mapping
from typing import NamedTuple

from trainer.coach.here import here, keep_here
from trainer.paths import Home
from trainer.rhythm.calibration import Calibration, kept, remote_link, terminal_name

MOTION, SOUND = "motion", "sound"
WORDS, MOVING, ON, OFF = "words", "moving", "on", "off"
"""Values of the two settings: a changing word in the place of movement; whether the beat is heard."""


SURE = 3.0
"""Spreads of a tap that must fit into half a beat, so that a word is hardly ever taken for the beat beside its own: of
a normal distribution 3 in 1,000 lie farther off."""


class Terminal(NamedTuple):
    """The terminal at hand.

    `remote` is a sentence where keys come over a link whose delay varies, so that timing cannot be told; `calibration`
    is None where there was none on this terminal. `still` lets words change in the place of movement; `sound` lets
    the beat be heard.
    """

    name: str
    remote: str | None = None
    calibration: Calibration | None = None
    still: bool = False
    sound: bool = False

    @property
    def delay(self) -> float | None:
        """By how many seconds strikes come late; None if it is not known."""
        return self.calibration.delay if self.calibration and not self.remote else None


def terminal_here(home: Home, environment: Mapping[str, str], web: bool = False) -> Terminal:
    """Return what is kept of the terminal that an environment describes.

    Args:
        home: where everything is kept.
        environment: the program's environment variables.
        web: whether the program is shown in a browser.
    """
    name, notes = terminal_name(environment), here(home)
    try:
        data = json.loads(notes.get(_calibration(name), "null"))
    except ValueError:
        data = None
    return Terminal(name, remote_link(environment, web), kept(data), notes.get(MOTION) == WORDS, notes.get(SOUND) == ON)


def why_not_called(terminal: Terminal, cadence: float) -> str | None:
    """Return why words cannot be told by the beat that they fall on here, a sentence; None where they can.

    Args:
        terminal: the terminal at hand.
        cadence: the quickest cadence at which anything is called, in beats a minute.
    """
    if terminal.remote:
        return "The keys come over a link whose delay varies, so no word can be told by its beat."
    found, half = terminal.calibration, 30.0 / cadence
    if found is None:
        return "It is not known how late keys come on this terminal: nobody has tapped along with a beat here."
    if abs(found.delay) > half:
        late = "after" if found.delay > 0 else "before"
        told = f"Keys come {abs(found.delay) * 1000:.0f} ms {late} the beat here"
        return f"{told}, more than half a beat at {cadence:g} a minute."
    if SURE * found.spread_us / 1e6 > half:
        told = f"Taps spread by {found.spread_us / 1000:.0f} ms here"
        return f"{told}, so at {cadence:g} beats a minute a word could fall to the next foot by chance."
    return None


def keep_calibration(home: Home, terminal: Terminal, found: Calibration) -> None:
    """Keep a calibration for a terminal and for no other."""
    keep_here(home, _calibration(terminal.name), json.dumps(found.plain))


def keep_motion(home: Home, still: bool) -> None:
    """Keep on this laptop whether words change in the place of movement."""
    keep_here(home, MOTION, WORDS if still else MOVING)


def keep_sound(home: Home, on: bool) -> None:
    """Keep on this laptop whether the beat is heard."""
    keep_here(home, SOUND, ON if on else OFF)


def _calibration(name: str) -> str:
    return f"calibration {name}"
