"""`stepcall ask`: a sitting in plain lines, or one JSON object a line for scripts."""

import argparse
import json
import sys
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from trainer.cli import out

if TYPE_CHECKING:
    from trainer.cli.whose import Opened
    from trainer.coach.session import Session, Summary
    from trainer.quiz.questions import Question
    from trainer.records.clock import Moment

QUIT, HELP = "/quit", "/help"
LONGEST_LINE = 4000


def add(verbs: Any) -> None:
    """Add the verb to the parser."""
    from trainer.cli.main import add_whose

    verb = verbs.add_parser("ask", help="a sitting of questions in plain lines", description=__doc__)
    add_whose(verb)
    verb.add_argument("--json", action="store_true", help="one JSON object a line, for scripts")
    verb.add_argument(
        "--questions", type=_count, metavar="N", help="how many questions (as fit your minutes if not given)"
    )
    verb.set_defaults(run=run)


def _count(text: str) -> int:
    if not (text.isascii() and text.isdigit() and 1 <= int(text) <= 500):
        raise argparse.ArgumentTypeError(f"give a number of questions from 1 to 500, not {text!r}")
    return int(text)


def run(arguments: argparse.Namespace) -> int:
    """Hold a sitting; what is answered is in the record at once."""
    from trainer.cli.whose import opened
    from trainer.coach.session import Session
    from trainer.coach.standing import open_standing, save_standing
    from trainer.records.clock import read_clock

    with opened(arguments) as who:
        standing = open_standing(who.candidate, who.deck, who.moment)
        session = Session(who.candidate, standing, who.moment, arguments.questions)
        if arguments.json:
            _json_lines(session, read_clock)
        else:
            _plain_lines(who, session, read_clock)
        save_standing(who.candidate, who.deck, read_clock())
    return 0


def _lines() -> str | None:
    line = sys.stdin.readline(LONGEST_LINE)
    return line if line else None


# ---------------------------------------------------------------- for scripts


def _json_lines(session: "Session", clock: Callable[[], "Moment"]) -> None:
    while (question := session.next_question(clock())) is not None:
        out.data(_question(session.answered + 1, question))
        started = time.monotonic()
        given = _json_answer()
        if given is _END:
            break
        marked = session.answer(given, round((time.monotonic() - started) * 1000), clock())
        out.data(
            {
                "marked": [{"point": point, "right": right} for point, right in marked.marks],
                "correct": _plain(marked.correct),
                "why": marked.why,
                "source": marked.source,
            }
        )
    summary = session.summary(clock())
    chance = summary.now.chance
    out.data(
        {
            "session": {
                "id": session.id,
                "questions": summary.questions,
                "all_right": summary.all_right,
                "chance": None if chance is None else {"go": chance.go, "low": chance.low, "high": chance.high},
            }
        }
    )


_END = object()


def _json_answer() -> Any:
    """Read lines until one holds an answer; anything else gets a sentence and another try."""
    while (line := _lines()) is not None:
        try:
            told = json.loads(line)
        except (ValueError, RecursionError):
            told = None
        if isinstance(told, dict) and told.get("quit") is True:
            return _END
        if isinstance(told, dict) and "answer" in told:
            return told["answer"]
        out.data({"error": 'Send one line like {"answer": 0}, or {"quit": true}.'})
    return _END


def _question(number: int, question: "Question") -> dict[str, Any]:
    told: dict[str, Any] = {"question": number, "kind": question.kind, "prompt": question.prompt}
    if question.choices:
        told["choices"] = list(question.choices)
    return told | {"expects": question.expects, "points": list(question.points)}


def _plain(answer: Any) -> Any:
    return list(answer) if isinstance(answer, tuple) else answer


# ---------------------------------------------------------------- for people


def _plain_lines(who: "Opened", session: "Session", clock: Callable[[], "Moment"]) -> None:
    out.say(f"{who.candidate.profile.handle}: {who.deck.title}. {session.size} questions.")
    for caution in who.deck.cautions:
        out.say(f"Caution: {caution}")
    out.say(f"{QUIT} ends the sitting, {HELP} tells how to answer. Every answer is kept as soon as it is given.")
    while (question := session.next_question(clock())) is not None:
        out.say("")
        out.say(f"{session.answered + 1} of {session.size}. {question.prompt}")
        for number, choice in enumerate(question.choices, 1):
            out.say(f"  {number}  {choice}")
        started = time.monotonic()
        given = _typed_answer(question)
        if given is _END:
            break
        marked = session.answer(given, round((time.monotonic() - started) * 1000), clock())
        right = all(ok for _, ok in marked.marks)
        out.say("Right." if right else f"Not right. Right is: {_shown(question, marked.correct)}")
        for line in (marked.remark, marked.why, f"Source: {marked.source}" if marked.source else ""):
            if line:
                out.say(line)
    _closing(session.summary(clock()))


def _closing(summary: "Summary") -> None:
    from trainer.coach.words import chance_words

    out.say("")
    asked = "1 question" if summary.questions == 1 else f"{summary.questions} questions"
    out.say(f"{asked}, {summary.all_right or 'none'} wholly right.")
    if summary.now.chance is not None:
        out.say(
            f"{chance_words(summary.now.chance)} Synthetic learners only stand behind this; no person was measured."
        )


def _how(expects: str) -> str:
    return {
        "choice": "Type the number of your choice.",
        "order": "Type the numbers in the right order, like 2 1 3.",
        "feet": "Type L or R for each word, like R L R.",
        "text": "Type the words.",
    }[expects]


def _typed_answer(question: "Question") -> Any:
    while True:
        sys.stdout.write(f"{_how(question.expects)} > ")
        sys.stdout.flush()
        line = _lines()
        if line is None or line.strip().lower() == QUIT:
            return _END
        if line.strip().lower() == HELP:
            out.say(f"{_how(question.expects)} {QUIT} ends the sitting; nothing answered is lost.")
            continue
        given = _read(question.expects, line)
        if given is not None:
            return given
        out.say("That cannot be read as an answer here.")


def _read(expects: str, line: str) -> Any:
    if expects == "text":
        return line.strip() or None
    words = line.replace(",", " ").split()
    if expects == "feet":
        feet = {"l": "left", "r": "right", "left": "left", "right": "right"}
        letters = words if len(words) != 1 or words[0].lower() in feet else list(words[0])
        found = [feet.get(word.lower()) for word in letters]
        return found if found and None not in found else None
    if not words or not all(word.isascii() and word.isdigit() and len(word) < 4 for word in words):
        return None
    numbers = [int(word) - 1 for word in words]
    return numbers if expects == "order" else numbers[0]


def _shown(question: "Question", answer: Any) -> str:
    if question.expects == "choice" and isinstance(answer, int):
        return question.choices[answer]
    if question.expects == "order":
        return ", then ".join(question.choices[number] for number in answer)
    return " ".join(answer) if isinstance(answer, tuple | list) else str(answer)
