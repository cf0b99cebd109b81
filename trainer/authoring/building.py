"""Plain deck data (as TOML gives it, already checked) to a Deck."""

from collections.abc import Mapping
from typing import Any

from trainer.drill.deck import Deck, Sole, usual_sole
from trainer.drill.grade_sheet import GRADER, MAJOR, GradeSheet, Measure, parse_share
from trainer.drill.length import Length, parse_length, parse_number
from trainer.drill.movement import (
    FULL,
    HALF,
    Change,
    Count,
    Cue,
    Fault,
    Movement,
    Stance,
    Word,
    parse_turn,
)

Row = Mapping[str, Any]

CHANGE_TARGETS = ("count", "word", "cue", "stance")


def build(data: Row) -> Deck:
    """Return the deck that checked data describe.

    Raises:
        KeyError, ValueError: if the data were not checked before.
    """
    head = data["deck"]
    unit = head["unit"]
    return Deck(
        id=head["id"],
        standard=head.get("standard", head["id"]),
        title=head["title"],
        unit=unit,
        sole=_sole(head.get("sole"), unit),
        stances=tuple(_stance(name, row) for name, row in data.get("stance", {}).items()),
        movements=tuple(_movement(row) for row in data["movement"]),
        grade_sheet=_grade_sheet(data["grade_sheet"]) if "grade_sheet" in data else None,
        sources=tuple(head.get("sources", ())),
        cautions=tuple(head.get("cautions", ())),
        sword=tuple(head.get("sword", ())),
    )


def parse_tempo(text: str) -> float:
    """Read `+4 %` into the factor 1.04.

    Raises:
        ValueError: with a sentence for the author.
    """
    number, percent, rest = text.strip().partition("%")
    try:
        share = parse_number(number[1:].strip()) * (-1 if number[:1] == "-" else 1)
    except ValueError:
        share = 0.0
    if not percent or rest or number[:1] not in ("+", "-") or not -50 <= share <= 100 or not share:
        raise ValueError(f'a change of tempo is written "+4 %" or "-5 %", not "{text}"')
    return 1 + share / 100


def parse_hours(text: str) -> int:
    """Read `24 h` or `2 d` into hours.

    Raises:
        ValueError: with a sentence for the author.
    """
    number, _, unit = text.strip().partition(" ")
    if not (number.isascii() and number.isdigit() and len(number) < 5) or unit not in ("h", "d"):
        raise ValueError(f'a wait is written "24 h" or "2 d", not "{text}"')
    return int(number) * (24 if unit == "d" else 1)


def _sole(row: Row | None, unit: str) -> Sole:
    if row is None:
        return usual_sole(unit)
    return Sole(*(parse_length(row[name]).to(unit) for name in ("length", "width", "ball")))


def _length(value: str | None) -> str | Length | None:
    return value if value is None or value in (FULL, HALF) else parse_length(value)


def _arms(row: Row) -> dict[str, Any]:
    both = row.get("arms")
    return {"left_arm": row.get("left_arm", both), "right_arm": row.get("right_arm", both)}


def _fields(row: Row) -> dict[str, Any]:
    """Return the fields of a count row that are given, parsed."""
    given: dict[str, Any] = {
        name: row[name] for name in ("foot", "place", "against", "contact", "sword", "tell") if name in row
    }
    if "beat" in row:
        given["beat"] = row["beat"]
    if "cadence" in row:
        given["cadence"] = float(row["cadence"])
    if "length" in row:
        given["length"] = _length(row["length"])
    if "lift" in row:
        given["lift"] = parse_length(row["lift"])
    for name in ("turn", "toes"):
        if name in row:
            given[name] = parse_turn(row[name])
    given |= {name: arm for name, arm in _arms(row).items() if arm is not None}
    return given


def _stance(name: str, row: Row) -> Stance:
    return Stance(name=name, **_stance_fields(row))


def _stance_fields(row: Row) -> dict[str, Any]:
    given = _fields({name: value for name, value in row.items() if name != "cadence"})
    given = {name: given[name] for name in given if name in Stance._fields}
    if "cadence" in row:
        cadence = row["cadence"]
        low, high = cadence if isinstance(cadence, list) else (cadence, cadence)
        given["cadence"] = (float(low), float(high))
    if "step" in row:
        given["step"] = parse_length(row["step"])
    if "cycle" in row:
        given["cycle"] = tuple(Count(**({"beat": float(n)} | _fields(one))) for n, one in enumerate(row["cycle"]))
    return given


def _grade_sheet(row: Row) -> GradeSheet:
    wait = row.get("retest_after")
    return GradeSheet(
        share=parse_share(row["pass"]),
        trials=row["trials"],
        needed=row["needed"],
        minors=tuple(row["minors"]),
        majors=tuple(Measure(major["id"], MAJOR, major["text"]) for major in row.get("majors", ())),
        retest_after_hours=parse_hours(wait) if wait else None,
        stop_when_decided=row.get("stop_when_decided", True),
        sequence_graded=row.get("sequence") == "graded",
        bad_prompt=row.get("bad_prompt", GRADER),
    )


def _movement(row: Row) -> Movement:
    return Movement(
        id=row["id"],
        name=row["name"],
        from_stances=tuple(row["from"]),
        to=row["to"],
        called_on=row["called_on"],
        counts=tuple(Count(**_fields(count)) for count in row["counts"]),
        words=tuple(Word(**word) for word in row.get("words", ())),
        cues=tuple(Cue(**cue) for cue in row.get("cues", ())),
        cued_by=row.get("cued_by"),
        turn=parse_turn(row["turn"]) if "turn" in row else None,
        faults=tuple(_fault(fault) for fault in row.get("faults", ())),
        source=row.get("source", ""),
        unconfirmed=row.get("unconfirmed", ""),
    )


def _fault(row: Row) -> Fault:
    return Fault(row["id"], row["tell"], tuple(_change(c) for c in row.get("shows", ())), row.get("seen_by"))


def _change(row: Row) -> Change:
    if "tempo" in row:
        return Change("tempo", tempo=parse_tempo(row["tempo"]))
    target = next(name for name in CHANGE_TARGETS if name in row)
    number = row[target] if isinstance(row[target], int) else None
    if target == "stance":
        return Change(target, fields=tuple(_stance_fields(row).items()))
    if target == "count":
        fields = _fields(row)
    else:
        fields = {name: row[name] for name in ("beat", "say", "speaker", "sound") if name in row}
    return Change(target, number, tuple(fields.items()), row.get("drop", False), row.get("later", 0.0))
