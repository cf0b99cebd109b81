"""What of an unsound deck can still be checked: stand-ins for the parts that cannot.

So that an author learns of everything at once, a part whose shape is wrong keeps its name, for others to refer
to, and is otherwise not looked at.
"""

from collections.abc import Collection, Iterator
from typing import Any, NamedTuple

from trainer.authoring.places import Path
from trainer.drill.length import MILLIMETRES

_NOTHING = "?"
"""No id can be this."""


class Standing(NamedTuple):
    """Data that can be built, with the numbers of the movements and the names of the stances that only stand in."""

    data: dict[str, Any]
    movements: frozenset[int]
    stances: frozenset[str]


def with_standins(data: dict[str, Any], broken: Collection[Path]) -> Standing:
    """Return a deck's data with a stand-in for every part that holds one of the broken paths."""
    movements, unsound = _movements(data, broken)
    stances, unsound_stances = _stances(data, broken, movements)
    built: dict[str, Any] = {"deck": _head(data, broken), "stance": stances, "movement": movements}
    if isinstance(data.get("grade_sheet"), dict):
        ids_known = not any(movement["id"].startswith(_NOTHING) for movement in movements)
        built["grade_sheet"] = _sheet(data["grade_sheet"], broken, ids_known and ("movement",) not in broken)
    return Standing(built, unsound, unsound_stances)


def _within(path: Path, broken: Collection[Path]) -> list[Path]:
    return [one for one in broken if one[: len(path)] == path]


def _dict(value: Any) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else []


def _head(data: dict[str, Any], broken: Collection[Path]) -> dict[str, Any]:
    written = _dict(data.get("deck"))
    unit = written.get("unit")
    head: dict[str, Any] = {"id": _NOTHING, "title": _NOTHING}
    head["unit"] = unit if isinstance(unit, str) and unit in MILLIMETRES else "in"
    unsure = ("deck",) in broken or _within(("deck", "sword"), broken)
    head["sword"] = sorted(set(_swords(data))) if unsure else written.get("sword", [])
    if "sole" in written and not _within(("deck", "sole"), broken):
        head["sole"] = written["sole"]
    return head


def _swords(value: Any) -> Iterator[str]:
    """Yield every sword position that is used anywhere."""
    if isinstance(value, dict):
        for name, inner in value.items():
            if name == "sword" and isinstance(inner, str):
                yield inner
            yield from _swords(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _swords(inner)


def _movements(data: dict[str, Any], broken: Collection[Path]) -> tuple[list[dict[str, Any]], frozenset[int]]:
    standing = []
    unsound = set()
    for number, row in enumerate(_list(data.get("movement"))):
        path: Path = ("movement", number)
        wrong = _within(path, broken)
        if not wrong:
            standing.append(row)
        elif isinstance(row, dict) and all(len(one) > 3 and one[2] == "faults" for one in wrong):
            standing.append(
                row | {"faults": [_fault(fault, (*path, "faults", n), broken) for n, fault in enumerate(row["faults"])]}
            )
        else:
            unsound.add(number)
            standing.append(_movement(row, number, sound_id=(*path, "id") not in broken))
    return standing, frozenset(unsound)


def _movement(row: Any, number: int, *, sound_id: bool) -> dict[str, Any]:
    known = sound_id and isinstance(_dict(row).get("id"), str)
    return {
        "id": row["id"] if known else f"{_NOTHING}{number}",
        "name": _NOTHING,
        "from": [name for name in _list(_dict(row).get("from")) if isinstance(name, str)],
        "to": _NOTHING,
        "called_on": "left",
        "counts": [],
    }


def _fault(row: Any, path: Path, broken: Collection[Path]) -> Any:
    if not _within(path, broken):
        return row
    known = (*path, "id") not in broken and isinstance(_dict(row).get("id"), str)
    return {"id": row["id"] if known else f"{_NOTHING}{path[-1]}", "tell": _NOTHING, "seen_by": _NOTHING}


def _stances(
    data: dict[str, Any], broken: Collection[Path], movements: list[dict[str, Any]]
) -> tuple[dict[str, Any], frozenset[str]]:
    written = data.get("stance")
    if not isinstance(written, dict) or not written:
        # Which stances there are is not known, so every name that is used may be one.
        names = {name for movement in movements for name in (*movement["from"], movement["to"])}
        return {name: {} for name in names}, frozenset(names)
    unsound = frozenset(name for name in written if _within(("stance", name), broken))
    return {name: {} if name in unsound else row for name, row in written.items()}, unsound


def _sheet(row: dict[str, Any], broken: Collection[Path], ids_known: bool) -> dict[str, Any]:
    def sound(name: str) -> bool:
        return name in row and not _within(("grade_sheet", name), broken)

    numbers = {name: row[name] for name in ("trials", "needed")} if sound("trials") and sound("needed") else {}
    minors = [minor if isinstance(minor, str) else f"{_NOTHING}{n}" for n, minor in enumerate(_list(row.get("minors")))]
    majors = []
    for number, major in enumerate(_list(row.get("majors"))):
        written = _dict(major).get("id")
        majors.append({"id": written if isinstance(written, str) else f"{_NOTHING}{number}", "text": _NOTHING})
    return {
        "pass": row["pass"] if sound("pass") else "100 %",
        "trials": numbers.get("trials", 1),
        "needed": numbers.get("needed", 1),
        "minors": minors if ids_known else [],
        "majors": majors,
    }
