"""What is asked and told of a performance that was looked at for a fault, as rows of text. No Textual in here."""

from trainer.coach.eye import Judged, Performance
from trainer.drill.describe import beat_number, describe_differences
from trainer.drill.movement import Fault
from trainer.plain import clip, visible
from trainer.screens.feedback import RIGHT_ROLE
from trainer.screens.showing import SPEED_WORDS
from trainer.screens.today_rows import hanging, spread, wrapped
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

READY, PLAYING, NAMING, PLACING, TOLD = "ready", "playing", "naming", "placing", "told"
READ, ONCE = 1, 2
"""Levels: what happens is also told in words, and the score stays to be read; or it is seen once and no more."""
LEVEL_WORDS = {READ: "told in words, and the score stays", ONCE: "seen once"}
WAS_RIGHT = "it was right"
NONE_TO_PLAY = "No fault of this deck says how it shows, so none can be played."
WATCH = "A performance is played, with one fault or with none. Watch soles, figure and words."


def head_rows(shown: Performance | None, speed: float, level: int, width: int) -> list[Row]:
    """Return the movement and the stance it starts from, beside them speed and level."""
    if shown is None:
        return [(Span("See the fault", STRONG),)]
    fast, stance = SPEED_WORDS[speed], f"from {visible(shown.score.from_stance)}"
    hard = f"level {level}: {LEVEL_WORDS[level]}"
    name = clip(visible(shown.movement.name), max(width - len(fast) - 2, 8))
    stance = clip(stance, max(width - len(hard) - 2, 8))
    return [
        spread([Span(name, STRONG)], [Span(fast, FAINT)], width),
        spread([Span(stance, FAINT)], [Span(hard, FAINT)], width),
    ]


def ready_rows(shown: Performance | None, width: int) -> list[Row]:
    """Return what is going to be played, or that nothing can be."""
    if shown is None:
        return [(Span(line, INK),) for line in wrapped(NONE_TO_PLAY, width)]
    watch: list[Row] = [(Span(line, INK),) for line in wrapped(WATCH, width)]
    return [*watch, (), (Span("space ", BRASS), Span("plays it", INK))]


def naming_rows(shown: Performance, width: int) -> list[Row]:
    """Return the faults that it may have been, each with its number."""
    rows: list[Row] = [(Span("What was wrong?", STRONG),)]
    for number, text in enumerate((WAS_RIGHT, *(fault.tell for fault in shown.offered))):
        rows += hanging((Span(f" {number}  ", BRASS),), text, width, INK)
    return rows


def placing_rows(said: Fault | None, at: float, width: int) -> list[Row]:
    """Return the fault that was said, and the beat that is going to be said."""
    told = visible(said.tell) if said else ""
    ask = f"On which beat does it show? Beat {beat_number(at)}."
    return [*hanging((Span("You say: ", FAINT),), told, width, INK), (Span(ask, STRONG),)]


def told_rows(shown: Performance, judged: Judged, at: float, unit: str, trouble: str, width: int) -> list[Row]:
    """Return whether it was right, what it was, and where it shows.

    Args:
        shown: what was played.
        judged: what was said of it.
        at: the beat that was said.
        unit: the deck's unit.
        trouble: why it could not be kept, empty where it was.
        width: cells.
    """
    rows: list[Row] = [(Span("✓ Right.", RIGHT_ROLE),) if judged.right else (Span("✗ Not right.", WRONG),)]
    if trouble:
        rows += [(Span(line, WRONG),) for line in wrapped(f"Not kept. {trouble}", width)]
    if not judged.right:
        rows += hanging((Span("you said  ", FAINT),), judged.said.tell if judged.said else WAS_RIGHT, width, INK)
    rows += hanging((Span("it was    ", FAINT),), shown.fault.tell if shown.fault else WAS_RIGHT, width, STRONG)
    if shown.pair is not None:
        if judged.said is not None:
            placed = "shows" if judged.placed else "does not show"
            rows.append((Span(f"On beat {beat_number(at)} it {placed}.", INK if judged.placed else WRONG),))
        for line in describe_differences(shown.pair.differences, unit):
            rows += hanging((Span("! ", WRONG),), line, width, INK)
    return rows


def keys_in(phase: str, shown: Performance | None) -> Keys:
    """Return the keys that do something in a phase, and what."""
    end = (("?", "help"), ("esc", "back"))
    if shown is None:
        return end
    if phase == PLAYING:
        return (("esc", "stop"),)
    if phase == NAMING:
        return (("0", WAS_RIGHT), (f"1 to {len(shown.offered)}", "that fault"), *end)
    if phase == PLACING:
        return (("←→", "beat"), ("enter", "that beat"), *end)
    if phase == READY:
        return (("space", "play"), ("s", "speed"), ("↑↓", "level"), *end)
    return (
        ("space", "next"),
        ("v", "play both" if shown.pair else "play it"),
        ("s", "speed"),
        ("↑↓", "level"),
        *end,
    )
