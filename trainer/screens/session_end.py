"""The end of a sitting: what moved, the chance before and now, what still weighs most."""

from typing import ClassVar

from textual.binding import Binding, BindingType

from trainer.coach.forecast import Outlook
from trainer.coach.naming import point_words
from trainer.coach.session import Moved, Session, Summary
from trainer.coach.today import Weak, today
from trainer.coach.words import HONESTY, percent
from trainer.drill.deck import Deck
from trainer.plain import clip, columns, visible
from trainer.quiz.points import SHEET
from trainer.records.clock import Moment
from trainer.screens.feedback import head_rows
from trainer.screens.flow import Flow
from trainer.screens.page import ScrolledPage
from trainer.screens.today_rows import band_rows, spread, whole_reasons, wrapped
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, Row, Span

READING = 96
STILL = 3
"""Measures that still weigh most."""
BAR = 18


class SummaryScreen(ScrolledPage):
    """What a sitting did; any of its keys closes it.

    Args:
        session: the sitting.
        summary: what it did.
        moment: the present.
    """

    CSS_PATH = "session.tcss"
    HELP = (
        "What this sitting did: recall on the test date of every point that was asked, before and now, and the chance "
        "of a GO with its band. Recall can fall where an answer showed that less is known than was thought, and rise "
        "after a wrong one, for the right answer that followed it was read."
    )
    KEYS: ClassVar[Keys] = (("enter q", "back"), ("?", "help"))
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "close", "Back", id="summary.back", show=False, tooltip="Back to where you came from")
    ]

    def __init__(self, session: Session, summary: Summary, moment: Moment) -> None:
        super().__init__()
        self.session, self.summary = session, summary
        self.weakest = today(session.candidate, session.standing, moment).weakest[:STILL]

    def head(self) -> Flow:
        """Return how many questions there were."""
        title = self.session.standing.deck.title
        done = self.session.answered / self.session.size
        return Flow(lambda width: head_rows(questions_words(self.summary), "", title, done, width), id="head")

    def rows(self, width: int) -> list[Row]:
        """Return the chance, what still weighs most, what moved."""
        return summary_rows(self.session.standing.deck, self.summary, self.weakest, width)


def questions_words(summary: Summary) -> str:
    """Return how many questions were answered, and how many wholly right."""
    plural = "" if summary.questions == 1 else "s"
    right = str(summary.all_right) if summary.all_right else "none"
    if summary.questions and summary.all_right == summary.questions:
        right = "it" if summary.questions == 1 else "all"
    return f"{summary.questions} question{plural}, {right} wholly right"


def summary_rows(deck: Deck, summary: Summary, weakest: tuple[Weak, ...], width: int) -> list[Row]:
    """Return the whole page at a width: the chance, what still weighs most, what moved."""
    width = min(width, READING)
    return [
        *_chance_rows(summary, width),
        (),
        *_weak_rows(weakest, summary.now, width),
        (),
        *_moved_rows(deck, summary.moved, width),
        (),
        *((Span(line, FAINT),) for line in wrapped(HONESTY, width)),
    ]


def _chance_rows(summary: Summary, width: int) -> list[Row]:
    rows: list[Row] = []
    before, now = summary.before.chance, summary.now.chance
    if before is None or now is None:
        shares = (("before", summary.before.mean_recall), ("now", summary.now.mean_recall))
        rows.append((Span("Mean recall of the whole deck on the test date", STRONG),))
        return rows + [(Span(f"{name:<8}", FAINT), Span(percent(share), STRONG)) for name, share in shares]
    rows.append((Span("Chance of a GO on the test date", STRONG),))
    for name, chance, role in (("before", before, FAINT), ("now", now, INK)):
        band = f"8 times in 10 between {percent(chance.low)} and {percent(chance.high)}"
        if percent(chance.low) == percent(chance.high):
            band = ""
        line, scale = band_rows(chance.low, chance.go, chance.high, width - 8)
        rows.append((Span(f"{name:<8}", role), Span(f"{percent(chance.go):<12}", STRONG), Span(band, role)))
        rows.append((Span(" " * 8), *line))
        if name == "now":
            rows.append((Span(" " * 8), *scale))
    return rows


def _weak_rows(weakest: tuple[Weak, ...], outlook: Outlook, width: int) -> list[Row]:
    what = "chance of GO" if outlook.chance else "mean recall"
    rows: list[Row] = [spread([Span("What still weighs most", STRONG)], [Span(what, FAINT)], width)]
    for one in weakest:
        share = percent(one.share)
        room = width - len(share) - 2
        name = clip(visible(one.name), room)
        left = [Span(name, INK)]
        why = room - columns(name) - 3
        if why > 8:
            left.append(Span(f"   {whole_reasons(one.reasons, why)}", FAINT))
        rows.append(spread(left, [Span(share, STRONG)], width))
    return rows


def by_movement(moved: tuple[Moved, ...]) -> list[tuple[str, list[Moved]]]:
    """Return the points that were asked movement by movement, the weakest movement and the weakest point first."""
    groups: dict[str, list[Moved]] = {}
    for one in moved:
        groups.setdefault(one.point.movement, []).append(one)
    ordered = sorted(groups.items(), key=lambda group: sum(one.now for one in group[1]) / len(group[1]))
    return [(movement, sorted(points, key=lambda one: one.now)) for movement, points in ordered]


def _moved_rows(deck: Deck, moved: tuple[Moved, ...], width: int) -> list[Row]:
    tail = BAR + 2 + 9 + 3 + 9 + 2 + 6
    room = max(width - tail - 3, 12)
    head = f"{'Recall on the test date':<{room + 3}}"
    rows: list[Row] = [
        (
            Span(clip(head, room + 3), STRONG),
            Span(" " * (BAR + 2)),
            Span(f"{'before':>9}   {'now':>9}  {'right':>6}", FAINT),
        )
    ]
    for movement, points in by_movement(moved):
        rows.append((Span(clip(visible(_name(deck, movement)), width), BRASS),))
        for one in points:
            words = clip(visible(point_words(deck, one.point)), room)
            marks = f"{one.right} of {one.right + one.wrong}"
            rows.append(
                (
                    Span(f"  {words}{' ' * (room - columns(words) + 1)}", INK),
                    *moved_bar(one.before, one.now, BAR),
                    Span(f"  {percent(one.before):>9} → ", FAINT),
                    Span(f"{percent(one.now):>9}", STRONG),
                    Span(f"  {marks:>6}", FAINT),
                )
            )
    return rows


def _name(deck: Deck, movement: str) -> str:
    return "Grade sheet" if movement == SHEET else deck.movement(movement).name


def moved_bar(before: float, now: float, width: int) -> Row:
    """Return recall as a bar: heavy as far as it was and is, arrows over what was gained or lost."""
    was, came = (round(min(max(share, 0.0), 1.0) * width) for share in (before, now))
    low, high = min(was, came), max(was, came)
    sign = "▸" if came > was else "◂"
    return (
        Span("━" * low, INK),
        Span(sign * (high - low), BRASS),
        Span("─" * (width - high), LINE),
    )
