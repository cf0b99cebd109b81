"""Movement to Score: what voice, feet, arms, sword and body do, beat by beat."""

import math

from trainer.drill.deck import Deck
from trainer.drill.feet import Anchor, Footfall, cycle_row, foot_at_zero, settle_feet
from trainer.drill.gait import gait, stride
from trainer.drill.movement import (
    BACK,
    BOTH,
    LEFT,
    PIVOT,
    RIGHT,
    SIDE,
    STAYS,
    STEP,
    Count,
    Movement,
    Stance,
    other_foot,
)
from trainer.drill.score import USUAL_CADENCE, Beat, FootAct, Performance, Score


def right_performance(deck: Deck, movement: Movement, from_stance: str, at_zero: str | None) -> Performance:
    """Return the movement performed as the standard has it."""
    falls = tuple(settle_feet(movement, at_zero, deck.stance(from_stance)))
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


def starts(deck: Deck, movement: Movement) -> list[tuple[str, str]]:
    """Return every stance and foot of beat 0 that give different performances."""
    found: list[tuple[str, str]] = []
    for stance in movement.from_stances:
        free = movement.called_on == "either" and deck.stance(stance).moves
        found += [(stance, foot) for foot in ((LEFT, RIGHT) if free else (LEFT,))]
    return found


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
        # A fault in the stance after must not lengthen the counts before it, nor set the cadence of the call.
        before, after = deck.stance(done.before.name), deck.stance(done.after.name)
        self.gait = gait(deck, before, after)
        self.left_arm = self.right_arm = "still"
        self.sword: str | None = None
        self.cadence = next((c for s in (before, after) if (c := s.middle_cadence)), USUAL_CADENCE)
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
        self.cadence = stance.middle_cadence or self.cadence
        self._hold(stance)

    def _hold(self, row: Stance | Count) -> None:
        """Set what a row names of arms and sword; the rest stays as it was."""
        self.left_arm = row.left_arm or self.left_arm
        self.right_arm = row.right_arm or self.right_arm
        self.sword = row.sword or self.sword
        if isinstance(row, Count):
            self.cadence = row.cadence or self.cadence

    def _beat(self, time: float, settled: int) -> Beat:
        acts: list[FootAct] = []
        turn = 0.0
        numbers = []
        for number, fall in self.rows.get(time, []):
            numbers.append(number)
            turn += fall.row.turn
            acts += self._count_acts(fall, time)
            self._hold(fall.row)
        if time not in self.rows and time == math.floor(time):
            stance, row = self._steady(int(time), settled)
            if stance is not None:
                acts += self._stance_acts(stance, int(time), row)
                turn = row.turn if row else 0.0
                if not 0 < time < settled:
                    # Between counts, arms and sword stay as the count before left them.
                    self._take(stance)
                self._hold(row or Count(time))
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
            if time != math.floor(time) or self._has_closed(int(time)):
                return []
            return self._stance_acts(self.done.before, int(time), self._row_before(time))
        if fall.foot is None:
            return []
        length = 0.0
        if count.place in (STEP, BACK, SIDE):
            length = self.gait.length(count.place, count.length, self.deck.unit)
        return [FootAct(fall.foot, count.place, length, count.against, count.contact, count.lift, count.toes)]

    def _steady(self, time: int, settled: int) -> tuple[Stance | None, Count | None]:
        """Return the stance that holds on a beat without counts, with the row of its cycle; None if the feet rest."""
        if time >= settled:
            stance = self.done.after
            start = _entry(stance, self.done.falls)
            return stance, stance.cycle[(start + time - settled) % len(stance.cycle)] if stance.cycle else None
        if time in self.done.silent or self._has_closed(time) or not self._fits(time):
            return None, None
        return self.done.before, self._row_before(time)

    def _row_before(self, time: float) -> Count | None:
        return cycle_row(self.done.before, self.movement, self.at_zero, int(time))

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
        step = stance.step.to(self.deck.unit) if stance.step else 0.0
        if row is None:
            length = stride(step, stance.length, self.deck.unit)
            place = stance.steady_place
            return [FootAct(self._alternate(time), place, length, None, stance.contact, stance.lift, steady=True)]
        foot, place = row.foot or self._alternate(time), row.place or STAYS
        length = stride(step, row.length or stance.length, self.deck.unit) if place in (STEP, BACK, SIDE) else 0.0
        contact, lift = row.contact or stance.contact, row.lift or stance.lift
        return [FootAct(foot, place, length, row.against, contact, lift, row.toes, steady=True)]

    def _alternate(self, time: int) -> str:
        if time > 0 and self.anchor and self.anchor.beat <= 0 and self.last_foot in (LEFT, RIGHT):
            # Between beat 0 and the steady stance after, feet alternate from the last footfall: a
            # fault may have left a beat empty.
            return other_foot(self.last_foot)
        return self.anchor.foot_at(time) if self.anchor else LEFT


def _entry(stance: Stance, falls: tuple[Footfall, ...]) -> int:
    """Return the row of a cycle that comes first after the counts.

    It is the row after those that the last counts have just done, as many of them as agree, else the first.
    """
    done = [(fall.foot, fall.row.place) for fall in falls if fall.row.place is not None]
    size = len(stance.cycle)
    best, entry = 0, 0
    for number in range(size):
        same = 0
        while same < min(size, len(done)):
            row = stance.cycle[(number - same) % size]
            foot, place = done[-1 - same]
            if row.place != place or row.foot not in (None, foot):
                break
            same += 1
        if same > best:
            best, entry = same, number + 1
    return entry % size if size else 0


def goes_on(stance: Stance, falls: tuple[Footfall, ...]) -> bool:
    """Whether a stance with a cycle can go on after the counts: by a row with the foot that is next."""
    last = next((fall for fall in reversed(falls) if fall.strikes), None)
    if not stance.cycle or last is None or last.foot not in (LEFT, RIGHT):
        return True
    entry = _entry(stance, falls)
    row, before = stance.cycle[entry], stance.cycle[entry - 1]
    follows = before.place == falls[-1].row.place and before.foot in (None, falls[-1].foot)
    return follows or row.foot in (None, BOTH, other_foot(last.foot))
