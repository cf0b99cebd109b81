"""`stepcall report`: sheets to print, as one self-contained HTML file or as plain text."""

import argparse
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.report.page import Page

ABOUT = (
    "Sheets to print: a blank grade sheet, a candidate's progress, a graded run, what a group fails, a caller's "
    "script, an evening of the study group. Each is one HTML file that prints on A4 and letter, without script and "
    "without anything from outside, or plain text with --text."
)
LANE_MARGIN = "6 in"
"""Half a sole: footprints leave the space between the feet out of account."""


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_demo, add_whose

    verb = verbs.add_parser("report", help="sheets to print", description=ABOUT)
    kinds = verb.add_subparsers(title="sheets", metavar="SHEET", required=True)
    sheet = kinds.add_parser("sheet", help="a deck's grade sheet, blank")
    sheet.add_argument("deck", metavar="DECK", help="id or file of a deck")
    sheet.set_defaults(make=_sheet)
    progress = kinds.add_parser("progress", help="a candidate's progress")
    add_whose(progress)
    progress.set_defaults(make=_progress)
    graded = kinds.add_parser("run", help="a candidate's graded run, the last one unless a day is given")
    add_whose(graded)
    graded.add_argument("--on", metavar="DATE", help="the day of the run, like 2026-03-31")
    graded.set_defaults(make=_run_sheet)
    lane = kinds.add_parser("lane", help="the caller's script for a marching surface")
    lane.add_argument("deck", metavar="DECK", help="id or file of a deck")
    lane.add_argument("--surface", metavar="SIDES", required=True, help='its sides, like "60 ft x 40 ft"')
    lane.set_defaults(make=_lane)
    cohort = kinds.add_parser("cohort", help="what the whole group fails, deck by deck")
    add_demo(cohort, "the invented unit")
    cohort.set_defaults(make=_cohort)
    group = kinds.add_parser("group", help="an evening of the study group")
    group.add_argument("evening", metavar="EVENING", help="its name, as `stepcall group` lists it")
    group.add_argument("--deck", metavar="DECK", help="the deck it was held on, where that is a file of your own")
    group.set_defaults(make=_evening)
    for kind in (sheet, progress, graded, lane, cohort, group):
        kind.add_argument("--text", action="store_true", help="plain text in the place of HTML")
        kind.add_argument("--out", metavar="FILE", help="where no file is yet; to the terminal if not given")
        kind.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Write a sheet."""
    from trainer.cli.new_file import write_new
    from trainer.drill.lane.surface import LaneError
    from trainer.group.journal import EveningError
    from trainer.report.page import html_page, text_page

    try:
        page = arguments.make(arguments)
    except (EveningError, LaneError) as error:
        out.trouble(str(error))
        return 2
    text = text_page(page) if arguments.text else html_page(page)
    if arguments.out is None:
        out.say(text.rstrip("\n"))
        return 0
    write_new(arguments.out, text.encode("utf-8"))
    out.say(f"Written: {arguments.out}")
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


def _run_sheet(arguments: argparse.Namespace) -> "Page":
    from trainer.cli.whose import opened
    from trainer.coach.candidate import CandidateError
    from trainer.report.run import run_page
    from trainer.sponsor.sheet import latest, sheets

    with opened(arguments) as who:
        handle = who.candidate.profile.handle
        held = [one for one in sheets(who.candidate.events(), who.deck) if arguments.on in (None, one.on.isoformat())]
        last = latest(held)
        if last is None:
            when = f" of {arguments.on}" if arguments.on else ""
            raise CandidateError(f"No graded run{when} of {handle} is on record: d on Today grades one.")
        return run_page(handle, who.deck, last)


def _cohort(arguments: argparse.Namespace) -> "Page":
    from trainer.cli.whose import placed
    from trainer.coach.dates import date_words, day_of
    from trainer.report.cohort import cohort_page
    from trainer.sponsor.cohort import cohorts
    from trainer.sponsor.kept_rows import rows

    with placed(arguments) as (home, moment):
        return cohort_page(cohorts(rows(home, moment), home), date_words(day_of(moment)))


def _lane(arguments: argparse.Namespace) -> "Page":
    from trainer.authoring.shelf import open_deck
    from trainer.drill.lane.asked import Asked, sheet_trials
    from trainer.drill.lane.plan import plan
    from trainer.drill.lane.surface import LaneError, Surface, parse_margin, parse_surface
    from trainer.paths import home
    from trainer.report.lane import lane_page

    deck = open_deck(arguments.deck, home())
    surface = Surface(*parse_surface(arguments.surface, deck.unit), parse_margin(LANE_MARGIN, deck.unit))
    found = plan(deck, Asked(sheet_trials(deck), surface))
    if found is None:
        raise LaneError(
            "No order of commands fits this surface. See what does not fit: "
            f'stepcall lane {arguments.deck} --surface "{arguments.surface}".'
        )
    return lane_page(deck, found)


def _evening(arguments: argparse.Namespace) -> "Page":
    from trainer.authoring.shelf import open_deck
    from trainer.group.kept import find_evening, open_evening
    from trainer.paths import home
    from trainer.quiz.points import points
    from trainer.report.evening import evening_page

    one = find_evening(home(), arguments.evening)
    deck = open_deck(arguments.deck or one.deck, home())
    return evening_page(open_evening(one.path, deck, points(deck)))
