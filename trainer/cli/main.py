"""The command line: without a verb the screens, with one an answer for people or scripts."""

import argparse
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn, Protocol

from trainer import __version__
from trainer.plain import visible

EXIT_TROUBLE = 2
"""Exit code for bad input and for whatever the user can mend."""


DEMO_HELP = "open an invented unit in a throw-away copy"
CANDIDATE_HELP = "handle or id of a candidate on this laptop"


class Formatter(argparse.HelpFormatter):
    """Help as wide as the terminal. The library's own way to ask for the width loads every compressor there is."""

    def __init__(self, prog: str) -> None:
        super().__init__(prog, width=_columns() - 2)


def _columns() -> int:
    named = os.environ.get("COLUMNS", "")
    if named.isascii() and named.isdigit() and int(named):
        return int(named)
    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns or 80
    except (ValueError, OSError, AttributeError):
        return 80


class Parser(argparse.ArgumentParser):
    """A parser whose complaints hold nothing that acts on a terminal."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(**{"formatter_class": Formatter, **settings})

    def error(self, message: str) -> NoReturn:
        """Print the usage and the complaint, and leave with exit code 2."""
        super().error(visible(message))


class Verb(Protocol):
    """A module with a verb of its own name."""

    __name__: str

    def add(self, verbs: Any) -> None:
        """Add the verb to the parser."""


def parser(first: str = "") -> argparse.ArgumentParser:
    """Return the parser of all verbs, each added by its own module; of one verb alone where `first` names it."""
    from trainer.cli import ask, deck, doctor, forget, group, lane, packet, readiness, report, roster, run, task

    top = Parser(
        prog="stepcall",
        description="A trainer for a marching test: questions made from your unit's deck, and an honest chance of "
        "passing. Without a verb it opens the screens.",
        epilog="It supports the unit's own standard and qualified instruction; it replaces neither.",
    )
    top.add_argument("--version", action="version", version=f"stepcall {__version__}")
    add_whose(top)
    top.set_defaults(run=_screens, demo=False, candidate=None, heeds=())
    verbs = top.add_subparsers(title="verbs", metavar="VERB", dest="verb")
    modules: tuple[Verb, ...] = (ask, readiness, deck, lane, packet, doctor, forget, group, report, run, roster, task)
    # Making the parsers of all verbs takes longer than most verbs do; a verb that is named first needs no other.
    for module in [one for one in modules if one.__name__ == f"trainer.cli.{first}"] or modules:
        module.add(verbs)
    return top


def add_whose(verb: argparse.ArgumentParser) -> None:
    """Add the options that say whose records are meant."""
    add_demo(verb)
    verb.add_argument("--candidate", metavar="C", default=argparse.SUPPRESS, help=CANDIDATE_HELP)
    verb.set_defaults(heeds=("demo", "candidate"))


def add_demo(verb: argparse.ArgumentParser, told: str = DEMO_HELP) -> None:
    """Add the option that means the invented unit, for a verb that works on the records of all."""
    # Given before the verb it holds too, so a verb must not set it back to nothing.
    verb.add_argument("--demo", action="store_true", default=argparse.SUPPRESS, help=told)
    verb.set_defaults(heeds=("demo",))


def _unheeded(arguments: argparse.Namespace) -> str:
    """The option that says whose records are meant, where the verb would work on others all the same."""
    asked = [name for name in ("demo", "candidate") if arguments.verb and getattr(arguments, name)]
    return next((f"--{name}" for name in asked if name not in arguments.heeds), "")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    words = sys.argv[1:] if argv is None else argv
    arguments = parser(words[0] if words else "").parse_args(words)
    try:
        option = _unheeded(arguments)
        if option:
            from trainer.cli.out import trouble

            trouble(f"{option} does not go with '{arguments.verb}' as it was typed; nothing was done. Leave it out.")
            return EXIT_TROUBLE
        return int(arguments.run(arguments))
    except KeyboardInterrupt:
        return 130
    except BrokenPipeError:
        # Whoever read our output has gone; nothing more can be said to him.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return EXIT_TROUBLE
    except Exception as error:
        return _told(error)


def _told(error: Exception) -> int:
    """Put an error into a sentence; one that nobody foresaw goes to a file, whole."""
    from trainer.authoring.shelf import DeckError
    from trainer.cli.out import trouble
    from trainer.coach.candidate import CandidateError
    from trainer.paths import HomeError
    from trainer.records.errors import LogError

    if isinstance(error, DeckError | CandidateError | LogError | HomeError):
        trouble(str(error))
        return EXIT_TROUBLE
    from trainer.cli.crash import keep_traceback

    trouble(f"Something unforeseen went wrong ({type(error).__name__}). {keep_traceback(error)}")
    return 1


def _screens(arguments: argparse.Namespace) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        sys.stderr.write(parser().format_help())
        return EXIT_TROUBLE
    # A paint otherwise waits for the next sixtieth of a second, late for a beat; nothing is painted more often for it.
    os.environ.setdefault("TEXTUAL_FPS", "1000")
    from trainer.screens.app import open_screens

    return open_screens(demo=arguments.demo, candidate=arguments.candidate)


def run() -> None:
    """Run the program and leave with its exit code."""
    sys.exit(main())


if __name__ == "__main__":
    run()
