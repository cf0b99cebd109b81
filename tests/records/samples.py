"""Invented entries, and the folder in memory that makes thousands of small files cheap."""

import tempfile
from pathlib import Path

from trainer.records import drafts
from trainer.records.clock import Moment
from trainer.records.events import Draft, Event

CANDIDATE = "candidate-1"
DEVICE = "laptop-01"
START = 1_790_000_000_000


def question(number: int, points: int = 3) -> list[Draft]:
    """The answers of one question, which belong together; `session` tells the question."""
    return [
        drafts.answer(
            point=f"harbour.right-flank.feet.{point}",
            fact="0f3a" * (1 + number % 40),
            right=(number + point) % 3 > 0,
            choices=0,
            question="feet",
            ms=1500 + number,
            session=f"q{number}",
        )
        for point in range(points)
    ]


def moment(number: int) -> Moment:
    return Moment(START + 60_000 * number, 60)


def questions_held(found: list[Event]) -> dict[int, int]:
    """How many answers there are of each question."""
    held: dict[int, int] = {}
    for event in found:
        number = int(str(event.body["session"])[1:])
        held[number] = held.get(number, 0) + 1
    return held


def in_memory() -> str | None:
    """A folder kept in memory, where the system has one: syncing is not what such a test measures."""
    return "/dev/shm" if Path("/dev/shm").is_dir() else None


def small_folder() -> "tempfile.TemporaryDirectory[str]":
    return tempfile.TemporaryDirectory(dir=in_memory())
