"""A deck file's own shape: what may be written where. Its JSON Schema is shipped for editors."""

from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StringConstraints, model_validator
from pydantic_core import PydanticCustomError

from trainer.authoring.building import parse_hours, parse_tempo
from trainer.drill.grade_sheet import GRADER, parse_share
from trainer.drill.length import parse_length
from trainer.drill.movement import FULL, HALF, parse_turn


def _read_by(parse: Any) -> AfterValidator:
    """Keep the text as written and let its own reader judge it."""

    def read(text: str) -> str:
        parse(text)
        return text

    return AfterValidator(read)


def _step_length(text: str) -> None:
    if text not in (FULL, HALF):
        parse_length(text)


def _whole_or_half(beat: float) -> float:
    if beat * 2 != int(beat * 2):
        raise ValueError(f"a beat is a whole or a half number, not {beat:g}")
    return beat


def _one_line(text: str) -> str:
    if "\n" in text:
        raise ValueError("this text goes over several lines; write it in one")
    if not text.strip():
        raise ValueError("this text holds nothing but spaces")
    return text


Id = Annotated[str, StringConstraints(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=60), Field(title="id")]
Line = Annotated[str, StringConstraints(min_length=1, max_length=400), AfterValidator(_one_line)]
Name = Annotated[str, StringConstraints(min_length=1, max_length=60), AfterValidator(_one_line)]
Beat = Annotated[float, Field(ge=-64, le=64), AfterValidator(_whole_or_half)]
Cadence = Annotated[float, Field(ge=20, le=300)]
LengthText = Annotated[Line, _read_by(parse_length)]
StepText = Annotated[Line, _read_by(_step_length)]
TurnText = Annotated[Line, _read_by(parse_turn)]
Foot = Literal["left", "right", "same", "other", "both"]
Side = Literal["left", "right"]
Arms = Literal["swing", "pinned", "still"]
Place = Literal["step", "back", "side", "in place", "close", "T", "toe to heel", "ball to heel", "pivot", "stays"]
Row = Annotated[int, Field(ge=1, le=64)]


class Table(BaseModel):
    """A table of a deck file: only its own fields are known, and text is never taken for a number."""

    model_config = ConfigDict(extra="forbid", populate_by_name=False, strict=True)


class WrittenSole(Table):
    """A shoe sole seen from above; `ball` is measured from the heel."""

    length: LengthText
    width: LengthText
    ball: LengthText


class WrittenHead(Table):
    """What the deck is and where it comes from."""

    id: Id
    standard: Id | None = None
    title: Line
    unit: Literal["in", "ft", "cm", "m"]
    sources: list[Line] = []
    cautions: list[Line] = []
    sword: list[Name] = []
    sole: WrittenSole | None = None


class Footwork(Table):
    """What a foot, the arms and the sword may do; shared by counts, cycles and changes."""

    foot: Foot | None = None
    place: Place | None = None
    length: StepText | None = None
    against: Literal["toe", "heel"] | None = None
    contact: Literal["slide", "ball", "heel"] | None = None
    lift: LengthText | None = None
    turn: TurnText | None = None
    toes: TurnText | None = None
    arms: Arms | None = None
    left_arm: Arms | None = None
    right_arm: Arms | None = None
    sword: Name | None = None


class WrittenCount(Footwork):
    """What happens on one beat of a movement."""

    beat: Beat
    cadence: Cadence | None = None
    tell: Line | None = None


class WrittenCycleRow(Footwork):
    """One beat of a stance that repeats over several beats."""


class WrittenStance(Table):
    """What the body does on every beat until the next command."""

    cadence: Cadence | Annotated[list[Cadence], Field(min_length=2, max_length=2)] | None = None
    step: LengthText | None = None
    place: Place | None = None
    length: StepText | None = None
    contact: Literal["slide", "ball", "heel"] | None = None
    lift: LengthText | None = None
    arms: Arms | None = None
    left_arm: Arms | None = None
    right_arm: Arms | None = None
    sword: Name | None = None
    cycle: Annotated[list[WrittenCycleRow], Field(min_length=1, max_length=16)] | None = None


class WrittenWord(Table):
    """One word of a command."""

    say: Line
    beat: Beat
    executes: bool = False
    speaker: Name | None = None
    foot: Side | None = None


class WrittenCue(Table):
    """One sound that starts or paces a movement."""

    beat: Beat
    sound: Name
    foot: Side | None = None


_FOOTWORK = tuple(Footwork.model_fields)
_MOVES = ("beat", "later", "drop")
CHANGEABLE = {
    "count": (*_FOOTWORK, *_MOVES, "cadence"),
    "word": (*_MOVES, "say", "speaker"),
    "cue": (*_MOVES, "sound"),
    "stance": ("cadence", "step", "place", "length", "contact", "lift", "arms", "left_arm", "right_arm", "sword"),
    "tempo": (),
}
"""What a change may set on each thing that it can name."""


class WrittenChange(Footwork):
    """One way in which a fault departs from the movement."""

    count: Row | Literal["every", "all"] | None = None
    word: Row | Literal["every", "all"] | None = None
    cue: Row | Literal["every", "all"] | None = None
    stance: Literal["after"] | None = None
    tempo: Annotated[Line, _read_by(parse_tempo)] | None = None
    beat: Beat | None = None
    later: Beat | None = None
    drop: Literal[True] | None = None
    say: Line | None = None
    speaker: Name | None = None
    sound: Name | None = None
    cadence: Cadence | None = None
    step: LengthText | None = None

    @model_validator(mode="after")
    def _one_target(self) -> "WrittenChange":
        given = [name for name in type(self).model_fields if getattr(self, name) is not None]
        named = [name for name in given if name in CHANGEABLE]
        if len(named) != 1:
            raise ValueError(
                'a change names one thing that it changes: count = 2, count = "every", word = 1, cue = 1, '
                'stance = "after" or tempo = "+4 %"'
            )
        target = named[0]
        sets = [name for name in given if name != target]
        for name in sets:
            if name not in CHANGEABLE[target]:
                raise _at(name, f"'{name}' is nothing that a {target} has; {_may_set(target)}")
        if target != "tempo" and not sets:
            raise ValueError("this change names a row but not what changes on it, such as beat = 3 or drop = true")
        for alone in ("drop", "later"):
            if alone in sets and len(sets) > 1:
                raise _at(alone, f"'{alone}' stands alone in its row; write what else changes in a row of its own")
        if self.later == 0:
            raise _at("later", "later = 0 moves nothing; say by how many beats it is late, or early with a minus")
        return self


def _at(name: str, message: str) -> PydanticCustomError:
    """Lay an error of a whole row at one of its names."""
    return PydanticCustomError("named", "{message}", {"message": message, "name": name})


def _may_set(target: str) -> str:
    names = CHANGEABLE[target]
    return f"a change of a {target} may set {', '.join(names)}" if names else f"a change of the {target} stands alone"


class WrittenFault(Table):
    """A common error of a movement."""

    id: Id
    tell: Line
    shows: Annotated[list[WrittenChange], Field(max_length=16)] = []
    seen_by: Name | None = None


class WrittenMajor(Table):
    """A major performance measure: failing it ends the test."""

    id: Id
    text: Line


class WrittenGradeSheet(Table):
    """How the test is decided."""

    share: Annotated[Line, _read_by(parse_share)] = Field(alias="pass")
    trials: Annotated[int, Field(ge=1, le=20)]
    needed: Annotated[int, Field(ge=1, le=20)]
    minors: Annotated[list[Id], Field(min_length=1, max_length=100)]
    majors: list[WrittenMajor] = []
    retest_after: Annotated[Line, _read_by(parse_hours)] | None = None
    stop_when_decided: bool = True
    sequence: Literal["free", "graded"] = "free"
    bad_prompt: Name = GRADER


class WrittenMovement(Table):
    """One movement of the standard."""

    id: Id
    name: Line
    from_stances: Annotated[list[Name], Field(min_length=1, max_length=12)] = Field(alias="from")
    to: Name
    called_on: Literal["right", "left", "either", "together", "halted"]
    cued_by: Name | None = None
    turn: TurnText | None = None
    source: Line | None = None
    unconfirmed: Line | None = None
    words: Annotated[list[WrittenWord], Field(max_length=24)] = []
    cues: Annotated[list[WrittenCue], Field(max_length=64)] = []
    counts: Annotated[list[WrittenCount], Field(min_length=1, max_length=64)]
    faults: Annotated[list[WrittenFault], Field(max_length=40)] = []


class WrittenDeck(Table):
    """A whole deck file."""

    deck: WrittenHead
    stance: Annotated[dict[Name, WrittenStance], Field(min_length=1, max_length=40)]
    grade_sheet: WrittenGradeSheet | None = None
    movement: Annotated[list[WrittenMovement], Field(min_length=1, max_length=400)]
