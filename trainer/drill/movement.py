"""Movement, Word, Count, Cue, Fault, Stance: what a deck says of one movement.

Time is counted in beats; one beat is one footfall; beat 0 is the word of execution (or the first cue).
Turns are degrees clockwise, so a turn to the right is positive.
"""

from typing import NamedTuple

from trainer.drill.length import Length, parse_number

LEFT, RIGHT, BOTH = "left", "right", "both"
SAME, OTHER = "same", "other"
STEP, BACK, SIDE, IN_PLACE, CLOSE = "step", "back", "side", "in place", "close"
TEE, TOE_TO_HEEL, BALL_TO_HEEL, PIVOT, STAYS = "T", "toe to heel", "ball to heel", "pivot", "stays"
STRIKING_PLACES = (STEP, BACK, SIDE, IN_PLACE, CLOSE, TEE, TOE_TO_HEEL, BALL_TO_HEEL)
"""Places at which a foot comes down; in a pivot the soles turn where they are."""
AGAINST = ("toe", "heel")
HALF, FULL = "half", "full"


def other_foot(foot: str) -> str:
    """Return right for left and left for right."""
    return RIGHT if foot == LEFT else LEFT


def parse_turn(text: str) -> float:
    """Read a turn such as `90 right` or `none` into degrees clockwise.

    Raises:
        ValueError: with a sentence for the author.
    """
    parts = text.split()
    if parts == ["none"]:
        return 0.0
    try:
        degrees, side = parse_number(parts[0]), parts[1]
        if len(parts) == 2 and side in (LEFT, RIGHT) and 0 < degrees <= 360:
            return degrees if side == RIGHT else -degrees
    except (ValueError, IndexError):
        pass
    raise ValueError(f'a turn is written "90 right", "45 left" or "none", not "{text}"')


def turn_words(degrees: float) -> str:
    """Return a turn as an author would write it."""
    if not degrees:
        return "none"
    return f"{abs(degrees):g} {RIGHT if degrees > 0 else LEFT}"


class Word(NamedTuple):
    """One word of a command, on its beat; `speaker` is None where the candidate says it."""

    say: str
    beat: float
    executes: bool = False
    speaker: str | None = None
    foot: str | None = None


class Cue(NamedTuple):
    """A sound that starts or paces a movement, such as a drum beat."""

    beat: float
    sound: str
    foot: str | None = None


class Count(NamedTuple):
    """What the body does on one beat.

    `length` is `full`, `half` or a Length; `turn` and `toes` are degrees clockwise. A count without a
    foot takes the foot that the beat gives it; one without a place lets the feet go on as in the
    stance before and changes only what it names (arms, sword, cadence).
    """

    beat: float
    foot: str | None = None
    place: str | None = None
    length: str | Length | None = None
    against: str | None = None
    contact: str | None = None
    lift: Length | None = None
    turn: float = 0.0
    toes: float | None = None
    left_arm: str | None = None
    right_arm: str | None = None
    sword: str | None = None
    cadence: float | None = None
    tell: str = ""


class Change(NamedTuple):
    """One way in which a fault departs from the movement.

    `target` is `count`, `word`, `cue`, `stance` or `tempo`; `number` counts from 1 and is None for
    every row of its target. `fields` are new values by field name. `later` shifts the row and all
    after it. `tempo` is a factor.
    """

    target: str
    number: int | None = None
    fields: tuple[tuple[str, object], ...] = ()
    drop: bool = False
    later: float = 0.0
    tempo: float = 1.0


class Fault(NamedTuple):
    """A common error; without `shows` only `seen_by` can see or hear it."""

    id: str
    tell: str
    shows: tuple[Change, ...] = ()
    seen_by: str | None = None


class Stance(NamedTuple):
    """What the body does on every beat until the next command; without step, lift or cycle it stands."""

    name: str
    cadence: tuple[float, float] | None = None
    step: Length | None = None
    place: str | None = None
    length: str | Length | None = None
    contact: str | None = None
    lift: Length | None = None
    left_arm: str | None = None
    right_arm: str | None = None
    sword: str | None = None
    cycle: tuple[Count, ...] = ()

    @property
    def moves(self) -> bool:
        """Whether feet strike in this stance."""
        return bool(self.cadence or self.step or self.lift or self.cycle or self.place not in (None, STAYS))

    @property
    def steady_place(self) -> str:
        """The place of every footfall of a stance without a cycle."""
        return self.place or (STEP if self.step else IN_PLACE)

    @property
    def places(self) -> frozenset[str]:
        """The places of its footfalls."""
        return frozenset(row.place or STAYS for row in self.cycle) or frozenset((self.steady_place,))

    @property
    def together(self) -> int | None:
        """The row of the cycle that brings the heels together, or None."""
        return next((n for n, row in enumerate(self.cycle) if row.place == CLOSE), None)

    @property
    def middle_cadence(self) -> float | None:
        """Beats a minute, the middle of the range that the standard allows."""
        return (self.cadence[0] + self.cadence[1]) / 2 if self.cadence else None


class Movement(NamedTuple):
    """One movement of the standard; `turn` is the whole turn in degrees clockwise, None if not stated."""

    id: str
    name: str
    from_stances: tuple[str, ...]
    to: str
    called_on: str
    counts: tuple[Count, ...]
    words: tuple[Word, ...] = ()
    cues: tuple[Cue, ...] = ()
    cued_by: str | None = None
    turn: float | None = None
    faults: tuple[Fault, ...] = ()
    source: str = ""
    unconfirmed: str = ""

    @property
    def call(self) -> tuple[Word, ...]:
        """The words that the candidate says himself."""
        return tuple(word for word in self.words if word.speaker is None)

    @property
    def command(self) -> str:
        """The candidate's words in order, as one line."""
        return " ".join(word.say for word in self.call)

    def fault(self, fault_id: str) -> Fault | None:
        """Return the fault with this id, or None."""
        return next((fault for fault in self.faults if fault.id == fault_id), None)
