"""What a verb prints: data and answers to stdout, talk to stderr, nothing that acts on a terminal."""

import sys
from typing import Any, TextIO

from trainer.plain import visible


def say(text: str = "") -> None:
    """Write a line, or several, for people to stdout."""
    _write(sys.stdout, visible(text, lines=True) + "\n")


def prompt(text: str) -> None:
    """Write to stdout what is asked for, without a line end: the answer is typed behind it."""
    _write(sys.stdout, visible(text))


def data(value: Any) -> None:
    """Write a value as one line of JSON to stdout; everything beyond ASCII is escaped.

    Raises:
        ValueError: if a number in it is not finite.
    """
    import json  # only here: most verbs talk in plain lines

    _write(sys.stdout, json.dumps(value, allow_nan=False) + "\n")


def trouble(text: str) -> None:
    """Write what went wrong to stderr."""
    try:
        _write(sys.stderr, visible(text, lines=True) + "\n")
    except OSError:
        return  # nobody listens any more; the exit code says it too


def _write(stream: TextIO, text: str) -> None:
    """Write at once, so that a script on the other end need not wait; letters that it cannot take are named."""
    encoding = stream.encoding or "ascii"
    stream.write(text.encode(encoding, "backslashreplace").decode(encoding))
    stream.flush()
