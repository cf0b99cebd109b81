"""An evening's answers as a packet of their own, and such a packet taken into a record at home."""

import os
import re
import tempfile
from collections.abc import Mapping
from contextlib import closing, suppress
from itertools import count
from pathlib import Path

from trainer.coach.candidate import device_id, profile_of, random_id, settings
from trainer.coach.carrying import read_file, write_file
from trainer.group.evening import Evening
from trainer.group.handing import GROUP, PREFIX, drafts_for
from trainer.group.journal import EveningError
from trainer.paths import Home, private_folder, write_private
from trainer.plain import visible
from trainer.quiz.points import Point
from trainer.records.clock import Moment
from trainer.records.events import Event
from trainer.records.log import Log
from trainer.records.packet import PacketError, packed, unpacked
from trainer.records.signing import SigningError, device_key


def write_packet(evening: Evening, name: str, known: Mapping[str, Point], home: Home, now: Moment) -> Path:
    """Write one person's evening to a packet of its own and return where it is.

    It is a packet like any other, of a candidate of that name whose record holds this evening alone: `take_evening`
    puts it into a record that there is, and whoever has none anywhere can begin one with it.

    Args:
        evening: the evening.
        name: the person.
        known: the deck's points by id.
        home: of this laptop, whose key signs it.
        now: the present.

    Raises:
        EveningError: a sentence; no packet is left then.
        LogError: one sentence, where there is no room for the events.
    """
    drafts = drafts_for(evening, name, known, now)
    if not drafts:
        raise EveningError(f"There is nothing of {name}'s to take home: no answer, and no performance with a majority.")
    candidate = random_id()
    try:
        private_folder(home.packets)
        with (
            tempfile.TemporaryDirectory() as folder,
            closing(Log.create(Path(folder) / "evening.db", candidate, device_id(home))) as log,
        ):
            log.append_history([*drafts, *((draft, now) for draft in settings(name, evening.deck.id))])
            events = log.events()
        content = packed(candidate, device_id(home), events, device_key(home.device_key, write_private))
        path = _free(home.packets, f"{evening.id[:16]}-{_file_word(name, evening)}")
        write_file(path, content)
    except (PacketError, SigningError) as error:
        raise EveningError(str(error)) from error
    except OSError as error:
        raise EveningError(f"No packet can be written to {home.packets}: {error.strerror}.") from error
    try:
        evening.hand_over(name, f"packet {path.name}")
    except EveningError:
        # He is asked again, so the packet must not wait here beside the next one.
        with suppress(OSError):
            path.unlink()
        raise
    return path


def _free(folder: Path, name: str) -> Path:
    """Return where no packet is yet: two names may come to the same word, and neither may be written over."""
    names = (name if number == 1 else f"{name}-{number}" for number in count(1))
    return next(path for one in names if not os.path.lexists(path := folder / f"{one}.packet"))


def _file_word(name: str, evening: Evening) -> str:
    """Return a name as part of a file's name; by his place where nothing is left of it that every disk takes."""
    return re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-") or f"place-{evening.places.index(name) + 1}"


def take_evening(path: Path, log: Log, sure: bool = False) -> int:
    """Put the answers and performances of an evening's packet into a record, once; return how many events that are.

    Every event keeps its own time. Whatever else the packet holds stays out: its settings, for the record has its
    owner's, and anything that no evening gives, for a packet may come from anywhere.

    Args:
        path: the packet.
        log: the record.
        sure: whether it is known to be the same person, where the evening called him otherwise than his record.

    Raises:
        EveningError: where the file is no such packet, is somebody else's, or is in the record already.
        LogError: one sentence; nothing is recorded then.
    """
    try:
        packet = unpacked(read_file(path))
    except (PacketError, SigningError) as error:
        raise EveningError(str(error)) from error
    events = [event for event in packet.events if _of_an_evening(event)]
    if not events:
        raise EveningError(
            f"{path} holds nothing of a study group's evening; stepcall packet read takes other packets."
        )
    record = log.events()
    theirs, own = profile_of(packet.events).handle, profile_of(record).handle
    if not sure and theirs.casefold() != own.casefold():
        raise EveningError(
            f"This is the evening of {visible(theirs)}, and the record is {visible(own)}'s; if both are the same "
            f'person, say so: --candidate "{visible(own)}".'
        )
    here = {_session(event.body) for event in record}
    if here & {_session(event.body) for event in events}:
        raise EveningError("This evening is in the record already; nothing was added.")
    log.append_history(
        [((event.kind, event.body), Moment(event.header.at_ms, event.header.offset)) for event in events]
    )
    return len(events)


def _of_an_evening(event: Event) -> bool:
    """Whether an event is an answer or a performance of an evening, as `drafts_for` makes them."""
    given = event.kind == "answer" or (event.kind == "trial" and event.body.get("held") == GROUP)
    return given and _session(event.body).startswith(PREFIX)


def _session(body: Mapping[str, object]) -> str:
    return str(body.get("session", body.get("run", "")))
