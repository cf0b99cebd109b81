"""A folded learner as bytes and back, so that a fold need not be done twice.

A snapshot is a cache and never a record: one that does not fit (damaged, or made with another layout or
other grids) is refused, and the fold is done again from the answers.
"""

from __future__ import annotations

import struct
import sys
from array import array
from binascii import crc32

from trainer.memory import grid
from trainer.memory.recall import Learner
from trainer.memory.states import Memory, Split

_MAGIC = b"stepcall-recall-4"
_HEAD = struct.Struct(f"<{len(_MAGIC)}sBIII")
"""Magic, whether native order is little, checksum of the rest, grids, points."""
_LEARNER = struct.Struct("<d")  # inattention
_POINT = struct.Struct("<II")  # bytes of the id, number of answers

_GRIDS = crc32(
    repr(
        (
            grid.EXPONENTS,
            grid.INCREMENTS,
            grid.WIDTHS,
            grid.THRESHOLDS,
            grid.TAU0,
            grid.RESTING,
            grid.OLD_TRACE,
            grid.OLD_TRACE_DAYS,
        )
    ).encode()
)


class SnapshotError(ValueError):
    """Bytes that are not a snapshot of this version: fold again from the answers."""


def pack(learner: Learner) -> bytes:
    """The learner as bytes, for this kind of machine (numbers in native byte order)."""
    points = learner.points()
    parts: list[bytes] = [_LEARNER.pack(learner.inattention)]
    for item, memory in points.items():
        name = item.encode()
        parts += (
            _POINT.pack(len(name), len(memory.times)),
            name,
            memory.times.tobytes(),
            memory.codes.tobytes(),
            memory.traces.tobytes(),
            memory.weights.tobytes(),
            *[sums.tobytes() for sums in memory.split()],
        )
    body = b"".join(parts)
    head = _HEAD.pack(_MAGIC, sys.byteorder == "little", crc32(body), _GRIDS, len(points))
    return head + body


def unpack(data: bytes) -> Learner:
    """The learner that was packed, equal to the last digit.

    Raises:
        SnapshotError: Bytes that are damaged, or made by another version, grid or kind of machine.
    """
    if len(data) < _HEAD.size:
        raise SnapshotError("the snapshot is cut short")
    magic, little, checksum, grids, count = _HEAD.unpack_from(data)
    if magic != _MAGIC or little != (sys.byteorder == "little") or grids != _GRIDS:
        raise SnapshotError("the snapshot was made by another version of the memory model")
    body = memoryview(data)[_HEAD.size :]
    if crc32(body) != checksum:
        raise SnapshotError("the snapshot is damaged")
    try:
        (inattention,) = _LEARNER.unpack_from(body)
        return Learner.of_points(dict(_read_points(body[_LEARNER.size :], count)), inattention)
    except (struct.error, ValueError) as problem:
        raise SnapshotError("the snapshot is damaged") from problem


def _read_points(body: memoryview, count: int) -> list[tuple[str, Memory]]:
    points = []
    place = 0
    for _ in range(count):
        name_length, answers = _POINT.unpack_from(body, place)
        place += _POINT.size
        item = str(body[place : place + name_length], "utf-8")
        place += name_length
        memory = Memory()
        del memory.weights[:]
        split = memory.kept = Split(array("d"), array("d"))
        for numbers, length in (
            (memory.times, answers),
            (memory.codes, answers),
            (memory.traces, answers * grid.TRACES),
            (memory.weights, grid.STATES),
            (split.unknown, grid.NODES),
            (split.known, grid.NODES),
        ):
            stop = place + numbers.itemsize * length
            numbers.frombytes(body[place:stop])
            place = stop
        points.append((item, memory))
    if place != len(body):
        raise SnapshotError("the snapshot has the wrong length")
    return points
