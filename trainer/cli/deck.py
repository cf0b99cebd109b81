"""`stepcall deck`: list, show, check and begin decks."""

import argparse
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.authoring.problems import Problem
    from trainer.drill.deck import Deck
    from trainer.drill.movement import Fault, Movement

EXIT_TROUBLE = 2
_DECK_HELP = "id of a shipped deck, or the path of a deck file"


def add(subparsers: Any) -> None:
    """Add the verb to the parser."""
    verb = subparsers.add_parser("deck", help="list, show, check and begin decks", description=__doc__)
    below = verb.add_subparsers(title="what to do", metavar="WHAT", required=True)
    _add(below, "list", _list, "the decks that come with the program", json=True)
    show = _add(below, "show", _show, "a deck's movements, or one movement beat by beat", json=True)
    show.add_argument("deck", metavar="DECK", help=_DECK_HELP)
    show.add_argument("movement", metavar="MOVEMENT", nargs="?", help="id of one of its movements")
    show.add_argument("--from", dest="stance", metavar="STANCE", help="the stance it starts from (else its first)")
    show.add_argument("--foot", choices=("left", "right"), help="the foot of beat 0, where either may have it")
    show.add_argument("--fault", metavar="ID", help="show the movement with one of its faults")
    check = _add(below, "check", _check, "say what is wrong in deck files, by line", json=True)
    check.add_argument("files", metavar="FILE", nargs="+", help="deck files")
    new = _add(below, "new", _new, "write a deck to begin with", json=False)
    new.add_argument("file", metavar="FILE", help="the file to write; it must not be there yet")
    new.add_argument("--title", help="the deck's title")
    cut = _add(below, "cut", _cut, "write a focused deck: some movements of a larger one", json=False)
    cut.add_argument("deck", metavar="DECK", help=_DECK_HELP)
    cut.add_argument("file", metavar="FILE", help="the file to write; it must not be there yet")
    cut.add_argument("--movements", metavar="ID,…", required=True, help="ids of the movements to keep")
    cut.add_argument("--title", help="the focused deck's title")
    _add(below, "schema", _schema, "print the JSON Schema of deck files, for editors", json=False)


def _add(
    below: Any, name: str, run: Callable[[argparse.Namespace], int], what: str, *, json: bool
) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = below.add_parser(name, help=what, description=f"{what[0].upper()}{what[1:]}.")
    if json:
        parser.add_argument("--json", action="store_true", help="for scripts")
    parser.set_defaults(run=run)
    return parser


def _list(arguments: argparse.Namespace) -> int:
    from trainer.authoring.shelf import shipped
    from trainer.paths import home
    from trainer.quiz.points import points

    rows = [
        {
            "id": shelved.id,
            "title": shelved.title,
            "path": str(shelved.path),
            "movements": shelved.movements,
            "points": len(points(shelved.deck)),
        }
        for shelved in shipped(home())
    ]
    if arguments.json:
        out.data(rows)
        return 0
    for row in rows:
        out.say(f"{row['id']}: {row['title']}, {row['movements']} movements, {row['points']} points")
    return 0


def _show(arguments: argparse.Namespace) -> int:
    from trainer.authoring.shelf import open_deck
    from trainer.paths import home

    deck = open_deck(arguments.deck, home())
    if arguments.movement is None:
        if arguments.json:
            out.data(_outline(deck))
        else:
            from trainer.cli.beat_table import deck_lines

            _say_all(deck_lines(deck))
        return 0
    movement = _movement(deck, arguments.movement)
    stance = _stance(movement, arguments.stance)
    fault = _fault(movement, arguments.fault) if arguments.fault is not None else None
    if arguments.foot not in (None, movement.called_on) and movement.called_on != "either":
        out.trouble(f"'{movement.id}' cannot be called on either foot ({movement.called_on}); --foot changes nothing.")
    foot = arguments.foot or "left"
    if arguments.json:
        from trainer.drill.shown import shown

        out.data(shown(deck, movement, stance, foot, fault))
    else:
        from trainer.cli.beat_table import movement_lines

        _say_all(movement_lines(deck, movement, stance, foot, fault))
    return 0


def _say_all(lines: Iterable[str]) -> None:
    out.say("\n".join(lines))


def _outline(deck: "Deck") -> dict[str, Any]:
    sheet = deck.grade_sheet
    rule = sheet and {
        "needed": sheet.needed,
        "trials": sheet.trials,
        "minors": list(sheet.minors),
        "minors_to_pass": sheet.rule.minors_to_pass,
        "majors": [{"id": major.id, "text": major.text} for major in sheet.majors],
        "retest_after_hours": sheet.retest_after_hours,
        "stop_when_decided": sheet.stop_when_decided,
        "sequence_graded": sheet.sequence_graded,
        "bad_prompt": sheet.bad_prompt,
    }
    return {
        "id": deck.id,
        "standard": deck.standard,
        "title": deck.title,
        "unit": deck.unit,
        "sources": list(deck.sources),
        "cautions": list(deck.cautions),
        "grade_sheet": rule,
        "movements": [
            {
                "id": movement.id,
                "name": movement.name,
                "command": movement.command,
                "from": list(movement.from_stances),
                "to": movement.to,
                "called_on": movement.called_on,
                "source": movement.source,
                "unconfirmed": movement.unconfirmed,
                "faults": [{"id": fault.id, "tell": fault.tell} for fault in movement.faults],
            }
            for movement in deck.movements
        ],
    }


def _movement(deck: "Deck", name: str) -> "Movement":
    try:
        return deck.movement(name)
    except KeyError:
        ids = [movement.id for movement in deck.movements]
        raise _unknown(f"The deck '{deck.id}' has no movement '{name}'", name, ids) from None


def _stance(movement: "Movement", name: str | None) -> str | None:
    if name is None or name in movement.from_stances:
        return name
    raise _unknown(f"'{movement.id}' does not start from '{name}'", name, movement.from_stances)


def _fault(movement: "Movement", name: str) -> "Fault":
    fault = movement.fault(name)
    if fault is None:
        ids = [one.id for one in movement.faults]
        raise _unknown(f"'{movement.id}' has no fault '{name}'", name, ids)
    if not fault.shows:
        out.trouble(f"'{name}' does not show in the beats; {fault.seen_by} sees or hears it.")
    return fault


def _unknown(what: str, name: str, known: Iterable[str]) -> Exception:
    from trainer.authoring.shelf import DeckError
    from trainer.drill.checks import nearest

    return DeckError(f"{what}.{nearest(name, known)}")


def _check(arguments: argparse.Namespace) -> int:
    from trainer.authoring.reading import read_deck

    readings = [read_deck(file) for file in arguments.files]
    problems = [problem for reading in readings for problem in reading.problems]
    if arguments.json:
        out.data([problem._asdict() for problem in problems])
        return EXIT_TROUBLE if problems else 0
    for reading in readings:
        if reading.deck is not None:
            out.say(f"{reading.file}: no problems, {len(reading.deck.movements)} movements.")
        lines = reading.text.split("\n")
        for problem in reading.problems:
            _say_problem(problem, lines)
    if problems:
        out.say("1 problem." if len(problems) == 1 else f"{len(problems)} problems.")
    return EXIT_TROUBLE if problems else 0


def _say_problem(problem: "Problem", lines: list[str]) -> None:
    """Say a problem with its line and a mark under its place; a long line is cut to what is around it."""
    from trainer.plain import clip, columns, visible

    out.say(str(problem))
    if not 0 < problem.line <= len(lines):
        return
    text = lines[problem.line - 1].replace("\t", " ")
    begin = max(0, problem.column - 40) if len(text) > 70 else 0
    before = visible(text[begin : problem.column - 1])
    shown = clip(("…" if begin else "") + visible(text[begin:]), 70)
    if not shown.strip():
        return
    out.say(f"{problem.line:>6} | {shown}")
    out.say(f"       | {' ' * (columns(before) + bool(begin))}^")


def _new(arguments: argparse.Namespace) -> int:
    from trainer.authoring.reading import read_deck_bytes
    from trainer.authoring.shelf import DeckError
    from trainer.authoring.template import USUAL_TITLE, template
    from trainer.cli.new_file import write_new
    from trainer.plain import visible

    title = USUAL_TITLE if arguments.title is None else arguments.title
    text = template(title).encode("utf-8", "replace")
    problems = read_deck_bytes(text, arguments.file).problems
    if problems:
        raise DeckError(f"This cannot be the title of a deck: {problems[0].message}.", problems)
    write_new(arguments.file, text, private=False)
    file = visible(arguments.file)
    out.say(f"{file} is written. Change it to your unit's standard, then: stepcall deck check {file}")
    return 0


def _cut(arguments: argparse.Namespace) -> int:
    from trainer.authoring.cutting import CutError, cut
    from trainer.authoring.reading import read_deck, read_deck_bytes
    from trainer.authoring.shelf import DeckError, find, open_deck
    from trainer.cli.new_file import write_new
    from trainer.paths import home

    whole = open_deck(arguments.deck, home())
    data = read_deck(find(arguments.deck, home())).data
    wanted = [name.strip() for name in arguments.movements.split(",") if name.strip()]
    title = f"{whole.title}, a part" if arguments.title is None else arguments.title
    try:
        text = cut(data or {}, wanted, f"{whole.id[:55]}-part", title).encode("utf-8", "replace")
    except CutError as error:
        raise DeckError(str(error)) from None
    problems = read_deck_bytes(text, arguments.file).problems
    if problems:
        raise DeckError(f"This cannot be cut so: {problems[0].message}.", problems)
    write_new(arguments.file, text, private=False)
    out.say(f"{arguments.file} is written: {len(set(wanted))} of {len(whole.movements)} movements.")
    out.say("Its points are those of the larger deck: what was learnt of them counts here too.")
    return 0


def _schema(_arguments: argparse.Namespace) -> int:
    from trainer.authoring.schema import schema_text

    out.say(schema_text().rstrip("\n"))
    return 0
