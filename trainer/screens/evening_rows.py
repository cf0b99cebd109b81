"""An evening in rows: whose turn it is, the hands, what came out, the after-action list."""

from collections.abc import Sequence

from trainer.drill.movement import Movement
from trainer.group.after_action import after_action, rule_of
from trainer.group.evening import Evening
from trainer.group.hands import Hands
from trainer.group.turns import LIVE, PLAYED, QUESTION, Graded, Turn
from trainer.plain import clip, columns, visible
from trainer.screens.today_rows import hanging, wrapped
from trainer.screens.widgets.keys import Keys
from trainer.screens.widgets.spans import BRASS, FAINT, INK, STRONG, WRONG, Row, Span

READING = 96
FLOOR_CAUTION = (
    "Clear the floor first. Keep blades and rifles away from people, stop at once if somebody steps in; your unit's "
    "standard and its certified instruction come first."
)
TURN_WORDS = {
    QUESTION: "{who} answers at the keyboard, the others watch. Say the answer aloud too.",
    LIVE: "{who} performs it on the floor and calls it himself; the others watch.",
    PLAYED: "The program plays it, right or with one fault. Everybody watches.",
}


def turn_rows(turn: Turn, movement: Movement, graders: Sequence[str], width: int) -> list[Row]:
    """Return what comes now and who does what."""
    width = min(width, READING)
    who = visible(turn.performer)
    # A question may ask for the movement itself, so its name waits.
    rows: list[Row] = [] if turn.kind == QUESTION else [(Span(visible(movement.name), BRASS),), ()]
    rows += [(Span(line, STRONG),) for line in wrapped(TURN_WORDS[turn.kind].format(who=who), width)]
    if turn.kind == LIVE:
        rows += [(), *((Span(line, INK),) for line in wrapped(FLOOR_CAUTION, width))]
    names = ", ".join(map(visible, graders))
    rows += [(), *hanging((Span("grading  ", FAINT),), names, width, INK)]
    return rows


def hand_keys(hands: Hands) -> Keys:
    """Return each grader's two keys, GO before NO-GO, with his name."""
    return tuple((" ".join(keys), f"{visible(name)}: GO, NO-GO") for name, keys in hands.keys.items())


def hands_rows(hands: Hands, width: int) -> list[Row]:
    """Return the hands while they are hidden: who has which keys, who has chosen, never what."""
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
    return [*rows, (), (Span("A hand can be changed until the last one is up.", FAINT),)]


def outcome_rows(one: Graded, movement: Movement, answer: str, width: int) -> list[Row]:
    """Return what a turn came to: who said what, the truth, the fault, the rule.

    Args:
        one: the turn as it was graded.
        movement: its movement.
        answer: what the right answer to the question was; empty where none was asked.
        width: cells.
    """
    width = min(width, READING)
    rows: list[Row] = []
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
    rows: list[Row] = [(Span("Which fault was it? A number settles on it, once more takes it back.", STRONG),)]
    for number, fault in enumerate(movement.faults[:9], 1):
        sign = "✓" if fault.id in settled else " "
        rows += hanging((Span(f"{sign} ", BRASS), Span(f"{number}  ", STRONG)), visible(fault.tell), width, INK)
    return rows


def turns_words(number: int) -> str:
    """Return a number of turns in words."""
    return "one turn" if number == 1 else f"{number} turns"


def end_rows(evening: Evening, width: int) -> list[Row]:
    """Return how the group agrees, each grader's eye, the after-action list, the answers handed over."""
    width = min(width, READING)
    agreed, listed = evening.agreement(), after_action(evening)
    together, known, turns = evening.team()
    rows: list[Row] = [(Span("How far you agree", STRONG),)]
    if agreed.percent is not None:
        text = f"{100 * agreed.percent:.0f} % of pairs gave the same, in {agreed.trials} of {turns_words(turns)}."
        if agreed.value is not None:
            text += f" {agreed.name} {agreed.value:.2f}"
            text += f", 95 percent interval {agreed.low:.2f} to {agreed.high:.2f}." if agreed.low is not None else "."
        rows += [(Span(line, INK),) for line in wrapped(text, width)]
    if agreed.told:
        rows += [(Span(line, FAINT),) for line in wrapped(agreed.told, width)]
    if known:
        rows.append((Span(f"All of one mind and right: {together} of {known} turns whose truth is known.", INK),))
    eyes = evening.eyes()
    if eyes:
        rows += [(), (Span("Each grader against the known truth", STRONG),)]
        room = max(columns(visible(name)) for name in eyes)
        for name in (name for name in evening.places if name in eyes):
            head = (Span(f"{visible(name)}{' ' * (room - columns(visible(name)) + 3)}", INK),)
            rows += hanging(head, eyes[name].words(), width, FAINT)
    rows += [(), (Span("After action", STRONG),)]
    for item in listed.items:
        rows += [(Span(visible(item.name), BRASS),)]
        for name, text in (("to happen", item.to_happen), ("happened", item.happened), ("why", item.why)):
            rows += hanging((Span(f"  {name:<11}", FAINT),), visible(text), width, INK)
    rows += [] if listed.items else [(Span("Nothing was disputed.", FAINT),)]
    for head_word, told in (("Sustain", listed.sustain), ("Improve", listed.improve)):
        if told:
            rows += [(), (Span(head_word, STRONG),)]
            rows += [row for text in told for row in hanging((Span("· ", BRASS),), visible(text), width, INK)]
    return rows
