"""Facts of the trade in words: what happens on a beat, what a fault changes.

Only what the deck says is put into words; the author's own `tell` is not touched here.
"""

from collections.abc import Iterable

from trainer.drill.faults import Difference
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
    Movement,
    other_foot,
    turn_words,
)
from trainer.drill.score import Beat, FootAct, Score

FEET = {LEFT: "left foot", RIGHT: "right foot", BOTH: "both feet"}
CALLED = {
    "right": "called on the right foot",
    "left": "called on the left foot",
    "either": "called on either foot",
    "together": "called as the heels come together",
    "halted": "called at the halt",
}
CONTACTS = {"slide": "sliding", "ball": "on the ball of the foot", "heel": "heel first"}


def beat_number(beat: float) -> str:
    """Return a beat as people write it: `2`, `-1`, `1.5`."""
    return f"{beat:g}"


def describe_act(act: FootAct, unit: str) -> str:
    """Return what a foot does on one beat."""
    return f"{FEET.get(act.foot, act.foot)} {_verb(act, unit, plain=act.foot == BOTH)}"


def describe_beat(beat: Beat, before: Beat | None, unit: str) -> tuple[str, ...]:
    """Return what happens on a beat, one sentence without a full stop for each thing.

    Args:
        beat: the beat.
        before: the beat before it, so that arms and sword are named only as they change; None to name them.
        unit: the deck's unit.
    """
    said = []
    if beat.turn:
        said.append(f"body turns {turn_words(beat.turn)}")
    said += [describe_act(act, unit) for act in beat.acts]
    left, right = (
        None if before is not None and arm == old else arm
        for arm, old in zip(
            (beat.left_arm, beat.right_arm), (before.left_arm, before.right_arm) if before else ("", ""), strict=True
        )
    )
    said += [words.replace(" arm swing", " arm swings") for words in _arm_words(left, right)]
    if beat.sword and (before is None or beat.sword != before.sword):
        said.append(f"sword {beat.sword}")
    if before is not None and beat.cadence != before.cadence:
        said.append(f"{beat.cadence:g} beats a minute")
    return tuple(said) or ("stands fast",)


def describe_differences(differences: Iterable[Difference], unit: str = "") -> list[str]:
    """Return what a fault changes, one line a change.

    Both arms that change alike share a line, and so do beats in a row on which the same thing is wrong.
    """
    return [line for _, line in difference_lines(differences, unit)]


def difference_lines(differences: Iterable[Difference], unit: str = "") -> list[tuple[tuple[float, ...], str]]:
    """Return the lines of `describe_differences`, each with the beats that it speaks of."""
    spans: list[tuple[list[float], Difference]] = []
    moved, rest = _moved(list(differences))
    lines: list[tuple[tuple[float, ...], str]] = [
        ((since, to), _moved_words(row, since, to)) for row, since, to in moved
    ]
    for row in _both_arms(rest):
        same = next((s for s in reversed(spans) if s[1].part == row.part), None)
        if same and same[1][2:] == row[2:] and row.beat - same[0][-1] <= 1:
            same[0].append(row.beat)
        else:
            spans.append(([row.beat], row))
    lines += [(tuple(beats), f"{_beats(beats)}: {_changed(*row[1:], unit)}") for beats, row in spans]
    return sorted(lines, key=lambda line: line[0][0])


def _moved(rows: list[Difference]) -> tuple[list[tuple[Difference, float, float]], list[Difference]]:
    """Take out words and cues that are only on another beat, each with the beat it belongs on and the one it is on."""
    moved = []
    for row in [one for one in rows if one.part in ("voice", "cue") and one.right and not one.flawed]:
        on = next((o for o in rows if o.part == row.part and o.flawed == row.right and not o.right), None)
        if on is not None:
            moved.append((row, row.beat, on.beat))
            rows = [one for one in rows if one not in (row, on)]
    return moved, rows


def _moved_words(row: Difference, should: float, on: float) -> str:
    verb = "said" if row.part == "voice" else "given"
    return f"{_heard(row.part, row.right)} is {verb} on beat {beat_number(on)} instead of {beat_number(should)}"


def _both_arms(rows: list[Difference]) -> list[Difference]:
    """Join a change of the left arm with the same change of the right arm on the same beat."""
    joined = []
    for row in rows:
        if row.part == "left arm" and row._replace(part="right arm") in rows:
            joined.append(row._replace(part="arms"))
        elif row.part != "right arm" or row._replace(part="left arm") not in rows:
            joined.append(row)
    return joined


def _beats(beats: list[float]) -> str:
    first, last = beat_number(beats[0]), beat_number(beats[-1])
    if len(beats) == 1:
        return f"beat {first}"
    return f"beats {first} {'and' if len(beats) == 2 else 'to'} {last}"


def describe_call(movement: Movement, score: Score) -> tuple[tuple[str, str], ...]:
    """Return every word of the candidate's own command with the foot that it falls on.

    The foot is `left`, `right`, `both` or empty where no foot strikes.
    """
    own = {(word.say, word.beat) for word in movement.call}
    return tuple(
        (word.say, beat.strikes or "") for beat in score.beats for word in beat.said if (word.say, word.beat) in own
    )


def _arm_words(left: str | None, right: str | None) -> list[str]:
    if left is None and right is None:
        return []
    if left == right:
        return [f"arms {left}"]
    return [f"{side} arm {arm}" for side, arm in (("left", left), ("right", right)) if arm]


def _verb(act: FootAct, unit: str, *, plain: bool) -> str:
    """Return what a foot does, as `closes` or, `plain`, as `close`."""
    end, own = ("", "where they are") if plain and act.foot == BOTH else ("" if plain else "s", "where it is")
    place, other = act.place, "the other foot" if act.foot == BOTH else f"the {other_foot(act.foot)} foot"
    if place in (STEP, BACK, SIDE):
        measure = f"{act.length:g} {unit}".rstrip() if act.length else "a step"
        what = f"step{end} {measure}" + {STEP: "", BACK: " back", SIDE: " to the side"}[place]
    else:
        what = {
            IN_PLACE: f"strike{end} in place",
            CLOSE: f"close{end} beside {other}",
            TEE: f"set{end} a T against the {act.against or 'toe'} of {other}",
            TOE_TO_HEEL: f"set{end} the toe to the heel of {other}",
            BALL_TO_HEEL: f"set{end} the ball beside the heel of {other}",
            PIVOT: f"pivot{end} on the ball" + ("s" if act.foot == BOTH else ""),
            STAYS: f"stay{end} {own}",
        }[place]
    manner = [CONTACTS[act.contact]] if act.contact else []
    if act.lift:
        manner.append(f"lifted {act.lift}")
    if act.toes:
        manner.append(f"toes {turn_words(act.toes)}")
    return ", ".join([what, *manner])


def _changed(part: str, right: object, flawed: object, unit: str) -> str:
    if part in ("left arm", "right arm", "arms"):
        return f"{part} {_arm_verb(str(flawed), many=part == 'arms')} instead of {right}"
    if part == "sword":
        return f"sword {flawed or 'nowhere'} instead of {right or 'nowhere'}"
    if part == "cadence":
        return f"{_number(flawed)} beats a minute instead of {_number(right)}"
    if part == "body":
        return _turned(right if isinstance(right, float) else 0.0, flawed if isinstance(flawed, float) else 0.0)
    if part in ("voice", "cue"):
        if not flawed:
            return f"{_heard(part, right)} is not {'said' if part == 'voice' else 'given'}"
        if not right:
            return f"{_heard(part, flawed)} is {'said' if part == 'voice' else 'given'} where it should not be"
        return f"{_heard(part, flawed)} instead of {_heard(part, right)}"
    does, should = (_acts(value, unit, plain=plain) for value, plain in ((flawed, False), (right, True)))
    parted = "," if "," in does else ""
    return f"{part} {does or 'does not strike'}{parted} where it should {should or 'not strike'}"


def _arm_verb(state: str, *, many: bool) -> str:
    if state == "swing":
        return "swing" if many else "swings"
    return f"{'are' if many else 'is'} {state}"


def _number(value: object) -> str:
    return f"{value:g}" if isinstance(value, float) else str(value)


def _turned(right: float, flawed: float) -> str:
    if not flawed:
        return f"body does not turn where it should turn {turn_words(right)}"
    return f"body turns {turn_words(flawed)} " + (
        f"instead of {turn_words(right)}" if right else "where it should not turn"
    )


def _heard(part: str, value: object) -> str:
    rows = value if isinstance(value, tuple) else ()
    said = [row[0] if isinstance(row, tuple) else str(row) for row in rows]
    return " ".join(f'"{text}"' for text in said) if said else ("silence" if part == "voice" else "no cue")


def _acts(value: object, unit: str, *, plain: bool) -> str:
    rows = value if isinstance(value, tuple) else ()
    return ", then ".join(_verb(act, unit, plain=plain) for act in rows if isinstance(act, FootAct))
