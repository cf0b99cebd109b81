"""A focused deck cut out of a larger one: some of its movements, their stances, and the points that they had.

Its standard is that of the larger deck, so that the points keep their ids and what was learnt of them. A grade sheet
goes along only where every minor does: a part of a test is not the test.
"""

import json
import re
from collections.abc import Collection, Iterator, Mapping
from difflib import get_close_matches
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_TABLES = ("deck", "stance", "grade_sheet", "movement")


class CutError(ValueError):
    """A deck that cannot be cut so; the message is a sentence."""


def cut(data: Mapping[str, Any], movements: Collection[str], deck_id: str, title: str) -> str:
    """Return a focused deck as TOML 1.0; comments of the larger one are not kept.

    Args:
        data: the checked data of the larger deck.
        movements: ids of the movements to keep; they keep the order of the deck.
        deck_id: id of the focused deck.
        title: its title.

    Raises:
        CutError: where a movement is unknown, or none is named.
    """
    known = [movement["id"] for movement in data["movement"]]
    for wanted in movements:
        if wanted not in known:
            close = get_close_matches(wanted, known, 1)
            hint = f" Did you mean '{close[0]}'?" if close else f" There are {', '.join(known)}."
            raise CutError(f"The deck has no movement '{wanted}'.{hint}")
    if not movements:
        raise CutError("Name at least one movement to keep.")
    head = dict(data["deck"]) | {"id": deck_id, "standard": data["deck"].get("standard", data["deck"]["id"])}
    head["title"] = title
    found: dict[str, Any] = {"deck": head, "stance": data["stance"]}
    sheet = data.get("grade_sheet")
    if sheet is not None and set(sheet["minors"]) <= set(movements):
        found["grade_sheet"] = sheet
    found["movement"] = [movement for movement in data["movement"] if movement["id"] in movements]
    return deck_text(found)


def deck_text(data: Mapping[str, Any]) -> str:
    """Return checked deck data as the text of a deck file, rows one a line."""
    lines: list[str] = []
    for name in _TABLES:
        if name == "stance":
            for stance, table in data["stance"].items():
                lines += [f"[stance.{_key(stance)}]", *_fields(table), ""]
        elif name == "movement":
            for movement in data["movement"]:
                lines += ["[[movement]]", *_fields(movement), ""]
        elif name in data:
            lines += [f"[{name}]", *_fields(data[name]), ""]
    return "\n".join(lines)


def _fields(table: Mapping[str, Any]) -> Iterator[str]:
    for name, value in table.items():
        if isinstance(value, list) and len(value) > 1 and isinstance(value[0], dict | str):
            yield f"{_key(name)} = ["
            yield from (f"  {_value(row)}," for row in value)
            yield "]"
        else:
            yield f"{_key(name)} = {_value(value)}"


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        # A basic string of TOML 1.0 takes every escape that JSON writes for text without surrogates.
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, list):
        return f"[{', '.join(map(_value, value))}]"
    if isinstance(value, dict):
        return f"{{ {', '.join(f'{_key(name)} = {_value(one)}' for name, one in value.items())} }}"
    return repr(value)


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _value(name)
