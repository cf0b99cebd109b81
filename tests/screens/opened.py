"""The whole program under test: a home of its own, a clock that stands still, and what its screen shows."""

import html
import random
import re
from datetime import date
from pathlib import Path
from typing import Any

from textual.app import App
from textual.pilot import Pilot

from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import Candidate, create, settings
from trainer.coach.cautions import acknowledged
from trainer.coach.session import Session
from trainer.coach.standing import open_standing
from trainer.paths import Home
from trainer.records.clock import Moment
from trainer.screens.app import StepcallApp

DAY_MS = 86_400_000
NOW = Moment(1_795_510_800_000, 60)
"""Tuesday 24 November 2026, 10 in the morning, an hour east of Greenwich."""
TODAY, TEST = date(2026, 11, 24), date(2026, 12, 31)
GUARD, ARMY = "harbour-guard-marching", "us-army-individual-drill"


def small_deck(path: Path, title: str = "Pier drill", call: str = "Forward", grade_sheet: bool = True) -> Path:
    """Write a deck of two movements."""
    sheet = 'pass = "50 %"\ntrials = 3\nneeded = 2\nminors = ["forward", "halt"]' if grade_sheet else ""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(
        f"""
[deck]
id = "pier-drill"
title = {_quoted(title)}
unit = "in"
sources = ["Invented for the tests."]
cautions = ["Mind the edge of the pier."]

[stance.halted]
[stance.marching]
cadence = 120
step = "30 in"
arms = "swing"

{"[grade_sheet]" if grade_sheet else ""}
{sheet}

[[movement]]
id = "forward"
name = "Forward, march"
from = ["halted"]
to = "marching"
called_on = "halted"
turn = "none"
words = [ {{ say = {_quoted(call)}, beat = -2 }}, {{ say = "MARCH", beat = 0, executes = true }} ]
counts = [ {{ beat = 1, foot = "left", place = "step", tell = "Left foot, full step." }} ]

[[movement]]
id = "halt"
name = "Halt"
from = ["marching"]
to = "halted"
called_on = "right"
turn = "none"
words = [ {{ say = "Detail", beat = -2 }}, {{ say = "HALT", beat = 0, executes = true }} ]
counts = [
  {{ beat = 1, foot = "left", place = "step", tell = "One more step." }},
  {{ beat = 2, foot = "right", place = "close", arms = "still", tell = "Close." }},
]
""",
        "utf-8",
    )
    return path


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def someone(
    home: Home,
    handle: str = "Morgan",
    deck: str = GUARD,
    test_date: date | None = TEST,
    minutes: int = 15,
    cautions: bool = True,
    moment: Moment = NOW,
) -> Candidate:
    """Make a candidate, his cautions read."""
    drafts = settings(handle, deck, test_date, minutes)
    if cautions:
        drafts.append(acknowledged(open_deck(deck, home)))
    return create(home, drafts, moment)


def sat(candidate: Candidate, questions: int, days_ago: int, wrong_every: int = 0, hour: int = 0) -> None:
    """Let a candidate sit: all right, or every so many wrong."""
    moment = Moment(NOW.at_ms - days_ago * DAY_MS + hour * 3_600_000, NOW.offset)
    deck = open_deck(candidate.profile.deck, candidate.home)
    session = Session(candidate, open_standing(candidate, deck, moment), moment, questions, random.Random(days_ago))
    number = 0
    while (question := session.next_question(moment)) is not None:
        number += 1
        wrong = wrong_every and number % wrong_every == 0
        moment = Moment(moment.at_ms + 9_000, moment.offset)
        session.answer(-1 if wrong else question.answer, 8_000, moment)


def opened(home: Home, candidate_id: str | None = None, moment: Moment = NOW) -> StepcallApp:
    """Return the program on a home, its clock standing still."""
    app = StepcallApp(home, lambda: moment, lambda: 0.0, candidate_id)
    app.looks_ahead = False  # what comes beside the screen would come at no certain time
    return app


def shown(app: App[Any]) -> str:
    """Return the text of the screen, row by row."""
    svg = app.export_screenshot()
    cell = 12.2  # width of a cell in the picture
    rows: dict[float, str] = {}
    found = re.findall(r'<text class="[^"]*-r\d+" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', svg)
    for x, y, text in sorted(found, key=lambda one: (float(one[1]), float(one[0]))):
        row = rows.get(float(y), "").ljust(round(float(x) / cell))
        rows[float(y)] = row + html.unescape(text).replace("\xa0", " ")
    return "\n".join(rows.values())


def name_of(app: StepcallApp) -> str:
    """Return which screen is up."""
    return type(app.screen).__name__


async def typed(pilot: Pilot[None], text: str) -> None:
    """Put text into the field that has the keys, as a paste does."""
    from textual.events import Paste

    focused = pilot.app.focused
    assert focused is not None
    focused.post_message(Paste(text))
    await pilot.pause()


async def twice(pilot: Pilot[None], key: str) -> None:
    """Strike a key twice before the program has come to the first stroke."""
    from textual.events import Key

    for _ in range(2):
        pilot.app.post_message(Key(key, None))
    await pilot.pause()
    await pilot.pause()
