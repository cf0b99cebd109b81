"""The words of the Beat screen as rows: what is to be called, what was called, and how the strikes fell."""

import math

from trainer.drill.called import NO_COMMAND, OTHER_FOOT, WAITS, Outcome
from trainer.plain import clip, columns, visible
from trainer.rhythm.calls import Called, Shown
from trainer.rhythm.exercise import EITHER, OTHER, SAME, Exercise, Level
from trainer.rhythm.scale import beside_words
from trainer.rhythm.timing import Timing
from trainer.screens.feedback import RIGHT_ROLE
from trainer.screens.today_rows import spread, wrapped
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import BRASS, FAINT, INK, LINE, STRONG, WRONG, Row, Span

READY, MARCHING, EXECUTING, TOLD = "ready", "marching", "executing", "told"
"""The phases of a call."""
LIT = 0.4
"""The part of a beat for which the pulse is lit."""
FEET_WORDS = {
    "left": "left foot",
    "right": "right foot",
    "together": "heels together",
    "apart": "heels apart",
    EITHER: "either foot",
    SAME: "the foot of the last word",
    OTHER: "the other foot than the last word",
    None: "no foot",
}
CAME = {
    OTHER_FOOT: "The word of execution fell on the wrong foot, so every count was done by the other foot.",
    WAITS: "The word of execution fell where the movement cannot begin, so the feet first had to finish their steps",
    NO_COMMAND: "No word of execution was called, so the march went on.",
}
STOOD = "No word of execution was called, so nothing was executed."


def beat_head(done: Exercise, title: str, width: int) -> list[Row]:
    """Return the head: movement and level; stance and cadence."""
    level = f"level {done.level.number}: {done.level.name}"
    name = clip(visible(title), max(width - columns(level) - 2, 8))
    stance = visible(done.stance.name)
    where = f"from {stance}, {done.cadence:g} beats a minute"
    return [spread([Span(name, STRONG)], [Span(level, FAINT)], width), (Span(clip(where, width), FAINT),)]


def how_to(done: Exercise) -> str:
    """Return in words how a call is struck at a level."""
    level = done.level
    if done.by_steps:
        how = "l or r for each step, by its foot" if level.letters else "space for each step"
        return f"The {done.movement.cued_by} starts it: strike {how}, on its beat."
    how = "the first letter of each word" if level.letters else "space for each word"
    when = f"once the {done.movement.cued_by} begins" if done.movement.cued_by else "when you like"
    where = "on the foot it belongs to" if done.moves else "on its beat"
    return f"Call {when}: strike {how} {where}."


def first_words(done: Exercise) -> str:
    """Return which foot the beat begins with, where feet strike at all."""
    if not done.moves:
        return "You stand at the halt; the first word gives the beat."
    foot = done.foot_at(0) or done.heels_at(0)
    return (
        f"The first beat is the {foot} foot's." if foot in ("left", "right") else "The feet begin with the first beat."
    )


def call_rows(done: Exercise, width: int) -> list[Row]:
    """Return what is to be called, as far as the level tells it: nothing of words that are typed."""
    if done.level.letters or done.by_steps:
        number = len(done.dues)
        what = "steps" if done.by_steps else "words"
        return [(Span(f"{number} {what}", INK), Span("   the words are yours to know", FAINT))]
    parts: list[Span] = []
    for due in done.dues:
        parts.append(Span(("   " if parts else "") + visible(due.say), STRONG if due.executes else INK))
        if done.level.foot_named and done.moves:
            parts.append(Span(f" {FEET_WORDS.get(due.foot, '')}", BRASS))
    rows = [tuple(parts)]
    if sum(columns(span.text) for span in parts) > width:
        rows = [
            (
                Span(visible(due.say), STRONG if due.executes else INK),
                Span(f"  {FEET_WORDS.get(due.foot, '')}" if done.level.foot_named and done.moves else "", BRASS),
            )
            for due in done.dues
        ]
    return rows


def ready_rows(done: Exercise, told: str, width: int) -> list[Row]:
    """Return what stands before the beat begins."""
    rows: list[Row] = []
    if told:
        rows += [(Span(line, WRONG),) for line in wrapped(told, width)]
        rows.append(())
    if done.movement.cued_by:
        prompt = " ".join(map(visible, done.prompt))
        rows.append((Span("Grader: ", FAINT), Span(clip(prompt, max(width - 9, 8)), STRONG)))
        rows.append(())
    for text in (how_to(done), first_words(done)):
        rows += [(Span(line, INK),) for line in wrapped(text, width)]
    if not done.level.feet_shown:
        rows += [(Span(line, FAINT),) for line in wrapped(_unseen(done.level, done.moves), width)]
    rows.append(())
    rows += [(Span("space ", BRASS), Span("starts the beat", INK))]
    return rows


def _unseen(level: Level, moves: bool) -> str:
    if not moves:
        return "Only the beat is shown." if level.fades_after is None else "The beat is shown at first and then fades."
    if level.fades_after is not None:
        return f"After {level.fades_after} steps the beat fades; keep it, and know which foot is which."
    return "Only the beat is shown; know which foot is which."


def cue_words(done: Exercise, beat: int) -> str:
    """Return the cues that sound on a beat of the grid; nothing where none does."""
    if done.cue_at is None:
        return ""
    return " ".join(cue.sound for cue in done.movement.cues if math.floor(cue.beat) == beat - done.cue_at)


def pulse_rows(lit: bool) -> list[Row]:
    """Return the beat alone, lit or not."""
    return [(Span("beat  ", LINE), Span("■■■■■■" if lit else "      ", BRASS))]


def pulse_at(level: Level, at: float) -> tuple[bool, float]:
    """Return whether the beat is lit at a place in beats, and the place at which that may change."""
    whole = math.floor(at)
    lit = at - whole < LIT and level.shows(whole)
    return lit, whole + LIT if lit else whole + 1.0


def voice_rows(struck: int, of: int, cue: str, width: int) -> list[Row]:
    """Return what was struck so far, and the cue that sounds."""
    left = [Span("called  ", FAINT), Span("▪ " * struck, STRONG), Span("· " * max(of - struck, 0), LINE)]
    return [spread(left, [Span(visible(cue), STRONG)], width)]


def result_rows(called: Called, outcome: Outcome | None, done: Exercise, trouble: str, width: int) -> list[Row]:
    """Return everything that is told of a call; at the halt nothing of feet, for none strikes."""
    moves = done.moves or done.by_steps
    rows: list[Row] = [_verdict(called, moves)]
    if trouble:
        rows += [(Span(line, WRONG),) for line in wrapped(f"Not kept. {trouble}", width)]
    size = max([columns(visible(one.due.say)) for one in called.shown] + [6])
    titles = f"{'belongs on':<24}{'was called on':<20}" if moves else ""
    rows.append((Span(f"{'word':<{size + 2}}{titles}", FAINT),))
    for one in called.shown:
        rows.append(_word_row(one, size, width, moves))
    rows += [(Span(text, WRONG),) for text in apart_words(called, moves)]
    if outcome is not None and outcome.came in CAME:
        came = STOOD if outcome.came == NO_COMMAND and not moves else CAME[outcome.came]
        if outcome.came == WAITS:
            came += f": it waited {outcome.waited} beat{'' if outcome.waited == 1 else 's'}."
        rows += [(Span(line, INK),) for line in wrapped(came, width)]
    rows.append(())
    rows += timing_rows(called, done.cadence, width)
    return rows


def apart_words(called: Called, moves: bool) -> list[str]:
    """Return what was wrong between the words of a call: steps too many or too few, strikes that belong to no word."""
    what = "steps" if moves else "beats"
    wrong = [step for step in called.steps if step.due != step.called]
    found = [f"{step.called} {what} between two words where {step.due:g} belong" for step in wrong]
    if called.extra:
        found.append(f"{called.extra} strike{'' if called.extra == 1 else 's'} more than words")
    return found


def _verdict(called: Called, moves: bool) -> Row:
    if called.right:
        return (Span("✓ Right.", RIGHT_ROLE),)
    missed = len(called.missed)
    if not moves:
        told = f"  {len(called.shown) - missed} of {len(called.shown)} words called."
        return Span("✗ Not right.", WRONG), Span(told, STRONG)
    told = f"  {called.feet_right} of {len(called.shown)} on their foot"
    told += f", {missed} not called." if missed else "."
    return Span("✗ Not right.", WRONG), Span(told, STRONG)


def _word_row(one: Shown, size: int, width: int, moves: bool) -> Row:
    say = visible(one.due.say)
    gap = " " * (size + 2 - columns(say))
    belongs = f"{FEET_WORDS.get(one.due.foot, ''):<22}" if moves else ""
    if one.beat is None:
        was, right = "not called", False
    else:
        was = "called" if not moves else FEET_WORDS.get(one.foot, "") if one.due.foot is not None else ""
        right = one.foot_right is not False
    sign = Span("✓ " if right else "✗ ", RIGHT_ROLE if right else WRONG)
    letter = Span("  another letter", WRONG) if one.letter_right is False and one.beat is not None else Span("")
    room = max(width - size - 6, 12)
    return (sign, Span(say + gap, INK), Span(clip(belongs, room), FAINT), Span(was, STRONG), letter)


def timing_parts(told: Timing) -> list[str]:
    """Return what can be said of the timing of a call: spread, drift, and how late it was on the whole."""
    parts = []
    if told.spread is not None:
        parts.append(f"spread {told.spread:.0f} ms")
    if told.drift is not None:
        parts.append(f"drift {round(told.drift):+d} ms a beat")
    if told.mean is not None:
        parts.append(f"on the whole {abs(told.mean):.0f} ms {'late' if told.mean > 0 else 'early'}")
    return parts


def timing_rows(called: Called, cadence: float, width: int) -> list[Row]:
    """Return spread and drift in words; over a remote link, that nothing can be said of them."""
    if called.timing is None:
        text = "The keys come over a remote link, whose delay varies: only feet are scored, not the timing."
        return [(Span(line, FAINT),) for line in wrapped(text, width)]
    told = called.timing
    parts = timing_parts(told)
    if not parts:
        return [(Span("Too few strikes to tell spread or drift.", FAINT),)]
    rows: list[Row] = [(Span("Timing: ", FAINT), Span("; ".join(parts), INK))]
    if told.spread is not None:
        rows += [(Span(line, FAINT),) for line in wrapped(beside_words(told.spread, cadence), width)]
    if told.mean is None:
        told_why = "Early or late on the whole is only told after a calibration of this terminal."
        rows += [(Span(line, FAINT),) for line in wrapped(told_why, width)]
    return rows


def keys_in(phase: str, stands: bool, letters: bool) -> Keys:
    """Return the keys that do something in a phase, and what.

    Args:
        phase: of the call.
        stands: whether the beat stands still.
        letters: whether words are struck by their first letters.
    """
    if phase == MARCHING and stands:
        return (("space", "go on"), ("esc", "stop"))
    if phase in (MARCHING, EXECUTING):
        return ((("letters" if letters else "space", "call"),) if phase == MARCHING else ()) + (("esc", "stop"),)
    end = (("?", "help"), ("esc", "back"))
    if phase == READY:
        return (("space", "start"), ("↑↓", "level"), *end)
    return (("space", "next"), ("r", "again"), ("v", "play your call"), ("↑↓", "level"), *end)
