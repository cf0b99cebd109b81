"""What pydantic complains of, in words for people who do not program."""

from collections.abc import Iterable
from typing import Any, NamedTuple

from trainer.authoring.complaint_words import WORDING, Error, name_of, nearest, shown, unknown_name
from trainer.authoring.places import Path


class Complaint(NamedTuple):
    """What is wrong with the value at a path, or with the name itself."""

    path: Path
    message: str
    of_name: bool = False


def complaints(errors: Iterable[Error], data: Any) -> list[Complaint]:
    """Put pydantic's errors about a deck's data into words, one for each place."""
    at: dict[Path, list[tuple[Error, Path]]] = {}
    for error in errors:
        path, tags = _path(error, data)
        at.setdefault(path, []).append((error, tags))
    found = []
    for path, group in at.items():
        value = _value_at(data, path)
        # A place that may hold one of several kinds is complained of once for each kind.
        if any(tags for _, tags in group) and len({tags for _, tags in group}) > 1:
            found.append(Complaint(path, _of_either(path, value, [error for error, _ in group])))
        elif not (_is_either(path, value) and any(inner[: len(path)] == path != inner for inner in at)):
            found += [_complaint(error, path, value) for error, _ in group]
    return found


def _path(error: Error, data: Any) -> tuple[Path, Path]:
    """Walk an error's `loc` against the data; return the path there, and the steps that name no value."""
    path: Path = ()
    tags: Path = ()
    here = data
    steps = error["loc"]
    for number, step in enumerate(steps):
        inside = isinstance(here, dict) and step in here
        if inside or (isinstance(here, list) and isinstance(step, int) and step < len(here)):
            path, here = (*path, step), here[step]
        elif error["type"] == "missing" and number == len(steps) - 1:
            path = (*path, step)
        else:
            tags = (*tags, step)
    if error["type"] == "named" and isinstance(here, dict) and error["ctx"]["name"] in here:
        path = (*path, error["ctx"]["name"])
    return path, tags


def _value_at(data: Any, path: Path) -> Any:
    for step in path:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return None
    return data


def _is_either(path: Path, value: Any) -> bool:
    """Whether a list of a range of cadences stands here, which is complained of item by item."""
    return path[-1:] == ("cadence",) and isinstance(value, list)


def _of_either(path: Path, value: Any, errors: list[Error]) -> str:
    name = path[-1]
    if name == "cadence":
        inner = next((error for error in errors if error["type"].startswith(("greater", "less"))), None)
        if inner is not None:
            return WORDING[inner["type"]](name_of(path), value, inner.get("ctx", {}), path)
        return f"{name_of(path)} must be a number, like 120, or a range of two, like [100, 120], not {shown(value)}"
    if isinstance(value, str):
        near = nearest(value, ["every", "all"])
        return f'{name_of(path)} must be a number from 1, or "every", not {shown(value)}{near}'
    return f'{name_of(path)} must be a whole number from 1 to 64, or "every", not {shown(value)}'


def _complaint(error: Error, path: Path, value: Any) -> Complaint:
    kind = error["type"]
    if kind == "extra_forbidden":
        return Complaint(path, unknown_name(path), of_name=True)
    if "[key]" in error["loc"]:
        return Complaint(path, f"{shown(path[-1])} cannot be the name of a stance: at most 60 letters", of_name=True)
    if kind == "named":
        return Complaint(path, str(error["ctx"]["message"]), of_name=True)
    if kind == "value_error":
        return Complaint(path, str(error["ctx"]["error"]))
    word = WORDING.get(kind)
    if word is None:
        return Complaint(path, f"{name_of(path)} cannot be {shown(value)}: {error['msg']}")
    return Complaint(path, word(name_of(path), value, error.get("ctx", {}), path))


# What each type of error means. Every function takes the name, the value, pydantic's context and the path.
