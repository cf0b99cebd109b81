"""A sitting in plain lines and in JSON, from outside."""

import os
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from tests.cli.running import ROOT, objects, stepcall
from trainer.cli.ask import read_answer
from trainer.quiz.questions import Question
from trainer.records.log import Log


def answers_on_disk(home: Path) -> int:
    (path,) = home.joinpath("records").glob("*.db")
    with Log.open(path) as log:
        return sum(event.kind == "answer" for event in log.events())


def test_json_lines_take_turns(heron: Path) -> None:
    told = objects(stepcall(heron, "ask", "--json", "--questions", "3", typed='{"answer": 0}\n' * 3))
    questions, marked, end = told[0:-1:2], told[1:-1:2], told[-1]
    assert [row["question"] for row in questions] == [1, 2, 3]
    assert all(row["expects"] in {"choice", "text", "order", "feet"} for row in questions)
    assert all(("choices" in row) or row["expects"] == "text" for row in questions)
    for question, row in zip(questions, marked, strict=True):
        assert [mark["point"] for mark in row["marked"]] == question["points"]
        assert set(row) == {"marked", "correct", "why", "source"}
    assert end["session"]["questions"] == 3
    assert answers_on_disk(heron) == sum(len(row["marked"]) for row in marked)


def test_the_right_answer_comes_in_the_form_that_the_question_expects(heron: Path) -> None:
    told = objects(stepcall(heron, "ask", "--json", "--questions", "12", typed='{"answer": null}\n' * 12))
    seen = set()
    for question, marked in zip(told[0:-1:2], told[1:-1:2], strict=True):
        assert not any(mark["right"] for mark in marked["marked"])
        correct, choices = marked["correct"], question.get("choices", [])
        seen.add(question["expects"])
        if question["expects"] == "choice":
            assert correct in range(len(choices))
        elif question["expects"] == "order":
            assert sorted(correct) == list(range(len(choices)))
        elif question["expects"] == "feet":
            assert len(correct) == len(question["points"])
            assert set(correct) <= {"left", "right"}
        else:
            assert isinstance(correct, str)
    assert len(seen) > 1


NO_ANSWERS = ["", "nonsense", "[]", "{}", "NaN", '{"answers": 1}', "[" * 20000, '{"answer"', "\x1b[31m"]


def test_a_line_that_is_no_answer_gets_a_sentence_and_another_try(heron: Path) -> None:
    typed = "\n".join([*NO_ANSWERS, '{"quit": true}', ""])
    question, *errors, end = objects(stepcall(heron, "ask", "--json", "--questions", "2", typed=typed))
    assert question["question"] == 1
    assert len(errors) == len(NO_ANSWERS)
    assert all("error" in row for row in errors)
    assert end["session"]["questions"] == 0
    assert answers_on_disk(heron) == 0


WRONG_FORMS = ["null", "-1", "99", "1e9", '"x"', "[]", "[[]]", "{}", '["left"]', "[0, 0]", "true"]


def test_an_answer_of_the_wrong_form_is_marked_wrong_and_never_refused(heron: Path) -> None:
    typed = "".join(f'{{"answer": {answer}}}\n' for answer in WRONG_FORMS)
    told = objects(stepcall(heron, "ask", "--json", "--questions", str(len(WRONG_FORMS)), typed=typed))
    questions, marked = told[0:-1:2], told[1:-1:2]
    assert len(marked) == len(WRONG_FORMS)
    for question, row, answer in zip(questions, marked, WRONG_FORMS, strict=True):
        of_its_form = {'"x"': "text", '["left"]': "feet", "[0, 0]": "order"}.get(answer) == question["expects"]
        assert of_its_form or not any(mark["right"] for mark in row["marked"])


def test_end_of_input_ends_the_sitting_and_keeps_what_was_answered(heron: Path) -> None:
    told = objects(stepcall(heron, "ask", "--json", "--questions", "9", typed='{"answer": 0}\n'))
    assert told[-1]["session"]["questions"] == 1
    assert answers_on_disk(heron) >= 1


def test_plain_lines(heron: Path) -> None:
    done = stepcall(heron, "ask", "--questions", "2", typed="/help\n1\n1\n1 2 3\nL\nwords\nwords\n/quit\n")
    assert done.returncode == 0, done.stderr
    assert "Caution:" in done.stdout
    assert "1 of 2." in done.stdout
    assert "no person was measured" in done.stdout


SHAPES = {
    "choice": ("99", "1 2", "-1", "1.5", "", "x"),
    "order": ("1", "1 1", "99 1", "", "x"),
    "feet": ("L " * 9, "", "x", "1"),
    "text": ("", "   "),
}
REFUSED = "That cannot be read as an answer here."


def typed_lines(heron: Path, lines: list[str], questions: int) -> str:
    done = stepcall(heron, "ask", "--questions", str(questions), typed="\n".join(lines) + "\n")
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("expects", SHAPES)
@pytest.mark.parametrize("size", [2, 4])
def test_a_line_that_answers_no_such_question_is_no_answer(expects: str, size: int) -> None:
    choices = tuple("abcd"[:size])
    question = Question("k", "p", expects, choices, ("x",), 0, "", "", "m")
    for line in SHAPES[expects]:
        assert read_answer(question, line) is None, line
    whole: dict[str, tuple[str, Any]] = {
        "choice": (f" {size} ", size - 1),
        "order": (" ".join(map(str, range(size, 0, -1))), list(range(size))[::-1]),
        "feet": ("rl" * (size // 2), ["right", "left"] * (size // 2)),
        "text": (" Right flank ", "Right flank"),
    }
    assert read_answer(question, whole[expects][0]) == whole[expects][1]


def test_a_slip_of_the_keyboard_is_asked_again_and_not_recorded(heron: Path) -> None:
    told = typed_lines(heron, ["", "  ", "/quit"], 1)
    assert told.count(REFUSED) == 2
    assert "if you do not know" in told
    assert answers_on_disk(heron) == 0


def test_who_does_not_know_says_so_in_every_form(heron: Path) -> None:
    told = typed_lines(heron, ["0"] * 12, 12)
    assert REFUSED not in told
    assert told.count("Not right. Right is:") == 12
    assert answers_on_disk(heron) >= 12


def test_bytes_that_are_no_text_are_read_all_the_same(heron: Path) -> None:
    environ = {**os.environ, "STEPCALL_HOME": str(heron), "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": "utf-8:strict"}
    done = subprocess.run(
        [sys.executable, "-m", "trainer.cli.main", "ask", "--questions", "1"],
        input=b"\xff\xfe\n\xff\n" + b"1" * 9000 + b"\n/quit\n",
        capture_output=True,
        env=environ,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert b"Traceback" not in done.stderr


def test_a_sitting_is_copied_into_the_backups(heron: Path) -> None:
    objects(stepcall(heron, "ask", "--json", "--questions", "1", typed='{"answer": 0}\n'))
    (copy,) = heron.joinpath("backups").glob("*.db")
    with Log.open(copy) as log:
        assert sum(event.kind == "answer" for event in log.events()) == answers_on_disk(heron)


def test_a_backup_that_fails_is_told_after_the_sitting(heron: Path) -> None:
    heron.joinpath("backups").write_text("a file where the folder should be")
    done = stepcall(heron, "ask", "--json", "--questions", "1", typed='{"answer": 0}\n')
    assert done.returncode == 0
    assert "no backup copy could be kept" in done.stderr
    assert answers_on_disk(heron) >= 1


def test_without_a_candidate_it_says_what_to_do(tmp_path: Path) -> None:
    done = stepcall(tmp_path, "ask")
    assert done.returncode == 2
    assert "No candidate is on this laptop yet" in done.stderr
    assert done.stdout == ""


def test_an_unknown_candidate_is_told_with_those_that_are_there(heron: Path) -> None:
    done = stepcall(heron, "ask", "--candidate", "Stork\x1b[2J")
    assert done.returncode == 2
    assert "Heron" in done.stderr
    assert "\x1b" not in done.stderr


@pytest.mark.parametrize("count", ["0", "-3", "many", "501", "1.5"])
def test_a_number_of_questions_that_cannot_be(heron: Path, count: str) -> None:
    done = stepcall(heron, "ask", "--questions", count)
    assert done.returncode == 2
    assert "number of questions from 1 to 500" in done.stderr


def test_the_demo_touches_nothing_real(tmp_path: Path) -> None:
    told = objects(stepcall(tmp_path, "ask", "--demo", "--json", "--questions", "1", typed='{"answer": 0}\n'))
    assert told[-1]["session"]["questions"] == 1
    assert not list(tmp_path.rglob("*.db"))
