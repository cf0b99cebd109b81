"""Every mistake is told at its place, in plain words, and alone."""

import random
import tomllib
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.authoring.mistakes import MISTAKES, Mistake
from trainer.authoring.reading import Reading, read_deck, read_deck_bytes

GUARD = (Path(__file__).parent / "guard.toml").read_text("utf-8")


def read(text: str) -> Reading:
    return read_deck_bytes(text.encode(), "guard.toml")


def line_of(text: str, piece: str) -> int:
    assert piece in text, piece
    return text[: text.index(piece)].count("\n") + 1


def with_mistake(text: str, mistake: Mistake) -> str:
    assert text.count(mistake.old) == 1, f"{mistake.old!r} is there {text.count(mistake.old)} times"
    return text.replace(mistake.old, mistake.new)


def test_the_guard_is_sound() -> None:
    reading = read(GUARD)
    assert reading.problems == ()
    assert reading.deck is not None
    assert reading.data == tomllib.loads(GUARD)
    assert reading.deck.movement("halt").words[1].executes


@pytest.mark.parametrize("mistake", MISTAKES, ids=lambda mistake: mistake.name)
def test_mistake_is_told_alone_and_on_its_line(mistake: Mistake) -> None:
    text = with_mistake(GUARD, mistake)
    reading = read(text)
    assert reading.deck is None
    told = [(problem.line, problem.message) for problem in reading.problems]
    assert len(told) == 1, told
    assert mistake.told in told[0][1]
    assert told[0][0] == line_of(text, mistake.at or mistake.new), told


def told(text: str) -> list[str]:
    return [f"{problem.line}: {problem.message}" for problem in read(text).problems]


def lines_told(text: str) -> list[int]:
    return [problem.line for problem in read(text).problems]


def test_everything_comes_at_once_in_the_order_of_the_file() -> None:
    wanted = ["unknown in a count", "fault twice", "closing foot", "measure without movement", "unit", "range reversed"]
    mistakes = [mistake for mistake in MISTAKES if mistake.name in wanted]
    text = GUARD
    for mistake in mistakes:
        text = with_mistake(text, mistake)
    lines = [line_of(text, mistake.at or mistake.new) for mistake in mistakes]
    assert lines_told(text) == sorted(lines)
    assert len(lines) == len(wanted)


def test_a_mistake_of_writing_does_not_hide_the_others_where_the_file_can_still_be_read() -> None:
    text = GUARD.replace('"Guard, halt"', "2026-07-01").replace('"flank-wide"', '"flank-small"')
    assert [message.partition(": ")[2][:20] for message in told(text)] == [
        "the fault 'flank-sma",
        "a deck holds no date",
    ]


def flank(direction: str, feet: tuple[str, str, str], beats: tuple[int, int] = (-2, 1)) -> str:
    """A flank whose preparatory word, word of execution and first count fall on these feet."""
    preparatory, executing, first = feet
    return (
        GUARD.replace(
            '{ say = "Right flank", beat = -2, foot = "right" }',
            f'{{ say = "Flank", beat = {beats[0]}, foot = "{preparatory}" }}',
        )
        .replace('{ say = "WHEEL", beat = 0, foot = "right"', f'{{ say = "WHEEL", beat = 0, foot = "{executing}"')
        .replace('called_on = "right"\nturn', f'called_on = "{executing}"\nturn')
        .replace(
            '{ beat = 1, foot = "left", place = "step", length = "12 in" }',
            f'{{ beat = {beats[1]}, foot = "{first}", place = "step", length = "12 in" }}',
        )
        .replace('{ beat = 2, foot = "right", place', "{ beat = 2, place")
        .replace("90 right", f"90 {direction}")
        .replace("70 right", f"70 {direction}")
    )


def test_flanks_called_on_the_right_feet_are_sound() -> None:
    assert told(flank("right", ("right", "right", "left"))) == []
    assert told(flank("left", ("left", "left", "right"))) == []


@pytest.mark.parametrize("direction", ["right", "left"])
def test_flank_whose_first_count_is_on_the_foot_that_has_just_struck(direction: str) -> None:
    other = "left" if direction == "right" else "right"
    text = flank(direction, (direction, other, other), (-1, 1))
    line = line_of(text, 'place = "step", length = "12 in"')
    message = (
        f"{line}: count 1 cannot be the {other} foot on beat 1: the {other} "
        f"foot has just struck on beat 0 ('WHEEL' on it), and no foot strikes twice running. The missing step is the "
        f"{direction} foot's, on beat 1: put this count on beat 2, or call on the {direction} foot"
    )
    assert told(text) == [message]


@pytest.mark.parametrize("direction", ["right", "left"])
def test_flank_with_a_word_on_the_foot_that_its_beat_does_not_have(direction: str) -> None:
    other = "left" if direction == "right" else "right"
    text = flank(direction, (other, direction, other))
    line = line_of(text, 'say = "Flank"')
    message = (
        f"{line}: 'Flank' cannot be on the {other} foot: beat 0 is the "
        f"{direction} foot and feet alternate, so beat -2 is the {direction} foot. One step is missing or one too many "
        "between the words"
    )
    assert told(text) == [message]


@pytest.mark.parametrize("direction", ["right", "left"])
def test_flank_with_both_the_word_and_the_first_count_wrong(direction: str) -> None:
    other = "left" if direction == "right" else "right"
    text = flank(direction, (direction, other, other), (-2, 1))
    assert lines_told(text) == [line_of(text, 'say = "Flank"'), line_of(text, 'place = "step", length = "12 in"')]


def test_a_first_count_that_comes_a_beat_late_leaves_the_stance_its_step() -> None:
    # Called on the right foot, the left steps on as in the stance; the pivot foot may come on beat 2.
    text = flank("right", ("right", "right", "right"), (-2, 2)).replace(
        '{ beat = 2, place = "step", turn', '{ beat = 3, place = "step", turn'
    )
    assert told(text) == []


CLOSE_ON_RIGHT = '{ beat = 2, foot = "right", place = "close" }'


def test_a_closing_foot_that_a_cycle_cannot_go_on_from() -> None:
    hop = (
        '[stance.crab]\ncadence = 100\nstep = "12 in"\n'
        'cycle = [ { foot = "right", place = "side" }, { foot = "left", place = "close" } ]\n\n[grade_sheet]'
    )
    text = GUARD.replace("[grade_sheet]", hop).replace(
        'to = "halted"\ncalled_on = "right"', 'to = "crab"\ncalled_on = "right"'
    )
    line = line_of(text, CLOSE_ON_RIGHT)
    assert [one for one in told(text) if one.startswith(f"{line}: 'crab' cannot go on from here: the right foot")]


def test_movement_that_is_there_but_unsound_is_still_a_measure_and_still_a_twin() -> None:
    text = GUARD.replace('name = "Guard, halt"', "name = 7")
    assert len(told(text)) == 1
    text = text.replace('id = "side-halt"', 'id = "halt"')
    assert [line.partition("the ")[2][:28] for line in told(text)][1:] == ["movement 'halt' is there twi"]


def test_what_only_follows_is_not_told() -> None:
    for old, new in [
        ('id = "halt"\n', 'id = "Halt!"\n'),  # the measure 'halt' may be this one
        ("[stance.marching]", "[stanse.marching]"),  # every movement begins in it
        ('to = "halted"\ncalled_on = "either"', 'two = "halted"\nto = "halted"\ncalled_on = "either"'),
        ('words = [\n  { say = "Side"', 'wrds = [\n  { say = "Side"'),
        ('cued_by = "drum"', "cued_by = 3"),
        ('sword = ["carry", "order"]', 'sword = "carry"'),
    ]:
        assert GUARD.count(old) == 1, old
        text = GUARD.replace(old, new)
        assert len(told(text)) == 1, told(text)


def test_faults_beside_an_unsound_one_are_still_checked() -> None:
    text = GUARD.replace('{ count = 2, turn = "70 right" }', "{ count = 2, turn = 70 }").replace(
        'shows = [ { count = 1, length = "full" } ]', 'shows = [ { count = 1, length = "12 in" } ]'
    )
    assert [message.partition(": ")[2][:30] for message in told(text)] == [
        "'turn' must be a text: put it ",
        "the fault 'flank-wide' changes",
    ]


def test_nothing_in_the_file() -> None:
    for text in ("", "# a comment\n"):
        starts = [message.partition(":")[0] + message.partition("add")[0][2:] for message in told(text)]
        assert starts == [f"1 '{name}' is missing in the file: " for name in ("deck", "movement", "stance")]


def test_blocks_with_the_wrong_brackets() -> None:
    assert "[[movement]], with two brackets" in told(GUARD.partition("[[movement]]")[0] + '[movement]\nid = "a"\n')[0]
    assert "write [deck], with one bracket" in told(GUARD.replace("[deck]", "[[deck]]"))[0]
    assert "write [stance.halted], with one bracket" in told(GUARD.replace("[stance.halted]", "[[stance.halted]]"))[0]


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    reading = read_deck(tmp_path / "none.toml")
    assert [problem.line for problem in reading.problems] == [0]
    assert "no such file" in reading.problems[0].message
    assert (reading.deck, reading.data, reading.text) == (None, None, "")


# Nothing that an author writes may break the reading.


def written(data: dict[str, Any]) -> str:
    """Write data as TOML, tables under a header of their own where they are tables."""
    head, blocks = [], []
    for name, value in data.items():
        if isinstance(value, dict) and value and all(isinstance(one, dict) for one in value.values()):
            blocks += [f"[{key(name)}.{key(inner)}]\n" + pairs(table) for inner, table in value.items()]
        elif isinstance(value, dict):
            blocks.append(f"[{key(name)}]\n" + pairs(value))
        elif isinstance(value, list) and value and all(isinstance(one, dict) for one in value):
            blocks += [f"[[{key(name)}]]\n" + pairs(one) for one in value]
        else:
            head.append(f"{key(name)} = {inline(value)}\n")
    return "".join(head + blocks)


def pairs(table: dict[str, Any]) -> str:
    return "".join(f"{key(name)} = {inline(value)}\n" for name, value in table.items())


def key(name: str) -> str:
    return inline(name)


def inline(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return '"' + value.replace("\\", "\\\\").replace('"', '\\"') + '"'
    if isinstance(value, list):
        return "[\n" + "".join(f" {inline(one)},\n" for one in value) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key(name)} = {inline(one)}" for name, one in value.items()).replace("\n", "") + "}"
    return repr(value)


ODD = [
    "",
    "halt",
    "left",
    "2",
    "30 in",
    "x" * 70,
    0,
    3,
    -1,
    2.5,
    0.25,
    True,
    [],
    ["halt"],
    [3],
    {},
    {"id": "halt"},
    [{}],
]


def spoil(data: Any, rng: random.Random) -> None:
    """Change one value or one name somewhere in a deck."""
    while True:
        places = list(data) if isinstance(data, dict) else list(range(len(data)))
        if not places:
            return
        place = rng.choice(places)
        inner = data[place]
        if isinstance(inner, dict | list) and inner and rng.random() < 0.85:
            data = inner
            continue
        action = rng.choice(["value", "value", "take out", "rename"])
        if action == "value":
            data[place] = rng.choice(ODD)
        elif action == "take out" or not isinstance(data, dict):
            del data[place]
        else:
            data[f"{place}x"] = data.pop(place)
        return


@settings(max_examples=150, deadline=None)
@given(seed=st.integers(0, 2**32), many=st.integers(1, 4))
def test_any_spoilt_deck_is_read_or_told_of(seed: int, many: int) -> None:
    data = tomllib.loads(GUARD)
    rng = random.Random(seed)
    for _ in range(many):
        spoil(data, rng)
    text = written(data)
    assert tomllib.loads(text) == data
    reading = read(text)
    assert (reading.deck is None) == bool(reading.problems)
    lines = text.split("\n")
    assert all(1 <= problem.line <= len(lines) for problem in reading.problems)
    assert [(p.line, p.column) for p in reading.problems] == sorted((p.line, p.column) for p in reading.problems)
