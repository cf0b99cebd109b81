"""`stepcall ask`: a sitting in plain lines, or one JSON object a line for scripts."""

import argparse
import time
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from trainer.cli import out, typed

if TYPE_CHECKING:
    from trainer.cli.whose import Opened
    from trainer.coach.session import Session, Summary
    from trainer.coach.standing import Standing
    from trainer.quiz.questions import Question
    from trainer.records.clock import Moment

QUIT, HELP = "/quit", "/help"
UNKNOWN = "0"
"""What is typed by who does not know; the numbers of choices begin with 1."""


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
    from trainer.coach.candidate import keep_backup
    from trainer.coach.session import Session
    from trainer.coach.standing import open_standing, save_standing
    from trainer.coach.taskings import wished
    from trainer.records.clock import read_clock

    with opened(arguments) as who:
        standing = open_standing(who.candidate, who.deck, who.moment)
        wishes = wished(who.candidate.events(), standing.points, standing.history.today, who.deck.id)
        session = Session(who.candidate, standing, who.moment, arguments.questions, wished=wishes)
        if arguments.json:
            _json_lines(session, read_clock)
        else:
            _plain_lines(who, standing, session, read_clock)
        save_standing(who.candidate, who.deck, read_clock())
        failed = keep_backup(who.candidate, read_clock())
        if failed:
            out.trouble(failed)
    return 0


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
    import json  # only here: people answer in plain lines

    while (line := typed.line()) is not None:
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


def _plain_lines(who: "Opened", standing: "Standing", session: "Session", clock: Callable[[], "Moment"]) -> None:
    from trainer.coach.taskings import open_taskings, tasking_lines

    out.say(f"{who.candidate.profile.handle}: {who.deck.title}. {session.size} questions.")
    today = standing.history.today
    given = open_taskings(who.candidate.events(), standing.points, today, who.deck.id)
    for line in tasking_lines(who.deck, standing.points, given, today):
        out.say(line)
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


def _how(question: "Question") -> str:
    size = len(question.choices)
    how = {
        "choice": f"Type the number of your choice, 1 to {size}",
        "order": f"Type the numbers 1 to {size} in the right order, each once, like 2 1 3",
        "feet": f"Type L or R for each of the {size} words" if size > 1 else "Type L or R",
        "text": "Type the words",
    }[question.expects]
    return f"{how}; {UNKNOWN} if you do not know."


def _typed_answer(question: "Question") -> Any:
    from trainer.quiz.questions import not_known

    while True:
        line = typed.ask(f"{_how(question)} > ")
        if line is None or line.strip().lower() == QUIT:
            return _END
        if line.strip().lower() == HELP:
            out.say(f"{_how(question)} {QUIT} ends the sitting; nothing answered is lost.")
            continue
        if line.strip() == UNKNOWN:
            return not_known(question.expects)
        given = read_answer(question, line)
        if given is not None:
            return given
        out.say("That cannot be read as an answer here.")


def read_answer(question: "Question", line: str) -> Any:
    """Return what a typed line answers, None where it is no answer to this question: a slip is asked again."""
    if question.expects == "text":
        return line.strip() or None
    words, size = line.replace(",", " ").split(), len(question.choices)
    if question.expects == "feet":
        feet = {"l": "left", "r": "right", "left": "left", "right": "right"}
        letters = words if len(words) != 1 or words[0].lower() in feet else list(words[0])
        found = [feet.get(word.lower()) for word in letters]
        return found if len(found) == size and None not in found else None
    if not all(word.isascii() and word.isdigit() and len(word) < 4 for word in words):
        return None
    numbers = [int(word) - 1 for word in words]
    if question.expects == "order":
        return numbers if sorted(numbers) == list(range(size)) else None
    return numbers[0] if len(numbers) == 1 and 0 <= numbers[0] < size else None


def _shown(question: "Question", answer: Any) -> str:
    if question.expects == "choice" and isinstance(answer, int):
        return question.choices[answer]
    if question.expects == "order":
        return ", then ".join(question.choices[number] for number in answer)
    return " ".join(answer) if isinstance(answer, tuple | list) else str(answer)
