"""What of an unsound deck can still be checked: stand-ins for the parts that cannot.

So that an author learns of everything at once, a part whose shape is wrong keeps its name, for others to refer
to, and only what does not hang on the rest of it is looked at.
"""

from collections.abc import Collection, Iterator
from typing import Any, NamedTuple

from trainer.authoring.places import Path
from trainer.authoring.tables import TABLES, TOP
from trainer.drill.length import MILLIMETRES

_TOP = TABLES[TOP].names
_MOVEMENT = TABLES["movement"].names
_NOTHING = "?"
"""No id can be this."""


_SECTIONS = ("words", "cues", "counts")


class Standing(NamedTuple):
    """Data that can be built.

    Attributes:
        data: the deck's data with stand-ins for what is unsound.
        broken: the paths of what is unsound.
        rows_only: numbers of the movements that hold stand-ins.
        stances: names of the stances that only stand in.
    """

    data: dict[str, Any]
    broken: frozenset[Path]
    rows_only: frozenset[int]
    stances: frozenset[str]

    def follows(self, path: Path) -> bool:
        """Tell whether a finding at a path may only follow from what is unsound, and says nothing new."""
        if any(path[: len(one)] == one for one in self.broken):
            return True
        if path[0] != "movement" or len(path) < 3 or path[1] not in self.rows_only or path[2] == "faults":
            return False
        # What a name that is not known was meant for cannot be told: it may be any part of the movement.
        strange = any(len(one) == 3 and one[:2] == path[:2] and one[2] not in _MOVEMENT for one in self.broken)
        section = (*path[:2], "cues" if path[2] == "cued_by" else path[2])
        return (strange and path[2] not in ("id", "from", "to")) or bool(_within(section, self.broken))


def with_standins(data: dict[str, Any], broken: Collection[Path]) -> Standing:
    """Return a deck's data with a stand-in for every part that holds one of the broken paths."""
    strange = [data[one[0]] for one in broken if len(one) == 1 and one[0] in data and one[0] not in _TOP]
    movements, rows_only = _movements(data, broken)
    stances, unsound = _stances(data, broken, movements, [name for table in strange for name in _dict(table)])
    built: dict[str, Any] = {"deck": _head(data, broken), "stance": stances, "movement": movements}
    if isinstance(data.get("grade_sheet"), dict):
        ids_known = all(not movement["id"].startswith(_NOTHING) for movement in movements)
        ids_known = ids_known and ("movement",) not in broken and not any(_list(table) for table in strange)
        built["grade_sheet"] = _sheet(data["grade_sheet"], broken, ids_known)
    return Standing(built, frozenset(broken), rows_only, unsound)


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
    rows_only = set()
    for number, row in enumerate(_list(data.get("movement"))):
        path: Path = ("movement", number)
        wrong = _within(path, broken)
        if not wrong:
            standing.append(row)
            continue
        faults = [
            _fault(fault, (*path, "faults", n), broken) for n, fault in enumerate(_list(_dict(row).get("faults")))
        ]
        if all(len(one) > 3 and one[2] == "faults" for one in wrong):
            standing.append(row | {"faults": faults})
        else:
            rows_only.add(number)
            standing.append(_movement(_dict(row), path, broken) | {"faults": faults})
    return standing, frozenset(rows_only)


def _movement(row: dict[str, Any], path: Path, broken: Collection[Path]) -> dict[str, Any]:
    known = (*path, "id") not in broken and isinstance(row.get("id"), str)
    sound = {name: row[name] for name in _SECTIONS if name in row and not _within((*path, name), broken)}
    starts = enumerate(_list(row.get("from")))
    cued = {"cued_by": row["cued_by"] if isinstance(row["cued_by"], str) else _NOTHING} if "cued_by" in row else {}
    return {
        "id": row["id"] if known else f"{_NOTHING}{path[-1]}",
        "name": _NOTHING,
        "from": [name if isinstance(name, str) else f"{_NOTHING}{n}" for n, name in starts],
        "to": row["to"] if isinstance(row.get("to"), str) else _NOTHING,
        "called_on": "left",
        "counts": [],
        **cued,
        **sound,
    }


def _fault(row: Any, path: Path, broken: Collection[Path]) -> Any:
    if not _within(path, broken):
        return row
    known = (*path, "id") not in broken and isinstance(_dict(row).get("id"), str)
    return {"id": row["id"] if known else f"{_NOTHING}{path[-1]}", "tell": _NOTHING, "seen_by": _NOTHING}


def _stances(
    data: dict[str, Any], broken: Collection[Path], movements: list[dict[str, Any]], strange: list[str]
) -> tuple[dict[str, Any], frozenset[str]]:
    written = data.get("stance")
    if not isinstance(written, dict) or not written:
        # Which stances there are is not known, so every name that is used may be one.
        written = {}
        strange = [name for movement in movements for name in (*movement["from"], movement["to"])]
    unsound = {name for name in written if _within(("stance", name), broken)} | (set(strange) - set(written))
    stances = {name: {} if name in unsound else row for name, row in written.items()}
    return stances | {name: {} for name in sorted(unsound)}, frozenset(unsound)


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
