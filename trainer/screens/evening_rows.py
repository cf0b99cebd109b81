"""An evening in rows: whose turn it is, the hands, what came out, the after-action list."""

from collections.abc import Sequence

from trainer.drill.movement import Movement
from trainer.group.after_action import NOTHING_YET, after_action, rule_of, turns_words
from trainer.group.evening import Evening
from trainer.group.hands import Hands
from trainer.group.turns import LIVE, PLAYED, QUESTION, Graded, Turn
from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

READING = 96
MOST_FAULTS = 9
"""Faults to settle on, so that each has a number for a key."""
FLOOR_CAUTION = (
    "Clear the floor first. Keep blades and rifles away from people, stop at once if somebody steps in; your unit's "
    "standard and its certified instruction come first."
)
TURN_WORDS = {
    QUESTION: "{who} answers at the keyboard, the others watch. Say the answer aloud too.",
    LIVE: "{who} performs it on the floor{calls}; the others watch.",
    PLAYED: "The program plays it, right or with one fault. Everybody watches.",
}
ANSWERED = "{who} has answered, and the answer is kept; the others grade it."


def turn_rows(turn: Turn, movement: Movement, graders: Sequence[str], answered: bool, width: int) -> list[Row]:
    """Return what comes now and who does what; a question may be answered and not graded yet."""
    width = min(width, READING)
    who = visible(turn.performer)
    calls = "" if movement.cued_by else " and calls it himself"
    told = ANSWERED if answered else TURN_WORDS[turn.kind]
    # A question may ask for the movement itself, so its name waits.
    rows: list[Row] = [] if turn.kind == QUESTION else [(Span(visible(movement.name), BRASS),), ()]
    rows += [(Span(line, STRONG),) for line in wrapped(told.format(who=who, calls=calls), width)]
    if turn.kind == LIVE:
        rows += [(), *((Span(line, INK),) for line in wrapped(FLOOR_CAUTION, width))]
    names = ", ".join(map(visible, graders))
    rows += [(), *hanging((Span("grading  ", FAINT),), names, width, INK)]
    return rows


def hand_keys(hands: Hands) -> Keys:
    """Return each grader's two keys, GO before NO-GO, with his name."""
    return tuple((" ".join(keys), f"{visible(name)}: GO, NO-GO") for name, keys in hands.keys.items())


def hands_rows(hands: Hands, width: int, first: bool = False) -> list[Row]:
    """Return the hands while they are hidden: who has which keys, who has chosen, never what.

    The first time it is told what to do where the keys do not lie as they are listed.
    """
    room = max((columns(visible(name)) for name in hands.keys), default=0)
    waiting = set(hands.waiting_for)
    rows: list[Row] = [(Span("Everybody at once, nobody looks:", STRONG),), ()]
    for name, keys in hands.keys.items():
        shown = clip(visible(name), min(room, width // 2))
        state = ("waiting", FAINT) if name in waiting else ("has chosen", BRASS)
        rows.append(
            (
                Span(f"{shown}{' ' * (room - columns(shown) + 3)}", INK),
                Span(f"{keys.go} ", STRONG),
                Span("GO    ", FAINT),
                Span(f"{keys.nogo} ", STRONG),
                Span("NO-GO    ", FAINT),
                Span(*state),
            )
        )
    told = "A hand can be changed until the last one is up."
    told += " GO lies above NO-GO; where it does not, esc has another keyboard to choose." if first else ""
    return [*rows, (), *((Span(line, FAINT),) for line in wrapped(told, min(width, READING)))]


def graded_rows(turn: Turn, movement: Movement, said: str, width: int) -> list[Row]:
    """Return what is or was graded: the movement, who performed it, what he said where he was asked."""
    who = f"{visible(turn.performer)}: " if turn.performer else ""
    name = (Span(f"{who}{visible(movement.name)}", STRONG),)
    if turn.kind == QUESTION:
        return [name, *hanging((Span("answered  ", FAINT),), visible(said), width, INK)]
    call = visible(movement.command) or f"started by the {visible(movement.cued_by or 'cue')}"
    return [name, *hanging((Span("called  ", FAINT),), call, width, INK)]


def outcome_rows(one: Graded, movement: Movement, said: str, answer: str, width: int) -> list[Row]:
    """Return what a turn came to: who said what, the truth, the fault, the rule.

    Args:
        one: the turn as it was graded.
        movement: its movement.
        said: what its performer answered; empty where nothing was asked.
        answer: what the right answer to the question was; empty where none was asked.
        width: cells.
    """
    width = min(width, READING)
    rows: list[Row] = [*graded_rows(one.turn, movement, said, width), ()]
    for word, names in _sides(one):
        role = WRONG if word == "NO-GO" else STRONG
        rows += hanging((Span(f"{word:<7}", role),), ", ".join(map(visible, names)) or "nobody", width, INK)
    rows += [(), *_truth_rows(one, width)]
    if answer:
        rows += hanging((Span("Right  ", BRASS),), visible(answer), width, INK)
    faults = [fault for fault in (movement.fault(name) for name in one.faults) if fault is not None]
    for fault in faults:
        rows += hanging((Span("Fault  ", BRASS),), visible(fault.tell), width, INK)
    rows += [(), *hanging((Span("Rule   ", FAINT),), visible(rule_of(movement)), width, FAINT)]
    return rows


def _sides(one: Graded) -> list[tuple[str, list[str]]]:
    return [
        ("GO", [name for name, go in one.gave.items() if go]),
        ("NO-GO", [name for name, go in one.gave.items() if not go]),
    ]


def _truth_rows(one: Graded, width: int) -> list[Row]:
    together = "all of one mind" if one.agreed else "not of one mind"
    if one.right is None:
        told = f"The group is {together}; nobody knows the truth of a performance on the floor."
        return [(Span(line, INK),) for line in wrapped(told, width)]
    mistaken = sum(go != one.right for go in one.gave.values())
    told = "everybody saw it" if not mistaken else f"{mistaken} of {len(one.gave)} saw it otherwise"
    head = (Span(f"In truth {'GO' if one.right else 'NO-GO'}: ", STRONG),)
    return hanging(head, f"{told}, {together}.", width, INK)


def fault_choice_rows(movement: Movement, settled: Sequence[str], width: int) -> list[Row]:
    """Return the faults of a movement to settle on, by number."""
    width = min(width, READING)
    rows: list[Row] = [(Span("Was there a fault? Its number settles on it, once more takes it back.", STRONG),)]
    for number, fault in enumerate(movement.faults[:MOST_FAULTS], 1):
        sign = "✓" if fault.id in settled else " "
        rows += hanging((Span(f"{sign} ", BRASS), Span(f"{number}  ", STRONG)), visible(fault.tell), width, INK)
    return rows


def end_rows(evening: Evening, width: int) -> list[Row]:
    """Return how the group agrees, each grader's eye, the after-action list, the answers handed over."""
    width = min(width, READING)
    agreed, listed = evening.agreement(), after_action(evening)
    together, known, _ = evening.team()
    rows: list[Row] = [(Span("How far you agree", STRONG),)]
    if agreed.percent is not None:
        text = f"{100 * agreed.percent:.0f} % of pairs gave the same, over {turns_words(agreed.trials)}."
        if agreed.value is not None:
            text += f" {agreed.name} {agreed.value:.2f}"
            text += f", 95 percent interval {agreed.low:.2f} to {agreed.high:.2f}." if agreed.low is not None else "."
        rows += [(Span(line, INK),) for line in wrapped(text, width)]
    for told_words in filter(None, (agreed.told, agreed.left_out())):
        rows += [(Span(line, FAINT),) for line in wrapped(told_words, width)]
    if known:
        rows.append((Span(f"All of one mind and right: {together} of {known} turns whose truth is known.", INK),))
    known_truth = evening.against_truth()
    if known_truth:
        rows += [(), (Span("Each grader against the known truth", STRONG),)]
        room = max(columns(visible(name)) for name in known_truth)
        for name in (name for name in evening.places if name in known_truth):
            head = (Span(f"{visible(name)}{' ' * (room - columns(visible(name)) + 3)}", INK),)
            rows += hanging(head, known_truth[name].words(), width, FAINT)
    rows += [(), (Span("After action", STRONG),)]
    for item in listed.items:
        rows += [(Span(visible(item.name), BRASS),)]
        for name, text in (("to happen", item.to_happen), ("happened", item.happened), ("why", item.why)):
            rows += hanging((Span(f"  {name:<11}", FAINT),), visible(text), width, INK)
    rows += [] if listed.items else [(Span("Nothing was disputed.", FAINT),)]
    for head_word, told in (("Sustain", listed.sustain), ("Improve", listed.improve)):
        rows += [(), (Span(head_word, STRONG),)]
        rows += [row for text in told for row in hanging((Span("· ", BRASS),), visible(text), width, INK)]
        rows += [] if told else [(Span(NOTHING_YET, FAINT),)]
    return rows
