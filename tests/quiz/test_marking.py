"""Answers to marks, point by point; an answer may be anything."""

from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.quiz.sample import sample
from trainer.quiz.asking import Asker
from trainer.quiz.marking import follow_marks, mark
from trainer.quiz.points import points
from trainer.quiz.questions import CHOICE, FEET, ORDER, TEXT, Question

ASKER = Asker(sample())
ALL = [ASKER.ask(point.id, Random(1), kind) for point in points(sample()) for kind in ASKER.kinds(point.id)]
ANYTHING = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=30)
    | st.sampled_from(["left", "right", "Guard HALT", 0, 1, 2, 3]),
    lambda inner: st.lists(inner, max_size=5) | st.dictionaries(st.text(max_size=3), inner, max_size=3),
    max_leaves=8,
)


def typed(right: str) -> Question:
    return Question("say the command", "Say it.", "text", (), ("p",), right, "", "", "m")


def ordered(*texts: str) -> Question:
    """Choices in their right order, so that an answer is a list of places."""
    ids = tuple(f"p{number}" for number in range(len(texts)))
    answer = tuple(range(len(texts)))
    return Question("order", "Order.", "order", texts, ids, answer, "", "", "m", steps=(1,) * len(texts))


def order_marks(response: str, key: str = "ABCDEFGH") -> str:
    """Return the letters of the key that were marked right."""
    marks = follow_marks(list(key), list(response))
    return "".join(letter for letter, right in zip(key, marks, strict=True) if right)


@pytest.mark.parametrize("kind", [CHOICE, TEXT, ORDER, FEET])
def test_every_form_of_answer_is_asked(kind: str) -> None:
    assert any(question.expects == kind for question in ALL)


@given(st.sampled_from(ALL), ANYTHING)
def test_whatever_the_answer_is_it_is_marked(question: Question, answer: object) -> None:
    marked = mark(question, answer)
    assert [point for point, _ in marked.marks] == list(question.points)
    assert all(type(right) is bool for _, right in marked.marks)
    if question.expects == "choice":
        assert marked.right == (type(answer) is int and answer == question.answer)


@given(st.sampled_from(ALL), st.lists(st.integers(-1, 9), max_size=9))
def test_lists_of_numbers_never_break_marking(question: Question, answer: list[int]) -> None:
    marked = mark(question, answer)
    if question.expects != "order" or sorted(answer) != list(range(len(question.choices))):
        assert not any(right for _, right in marked.marks)


@pytest.mark.parametrize(
    "given_words",
    [
        *(
            "Change step MARCH",
            "change step march",
            "  CHANGE   step\tmarch ",
            "Change-step, march!",
            "change step. march.",
        ),
        *("1. Change step 2. march", "changestep march", "“Change step” … MARCH"),
    ],
)
def test_case_spacing_and_punctuation_are_forgiven(given_words: str) -> None:
    assert mark(typed("Change step MARCH"), given_words).right


def test_apostrophes_are_punctuation() -> None:
    for given_words in ("o'clock turn", "o’clock turn", "oclock turn"):
        assert mark(typed("O’clock TURN"), given_words).right


@pytest.mark.parametrize(
    ("given_words", "near"),
    [
        ("Change step", True),
        ("Change steps march", True),
        ("Change stpe march", True),
        ("step change march", True),
        ("Rear march", False),
        ("", False),
        ("halt", False),
        ("x" * 100_000, False),
    ],
)
def test_words_are_not_forgiven_but_a_near_miss_is_shown(given_words: str, near: bool) -> None:
    marked = mark(typed("Change step MARCH"), given_words)
    assert not marked.right
    told = marked.remark or marked.why
    assert bool(told) == near
    if near:
        assert given_words in told
        assert "Change step MARCH" in told


def test_an_empty_answer_is_never_right_even_where_the_words_have_no_letters() -> None:
    assert not mark(typed("1 - 2"), "").right
    assert mark(typed("1 - 2"), " 1 -  2").right
    assert not mark(typed("1 - 2"), "2 - 1").right


def test_another_right_stance_is_right_as_well() -> None:
    question = typed("marching")._replace(also=("half step",))
    assert mark(question, "Half-step").right
    assert not mark(question, "halted").right


@pytest.mark.parametrize(
    ("response", "right"),
    [
        # The responses for which edit distance, Kendall distance and places right are known: 2/1/6, 2/7/0, 8/28/0.
        ("ABCDEFGH", "ABCDEFGH"),
        ("ABDCEFGH", "ABFGH"),
        ("BCDEFGHA", "CDEFGH"),
        ("HGFEDCBA", ""),
    ],
)
def test_a_step_is_right_if_what_stands_before_it_is_right(response: str, right: str) -> None:
    assert order_marks(response) == right


@given(st.permutations("ABCDEF"))
def test_marks_follow_the_definition_where_no_two_steps_are_equal(response: list[str]) -> None:
    key = "ABCDEF"
    before = dict(zip(response, [None, *response], strict=False))
    wanted = {letter: None if letter == "A" else key[key.index(letter) - 1] for letter in key}
    assert order_marks("".join(response), key) == "".join(c for c in key if before[c] == wanted[c])


@given(
    st.lists(st.sampled_from("ABC"), min_size=1, max_size=7).flatmap(
        lambda k: st.tuples(st.just(k), st.permutations(k))
    )
)
def test_equal_steps_can_stand_for_each_other_and_only_the_right_order_is_all_right(
    case: tuple[list[str], list[str]],
) -> None:
    key, response = case
    marks = follow_marks(key, response)
    assert len(marks) == len(key)
    assert all(marks) == (key == response)
    if key[0] != response[0]:
        assert not marks[0]


def test_equal_steps_are_right_after_what_stands_before_either() -> None:
    assert follow_marks(list("ABAC"), list("ABAC")) == [True, True, True, True]
    assert follow_marks(list("ABAC"), list("ACAB")) == [True, True, False, True]
    # Every step stands after a right one, and yet the order is wrong from the second step on.
    assert follow_marks(list("ABACA"), list("ACABA")) == [True, False, False, False, False]


def test_order_answers_mark_every_count_of_a_step() -> None:
    question = ordered("one", "two", "three")._replace(points=("a", "b1", "b2", "c"), steps=(1, 2, 1))
    assert [right for _, right in mark(question, [0, 2, 1]).marks] == [True, False, False, False]
    assert [right for _, right in mark(question, [2, 0, 1]).marks] == [False, True, True, False]


@pytest.mark.parametrize("answer", [[0, 1], [0, 1, 1], [0, 1, 3], [0, 1, 2.0], [0, 1, True], "012", None, {0, 1, 2}, 0])
def test_an_order_that_is_not_a_whole_order_is_wrong(answer: object) -> None:
    assert not any(right for _, right in mark(ordered("a", "b", "c"), answer).marks)


def test_each_words_foot_marks_its_own_point() -> None:
    question = Question(
        "feet of the words", "", "feet", ("a", "b", "c"), ("1", "2", "3"), ("right", "left", "left"), "", "", "m"
    )
    marked = mark(question, ["right", "right", "left"])
    assert marked.marks == (("1", True), ("2", False), ("3", True))
    assert marked.choices == 2
    for answer in (["right", "left"], ["right", "left", "left", "left"], "right left left", ["right", None, ["left"]]):
        assert not mark(question, answer).right


@pytest.mark.parametrize("answer", [True, 1.0, "1", [1], None, -1, 4, 10**30])
def test_a_choice_is_a_whole_number_within_the_choices(answer: object) -> None:
    question = Question("retest", "", "choice", ("a", "b", "c", "d"), ("p",), 1, "why", "where", "grade-sheet")
    assert not mark(question, answer).right
    marked = mark(question, 1)
    assert marked.right
    assert (marked.choices, marked.correct, marked.why, marked.source) == (4, 1, "why", "where")


@pytest.mark.parametrize(
    ("given_words", "differs", "near"),
    [
        ("Guard stand halt", "the third word differs", False),
        ("Guard stadn fast", "the second word differs", True),
        ("Guard fast", "a word is missing", False),
        ("stand guard fast", "the words stand in another order", False),
        ("Guard stand by fast", "there is a word too many", False),
    ],
)
def test_a_near_miss_says_what_differs_and_is_near_only_if_misspelt(given_words: str, differs: str, near: bool) -> None:
    marked = mark(typed("Guard stand FAST"), given_words)
    assert not marked.right
    assert differs in (marked.remark if near else marked.why)
    assert bool(marked.remark) == near


def test_a_wrong_choice_may_have_a_note_and_the_right_one_has_none() -> None:
    for question in (one for one in ALL if one.expects == "choice"):
        assert len(question.notes) in (0, len(question.choices))
        for place, note in enumerate(question.notes):
            marked = mark(question, place)
            assert marked.why == f"{note} {question.why}".strip()
            assert not (marked.right and note)
    assert any(any(question.notes) for question in ALL)
