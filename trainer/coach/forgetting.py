"""A candidate taken off this laptop: his record, its copies, and all that was made from it."""

from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from trainer.coach.candidate import CandidateError, Person, find_known, people, profile_of
from trainer.coach.carrying import read_file
from trainer.coach.here import forget_last
from trainer.paths import Home
from trainer.records.packet import PacketError, unpacked

LEFT_BEHIND = (
    "What was handed to others stays with them: packets, printed sheets, copies of files. Evenings of a study group "
    "and the sheets saved of them keep the names that were typed into them; packets of evenings that wait here under "
    "the same name went too, unless somebody else here is called so."
)


class Removed(NamedTuple):
    """What was removed of a candidate: number of files of each sort, by its name in words."""

    record: int
    backups: int
    folds: int
    packets: int
    crashes: int

    def __str__(self) -> str:
        return (
            f"record files: {self.record}, backup copies: {self.backups}, kept calculations: {self.folds}, packets of "
            f"evenings: {self.packets}, crash reports: {self.crashes}"
        )


def person_to_forget(home: Home, name: str) -> Person:
    """Return the candidate of that handle or id, also one whose record cannot be read any more.

    Raises:
        CandidateError: if there is none, or more than one it could be.
    """
    return find_known(people(home), name)


def forget(home: Home, candidate_id: str) -> Removed:
    """Remove the files of a candidate, the record last, so that a removal that was cut short can be done again.

    Files are deleted as the system deletes them; what it leaves on the disk is not written over.

    Raises:
        CandidateError: one sentence, where a file cannot be removed.
    """
    try:
        packets = _removed(_packets_of(home, candidate_id))
        forget_last(home, candidate_id)
        folds = _removed(home.standings(candidate_id).glob("*"))
        if home.standings(candidate_id).is_dir():
            home.standings(candidate_id).rmdir()
        # A report of a crash may hold the name of whoever sat there, and does not say whose it is.
        crashes = _removed(iter([home.crash] if home.crash.is_file() else []))
        backups = _removed(home.backups.glob(f"{candidate_id}.*"))
        record = _removed(home.records.glob(f"{candidate_id}.db*"))
    except OSError as error:
        raise CandidateError(
            f"{error.filename} cannot be removed ({error.strerror}), so not everything is gone; close every window of "
            "the program, mend the rights there, and do it again."
        ) from error
    return Removed(record, backups, folds, packets, crashes)


def _packets_of(home: Home, candidate_id: str) -> Iterator[Path]:
    """Yield the packets of evenings that wait here for him: those of his handle, for each has an id of its own.

    Where another candidate of this laptop has the same handle nobody knows whose they are, and they stay.
    """
    handles = {person.id: person.profile.handle.casefold() for person in people(home)}
    handle = handles.pop(candidate_id, "")
    his_alone = bool(handle) and handle not in handles.values()
    for path in home.packets.glob("*.packet"):
        try:
            # Nothing is taken from it, so it is of no account who signed it.
            packet = unpacked(read_file(path), verify=lambda *_: True)
        except PacketError:
            continue
        named = profile_of(packet.events).handle.casefold()
        if packet.candidate == candidate_id or (his_alone and named == handle):
            yield path


def _removed(files: Iterator[Path]) -> int:
    found = list(files)
    for file in found:
        file.unlink(missing_ok=True)
    return len(found)
