"""Decks made by chance: valid ones, from drill objects."""

from hypothesis import strategies as st

from trainer.drill.deck import Deck, usual_sole
from trainer.drill.grade_sheet import MAJOR, GradeSheet, Measure, Share
from trainer.drill.length import Length
from trainer.drill.movement import Change, Count, Cue, Fault, Movement, Stance, Word

STANCES = (
    Stance("marching", (120.0, 120.0), Length(30.0, "in"), left_arm="swing", right_arm="swing"),
    Stance("slow time", (60.0, 60.0), Length(30.0, "in"), left_arm="still", right_arm="still"),
    Stance("half step", (120.0, 120.0), Length(15.0, "in"), contact="slide"),
    Stance("marking time", (120.0, 120.0), lift=Length(2.0, "in"), left_arm="swing", right_arm="swing"),
    Stance(
        "side step",
        (120.0, 120.0),
        Length(15.0, "in"),
        cycle=(Count(0.0, "right", "side"), Count(1.0, "left", "close")),
    ),
    Stance("halted", left_arm="still", right_arm="still"),
)
MOVING = ("marching", "slow time", "half step", "marking time")
SAYS = st.sampled_from(["Guard", "right", "left", "flank", "change step", "half-step", "mark [red]", "o’clock", "by 2"])
LENGTHS = st.sampled_from([None, None, "full", "half", Length(15.0, "in"), Length(12.0, "in"), Length(75.0, "cm")])
ARMS = st.sampled_from([None, None, None, "swing", "pinned", "still"])


@st.composite
def counts(draw: st.DrawFn, halted: bool, relative: bool, cued: bool) -> tuple[Count, ...]:
    rows = []
    beat = draw(st.sampled_from([0.0, 1.0])) if cued else 1.0
    first = halted
    for number in range(draw(st.integers(1, 5))):
        place: str | None = draw(
            st.sampled_from(["step", "step", "close", "in place", "side", "back", "T", "toe to heel", "stays"])
        )
        if draw(st.integers(0, 5)) == 0:
            place = None
        foot = None
        if place == "stays":
            foot = "both"
        elif first and place:
            foot, first = draw(st.sampled_from(["left", "right"])), False
        turn = draw(st.sampled_from([0.0, 0.0, 0.0, 90.0, -90.0, 180.0]))
        arm = draw(ARMS)
        rows.append(
            Count(
                beat,
                foot,
                place,
                length=draw(LENGTHS) if place in ("step", "side", "back") else None,
                against=draw(st.sampled_from([None, "toe", "heel"])) if place == "T" else None,
                contact=draw(st.sampled_from([None, None, "slide", "ball", "heel"])) if place != "stays" else None,
                lift=draw(st.sampled_from([None, None, Length(2.0, "in"), Length(4.0, "in")]))
                if place == "in place"
                else None,
                turn=turn,
                left_arm=arm,
                right_arm=arm if draw(st.booleans()) else draw(ARMS),
                sword=draw(st.sampled_from([None, None, None, "carry", "order"])),
                cadence=draw(st.sampled_from([None, None, None, None, 90.0, 140.0])),
                tell=f"Do [b]part {number}[/b].",
            )
        )
        beat += draw(st.sampled_from([1.0, 1.0, 1.0, 2.0, 0.5]))
    return tuple(rows)


@st.composite
def faults(draw: st.DrawFn, size: int) -> tuple[Fault, ...]:
    made = []
    for number in range(draw(st.integers(0, 3))):
        tell = draw(st.sampled_from(["Too late", "too late.", "Wrong foot", "Arms loose [x]", "Turned short", "Flat"]))
        if draw(st.booleans()):
            made.append(Fault(f"f{number}", f"{tell}", (), draw(st.sampled_from(["grader", "crowd"]))))
            continue
        row = draw(st.integers(1, size))
        fields = draw(
            st.sampled_from([(("left_arm", "pinned"),), (("turn", 45.0),), (("contact", "heel"),), (("foot", "left"),)])
        )
        made.append(Fault(f"f{number}", tell, (Change("count", row, fields),)))
    return tuple(made)


@st.composite
def movements(draw: st.DrawFn, number: int) -> Movement:
    called = draw(st.sampled_from(["left", "right", "either", "halted", "together"]))
    cued = called in ("left", "right", "halted") and draw(st.integers(0, 4)) == 0
    if called == "halted":
        starts: tuple[str, ...] = ("halted",)
    elif called == "together":
        starts = ("side step",)
    else:
        starts = tuple(draw(st.lists(st.sampled_from(MOVING), min_size=1, max_size=3, unique=True)))
    rows = draw(counts(called == "halted", called == "either", cued))
    words: tuple[Word, ...] = ()
    cues: tuple[Cue, ...] = ()
    if cued:
        sounds = draw(st.lists(st.sampled_from(["single", "double"]), min_size=1, max_size=4))
        cues = tuple(Cue(float(beat), sound) for beat, sound in enumerate(sounds))
    if not cued or draw(st.booleans()):
        said = draw(st.lists(SAYS, min_size=0, max_size=3))
        words = tuple(Word(say, float(-2 * (len(said) - place))) for place, say in enumerate(said))
        if not cued:
            words = (*words, Word(draw(st.sampled_from(["MARCH", "HALT"])), 0.0, executes=True))
        if draw(st.booleans()):
            words = (Word("Named", -12.0, speaker="grader"), *words)
    name = draw(st.sampled_from(["Halt", "Flank", "Mark time", f"Movement {number}", "Change step, march"]))
    return Movement(
        f"m{number}",
        name,
        starts,
        draw(st.sampled_from([stance.name for stance in STANCES])),
        called,
        rows,
        words,
        cues,
        "drum" if cued else None,
        None,
        draw(faults(len(rows))),
        draw(st.sampled_from(["", "Order 1 (invented)"])),
        draw(st.sampled_from(["", "", "Heard once."])),
    )


@st.composite
def decks(draw: st.DrawFn) -> Deck:
    """A deck that mostly passes the checks; the test leaves out one that does not."""
    from trainer.drill.checks import findings

    made: list[Movement] = []
    for number in range(draw(st.integers(1, 6))):
        movement = draw(movements(number))
        faulty = [fault for fault in movement.faults if _wrong(findings, movement._replace(faults=(fault,)))]
        movement = movement._replace(faults=tuple(fault for fault in movement.faults if fault not in faulty))
        if not _wrong(findings, movement):
            made.append(movement)
    if not made:
        made = [Movement("m0", "Step off", ("halted",), "marching", "halted", (Count(1.0, "left", "step"),), MARCH)]
    return _deck(tuple(made), draw(st.none() | sheets([movement.id for movement in made])))


MARCH = (Word("Forward", -2.0), Word("MARCH", 0.0, executes=True))


def _deck(made: tuple[Movement, ...], sheet: GradeSheet | None) -> Deck:
    return Deck("made", "made", "Made", "in", usual_sole("in"), STANCES, made, sheet, sword=("carry", "order"))


def _wrong(findings: object, movement: Movement) -> bool:
    return bool(callable(findings) and findings(_deck((movement,), None)))


@st.composite
def sheets(draw: st.DrawFn, ids: list[str]) -> GradeSheet:
    """A grade sheet over some of the movements."""
    minors = draw(st.lists(st.sampled_from(ids), min_size=1, unique=True))
    trials = draw(st.integers(1, 5))
    texts = draw(st.lists(st.sampled_from(["Drops the sword", "Leaves the surface", "Unsafe"]), unique=True))
    return GradeSheet(
        Share(draw(st.integers(1, 100)), 100),
        trials,
        draw(st.integers(1, trials)),
        tuple(minors),
        tuple(Measure(f"major-{n}", MAJOR, text) for n, text in enumerate(texts)),
        draw(st.sampled_from([None, 1, 24, 48, 100, 168])),
    )
