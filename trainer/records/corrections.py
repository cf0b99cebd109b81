"""What holds after corrections: a pure fold over events."""

from collections.abc import Sequence
from typing import NamedTuple, cast

from trainer.records.events import Body, Event


class Unheeded(NamedTuple):
    """A correction that could not be applied, and a sentence why."""

    event: str
    reason: str


class Effective(NamedTuple):
    """Events as they hold after corrections, in the order given, and corrections that could not be applied."""

    events: list[Event]
    unheeded: list[Unheeded]


def effective(events: Sequence[Event]) -> Effective:
    """Apply the corrections among the events of one candidate.

    Of several corrections of one event the last in order holds. A correction that is itself voided does nothing, and
    one that voids such a voiding brings it back, however long the row. The order in time of a correction and its
    target does not matter, since clocks may be wrong.

    Args:
        events: in the order of `events.order`.

    Returns:
        Every event that is neither voided nor a correction, with its own header and the body that holds now. A
        correction is unheeded, and told, when its target is unknown, of another kind, or when corrections name
        each other in a ring.
    """
    known = {event.header.id: event for event in events}
    unheeded: list[Unheeded] = []
    aimed: dict[str, list[Event]] = {}
    for event in events:
        if event.kind != "correction":
            continue
        reason = _misaimed(event.body, known)
        if reason:
            unheeded.append(Unheeded(event.header.id, reason))
        else:
            aimed.setdefault(str(event.body["event"]), []).append(event)
    if not aimed:
        return Effective([event for event in events if event.kind != "correction"], unheeded)
    holding = _holding(aimed, unheeded)

    result = []
    for event in events:
        if event.kind == "correction":
            continue
        last = next((c for c in reversed(aimed.get(event.header.id, ())) if holding[c.header.id]), None)
        if last is None:
            result.append(event)
        elif last.body["how"] == "replace":
            result.append(event._replace(body=cast("Body", last.body["body"])))
    return Effective(result, unheeded)


def _misaimed(body: Body, known: dict[str, Event]) -> str | None:
    target = known.get(str(body["event"]))
    if target is None:
        return f"It corrects the event {body['event']}, which is not in this record."
    if body["how"] == "replace" and body["kind"] != target.kind:
        return f"It replaces the event {body['event']} by one of another kind ({body['kind']}, not {target.kind})."
    return None


def _holding(aimed: dict[str, list[Event]], unheeded: list[Unheeded]) -> dict[str, bool]:
    """Which corrections hold: those that nobody voids first, then outwards along the rows."""
    corrections = {c.header.id: c for row in aimed.values() for c in row}
    open_questions = {name: len(aimed.get(name, ())) for name in corrections}
    ready = [name for name, count in open_questions.items() if count == 0]
    holding: dict[str, bool] = {}
    while ready:
        name = ready.pop()
        # Only a voiding can be aimed at a correction, so any one that holds is enough.
        holding[name] = not any(holding[c.header.id] for c in aimed.get(name, ()))
        target = str(corrections[name].body["event"])
        if target in open_questions:
            open_questions[target] -= 1
            if open_questions[target] == 0:
                ready.append(target)
    for name in corrections:
        if name not in holding:
            holding[name] = False
            unheeded.append(Unheeded(name, "It belongs to a ring of corrections that name each other."))
    return holding
