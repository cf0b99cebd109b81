"""A plan told: as plain data for scripts, as a table, and as a script for whoever calls it on the ground."""

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from trainer.drill.deck import Deck
from trainer.drill.feet import foot_at_zero, stance_foot
from trainer.drill.lane.moves import first_word
from trainer.drill.lane.path import stays_inside
from trainer.drill.lane.plan import Command, Plan
from trainer.drill.lane.surface import Place, in_feet
from trainer.drill.movement import LEFT, Movement
from trainer.drill.shown import tidy


class Line(NamedTuple):
    """One thing that is said: by whom, what, on which beat after the end of the command before, on which foot."""

    speaker: str
    say: str
    beat: float
    foot: str | None


def said(deck: Deck, plan: Plan, command: Command) -> list[Line]:
    """Return everything that is said for one command: the grader's prompt, the candidate's call, cues.

    Beats count from the end of the command before, so 1 is the first footfall after it.
    """
    movement, stance = deck.movement(command.movement), deck.stance(command.stance)
    at_zero = foot_at_zero(movement, stance, command.foot or LEFT)
    lines = []
    written = [word for word in movement.words if word.speaker is not None]
    if plan.asked.prompt is not None or not written:
        lines.append(Line("grader", movement.name, first_word(movement, plan.asked.prompt), None))
        written = []
    lines += [Line(word.speaker or "", word.say, word.beat, None) for word in written]
    for word in movement.call:
        foot = stance_foot(stance, movement, at_zero, int(word.beat)) if word.beat <= 0 else None
        lines.append(
            Line("candidate", word.say, word.beat, foot if stance.moves and word.beat == int(word.beat) else None)
        )
    lines += [Line(movement.cued_by or "cue", cue.sound, cue.beat, cue.foot) for cue in movement.cues]
    return [line._replace(beat=line.beat + command.wait) for line in sorted(lines, key=lambda line: line.beat)]


def as_data(deck: Deck, plan: Plan) -> dict[str, Any]:
    """Return a plan for scripts: lengths in the deck's unit from the near left corner, beats of words as in the deck.

    `at` is the beat of the word of execution from the beginning; `before` is where the foot of that word is, `after`
    where the foot of the last count is.
    """
    surface = plan.asked.surface
    return {
        "deck": deck.id,
        "unit": deck.unit,
        "surface": {"x": tidy(surface.x), "y": tidy(surface.y), "margin": tidy(surface.margin)},
        "start": _place(plan.start),
        "commands": [_command(deck.movement(command.movement), command) for command in plan.commands],
        "seconds": tidy(plan.seconds),
        "steps": plan.steps,
        "inside": stays_inside(deck, plan),
        "bound": tidy(plan.bound),
        "shortest": plan.shortest,
    }


def _command(movement: Movement, command: Command) -> dict[str, Any]:
    return {
        "movement": command.movement,
        "counted": command.trial > 0,
        "trial": command.trial or None,
        "words": [{"say": word.say, "beat": tidy(word.beat)} for word in movement.call],
        "prompt": tidy(-command.lead),
        "at": command.at,
        "foot": command.foot,
        "before": _place(command.before),
        "after": _place(command.after),
        "seconds": tidy(command.seconds),
        "steps": command.steps,
    }


def _place(place: Place) -> dict[str, Any]:
    return {"x": tidy(place.x), "y": tidy(place.y), "heading": tidy(place.heading)}


def counts_words(command: Command, plan: Plan) -> str:
    """Return which trial a command is, or that it counts for none."""
    if not command.trial:
        return "not counted"
    return f"trial {command.trial} of {plan.asked.wanted[command.movement]}"


def where_words(deck: Deck, place: Place) -> str:
    """Return a place from the near left corner."""
    return f"{in_feet(place.x, deck.unit)}, {in_feet(place.y, deck.unit)}, facing {place.heading:g}"


def clock(seconds: float) -> str:
    """Return seconds as minutes and seconds."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def summary_lines(plan: Plan) -> list[str]:
    """Return how long a plan is, and how much shorter one could be."""
    counted = sum(command.trial > 0 for command in plan.commands)
    size = f"{len(plan.commands)} commands, {counted} of them counted, {plan.steps} steps"
    lines = [f"{size}, {clock(plan.seconds)} ({plan.seconds:.1f} s)."]
    if plan.shortest:
        lines.append("No order from the usual places is shorter." if plan.asked.start is None else "None is shorter.")
    else:
        lines.append(
            f"A shorter order was not found; none can take less than {clock(plan.bound)} ({plan.bound:.1f} s)."
        )
    return lines


def table_rows(deck: Deck, plan: Plan) -> list[tuple[str, ...]]:
    """Return the plan as rows of a table, its head first."""
    rows: list[tuple[str, ...]] = [("", "command", "counts as", "called at", "ends at", "time")]
    for number, command in enumerate(plan.commands, 1):
        name = deck.movement(command.movement).name
        places = where_words(deck, command.before), where_words(deck, command.after)
        rows.append((str(number), name, counts_words(command, plan), *places, clock(command.seconds)))
    return rows


def script_lines(deck: Deck, plan: Plan) -> Iterator[str]:
    """Yield the script for whoever leads the test: what is said, by whom, on which step, on which foot."""
    yield f"Start halted at {where_words(deck, plan.start)}."
    for number, command in enumerate(plan.commands, 1):
        yield f"{number}. {deck.movement(command.movement).name} ({counts_words(command, plan)})"
        moves = deck.stance(command.stance).moves
        for line in said(deck, plan, command):
            foot = f", {line.foot} foot" if line.foot else ""
            yield f"   {'step' if moves else 'beat'} {line.beat:g}{foot}: {line.speaker}: {line.say}"
    yield f"End halted at {where_words(deck, plan.commands[-1].after)}."


def told_apart(lines: Iterable[str]) -> list[list[str]]:
    """Return the lines of a script in groups: the start, each command with what is said for it, the end."""
    groups: list[list[str]] = []
    for line in lines:
        if groups and line.startswith(" "):
            groups[-1].append(line)
        else:
            groups.append([line])
    return groups
