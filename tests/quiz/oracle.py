"""Judges questions from the deck and its scores alone: nothing of the quiz's own making is used here.

Descriptions are read back word by word into claims, and each claim is held against the score. A choice counts
as possibly right as soon as somebody could defend it, so that a question passes only with one choice to defend.
"""

import re
from collections.abc import Callable, Iterator
from typing import Any

from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.gait import gait
from trainer.drill.length import MILLIMETRES
from trainer.drill.movement import Change, Fault, Movement
from trainer.drill.score import Beat, FootAct, Score
from trainer.drill.unrolling import score

Claims = dict[str, Any]
FEET = {
    "left foot": "left",
    "right foot": "right",
    "both feet": "both",
    "trailing foot": "same",
    "leading foot": "other",
    "foot": None,
}
FOOT = (
    "(left foot|right foot|both feet|leading foot|trailing foot|other foot than the one .+? was called on"
    "|other foot than the one the first cue fell on|foot that .+? was called on|foot that the first cue fell on|foot)"
)

TURN = r"([\d.]+) (left|right)"
PARTS: list[tuple[str, Callable[[re.Match[str]], Claims]]] = [
    (r"nothing new, the feet go on as before", lambda m: {}),
    (
        rf"{FOOT}, (full |half )?step( back| to the side)?(?: of ([\d.e+]+) (in|ft|cm|m)( back| to the side)?)?",
        lambda m: {
            "foot": foot_of(m[1]),
            "place": {None: "step", " back": "back", " to the side": "side"}[m[3] or m[6]],
            "length": (float(m[4]), m[5]) if m[4] else ("half" if m[2] == "half " else "full"),
        },
    ),
    (
        rf"pivot(?: {TURN})? on the (balls of both feet|ball of the {FOOT})",
        lambda m: {
            "foot": foot_of(m[4]) if m[4] else "both",
            "place": "pivot",
            **({"turn": degrees(m[1], m[2])} if m[1] else {}),
        },
    ),
    (rf"{FOOT} down in place", lambda m: {"foot": foot_of(m[1]), "place": "in place"}),
    (rf"{FOOT} closes?", lambda m: {"foot": foot_of(m[1]), "place": "close"}),
    (rf"{FOOT} set in a T across the other toe", lambda m: {"foot": foot_of(m[1]), "place": "T", "against": "toe"}),
    (
        rf"{FOOT} turned in a T, its heel at the middle of the other sole",
        lambda m: {"foot": foot_of(m[1]), "place": "T", "against": "heel"},
    ),
    (rf"{FOOT}, toe to the other heel", lambda m: {"foot": foot_of(m[1]), "place": "toe to heel"}),
    (rf"{FOOT} stays?", lambda m: {"foot": foot_of(m[1]), "place": "stays"}),
    (r"sliding", lambda m: {"contact": "slide"}),
    (r"on the ball of the foot", lambda m: {"contact": "ball"}),
    (r"heel first", lambda m: {"contact": "heel"}),
    (r"lifted ([\d.e+]+) (in|ft|cm|m)", lambda m: {"lift": (float(m[1]), m[2])}),
    (rf"body turned {TURN}", lambda m: {"turn": degrees(m[1], m[2])}),
    (rf"toes turned {TURN}", lambda m: {"toes": degrees(m[1], m[2])}),
    (r"toes straight", lambda m: {"toes": 0.0}),
    (r"arms (swing|pinned|still)", lambda m: {"left_arm": m[1], "right_arm": m[1]}),
    (r"left arm (swing|pinned|still)", lambda m: {"left_arm": m[1]}),
    (r"right arm (swing|pinned|still)", lambda m: {"right_arm": m[1]}),
    (r"cadence ([\d.]+)", lambda m: {"cadence": float(m[1])}),
    (r"sword to (.+)", lambda m: {"sword": m[1]}),
]


def foot_of(words: str) -> str | None:
    return "same" if words.startswith("foot that") else "other" if words.startswith("other foot") else FEET[words]


def degrees(number: str, side: str) -> float:
    return float(number) if side == "right" else -float(number)


def read_back(text: str) -> Claims:
    """Read one description into claims; the first letter may be a capital and a full stop may follow."""
    rest = text[0].lower() + text[1:]
    claims: Claims = {}
    while rest:
        for pattern, read in PARTS:
            found = re.match(rf"{pattern}(?:, |\.?$)", rest)
            if found:
                claims |= read(found)
                rest = rest[found.end() :]
                break
        else:
            raise AssertionError(f"not a description: {text!r}, from {rest!r}")
    return claims


def performances(deck: Deck, movement: Movement) -> list[Score]:
    """Every way of performing a movement rightly."""
    feet = ("left", "right") if movement.called_on == "either" else ("left",)
    return [score(deck, movement, stance, foot) for stance in movement.from_stances for foot in feet]


def could_be_true(deck: Deck, movement: Movement, beat: float, text: str) -> bool:
    """Whether somebody could say that a description is right of a beat, in some performance."""
    claims = read_back(text)
    return any(agrees(deck, movement, played, beat, claims, strict=False) for played in performances(deck, movement))


def surely_true(deck: Deck, movement: Movement, beat: float, text: str) -> bool:
    """Whether a description is right of a beat in every performance."""
    claims = read_back(text)
    return all(agrees(deck, movement, played, beat, claims, strict=True) for played in performances(deck, movement))


def agrees(deck: Deck, movement: Movement, played: Score, beat: float, claims: Claims, strict: bool) -> bool:
    entry = next((one for one in played.beats if one.beat == beat), None)
    if entry is None:
        return not strict
    rows = [count for count in movement.counts if count.beat == beat]
    turns = [entry.turn, *(row.turn for row in rows)]
    if claims.get("turn") is not None and claims["turn"] not in turns:
        return False
    cadences = [row.cadence for row in rows if row.cadence]
    if "cadence" in claims and cadences and claims["cadence"] not in cadences:
        return False
    for arm in ("left_arm", "right_arm"):
        if arm in claims and not arm_agrees(claims[arm], getattr(entry, arm), strict):
            return False
    if "sword" in claims and entry.sword is not None and entry.sword != claims["sword"]:
        return False
    return "place" not in claims or foot_agrees(deck, played, entry, claims, strict)


def arm_agrees(claimed: str, state: str, strict: bool) -> bool:
    if claimed == state:
        return True
    return not strict and {claimed, state} == {"pinned", "still"}


def meant_feet(claimed: str | None, at_zero: str | None) -> set[str]:
    opposite = {"left": "right", "right": "left"}
    if claimed in ("left", "right"):
        return {claimed}
    if claimed == "same" and at_zero:
        return {at_zero}
    if claimed == "other" and at_zero:
        return {opposite[at_zero]}
    return {"left", "right"}


def foot_agrees(deck: Deck, played: Score, entry: Beat, claims: Claims, strict: bool) -> bool:
    feet = meant_feet(claims["foot"], played.at_zero)
    acts = [act for act in entry.acts if ({"left", "right"} if act.foot == "both" else {act.foot}) & feet]
    moving = [act for act in acts if act.place not in ("pivot", "stays")]
    if claims["place"] == "stays":
        return not moving
    if claims["place"] == "pivot" and not strict:
        # Feet that turn on the ball while the other steps off: only another turn is surely wrong.
        pivots = [act for act in entry.acts if act.place == "pivot"]
        return not pivots or any(act.place == "pivot" for act in acts)
    lengths = gait(deck, deck.stance(played.from_stance), deck.stance(played.to))
    full = {"back": lengths.back, "side": lengths.side}.get(claims["place"], lengths.forward) or 0.0
    named = {"half": (full / 2, deck.unit), "full": (full, deck.unit)}
    length = named.get(claims.get("length", ""), claims.get("length"))
    return any(act_agrees(deck, act, claims, length, strict) for act in acts)


def act_agrees(deck: Deck, act: FootAct, claims: Claims, length: tuple[float, str] | None, strict: bool) -> bool:
    places = {act.place, claims["place"]}
    return (
        (len(places) == 1 or (places == {"close", "in place"} and not strict))
        and (length is None or near(length, (act.length, deck.unit)))
        and claims.get("against") in (None, act.against or "toe")
        and (act.contact is None or claims.get("contact") in (None, act.contact))
        and (act.toes is None or claims.get("toes") in (None, act.toes))
        and (act.lift is None or "lift" not in claims or near(claims["lift"], (act.lift.value, act.lift.unit)))
    )


def near(one: tuple[float, str], two: tuple[float, str]) -> bool:
    """Whether two lengths are one on the ground."""
    return abs(one[0] * MILLIMETRES[one[1]] - two[0] * MILLIMETRES[two[1]]) < 0.6


def plain(text: str) -> str:
    return "".join(char for char in text.casefold() if char.isalpha()) or " ".join(text.casefold().split())


def listed(names: tuple[str, ...]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"


def titled(deck: Deck, title: str) -> list[Movement]:
    """The movements that a title in a choice or a prompt can mean."""
    named = [movement for movement in deck.movements if movement.name == title]
    if named:
        return named
    return [
        movement
        for movement in deck.movements
        if title in (f"{movement.name} (from {listed(movement.from_stances)})", f"{movement.name} ({movement.id})")
    ]


def namesakes(deck: Deck, movement: Movement) -> list[Movement]:
    return [
        other
        for other in deck.movements
        if plain(other.name) == plain(movement.name)
        or (movement.command and plain(other.command) == plain(movement.command))
    ]


def fits(deck: Deck, movement: Movement, outline: str) -> bool:
    """Whether somebody could say that an outline speaks of a movement."""
    found = re.fullmatch(
        r"From (.+?)(?:, called on the (left|right) foot)?: (1\. .+)\. It ends in (.+)\.", outline, re.DOTALL
    )
    assert found, outline
    if found[4] != movement.to:
        return False
    named = [name for name in (stance.name for stance in deck.stances) if name in movement.from_stances]
    if not any(name in found[1] for name in named):
        return False
    if found[2] and movement.called_on in ("left", "right") and movement.called_on != found[2]:
        return False
    return all(
        could_be_true(deck, movement, beat, text)
        for beat, text in zip(outlined_beats(deck, outline), outlined_texts(found[3]), strict=False)
    )


def outlined_texts(told: str) -> list[str]:
    parts = re.split(r"(?:; |^)\d+\. ", told.removesuffix("; and so on"))
    return [part for part in parts if part]


def outlined_beats(deck: Deck, outline: str) -> Iterator[float]:
    """The beats are not in an outline; the test sets them before it asks."""
    yield from BEATS.get(outline, ())


BEATS: dict[str, tuple[float, ...]] = {}


def effect(deck: Deck, movement: Movement, fault: Fault) -> set[tuple[float, str, str]] | None:
    if not fault.shows:
        return None
    try:
        found = compare(deck, movement, fault).differences
    except (ValueError, TypeError):
        return None
    return {(one.beat, one.part, repr(one.flawed)) for one in found}


def could_have(deck: Deck, own: Movement, fault: Fault, other: Movement) -> bool:
    """Whether somebody could say that a fault may be made in another movement: in its words, arms or stances."""
    for change in fault.shows:
        if change.target == "tempo":
            return True
        if change.target == "word" and change.number:
            said = set(own.words[change.number - 1].say.casefold().split())
            if said & set(other.command.casefold().split()):
                return True
        if change.target == "stance" and own.to in (other.to, *other.from_stances):
            return True
        if change.target == "count" and change.number and arm_could(deck, own, change, other):
            return True
    return False


def arm_could(deck: Deck, own: Movement, change: Change, other: Movement) -> bool:
    """Whether an arm that a count has wrong could be as wrong while the same foot does the same elsewhere."""
    arms = {name: value for name, value in change.fields if name.endswith("_arm")}
    row = own.counts[(change.number or 1) - 1]
    if not arms or row.foot not in ("left", "right"):
        return False
    return any(
        (act.foot, act.place) == (row.foot, row.place) and any(getattr(beat, arm) != arms[arm] for arm in arms)
        for played in performances(deck, other)
        for beat in played.beats
        for act in beat.acts
    )


def is_fault_of(deck: Deck, movement: Movement, tell: str) -> bool:
    """Whether a text tells one of a movement's faults, or a fault of another that looks the same here."""
    if any(plain(tell) == plain(own.tell) for own in movement.faults):
        return True
    theirs = [one for other in deck.movements for one in other.faults if plain(one.tell) == plain(tell)]
    for fault in theirs:
        made = effect(deck, movement, fault)
        if made == set():
            continue
        for own in movement.faults:
            if own.id == fault.id or (made and made == effect(deck, movement, own)):
                return True
    return False
