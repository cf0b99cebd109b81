"""An answer to marks, point by point. An answer comes from outside: whatever it is, it is marked, never refused."""

from collections import Counter
from collections.abc import Callable, Sequence
from typing import NamedTuple

from trainer.drill.movement import LEFT, RIGHT
from trainer.quiz.near import misspelt, near_miss
from trainer.quiz.questions import CHOICE, FEET, ORDER, TEXT, Answer, Question
from trainer.quiz.typed import same_words

__all__ = ["Answer", "Marked", "follow_marks", "mark"]


class Marked(NamedTuple):
    """What an answer was worth.

    `choices` is how many answers a guess chose from (0 for typed and ordered); `marks` pairs each point with
    whether it was right; `correct` is the right answer in the form of an answer; `why` begins with
    what was wrong about the answer where that is known; `remark` sets words that are right but for their spelling
    against the right ones.
    """

    kind: str
    choices: int
    marks: tuple[tuple[str, bool], ...]
    correct: Answer
    why: str
    source: str
    remark: str = ""

    @property
    def right(self) -> bool:
        """Whether every point was right."""
        return all(right for _, right in self.marks)


def mark(question: Question, answer: object) -> Marked:
    """Mark an answer.

    Args:
        question: the question it answers.
        answer: an index from 0, a text, a list of indices, or a list of `left` and `right`; anything else, and
            anything of the wrong length, is wrong.
    """
    markers: dict[str, Callable[[Question, object], Sequence[bool]]] = {
        CHOICE: _choice,
        TEXT: _text,
        ORDER: _order,
        FEET: _feet,
    }
    marks = markers[question.expects](question, answer)
    remark = ""
    why = question.why
    if question.expects == TEXT and isinstance(answer, str) and not all(marks):
        remark = near_miss(answer, str(question.answer))
        if remark and not misspelt(answer, str(question.answer)):
            remark, why = "", f"{remark} {why}"
    elif question.notes and type(answer) is int and 0 <= answer < len(question.notes):
        why = f"{question.notes[answer]} {why}".strip()
    return Marked(
        question.kind,
        question.chance,
        tuple(zip(question.points, marks, strict=True)),
        question.answer,
        why,
        question.source,
        remark,
    )


def _choice(question: Question, answer: object) -> Sequence[bool]:
    right = type(answer) is int and answer == question.answer
    return [right] * len(question.points)


def _text(question: Question, answer: object) -> Sequence[bool]:
    wanted = (str(question.answer), *question.also)
    right = isinstance(answer, str) and any(same_words(answer, one) for one in wanted)
    return [right] * len(question.points)


def _feet(question: Question, answer: object) -> Sequence[bool]:
    wanted = question.answer
    if not isinstance(answer, list | tuple) or not isinstance(wanted, tuple) or len(answer) != len(wanted):
        return [False] * len(question.points)
    return [given in (LEFT, RIGHT) and given == foot for given, foot in zip(answer, wanted, strict=True)]


def _order(question: Question, answer: object) -> Sequence[bool]:
    wanted = question.answer
    size = len(question.choices)
    whole = (
        isinstance(answer, list | tuple)
        and isinstance(wanted, tuple)
        and all(type(one) is int for one in answer)
        and sorted(answer) == list(range(size))
    )
    if not whole or not isinstance(wanted, tuple) or not isinstance(answer, list | tuple):
        return [False] * len(question.points)
    key = [question.choices[int(one)] for one in wanted]
    marks = follow_marks(key, [question.choices[one] for one in answer])
    return [right for right, points in zip(marks, question.steps, strict=True) for _ in range(points)]


def follow_marks(key: Sequence[str], given: Sequence[str]) -> list[bool]:
    """Mark an order: a step is right if what stands before it is right, the first if it stands first.

    Steps that read the same can stand for each other.

    Args:
        key: the steps in their right order.
        given: the same steps as they were put.

    Returns:
        One mark a step of the key; all right only if the whole order is.
    """
    follows = Counter(zip([None, *given], given, strict=False))
    marks = []
    for pair in zip([None, *key], key, strict=False):
        marks.append(follows[pair] > 0)
        follows[pair] -= 1
    if all(marks) and list(key) != list(given):
        # Equal steps can be put so that each stands after a right one, in an order that is wrong all the same.
        departs = next(place for place, step in enumerate(key) if step != given[place])
        return [place < departs for place in range(len(key))]
    return marks
