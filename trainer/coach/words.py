"""Readiness in words, for the screens and for plain lines alike."""

from trainer.coach.candidate import Profile
from trainer.coach.forecast import Measured, Outlook
from trainer.drill.deck import Deck
from trainer.memory.readiness import ASSUMED, Assumptions, Chance

HONESTY = "Forecast from a model tried on synthetic learners only; no person has been measured."

LONGEST_NAME = 34
"""Columns of a measure's name in plain lines, so that a line has at most 76."""


def percent(share: float) -> str:
    """Return a share as whole percent; never 0 or 100, for nothing here is certain."""
    if share <= 0.005:
        return "under 1 %"
    if share >= 0.995:
        return "over 99 %"
    return f"{share * 100:.0f} %"


def chance_words(chance: Chance) -> str:
    """Return the chance of a GO as a sentence, with its band unless that is narrower than can be said."""
    if percent(chance.low) == percent(chance.high):
        return f"Chance of a GO: {percent(chance.go)}."
    band = f"8 times in 10 between {percent(chance.low)} and {percent(chance.high)}"
    return f"Chance of a GO: {percent(chance.go)} ({band})."


def standing_words(chance: Chance) -> str:
    """Return readiness in plain words, by the chance alone."""
    for least, words in (
        (0.9, "Ready"),
        (0.75, "Nearly ready"),
        (0.5, "More likely than not"),
        (0.25, "Not yet"),
    ):
        if chance.go >= least:
            return words
    return "Far from ready"


def readiness_words(outlook: Outlook) -> str:
    """Return readiness in plain words: not known before anything was asked, on paper while execution is assumed."""
    if outlook.chance is None or not (outlook.asked or not outlook.assumed):
        return "Not known yet"
    words = standing_words(outlook.chance)
    return f"{words} on paper" if outlook.assumed and words in ("Ready", "Nearly ready") else words


def days_words(days: int | None) -> str:
    """Return the time to the test in words."""
    if days is None:
        return "no test date"
    if days < 0:
        return f"the test date was {-days} day{'s' if days != -1 else ''} ago"
    return {0: "the test is today", 1: "the test is tomorrow"}.get(days, f"{days} days to the test")


def outlook_lines(deck: Deck, profile: Profile, days: int | None, outlook: Outlook) -> list[str]:
    """Return the whole forecast as plain lines."""
    lines = [f"{profile.handle}: {deck.title}; {days_words(days)}."]
    if outlook.chance is None:
        lines.append("This deck has no grade sheet, so there is no chance to forecast.")
        lines.append(f"Mean recall on the date: {percent(outlook.mean_recall)}.")
    else:
        lines.append(f"{readiness_words(outlook)}. {chance_words(outlook.chance)}")
    lines.append(f"Points asked: {outlook.asked} of {outlook.total}.")
    if outlook.measures:
        width = max(len(measure.name) for measure in outlook.measures)
        width = min(width, LONGEST_NAME)
        lines.append(f"{'measure':{width}}  {'knowledge':>9}  {'execution':>9}  {'GO':>9}  asked")
        for measure in outlook.measures:
            lines += _measure_lines(measure, width)
        lines += assumed_lines(outlook)
    lines.append(HONESTY)
    return lines


def assumed_lines(outlook: Outlook, assumptions: Assumptions = ASSUMED) -> list[str]:
    """Return what is assumed of execution where nothing was observed, a sentence each."""
    where = "no graded run is on record" if outlook.assumed else "where no trial was seen"
    joint = ", " if outlook.assumed else " "
    minor, major = _share(assumptions.minor), _share(assumptions.major)
    return [
        f"Execution is assumed{joint}{where}: {minor} trials, majors kept {major} tests.",
        f"Without the knowledge a trial still succeeds {percent(assumptions.slip)} as often.",
    ]


def _share(parameters: tuple[float, float]) -> str:
    good, bad = parameters
    return f"{good:g} of {good + bad:g}"


def _measure_lines(measure: Measured, width: int) -> list[str]:
    """Return a measure as a line of the table; a longer name gets a line of its own, for nothing is cut here."""
    known = "major" if measure.knowledge is None else percent(measure.knowledge)
    asked = f"{measure.asked} of {measure.points}" if measure.points else "-"
    first, name = ([], measure.name) if len(measure.name) <= width else ([measure.name], "")
    return [*first, f"{name:{width}}  {known:>9}  {percent(measure.execution):>9}  {percent(measure.go):>9}  {asked}"]
