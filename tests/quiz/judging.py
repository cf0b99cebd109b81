"""Which choices of a question are right, by the oracle."""

import re
from collections.abc import Callable

from tests.quiz.oracle import (
    BEATS,
    could_be_true,
    could_have,
    fits,
    is_fault_of,
    namesakes,
    performances,
    plain,
    surely_true,
    titled,
)
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.grade_sheet import GradeSheet, measure_go
from trainer.drill.movement import Movement
from trainer.quiz.questions import Question


def place_of(question: Question) -> str:
    return question.points[0].rsplit("/", 1)[1]


def right_choices(deck: Deck, question: Question) -> list[int]:
    """Indices of every choice that somebody could call right."""
    judge = JUDGES[question.kind]
    return [number for number, text in enumerate(question.choices) if judge(deck, question, text)]


def on_a_count(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    return could_be_true(deck, movement, movement.counts[int(place_of(question)) - 1].beat, text)


def numbered(text: str) -> int:
    found = re.match(r"count (\d+)", text)
    assert found
    return int(found[1])


def which_count(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    asked = question.prompt.split("happen? ", 1)[1].removesuffix(".")
    return could_be_true(deck, movement, movement.counts[numbered(text) - 1].beat, asked)


def movement_of_a_count(deck: Deck, question: Question, text: str) -> bool:
    found = re.match(r"Which movement has this on (count \d+)[^?]*\? (.*)$", question.prompt, re.DOTALL)
    assert found
    number = numbered(found[1])
    return any(
        len(movement.counts) >= number
        and could_be_true(deck, movement, movement.counts[number - 1].beat, found[2].removesuffix("."))
        for movement in titled(deck, text)
    )


def stance(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    return any(plain(text) == plain(one) for other in namesakes(deck, movement) for one in other.from_stances)


def called_from(deck: Deck, question: Question, text: str) -> bool:
    asked = question.prompt.removeprefix("Which of these may be called from this stance: ").removesuffix("?")
    return any(asked in other.from_stances for movement in titled(deck, text) for other in namesakes(deck, movement))


OUTLINED = (
    "Which command is this? From",
    "Say the whole command for this. From",
    "Say your own words, after those of the grader, for this. From",
)


def meant(deck: Deck, question: Question) -> list[Movement]:
    """The movements that a question about a command can mean."""
    own = deck.movement(question.movement)
    found = re.search(r"(From .+)$", question.prompt, re.DOTALL)
    if question.prompt.startswith(OUTLINED):
        assert found
        BEATS[found[1]] = tuple(count.beat for count in own.counts[:6])
        return [movement for movement in deck.movements if fits(deck, movement, found[1])]
    name = question.prompt.rsplit(":", 1)[0]
    return titled(deck, name)


def pick_the_command(deck: Deck, question: Question, text: str) -> bool:
    return any(plain(movement.command) == plain(text) for movement in meant(deck, question))


FOOT_CHOICES = {
    "only on the right foot": "right",
    "only on the left foot": "left",
    "on either foot": "either",
    "as the heels come together": "together",
    "while the feet are apart": "apart",
    "on any beat, heels together or not": "any",
}


def foot_of_a_word(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    place = place_of(question)
    word = None if place == "first-cue" else movement.call[int(place) - 1]
    beat = word.beat if word else 0.0
    played = performances(deck, movement)
    # A count may stand on the beat of the first cue; the call is on the foot that beat 0 is given all the same.
    struck = {(one.at_zero, one.at(beat).strikes if beat else one.at_zero) for one in played}
    if text.startswith("on the same foot"):
        return all(zero == foot for zero, foot in struck)
    if text.startswith("on the other foot"):
        return all(zero != foot for zero, foot in struck)
    claimed = FOOT_CHOICES[text]
    if claimed in ("together", "apart"):
        closes = {any(act.place in ("close", "in place") for act in one.at(beat).acts) for one in played}
        return (claimed == "together") in closes and (movement.called_on == "together" or claimed == "together")
    free = movement.called_on == "either" and (word is None or word.executes)
    if claimed in ("either", "any"):
        return free
    return not free and claimed in {foot for _, foot in struck}


def called_on(deck: Deck, question: Question, text: str) -> bool:
    prompt = question.prompt
    movements = titled(deck, text)
    for movement in movements:
        if "heels" in prompt and movement.called_on == "together":
            return True
        if "either" in prompt and movement.called_on == "either":
            return True
        for side in ("left", "right"):
            could = movement.called_on in (side, "either") or (
                movement.called_on == "together" and side in {one.at_zero for one in performances(deck, movement)}
            )
            if f"the {side} foot" in prompt and could:
                return True
    return False


def pattern_of(text: str) -> list[tuple[str, float]]:
    return [(sound, float(beat)) for sound, beat in re.findall(r"(?:^|, )(.+?) \(beat (-?[\d.]+)\)", text)]


def cues(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    return pattern_of(text) == [(cue.sound, cue.beat) for cue in sorted(movement.cues, key=lambda cue: cue.beat)]


def cued_movement(deck: Deck, question: Question, text: str) -> bool:
    given = pattern_of(question.prompt.split(" gives: ", 1)[1].removesuffix(". Which movement is that?"))
    return any(
        given == [(cue.sound, cue.beat) for cue in sorted(movement.cues, key=lambda cue: cue.beat)]
        for movement in titled(deck, text)
    )


ORDINALS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"]


def count_of_a_cue(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    found = re.search(r"does the (?:number (\d+)|(\w+)) cue \(", question.prompt.split(": on which", 1)[1])
    assert found
    number = int(found[1]) if found[1] else ORDINALS.index(found[2]) + 1
    cue = sorted(movement.cues, key=lambda cue: cue.beat)[number - 1]
    return movement.counts[numbered(text) - 1].beat == cue.beat


def fault_of(deck: Deck, question: Question, text: str) -> bool:
    return is_fault_of(deck, deck.movement(question.movement), text)


def movement_of_a_fault(deck: Deck, question: Question, text: str) -> bool:
    own = deck.movement(question.movement)
    fault = next(one for one in own.faults if one.id == place_of(question))
    assert question.prompt.endswith(fault.tell)
    return any(
        is_fault_of(deck, movement, fault.tell) or (movement.id != own.id and could_have(deck, own, fault, movement))
        for movement in titled(deck, text)
    )


def count_of_a_fault(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    fault = next(one for one in movement.faults if one.id == place_of(question))
    feet = ("left", "right") if movement.called_on == "either" else ("left",)
    first = {
        min(one.beat for one in compare(deck, movement, fault, name, foot).differences)
        for name in movement.from_stances
        for foot in feet
    }
    return movement.counts[numbered(text) - 1].beat in first


def seen_by(deck: Deck, question: Question, text: str) -> bool:
    movement = deck.movement(question.movement)
    return any(one.seen_by == text for one in movement.faults if one.id == place_of(question))


def sheet_of(deck: Deck) -> GradeSheet:
    assert deck.grade_sheet
    return deck.grade_sheet


def major(deck: Deck, question: Question, text: str) -> bool:
    return any(plain(one.text) == plain(text) for one in sheet_of(deck).majors)


def ends_the_test(deck: Deck, question: Question, text: str) -> bool:
    sheet = sheet_of(deck)
    if not text.startswith("One trial of this is not right: ") or major(deck, question, text):
        return major(deck, question, text)
    measure = measure_go(sheet.rule, [False] + [True] * (sheet.trials - 1))
    minors_go = len(sheet.minors) - (0 if measure else 1)
    return minors_go * sheet.share.whole < sheet.share.part * len(sheet.minors)


def trials(deck: Deck, question: Question, text: str) -> bool:
    return text == f"{sheet_of(deck).needed} of {sheet_of(deck).trials}"


def least(deck: Deck) -> int:
    sheet = sheet_of(deck)
    size = len(sheet.minors)
    return next(n for n in range(size + 1) if n * sheet.share.whole >= sheet.share.part * size)


def minors(deck: Deck, question: Question, text: str) -> bool:
    return int(text) == least(deck)


def retest(deck: Deck, question: Question, text: str) -> bool:
    number, unit = text.split()
    return int(number) * (24 if unit.startswith("day") else 1) == sheet_of(deck).retest_after_hours


def verdict_word(text: str, go: bool) -> bool:
    return text == ("GO" if go else "NO-GO")


def measure_word(deck: Deck, question: Question, text: str) -> bool:
    return verdict_word(text, int(question.prompt.split()[0]) >= sheet_of(deck).needed)


def test_word(deck: Deck, question: Question, text: str) -> bool:
    return verdict_word(text, int(question.prompt.split()[0]) >= least(deck))


test_word.__test__ = False  # type: ignore[attr-defined]

JUDGES: dict[str, Callable[[Deck, Question, str], bool]] = {
    "on a count": on_a_count,
    "which count": which_count,
    "movement of a count": movement_of_a_count,
    "stance": stance,
    "called from": called_from,
    "pick the command": pick_the_command,
    "foot of a word": foot_of_a_word,
    "called on": called_on,
    "cues": cues,
    "cued movement": cued_movement,
    "count of a cue": count_of_a_cue,
    "fault of": fault_of,
    "movement of a fault": movement_of_a_fault,
    "count of a fault": count_of_a_fault,
    "seen by": seen_by,
    "major measure": major,
    "ends the test": ends_the_test,
    "trials": trials,
    "minors to pass": minors,
    "retest": retest,
    "measure go": measure_word,
    "test go": test_word,
}


def check(deck: Deck, question: Question) -> None:
    """Assert that a question has one right answer and that it is the one it says."""
    if question.expects == "choice":
        assert 2 <= len(question.choices) <= 4
        assert len({" ".join(text.casefold().split()) for text in question.choices}) == len(question.choices)
        assert right_choices(deck, question) == [question.answer], question
        assert question.chance == len(question.choices)
    else:
        {"text": check_text, "feet": check_feet, "order": check_order}[question.expects](deck, question)
    assert len(question.points) == len(set(question.points))


def check_text(deck: Deck, question: Question) -> None:
    movement = deck.movement(question.movement)
    assert question.chance == 0
    assert question.choices == ()
    if question.kind == "name the stance":
        assert {question.answer, *question.also} == set(movement.from_stances)
        return
    assert question.answer == " ".join(word.say for word in movement.words if word.speaker is None)
    if question.prompt.startswith(OUTLINED):
        assert {plain(other.command) for other in meant(deck, question)} == {plain(movement.command)}


def check_feet(deck: Deck, question: Question) -> None:
    movement = deck.movement(question.movement)
    assert question.chance == 2
    assert isinstance(question.answer, tuple)
    for point, said, foot in zip(question.points, question.choices, question.answer, strict=True):
        word = movement.call[int(point.rsplit("/", 1)[1]) - 1]
        assert word.say == said
        assert {one.at(word.beat).strikes for one in performances(deck, movement)} == {foot}
    assert all(word.say in question.prompt for word in movement.call)


def check_order(deck: Deck, question: Question) -> None:
    movement = deck.movement(question.movement)
    assert question.chance == 0
    assert isinstance(question.answer, tuple)
    assert sorted(int(one) for one in question.answer) == list(range(len(question.choices)))
    assert question.answer != tuple(range(len(question.choices)))
    numbers = [int(point.rsplit("/", 1)[1]) for point in question.points]
    assert numbers == list(range(numbers[0], numbers[0] + len(numbers)))
    at = 0
    put = [question.choices[int(one)] for one in question.answer]
    assert put != list(question.choices)
    for text, size in zip(put, question.steps, strict=True):
        beats = {movement.counts[number - 1].beat for number in numbers[at : at + size]}
        assert len(beats) == 1
        if size == 1:
            assert surely_true(deck, movement, beats.pop(), text), (movement.id, text)
        at += size
    assert at == len(numbers)
