"""Published figures of people who tap along with a beat, as a scale beside the candidate's own.

They tapped with a finger to a sound, hundreds of times; the candidate strikes a few words of a command. So the scale
says what a hand can do, and not what a test asks for.
"""

from typing import NamedTuple

SOURCE = "Baath and Madison 2012, tapping with a beat"
MINUTE_MS = 60_000.0


class Published(NamedTuple):
    """Figures for one group at one beat; milliseconds, `mean` negative where taps come before the beat."""

    group: str
    period_ms: float
    people: int | None
    spread: float
    mean: float | None = None

    @property
    def cadence(self) -> float:
        """Beats a minute."""
        return MINUTE_MS / self.period_ms


FIGURES = (
    Published("all", 600.0, 30, 34.0, -40.0),
    Published("all", 500.0, 34, 31.0, -56.0),
    Published("little training", 500.0, None, 39.0),
    Published("much training", 500.0, None, 28.0),
)


def beside(cadence: float) -> tuple[Published, ...]:
    """Return the figures for the beat nearest to a cadence: of all people, and of groups where there are any."""
    period = MINUTE_MS / cadence
    nearest = min((one.period_ms for one in FIGURES), key=lambda one: abs(one - period))
    return tuple(one for one in FIGURES if one.period_ms == nearest)


def beside_words(spread: float, cadence: float) -> str:
    """Return a spread in ms beside the published ones, as one sentence."""
    figures = beside(cadence)
    told = ", ".join(f"{one.spread:.0f} ms ({one.group})" for one in figures)
    at = figures[0].cadence
    return f"Your spread is {spread:.0f} ms; people who tapped at {at:.0f} a minute had {told}: {SOURCE}."
