"""The grade sheet's rule in whole numbers: one rule for verdict and forecast."""

from collections.abc import Mapping, Sequence
from typing import NamedTuple

MINOR, MAJOR = "minor", "major"
GRADER = "grader"
SHEET_ID = "grade-sheet"
"""Stands where a movement's id stands otherwise, for what belongs to the sheet itself."""


class Share(NamedTuple):
    """An exact share such as 75 of 100; never a float, so that 8 of 10 is not 7.999 of 10."""

    part: int
    whole: int

    def of(self, count: int) -> int:
        """Return the smallest whole number that is at least this share of `count`."""
        return -(-self.part * count // self.whole)

    def __str__(self) -> str:
        if self.whole in (100, 1000, 10000):
            return f"{self.part * 100 / self.whole:g} %"
        return f"{self.part} of {self.whole}"


def parse_share(text: str) -> Share:
    """Read `75 %`, `66.7 %` or `8 of 9`.

    Raises:
        ValueError: with a sentence for the author.
    """
    problem = ValueError(f'a share is written "75 %" or "8 of 9", not "{text}"')
    parts = text.replace("%", " % ").split()
    if len(parts) == 2 and parts[1] == "%":
        whole, _, decimals = parts[0].partition(".")
        if not (whole.isascii() and whole.isdigit()) or len(whole) > 3 or len(decimals) > 2:
            raise problem
        if decimals and not (decimals.isascii() and decimals.isdigit()):
            raise problem
        share = Share(int(whole + decimals), 100 * 10 ** len(decimals))
    elif len(parts) == 3 and parts[1] == "of" and all(p.isascii() and p.isdigit() for p in parts[::2]):
        share = Share(int(parts[0]), int(parts[2]))
    else:
        raise problem
    if not 0 < share.part <= share.whole:
        raise ValueError(f'a share lies above 0 % and not above 100 %, so it cannot be "{text}"')
    return share


class SheetRule(NamedTuple):
    """How a grade sheet decides.

    A minor measure is GO with at least `needed` right of `trials`; the test with at least
    `minors_to_pass` minors GO and no major failed.
    """

    needed: int
    trials: int
    minors_to_pass: int
    majors: tuple[str, ...]


class Measure(NamedTuple):
    """One performance measure: a minor is a movement, a major a rule that must not be broken."""

    id: str
    kind: str
    text: str


class GradeSheet(NamedTuple):
    """The deck's own grade sheet.

    Attributes:
        share: of the minors that must be GO.
        trials: how often each minor is tried.
        needed: how many of its trials must be right.
        minors: ids of movements, in the order of the sheet.
        majors: rules of which none may be broken.
        retest_after_hours: the wait after a NO-GO, None where the standard sets none.
        stop_when_decided: whether a minor is tried no more once its trials have decided it.
        sequence_graded: whether the minors are graded in the order of the sheet and in no other.
        bad_prompt: who rules that a prompt was bad, so that its trial does not count.
    """

    share: Share
    trials: int
    needed: int
    minors: tuple[str, ...]
    majors: tuple[Measure, ...]
    retest_after_hours: int | None = None
    stop_when_decided: bool = True
    sequence_graded: bool = False
    bad_prompt: str = GRADER

    @property
    def rule(self) -> SheetRule:
        """The rule that follows from the share and the number of minors."""
        majors = tuple(major.id for major in self.majors)
        return SheetRule(self.needed, self.trials, self.share.of(len(self.minors)), majors)


class Outstanding(NamedTuple):
    """What a sheet still asks for.

    Attributes:
        open: minors that are neither GO nor NO-GO.
        to_go: how many of them must still be GO.
        may_fail: how many of them may still be NO-GO; None once the sheet cannot be passed.
    """

    open: int
    to_go: int
    may_fail: int | None


class Verdict(NamedTuple):
    """What a sheet says: `go` is None while it is still open."""

    go: bool | None
    minors_go: int
    minors_open: int


def measure_go(rule: SheetRule, trials: Sequence[bool]) -> bool | None:
    """Return GO or NO-GO of one minor measure, or None while its trials can still decide."""
    seen = list(trials[: rule.trials])
    right = sum(seen)
    if right >= rule.needed:
        return True
    if right + rule.trials - len(seen) < rule.needed:
        return False
    return None


def outstanding(rule: SheetRule, minors: Mapping[str, Sequence[bool]], failed: Sequence[str]) -> Outstanding:
    """Return what a sheet still asks for; arguments as of `verdict`."""
    now = verdict(rule, minors, failed)
    to_go = max(0, rule.minors_to_pass - now.minors_go)
    return Outstanding(now.minors_open, to_go, None if now.go is False else now.minors_open - to_go)


def verdict(rule: SheetRule, minors: Mapping[str, Sequence[bool]], failed: Sequence[str]) -> Verdict:
    """Return the verdict of a sheet.

    Args:
        rule: the sheet's rule.
        minors: the trials of every minor of the sheet, by id; an empty sequence where none was tried.
        failed: ids of majors that were failed; any of them ends the test.
    """
    results = [measure_go(rule, trials) for trials in minors.values()]
    go = sum(result is True for result in results)
    still_open = sum(result is None for result in results)
    decided: bool | None = None
    if failed or go + still_open < rule.minors_to_pass:
        decided = False
    elif go >= rule.minors_to_pass:
        # An open minor can no longer change the verdict; majors are judged until the last command.
        decided = True if not still_open else None
    return Verdict(decided, go, still_open)
