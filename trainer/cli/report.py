"""`stepcall report`: sheets to print, as one self-contained HTML file or as plain text."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.report.page import Page

ABOUT = (
    "Sheets to print: a blank grade sheet, a candidate's progress, an evening of the study group. Each is one HTML "
    "file that prints on A4 and letter, without script and without anything from outside, or plain text with --text."
)


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_whose

    verb = verbs.add_parser("report", help="sheets to print", description=ABOUT)
    kinds = verb.add_subparsers(title="sheets", metavar="SHEET", required=True)
    sheet = kinds.add_parser("sheet", help="a deck's grade sheet, blank")
    sheet.add_argument("deck", metavar="DECK", help="id or file of a deck")
    sheet.set_defaults(make=_sheet)
    progress = kinds.add_parser("progress", help="a candidate's progress")
    add_whose(progress)
    progress.set_defaults(make=_progress)
    group = kinds.add_parser("group", help="an evening of the study group")
    group.add_argument("evening", metavar="EVENING", help="its name, as `stepcall group` lists it")
    group.add_argument("--deck", metavar="DECK", help="the deck it was held on, where that is a file of your own")
    group.set_defaults(make=_evening)
    for kind in (sheet, progress, group):
        kind.add_argument("--text", action="store_true", help="plain text in the place of HTML")
        kind.add_argument("--out", metavar="FILE", help="where to write it; to the terminal if not given")
        kind.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write a sheet."""
    from trainer.group.journal import EveningError
    from trainer.report.page import html_page, text_page

    try:
        page = arguments.make(arguments)
    except (EveningError, ValueError) as error:
        out.trouble(str(error))
        return 2
    text = text_page(page) if arguments.text else html_page(page)
    if arguments.out is None:
        out.say(text.rstrip("\n"))
        return 0
    return _written(Path(arguments.out), text)


def _written(path: Path, text: str) -> int:
    try:
        path.write_text(text, "utf-8")
    except OSError as error:
        out.trouble(f"{path} cannot be written: {error.strerror}. Give another place with --out.")
        return 2
    out.say(f"Written: {path}")
    return 0


def _sheet(arguments: argparse.Namespace) -> "Page":
    from trainer.authoring.shelf import open_deck
    from trainer.paths import home
    from trainer.report.sheets import blank_grade_sheet

    return blank_grade_sheet(open_deck(arguments.deck, home()))


def _progress(arguments: argparse.Namespace) -> "Page":
    from trainer.cli.whose import opened
    from trainer.coach.standing import open_standing
    from trainer.report.progress import progress_page

    with opened(arguments) as who:
        return progress_page(who.candidate, open_standing(who.candidate, who.deck, who.moment), who.moment)


def _evening(arguments: argparse.Namespace) -> "Page":
    from trainer.authoring.shelf import open_deck
    from trainer.group.kept import find_evening, open_evening
    from trainer.paths import home
    from trainer.quiz.points import points
    from trainer.report.evening import evening_page

    one = find_evening(home(), arguments.evening)
    deck = open_deck(arguments.deck or one.deck, home())
    return evening_page(open_evening(one.path, deck, points(deck)))
