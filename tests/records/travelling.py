"""Two laptops, their keys, and the packets between them."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from tests.records.samples import CANDIDATE, DEVICE, moment, question
from trainer.paths import write_private
from trainer.records import drafts
from trainer.records.events import Event
from trainer.records.log import Log
from trainer.records.packet import packed
from trainer.records.signing import Key, device_key

SPONSOR = "laptop-sponsor"


def key_in(folder: Path, name: str = "key") -> Key:
    return device_key(folder / name, write_private)


def filled(path: Path, device: str = DEVICE, questions: int = 3) -> Log:
    log = Log.create(path, CANDIDATE, device)
    log.append(*drafts.setting("handle", "Fox"), moment(0))
    for number in range(questions):
        log.append_many(question(number), moment(number))
    return log


def changed(event: Event, **header: Any) -> Event:
    return event._replace(header=event.header._replace(**header))


def sealed(lines: Sequence[bytes], key: Key, sign: Callable[[bytes], bytes] | None = None) -> bytes:
    """Sign any lines at all, as somebody with a key of his own could."""
    content = b"\n".join(lines) + b"\n"
    signature = (sign or key.sign)(content)
    return content + f'{{"key":"{key.public.hex()}","sig":"{signature.hex()}"}}\n'.encode("ascii")


def lines_of(raw: bytes) -> list[bytes]:
    """Head and events of a packet, without its seal."""
    return raw.rstrip(b"\n").split(b"\n")[:-1]


def packet_of(log: Log, key: Key, device: str = DEVICE) -> bytes:
    return packed(log.candidate, device, log.events(), key)
