"""What is typed to a verb, line by line; whatever bytes come in, they are read."""

import io
import sys

from trainer.cli import out

LONGEST_LINE = 4000
"""Characters of a line that are read; the rest of a longer one is passed over."""


def ask(question: str) -> str | None:
    """Show what is asked for and return the line that is typed behind it, None at the end of input."""
    out.prompt(question)
    return line()


def line() -> str | None:
    """Return the next line, None at the end of input; bytes that are no text become replacement characters."""
    if isinstance(sys.stdin, io.TextIOWrapper) and sys.stdin.errors != "replace":
        sys.stdin.reconfigure(errors="replace")
    read = sys.stdin.readline(LONGEST_LINE)
    rest = read
    while len(rest) == LONGEST_LINE and not rest.endswith("\n"):
        rest = sys.stdin.readline(LONGEST_LINE)
    return read or None
