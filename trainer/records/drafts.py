"""What is to be recorded: one function a kind of event, each with the fields that its body must have."""

from collections.abc import Iterable

from trainer.records.events import Draft, Value


def answer(*, point: str, fact: str, right: bool, choices: int, question: str, ms: int, session: str) -> Draft:
    """One point of one question answered; `choices` is 0 for typed and ordering answers, `ms` the time taken."""
    body: dict[str, Value] = {
        "point": point,
        "fact": fact,
        "right": right,
        "choices": choices,
        "question": question,
        "ms": ms,
        "session": session,
    }
    return Draft("answer", body)


def trial(*, run: str, measure: str, number: int, go: bool, faults: Iterable[str] = (), **more: str) -> Draft:
    """One trial of a measure, counted from 1; more: deck, grader, held, on, prompt, ruled_by."""
    body: dict[str, Value] = {"run": run, "measure": measure, "number": number, "go": go, "faults": list(faults)}
    return Draft("trial", body | more)


def run(
    *, run: str, deck: str, grader: str, checked: Iterable[str], plan: Iterable[str] = (), **more: str | int
) -> Draft:
    """A grade sheet begun; more: on, until, said_by, early, said."""
    body: dict[str, Value] = {"run": run, "deck": deck, "grader": grader, "checked": list(checked)}
    order = list(plan)
    return Draft("run", body | more | ({"plan": order} if order else {}))


def verdict(*, run: str, go: bool, **more: str | int) -> Draft:
    """How a run ended; more: deck, grader, held, said, on."""
    body: dict[str, Value] = {"run": run, "go": go}
    return Draft("verdict", body | more)


def broken_off(*, run: str, why: str, **more: str) -> Draft:
    """A run stopped before it was decided; why: one of `bodies.WHY_BROKEN_OFF`; more: deck, grader, on."""
    body: dict[str, Value] = {"run": run, "why": why}
    return Draft("broken off", body | more)


def setting(name: str, value: bool | int | str) -> Draft:
    """A setting from now on."""
    return Draft("setting", {"name": name, "value": value})


def tasking(*, work: Iterable[str], until: str, **more: str | int) -> Draft:
    """What to work on until a date (2026-03-31); more: deck, sponsor, minutes, note."""
    body: dict[str, Value] = {"work": list(work), "until": until}
    return Draft("tasking", body | more)


def note(text: str, about: str | None = None) -> Draft:
    """A free text, about an event, a run or a point."""
    return Draft("note", {"text": text} if about is None else {"text": text, "about": about})


def timing(
    *, deck: str, movement: str, level: int, cadence: int, words: int, feet: int, missed: int, session: str, **more: int
) -> Draft:
    """One call struck on the beat; more: spread_us, drift_us, mean_us (microseconds), remote."""
    body: dict[str, Value] = {
        "deck": deck,
        "movement": movement,
        "level": level,
        "cadence": cadence,
        "words": words,
        "feet": feet,
        "missed": missed,
        "session": session,
    }
    return Draft("timing", body | more)


def look(
    *,
    deck: str,
    movement: str,
    shown: str,
    said: str,
    placed: bool,
    speed: int,
    level: int,
    ms: int,
    session: str,
) -> Draft:
    """One performance looked at for a fault; `shown` and `said` are ids of faults, empty where there was none."""
    body: dict[str, Value] = {
        "deck": deck,
        "movement": movement,
        "shown": shown,
        "said": said,
        "placed": placed,
        "speed": speed,
        "level": level,
        "ms": ms,
        "session": session,
    }
    return Draft("look", body)


def void(event: str) -> Draft:
    """A correction that takes an event out."""
    return Draft("correction", {"event": event, "how": "void"})


def replacement(event: str, by: Draft) -> Draft:
    """A correction that gives an event another body of the same kind."""
    return Draft("correction", {"event": event, "how": "replace", "kind": by.kind, "body": by.body})
