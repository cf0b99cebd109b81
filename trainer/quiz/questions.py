"""The kinds of question, and what a question carries."""

from typing import NamedTuple

CHOICE, TEXT, ORDER, FEET = "choice", "text", "order", "feet"

NAME, VOICE, STEPS = "name", "voice", "steps"
"""Parts of a movement that a question may show beside it: its name, its command (or cues) with the beats, and
what feet, arms, sword and body do."""

SAY, PICK_COMMAND = "say the command", "pick the command"
STARTS_FROM, CALLED_FROM, NAME_STANCE = "stance", "called from", "name the stance"
WORD_FEET, WORD_FOOT, CALLED_ON = "feet of the words", "foot of a word", "called on"
CUE_PATTERN, CUED_MOVEMENT, CUE_COUNT = "cues", "cued movement", "count of a cue"
ON_COUNT, WHICH_COUNT, PUT_IN_ORDER, COUNT_OF = "on a count", "which count", "order", "movement of a count"
FAULT_OF, HAS_FAULT, FAULT_COUNT, SEEN_BY = "fault of", "movement of a fault", "count of a fault", "seen by"
MAJOR, ENDS_TEST = "major measure", "ends the test"
TRIALS, MINORS, RETEST = "trials", "minors to pass", "retest"
TRIALS_GO, MINORS_GO = "measure go", "test go"
KINDS = (
    *(SAY, PICK_COMMAND, STARTS_FROM, CALLED_FROM, NAME_STANCE),
    *(WORD_FEET, WORD_FOOT, CALLED_ON, CUE_PATTERN, CUED_MOVEMENT, CUE_COUNT),
    *(ON_COUNT, WHICH_COUNT, PUT_IN_ORDER, COUNT_OF),
    *(FAULT_OF, HAS_FAULT, FAULT_COUNT, SEEN_BY),
    *(MAJOR, ENDS_TEST, TRIALS, MINORS, RETEST, TRIALS_GO, MINORS_GO),
)

REVERSE = frozenset({PICK_COMMAND, CALLED_FROM, NAME_STANCE, CALLED_ON, CUED_MOVEMENT, COUNT_OF, HAS_FAULT})
"""Kinds that ask for a movement or its words: who was just told about that movement has the answer before him."""

Answer = int | str | tuple[int, ...] | tuple[str, ...]
"""The index of a choice, typed words, indices of the choices in order, or left and right word by word."""


NO_CHOICE = -1
"""The answer to a choice of who does not know; an empty one stands for it in the other forms. Both are marked wrong."""


def not_known(expects: str) -> Answer:
    """Return the answer of who does not know, in the form that a question expects."""
    empty: dict[str, Answer] = {CHOICE: NO_CHOICE, TEXT: ""}
    return empty.get(expects, ())


class Question(NamedTuple):
    """One question with its answer.

    Attributes:
        kind: one of `KINDS`.
        prompt: the whole question in words; a typed answer needs nothing else.
        expects: the form of the answer, one of `CHOICE`, `TEXT`, `ORDER`, `FEET`.
        choices: what to choose from or to put in order; for feet the words that are asked about.
        points: ids of the points that an answer marks. Several for feet (word by word, like the answer) and
            for order (count by count in the right order, see `steps`), else one.
        answer: the right answer in the form in which an answer comes.
        why: the reason, for people.
        source: where the standard says so; may be empty.
        movement: id of the movement, or `grade-sheet`.
        focus: the beats that the question speaks of.
        reveals: parts of the movement (`NAME`, `VOICE`, `STEPS`) that may be shown before the answer.
        also: other typed answers that are right.
        notes: for a choice, what to say to who takes it, choice by choice; empty texts where there is nothing.
        steps: for order, how many of `points` each choice carries, in the right order.
    """

    kind: str
    prompt: str
    expects: str
    choices: tuple[str, ...]
    points: tuple[str, ...]
    answer: Answer
    why: str
    source: str
    movement: str
    focus: tuple[float, ...] = ()
    reveals: tuple[str, ...] = ()
    also: tuple[str, ...] = ()
    steps: tuple[int, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def chance(self) -> int:
        """How many answers a guess chooses from, point by point: 0 for typed and ordered answers, 2 for feet."""
        return {CHOICE: len(self.choices), FEET: 2}.get(self.expects, 0)
