"""`stepcall run`: graded runs beside the screen: who may grade, sheets filled on paper, a table of all trials."""

import argparse
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.sponsor.sheet import Sheet


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_whose

    verb = verbs.add_parser("run", help="graded runs: graders, sheets filled on paper, tables", description=__doc__)
    actions = verb.add_subparsers(title="what to do", metavar="WHAT", required=True)
    show = actions.add_parser("list", help="a candidate's runs with their verdicts")
    show.add_argument("--json", action="store_true", help="for scripts")
    show.set_defaults(run=_list)
    enter = actions.add_parser("enter", help="put a sheet filled on paper into a candidate's record")
    enter.add_argument("file", metavar="FILE", help="plain lines or JSON; see 'stepcall run form'")
    enter.set_defaults(run=_enter)
    form = actions.add_parser("form", help="print a sheet to fill in an editor, for 'stepcall run enter'")
    form.set_defaults(run=_form)
    table = actions.add_parser("csv", help="write every trial of a candidate's runs to a new CSV file")
    table.add_argument("file", metavar="FILE", help="where no file is yet")
    table.set_defaults(run=_csv)
    sponsor = actions.add_parser("sponsor", help="name a candidate's sponsor, who then does not grade him")
    sponsor.add_argument("name", metavar="NAME")
    sponsor.set_defaults(run=_sponsor)
    grader = actions.add_parser("grader", help="name a grader and the last day of his qualification")
    grader.add_argument("name", metavar="NAME", nargs="?", help="without a name all are listed")
    grader.add_argument("--until", metavar="DATE", help="the last day, like 2027-03-31")
    grader.set_defaults(run=_grader)
    for action in (show, enter, form, table, sponsor, grader):
        add_whose(action)


def _list(arguments: argparse.Namespace) -> int:
    from trainer.cli.whose import opened
    from trainer.sponsor.sheet import sheets

    with opened(arguments) as who:
        held = sorted(sheets(who.candidate.events(), who.deck), key=lambda sheet: sheet.on)
        if arguments.json:
            out.data([_json(sheet) for sheet in held])
            return 0
        if not held:
            out.say(f"{who.candidate.profile.handle}: no run yet.")
        for sheet in held:
            out.say(_line(sheet))
    return 0


def _line(sheet: "Sheet") -> str:
    grader = f", graded by {sheet.grader}" if sheet.grader else ""
    told = sheet.begun.get("said_by")
    own = f", his own sponsor (told to by {told})" if told else ""
    early = ", before the wait for a retest was over" if sheet.begun.get("early") else ""
    failed = f"; majors failed: {', '.join(sheet.failed)}" if sheet.failed else ""
    minors = f"{sheet.now.minors_go} of {len(sheet.rows)} minors GO"
    return f"{sheet.on.isoformat()}: {sheet.outcome}, {minors}{failed}{grader}{own}{early}."


def _json(sheet: "Sheet") -> dict[str, Any]:
    return {
        "run": sheet.run,
        "on": sheet.on.isoformat(),
        "grader": sheet.grader,
        "verdict": sheet.recorded,
        "broken_off": sheet.broken_off or None,
        "minors_go": sheet.now.minors_go,
        "minors_open": sheet.ahead.open,
        "minors_to_go": sheet.ahead.to_go,
        "minors_may_fail": sheet.ahead.may_fail,
        "majors_failed": list(sheet.failed),
        "measures": [
            {
                "id": row.id,
                "go": row.go,
                "trials": [{"go": trial.go, "faults": list(trial.faults)} for trial in row.trials],
                "left": row.left,
            }
            for row in sheet.rows
        ],
    }


def _enter(arguments: argparse.Namespace) -> int:
    from pathlib import Path

    from trainer.cli.whose import opened
    from trainer.coach.candidate import CandidateError
    from trainer.coach.carrying import read_file
    from trainer.records.packet import PacketError
    from trainer.sponsor.graders import graders
    from trainer.sponsor.paper import enter, read_paper

    with opened(arguments) as who:
        try:
            raw = read_file(Path(arguments.file), "sheet")
        except PacketError as error:
            raise CandidateError(str(error)) from error
        sheet = enter(who.candidate, who.deck, graders(who.home), read_paper(raw, who.deck), who.moment)
        out.say(f"Entered for {who.candidate.profile.handle}. {_line(sheet)}")
    return 0


def _form(arguments: argparse.Namespace) -> int:
    from trainer.cli.whose import opened
    from trainer.coach.dates import day_of
    from trainer.sponsor.opening import gate, sheet_of
    from trainer.sponsor.sheet import BROKEN_OFF

    with opened(arguments) as who:
        sheet = sheet_of(who.deck)
        out.say(f"# {who.deck.title}: {who.candidate.profile.handle}. A line that begins with # is not read.")
        out.say(f"date: {day_of(who.moment).isoformat()}\ngrader: ")
        out.say(f"# Only what was checked before the run: {', '.join(gate(who.deck))}\nchecked: ")
        out.say(f"# Up to {sheet.trials} trials each: GO, NO-GO, or NO-GO with the faults seen: NO-GO (flat; 2), GO")
        for minor in sheet.minors:
            faults = ", ".join(f"{n} {fault.id}" for n, fault in enumerate(who.deck.movement(minor).faults, 1))
            out.say(f"# {who.deck.movement(minor).name}: {faults}\n{minor}: ")
        for major in sheet.majors:
            out.say(f"# major: {major.id}     ({major.text})")
        out.say("# note: ")
        out.say(f"# Only if the grader stopped the run before it was decided: {', '.join(BROKEN_OFF)}\n# broken off: ")
    return 0


def _csv(arguments: argparse.Namespace) -> int:
    from trainer.cli.new_file import write_new
    from trainer.cli.whose import opened
    from trainer.sponsor.export import csv_bytes, runs_table
    from trainer.sponsor.sheet import sheets

    with opened(arguments) as who:
        held = sheets(who.candidate.events(), who.deck)
        write_new(arguments.file, csv_bytes(runs_table(who.candidate.profile.handle, who.deck, held)))
    out.say(f"{arguments.file} is written: {len(held)} run{'' if len(held) == 1 else 's'}.")
    return 0


def _sponsor(arguments: argparse.Namespace) -> int:
    from trainer.cli.whose import opened
    from trainer.sponsor.graders import sponsored_by

    with opened(arguments) as who:
        who.candidate.set([sponsored_by(arguments.name)], who.moment)
        out.say(f"{who.candidate.profile.handle}'s sponsor is {arguments.name}, who grades him only when told to.")
    return 0


def _grader(arguments: argparse.Namespace) -> int:
    from trainer.cli.whose import placed
    from trainer.coach.candidate import CandidateError
    from trainer.coach.dates import date_words, day_of
    from trainer.sponsor.graders import graders, keep_grader

    with placed(arguments) as (home, moment):
        today = day_of(moment)
        if arguments.name:
            if not arguments.until:
                raise CandidateError("Say the last day of his qualification: --until 2027-03-31.")
            keep_grader(home, arguments.name, arguments.until)
        known = graders(home)
    for one in known:
        if one.ended(today):
            out.say(f"{one.name}: qualification ended on {date_words(one.until)}, may not grade until it is renewed.")
        else:
            out.say(f"{one.name}: may grade until {date_words(one.until)}.")
    if not known:
        out.say("No grader is named yet.")
    return 0
