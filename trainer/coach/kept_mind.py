"""The fold of a candidate's evidence kept in a file, so that a start need not fold everything anew.

The fold is a pure function of the evidence, so the file is filed under the evidence itself: whatever changes it (a
correction, a changed fact, a clock put right) is another key, and the fold is simply made again.
"""

import hashlib
import marshal
from collections.abc import Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from zlib import crc32

from trainer.coach.candidate import Candidate
from trainer.coach.history import Manner
from trainer.coach.mind import Mind
from trainer.drill.deck import Deck
from trainer.memory.groups import Cell
from trainer.memory.recall import Evidence
from trainer.memory.snapshot import SnapshotError, pack, unpack
from trainer.paths import Home, write_private

_MAGIC = b"standing/5\n"
"""Goes up with every change to what is learnt of an answer, or to how that is kept."""
_SIZE = 4
_KEY = 32
_HEAD = len(_MAGIC) + 2 * _SIZE + _KEY


def cache_file(candidate: Candidate, deck: Deck) -> Path:
    """Return where a candidate's fold on a deck is kept."""
    return fold_file(candidate.home, candidate.id, deck)


def fold_file(home: Home, candidate: str, deck: Deck) -> Path:
    """Return where the fold of the candidate of an id is kept, whether or not his record is open."""
    name = hashlib.sha256(deck.id.encode()).hexdigest()[:24]
    return home.standings(candidate) / f"{name}.bin"


def fold(
    evidence: Sequence[Evidence], manners: Sequence[Manner], groups: Mapping[str, Cell], path: Path | None = None
) -> tuple[Mind, int]:
    """Return what evidence teaches, and how many answers the file did not hold.

    Args:
        evidence: all answers in the order of time.
        manners: how each was given.
        groups: movement and family of each point.
        path: the file; everything is folded anew if None.
    """
    mind, known = _kept(evidence, manners, groups, path) if path else (None, 0)
    if mind is None:
        mind, known = Mind(groups), 0
    mind.fold(evidence[known:], manners[known:])
    return mind, len(evidence) - known


def keep(mind: Mind, evidence: Sequence[Evidence], manners: Sequence[Manner], path: Path) -> None:
    """Write the file; failing is no harm, for it can be made again."""
    body = marshal.dumps((list(map(pack, mind.learners)), mind.state()), 2)
    key = _key(evidence, manners)
    head = _MAGIC + len(evidence).to_bytes(_SIZE, "big") + key + crc32(body).to_bytes(_SIZE, "big")
    with suppress(OSError):
        write_private(path, head + body, settled=False)


def _kept(
    evidence: Sequence[Evidence], manners: Sequence[Manner], groups: Mapping[str, Cell], path: Path
) -> tuple[Mind | None, int]:
    try:
        kept = path.read_bytes()
    except OSError:
        return None, 0
    if not kept.startswith(_MAGIC) or len(kept) < _HEAD + _SIZE:
        return None, 0
    at = len(_MAGIC)
    count = int.from_bytes(kept[at : at + _SIZE], "big")
    key, checksum = kept[at + _SIZE : at + _SIZE + _KEY], kept[_HEAD - _SIZE : _HEAD]
    body = memoryview(kept)[_HEAD:]
    answers, given = evidence[:count], manners[:count]
    if count > len(evidence) or key != _key(answers, given) or crc32(body) != int.from_bytes(checksum, "big"):
        return None, 0
    mind = Mind(groups)
    try:
        # Only what passed its checksum is read: marshal is not made for bytes that somebody else wrote.
        learners, state = marshal.loads(body)  # noqa: S302
        mind.restore(list(map(unpack, learners)), state, answers, given)
    except (SnapshotError, ValueError, TypeError, EOFError):
        return None, 0
    return mind, count


def _key(evidence: Sequence[Evidence], manners: Sequence[Manner]) -> bytes:
    # Version 2 of marshal has no references, so equal evidence always gives equal bytes.
    told = [(*one, *manner) for one, manner in zip(evidence, manners, strict=True)]
    return hashlib.sha256(marshal.dumps(told, 2)).digest()
