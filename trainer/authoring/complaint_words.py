"""What each kind of mistake in a deck's data means, in the words of an author."""

import re
from collections.abc import Callable, Mapping
from difflib import get_close_matches
from typing import Any

from trainer.authoring.places import Path
from trainer.authoring.tables import TABLES, TOP, kind_at, kinds_above
from trainer.plain import clip, visible

Error = Mapping[str, Any]

_ALLOWED = re.compile(r"'([^']*)'")

_SHOWN = 40

_NUMBERS_IN_TEXT = {
    **dict.fromkeys(("step", "length", "lift", "width", "ball"), "{} in"),
    **dict.fromkeys(("turn", "toes"), "{} right"),
    "pass": "{} %",
    "retest_after": "{} h",
    "tempo": "+{} %",
}
"""What stands around a number where a text is wanted, so that the advice does not lead into the next mistake."""

_IN_SHOWS = {
    **{f"{row}s": f'{row} = 2 for one of them, or {row} = "every"' for row in ("count", "word", "cue")},
    "every": 'count = "every" or word = "every"',
    "after": 'stance = "after"',
}
"""What authors write in a change, and what it is called there."""

_EXAMPLES = {
    "deck": "a block that begins with the line [deck]",
    "stance": 'blocks like [stance.marching] or [stance."half step"], one for each stance',
    "movement": "blocks that begin with the line [[movement]]",
    "id": 'like id = "right-flank"',
    "title": 'like title = "Marching test, harbour guard"',
    "unit": 'like unit = "in"',
    "name": 'like name = "Right flank, march"',
    "from": 'like from = ["marching"]',
    "to": 'like to = "marching"',
    "called_on": 'like called_on = "right"',
    "counts": "a list of rows, like counts = [ { … }, { … } ]",
    "words": "a list of rows, like words = [ { … }, { … } ]",
    "cues": "a list of rows, like cues = [ { … }, { … } ]",
    "faults": "a list of rows, like faults = [ { … }, { … } ]",
    "shows": "a list of rows, like shows = [ { count = 2, beat = 3 } ]",
    "cycle": 'a list of rows, like cycle = [ { foot = "right", place = "side" }, … ]',
    "majors": 'a list of rows, like majors = [ { id = "bearing", text = "…" } ]',
    "minors": 'like minors = ["halt", "right-flank"]',
    "sources": 'like sources = ["TC 3-21.5, 2012, 4-6"]',
    "cautions": 'like cautions = ["Drill on level ground."]',
    "sword": 'like sword = ["carry", "order"]',
    "beat": "like beat = -2 or beat = 1.5",
    "say": 'like say = "MARCH"',
    "sound": 'like sound = "single"',
    "tell": 'like tell = "Turns too early"',
    "text": 'like text = "Loses the rifle"',
    "pass": 'like pass = "75 %"',
    "trials": "like trials = 4",
    "needed": "like needed = 3",
    "length": 'like length = "12 in"',
    "width": 'like width = "4 in"',
    "ball": 'like ball = "9 in"',
}

_MEANT = {
    "feet": "foot",
    "description": "tell",
    "command": "words",
    "commands": "words",
    "steps": "counts",
    "errors": "faults",
    "call": "words",
    "arm": "arms",
    "word": "say",
}
"""Names that authors reach for, and the deck's own."""


def _missing(name: str, _value: Any, _context: Error, path: Path) -> str:
    table = TABLES[kind_at(path[:-1])].called
    example = _EXAMPLES.get(str(path[-1]), "")
    where = "in the file" if kind_at(path[:-1]) == TOP else f"in {table}"
    return f"{name} is missing {where}" + (f": add {example.removeprefix('like ')}" if example else "")


def _wrong_word(name: str, value: Any, context: Error, path: Path) -> str:
    if path[-1] == "drop":
        return "write drop = true, or leave it out"
    allowed = _ALLOWED.findall(str(context.get("expected", "")))
    listed = ", ".join(allowed)
    if not isinstance(value, str):
        return f"{name} must be one of these words, in quotes: {listed}; not {shown(value)}"
    if len(allowed) == 1:
        return f"{name} can only be '{allowed[0]}', not {shown(value)}"
    return f"{name} must be one of {listed}; not {shown(value)}{nearest(value, allowed)}"


def _text(name: str, value: Any, _context: Error, path: Path) -> str:
    if isinstance(value, list):
        return f"{name} must be one text, not a list: take the [ ] away"
    if isinstance(value, dict):
        return f"{name} must be a text in quotes, not a row or a block"
    form = _NUMBERS_IN_TEXT.get(str(path[-1]), "{}") if isinstance(value, int | float) else "{}"
    return f'{name} must be a text: put it in quotes, like "{form.format(_plain(value))}"'


def _list(name: str, value: Any, _context: Error, path: Path) -> str:
    if path == ("movement",):
        return "every movement begins with the line [[movement]], with two brackets on each side"
    example = _EXAMPLES.get(str(path[-1]), "")
    hint = f", {example}" if example else ""
    if isinstance(value, dict):
        return f"{name} must be a list of rows: put [ ] around it{hint}"
    return f"{name} must be a list: put it in [ ]{hint}"


def _table(name: str, value: Any, _context: Error, path: Path) -> str:
    if len(path) == 1 or (path[0] == "stance" and len(path) == 2):
        line = f"[{path[0]}]" if len(path) == 1 else f"[stance.{_quoted(str(path[1]))}]"
        if isinstance(value, list):
            return f"{name} is there once only: write {line}, with one bracket on each side"
        return f"{name} must be a block: write {line} and its names below it"
    if path[0] == "movement" and len(path) == 2:
        return f"{name} must be a block that begins with the line [[movement]]"
    return f"{name} must be a row in braces, like {{ … }}, not {shown(value)}"


def _map(_name: str, _value: Any, _context: Error, _path: Path) -> str:
    return f"stances are blocks with a name each: {_EXAMPLES['stance']}"


def _whole(name: str, value: Any, _context: Error, _path: Path) -> str:
    return f"{name} must be a whole number without quotes, like 3, not {shown(value)}"


def _number(name: str, value: Any, _context: Error, _path: Path) -> str:
    return f"{name} must be a number without quotes, like 2 or 1.5, not {shown(value)}"


def _switch(name: str, value: Any, _context: Error, _path: Path) -> str:
    return f"{name} must be true or false, without quotes, not {shown(value)}"


def _least(name: str, value: Any, context: Error, _path: Path) -> str:
    return f"{name} must be at least {context['ge']:g}, not {shown(value)}"


def _most(name: str, value: Any, context: Error, _path: Path) -> str:
    return f"{name} must be at most {context['le']:g}, not {shown(value)}"


def _empty(name: str, _value: Any, _context: Error, path: Path) -> str:
    example = _EXAMPLES.get(str(path[-1]), "")
    return f"{name} is empty" + (f"; write something, {example}" if example else "; write something, or take it out")


def _long(name: str, value: Any, context: Error, _path: Path) -> str:
    return f"{name} has {len(value)} letters; at most {context['max_length']} are allowed"


def _id(name: str, value: Any, _context: Error, _path: Path) -> str:
    better = re.sub(r"[^a-z0-9]+", "-", str(value).lower()).strip("-")
    hint = f". Did you mean '{better}'?" if better else ""
    return f"{name} holds small letters a to z, digits and single hyphens only, not {shown(value)}{hint}"


def _few(name: str, value: Any, context: Error, path: Path) -> str:
    if not value:
        return _empty(name, value, context, path)
    return f"{name} needs at least {context['min_length']} values, it has {len(value)}"


def _many(name: str, value: Any, context: Error, _path: Path) -> str:
    return f"{name} has {len(value)} values; at most {context['max_length']} are allowed"


WORDING: dict[str, Callable[[str, Any, Error, Path], str]] = {
    "missing": _missing,
    "literal_error": _wrong_word,
    "string_type": _text,
    "string_too_short": _empty,
    "string_too_long": _long,
    "string_pattern_mismatch": _id,
    "list_type": _list,
    "model_type": _table,
    "dict_type": _map,
    "int_type": _whole,
    "int_from_float": _whole,
    "float_type": _number,
    "bool_type": _switch,
    "greater_than_equal": _least,
    "less_than_equal": _most,
    "too_short": _few,
    "too_long": _many,
}


def name_of(path: Path) -> str:
    """Return what an author calls the value at a path; items are counted from 1."""
    last = path[-1]
    if isinstance(last, int):
        owner = next(step for step in reversed(path) if isinstance(step, str))
        return f"item {last + 1} of '{visible(owner)}'"
    return f"'{visible(last)}'"


def _plain(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    return clip(visible(f"{value:g}" if isinstance(value, float) else str(value)), _SHOWN)


def shown(value: Any) -> str:
    """Return a value as an author wrote it, cut to a few words."""
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a row or a block"
    return f"'{_plain(value)}'" if isinstance(value, str) else _plain(value)


def _quoted(name: str) -> str:
    return name if re.fullmatch(r"[A-Za-z0-9_-]+", name) else f'"{visible(name)}"'


def nearest(word: str, known: list[str]) -> str:
    """Return ` Did you mean 'x'?` for the nearest word, or nothing."""
    begun = [one for one in known if word and one.lower().startswith(word.lower())]
    if len(begun) == 1:
        return f". Did you mean '{begun[0]}'?"
    lower = {one.lower(): one for one in known}
    close = get_close_matches(word.lower(), list(lower), 1, 0.6)
    return f". Did you mean '{lower[close[0]]}'?" if close else ""


def unknown_name(path: Path) -> str:
    """Say where a name belongs, or which name may have been meant."""
    name = str(path[-1])
    kind = kind_at(path[:-1])
    table = TABLES[kind]
    here = "at the top of the file" if kind == TOP else f"in {table.called}"
    if "shows" in path and name in _IN_SHOWS:
        return f"'{name}' is not known {here}: write {_IN_SHOWS[name]}"
    around = [above for above in kinds_above(path[:-1]) if name in TABLES[above].names]
    if around:
        return f"'{visible(name)}' belongs to {TABLES[around[0]].called}: {TABLES[around[0]].move}"
    known = list(table.names)
    near = nearest(name, known)
    if _MEANT.get(name) in known:
        near = f". Did you mean '{_MEANT[name]}'?"
    elsewhere = [other for other in TABLES.values() if other is not table and name in other.names]
    if elsewhere and not near:
        move = f": {elsewhere[0].move}" if len(elsewhere) == 1 else ""
        places = " or ".join(other.called for other in elsewhere[:3])
        return f"'{visible(name)}' is not known {here}: it belongs to {places}{move}"
    if elsewhere:
        near += f" ('{visible(name)}' itself belongs to {elsewhere[0].called})"
    listed = "" if near else f". Known here: {', '.join(known)}"
    return f"'{clip(visible(name), _SHOWN)}' is not known {here}{near}{listed}"
