"""A problem in a file: where it is, what is wrong, what to do."""

from collections.abc import Iterable
from typing import NamedTuple

from trainer.plain import visible

MOST_PROBLEMS = 100
"""Problems listed for one file; a file with more is mended in rounds."""


class Problem(NamedTuple):
    """One problem; lines and columns count characters from 1, line 0 means the file as a whole."""

    file: str
    line: int
    column: int
    message: str

    def __str__(self) -> str:
        """Give the problem as one line, with nothing in it that acts on a terminal."""
        place = f":{self.line}:{self.column}" if self.line else ""
        return visible(f"{self.file}{place}: {self.message}")


def in_order(problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Sort problems by place, drop repeats, and end a list of more than `MOST_PROBLEMS` by saying so."""
    ordered = sorted(set(problems), key=lambda problem: (problem.file, problem.line, problem.column, problem.message))
    if len(ordered) <= MOST_PROBLEMS:
        return tuple(ordered)
    first_left = ordered[MOST_PROBLEMS]
    return (*ordered[:MOST_PROBLEMS], first_left._replace(message="from here on there is more; mend the above first"))
