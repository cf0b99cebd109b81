"""Movement to Score: what voice, feet, arms, sword and body do, beat by beat."""

import math
from typing import NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import Anchor, Footfall, cycle_row, foot_at_zero, settle_feet
from trainer.drill.length import Length
from trainer.drill.movement import (
    BACK,
    BOTH,
    HALF,
    LEFT,
    PIVOT,
    RIGHT,
    SIDE,
    STAYS,
    STEP,
    Count,
    Cue,
    Movement,
    Stance,
    Word,
    other_foot,
)

USUAL_CADENCE = 120.0
"""Steps a minute where no stance of a movement states a cadence: TC 3-21.5, 2012, 4-5."""
SHORT_GAIT = 0.75
"""A gait up to three quarters of the full step is a short step (15 of 30 in; 55 of 75 cm), not a full one."""


class FootAct(NamedTuple):
    """What one foot (or both) does on one beat; `length` is in the deck's unit.

    `steady` marks a footfall of a stance: there, in place means beside the other foot.
    """

    foot: str
    place: str
    length: float = 0.0
    against: str | None = None
    contact: str | None = None
    lift: Length | None = None
    toes: float | None = None
    steady: bool = False


class Beat(NamedTuple):
    """One beat: what happens on it and the state of the arms and the sword after it.

    `acts` are in the order in which they happen, after `turn` (degrees clockwise, of the body). `counts`
    are the numbers of the movement's counts on this beat, from 1; none in a steady stance.
    """

    beat: float
    said: tuple[Word, ...] = ()
    cues: tuple[str, ...] = ()
    acts: tuple[FootAct, ...] = ()
    turn: float = 0.0
    left_arm: str = "still"
    right_arm: str = "still"
    sword: str | None = None
    cadence: float = USUAL_CADENCE
    counts: tuple[int, ...] = ()

    @property
    def strikes(self) -> str | None:
        """The foot that comes down on this beat: left, right, both or None."""
        feet = {act.foot for act in self.acts if act.place not in (PIVOT, STAYS)}
        if len(feet) > 1:
            return BOTH
        return feet.pop() if feet else None

    @property
    def place(self) -> str | None:
        """The place of the footfall, else of whatever the feet do."""
        places = [act.place for act in self.acts]
        striking = [place for place in places if place not in (PIVOT, STAYS)]
        return next(iter(striking or places), None)


class Score(NamedTuple):
    """One performance, from a steady stance before the first word to the steady stance after."""

    movement: str
    from_stance: str
    to: str
    at_zero: str | None
    beats: tuple[Beat, ...]
    falls: tuple[Footfall, ...]
    leads_next: str | None

    def at(self, beat: float) -> Beat:
        """Return the beat of that number.

        Raises:
            KeyError: if the score has none.
        """
        for entry in self.beats:
            if entry.beat == beat:
                return entry
        raise KeyError(beat)

    @property
    def last_count(self) -> float:
        """The beat of the last count."""
        return max((fall.row.beat for fall in self.falls), default=0.0)


class Performance(NamedTuple):
    """A movement as somebody performs it: right, or with a fault applied.

    `silent` are beats on which a dropped count leaves nothing. `tempo` is a factor of the cadence.
    """

    words: tuple[Word, ...]
    cues: tuple[Cue, ...]
    falls: tuple[Footfall, ...]
    before: Stance
    after: Stance
    silent: frozenset[float] = frozenset()
    tempo: float = 1.0


class Gait(NamedTuple):
    """The lengths of a movement's footfalls, in the deck's unit."""

    forward: float
    back: float
    side: float

    def length(self, place: str | None, written: str | Length | None, unit: str) -> float:
        """Return the length of one footfall."""
        full = {BACK: self.back, SIDE: self.side}.get(place or STEP, self.forward)
        if isinstance(written, Length):
            return written.to(unit)
        return full / 2 if written == HALF else full


def full_step(deck: Deck) -> float:
    """Return the deck's full step: of the stance `marching`, else of the first that steps, else 30 in."""
    forward = [s for s in deck.stances if s.step and not s.cycle and s.steady_place == STEP]
    for stance in sorted(forward, key=lambda s: s.name != "marching"):
        if stance.step:
            return stance.step.to(deck.unit)
    return Length(30.0, "in").to(deck.unit)


def gait(deck: Deck, before: Stance, after: Stance) -> Gait:
    """Return what full means in a movement between two stances.

    A full step forward is that of the stance it is called from, else of the one it leads to; a stance of
    short steps does not make its step a full one.
    """
    usual = full_step(deck)

    def step_of(stance: Stance, place: str) -> float | None:
        if stance.step is None:
            return None
        places = {row.place for row in stance.cycle} or {stance.steady_place}
        return stance.step.to(deck.unit) if place in places else None

    def first(place: str, stances: tuple[Stance, ...]) -> float:
        return next((step for s in stances if (step := step_of(s, place)) is not None), usual)

    forward = (step for s in (before, after) if (step := step_of(s, STEP)) is not None)
    return Gait(
        next((step for step in forward if step > SHORT_GAIT * usual), usual),
        first(BACK, (before, after, *deck.stances)),
        first(SIDE, (before, after, *deck.stances)),
    )


def right_performance(deck: Deck, movement: Movement, from_stance: str, at_zero: str | None) -> Performance:
    """Return the movement performed as the standard has it."""
    falls = tuple(settle_feet(movement, at_zero))
    return Performance(movement.words, movement.cues, falls, deck.stance(from_stance), deck.stance(movement.to))


def score(deck: Deck, movement: Movement, from_stance: str | None = None, foot: str = LEFT) -> Score:
    """Unroll a movement into beats.

    Args:
        deck: the deck that the movement belongs to.
        movement: the movement.
        from_stance: the stance it starts from; its first one if None.
        foot: the foot of beat 0 where either may have it.

    Raises:
        KeyError: if the movement does not start from that stance.
    """
    name = from_stance or movement.from_stances[0]
    if name not in movement.from_stances:
        raise KeyError(name)
    at_zero = foot_at_zero(movement, deck.stance(name), foot)
    return unroll(deck, movement, right_performance(deck, movement, name, at_zero), at_zero)


def unroll(
    deck: Deck,
    movement: Movement,
    done: Performance,
    at_zero: str | None,
    until: float = 0.0,
    since: float = 0.0,
) -> Score:
    """Unroll a performance, right or flawed, into beats; it begins by `since` and goes on at least to `until`."""
    return _Unroller(deck, movement, done, at_zero).run(since, until)


class _Unroller:
    """The state that goes from beat to beat: arms, sword, cadence, the foot that leads."""

    def __init__(self, deck: Deck, movement: Movement, done: Performance, at_zero: str | None) -> None:
        self.deck, self.movement, self.done, self.at_zero = deck, movement, done, at_zero
        # A fault in the stance after must not lengthen the counts before it.
        self.gait = gait(deck, deck.stance(done.before.name), deck.stance(done.after.name))
        self.left_arm = self.right_arm = "still"
        self.sword: str | None = None
        self.cadence = next((c for s in (done.before, done.after) if (c := s.middle_cadence)), USUAL_CADENCE)
        self._take(done.before)
        self.rows: dict[float, list[tuple[int, Footfall]]] = {}
        for number, fall in enumerate(done.falls, 1):
            self.rows.setdefault(fall.row.beat, []).append((number, fall))
        self.anchor = Anchor(0, at_zero) if at_zero in (LEFT, RIGHT) else None
        self.last_foot = at_zero

    def run(self, since: float, until: float) -> Score:
        """Return the whole score."""
        spoken = [word.beat for word in self.done.words] + [cue.beat for cue in self.done.cues]
        last_count = max([*self.rows, *self.done.silent, 0.0])
        start = math.floor(min([*spoken, since + 1, 0.0])) - 1
        settled = math.floor(last_count) + 1
        end = max([settled, math.ceil(until), *(math.ceil(beat) for beat in spoken)])
        times = sorted({float(b) for b in range(start, end + 1)} | set(self.rows) | set(spoken))
        leads: str | None = None
        beats = []
        for time in times:
            if time == settled:
                self._take(self.done.after)
                leads = other_foot(self.last_foot) if self.last_foot in (LEFT, RIGHT) else None
                self.anchor = Anchor(settled, leads) if leads else None
            beats.append(self._beat(time, settled))
        return Score(
            self.movement.id,
            self.done.before.name,
            self.done.after.name,
            self.at_zero,
            tuple(beats),
            self.done.falls,
            leads,
        )

    def _take(self, stance: Stance) -> None:
        self.left_arm = stance.left_arm or self.left_arm
        self.right_arm = stance.right_arm or self.right_arm
        self.sword = stance.sword or self.sword
        self.cadence = stance.middle_cadence or self.cadence

    def _beat(self, time: float, settled: int) -> Beat:
        acts: list[FootAct] = []
        turn = 0.0
        numbers = []
        for number, fall in self.rows.get(time, []):
            count = fall.row
            numbers.append(number)
            turn += count.turn
            acts += self._count_acts(fall, time)
            self.left_arm = count.left_arm or self.left_arm
            self.right_arm = count.right_arm or self.right_arm
            self.sword = count.sword or self.sword
            self.cadence = count.cadence or self.cadence
        if time not in self.rows and time == math.floor(time):
            acts += self._steady_acts(int(time), settled)
        for act in acts:
            if act.place not in (PIVOT, STAYS) and act.foot in (LEFT, RIGHT):
                self.last_foot = act.foot
                if time != math.floor(time):
                    self.anchor = Anchor(math.ceil(time), other_foot(act.foot))
                elif self.anchor is None:
                    self.anchor = Anchor(int(time), act.foot)
        return Beat(
            time,
            tuple(word for word in self.done.words if word.beat == time),
            tuple(cue.sound for cue in self.done.cues if cue.beat == time),
            tuple(acts),
            turn,
            self.left_arm,
            self.right_arm,
            self.sword,
            round(self.cadence * self.done.tempo, 6),
            tuple(numbers),
        )

    def _count_acts(self, fall: Footfall, time: float) -> list[FootAct]:
        count = fall.row
        if count.place is None:
            return self._acts_before(int(time)) if time == math.floor(time) else []
        if fall.foot is None:
            return []
        length = 0.0
        if count.place in (STEP, BACK, SIDE):
            length = self.gait.length(count.place, count.length, self.deck.unit)
        return [FootAct(fall.foot, count.place, length, count.against, count.contact, count.lift, count.toes)]

    def _steady_acts(self, time: int, settled: int) -> list[FootAct]:
        if time >= settled:
            return self._acts_after(time, settled)
        if time in self.done.silent or self._has_closed(time) or not self._fits(time):
            return []
        return self._acts_before(time)

    def _has_closed(self, time: int) -> bool:
        """Whether the feet have come to a halt already, and only arms or sword are still to move."""
        striking = [beat for beat, rows in self.rows.items() if any(fall.strikes for _, fall in rows)]
        return not self.done.after.moves and bool(striking) and max(striking) < time

    def _fits(self, time: int) -> bool:
        """Whether the old stance can go on here: a gap of an odd number of beats ends in a hesitation."""
        if time <= 0:
            return True
        later = [rows for beat, rows in sorted(self.rows.items()) if beat > time]
        following = [fall for rows in later for _, fall in rows if fall.strikes]
        if not following or self.last_foot not in (LEFT, RIGHT) or following[0].foot not in (LEFT, RIGHT):
            return True
        steps_left = math.ceil(following[0].row.beat) - time
        first = other_foot(self.last_foot)
        return Anchor(time, first).foot_at(time + steps_left) == following[0].foot or steps_left > 1

    def _stance_acts(self, stance: Stance, time: int, row: Count | None) -> list[FootAct]:
        if not stance.moves:
            return []
        unit = self.deck.unit
        stride = stance.step.to(unit) if stance.step else 0.0
        if row is not None:
            foot = row.foot or self._alternate(time)
            contact, lift = row.contact or stance.contact, row.lift or stance.lift
            place = row.place or STAYS
            length = 0.0
            if place in (STEP, BACK, SIDE):
                length = row.length.to(unit) if isinstance(row.length, Length) else stride
            return [FootAct(foot, place, length, row.against, contact, lift, row.toes, steady=True)]
        if isinstance(stance.length, Length):
            stride = stance.length.to(unit)
        elif stance.length == HALF:
            stride /= 2
        foot, place = self._alternate(time), stance.steady_place
        return [FootAct(foot, place, stride, None, stance.contact, stance.lift, steady=True)]

    def _acts_before(self, time: int) -> list[FootAct]:
        stance = self.done.before
        return self._stance_acts(stance, time, cycle_row(stance, self.movement, self.at_zero, time))

    def _acts_after(self, time: int, settled: int) -> list[FootAct]:
        stance = self.done.after
        row = None
        if stance.cycle:
            row = stance.cycle[(_entry(stance, self.done.falls) + time - settled) % len(stance.cycle)]
        return self._stance_acts(stance, time, row)

    def _alternate(self, time: int) -> str:
        if time > 0 and self.anchor and self.anchor.beat <= 0 and self.last_foot in (LEFT, RIGHT):
            # Between beat 0 and the steady stance after, feet alternate from the last footfall: a
            # fault may have left a beat empty.
            return other_foot(self.last_foot)
        return self.anchor.foot_at(time) if self.anchor else LEFT


def _entry(stance: Stance, falls: tuple[Footfall, ...]) -> int:
    """Return the row of a cycle that comes first after the counts: the one after the row just done."""
    last = next((f for f in reversed(falls) if f.strikes), None)
    if last is None:
        return 0
    for number, row in enumerate(stance.cycle):
        if row.foot == last.foot and row.place == last.row.place:
            return number + 1
    wanted = other_foot(last.foot) if last.foot in (LEFT, RIGHT) else None
    return next((n for n, row in enumerate(stance.cycle) if row.foot == wanted), 0)
