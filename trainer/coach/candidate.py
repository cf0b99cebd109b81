"""One candidate on this laptop: his record, and the settings that are folded from it."""

import os
import re
from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from trainer.coach.here import last_person, remember
from trainer.memory.forward import Outline
from trainer.paths import Home, private_folder, write_private
from trainer.records.clock import Moment
from trainer.records.drafts import setting
from trainer.records.errors import LogError
from trainer.records.events import Draft, Event, EventError, order
from trainer.records.log import Log

HANDLE, DECK, TEST_DATE, MINUTES = "handle", "deck", "test-date", "minutes"
USUAL_MINUTES = 15
LONGEST_HANDLE = 40


class CandidateError(Exception):
    """Something about a candidate that the user can mend; the message is one sentence."""


class Profile(NamedTuple):
    """Who a candidate is and what he works towards; every value can be changed at any time."""

    handle: str = ""
    deck: str = ""
    test_date: date | None = None
    minutes: int = USUAL_MINUTES


class Person(NamedTuple):
    """A candidate as a list shows him; `trouble` is a sentence where his record cannot be read."""

    id: str
    profile: Profile
    trouble: str = ""


class Candidate:
    """A candidate whose record is open."""

    def __init__(self, home: Home, log: Log) -> None:
        self.home, self.log = home, log
        self.id = log.candidate
        self._events: list[Event] = []
        self._place = 0
        self.plans: dict[str, Outline] = {}
        self.profile = profile_of(self.events())

    def events(self) -> Sequence[Event]:
        """Return all events in order; only those that came in since the last call are read.

        Raises:
            LogError: one sentence, if the record cannot be read.
        """
        fresh = self.log.events(since=self._place)
        if fresh:
            self._place += len(fresh)  # places are counted without gaps
            self._events = sorted([*self._events, *fresh], key=order)
        return self._events

    def set(self, drafts: Iterable[Draft], now: Moment) -> None:
        """Record changed settings together and take them over."""
        self.log.append_many(list(drafts), now)
        self.profile = profile_of(self.events())

    def close(self) -> None:
        """Close the record; nothing is waiting to be written."""
        self.log.close()


def profile_of(events: Iterable[Event]) -> Profile:
    """Fold settings: the last of each name holds. A value that cannot be read is passed over."""
    values = {str(event.body["name"]): event.body["value"] for event in events if event.kind == "setting"}
    minutes = values.get(MINUTES)
    try:
        test_date = date.fromisoformat(str(values.get(TEST_DATE, "")))
    except ValueError:
        test_date = None
    return Profile(
        str(values.get(HANDLE, "")),
        str(values.get(DECK, "")),
        test_date,
        minutes if isinstance(minutes, int) and 1 <= minutes <= 240 else USUAL_MINUTES,
    )


def settings(
    handle: str | None = None, deck: str | None = None, test_date: date | None = None, minutes: int | None = None
) -> list[Draft]:
    """Return the events that set these values.

    Raises:
        CandidateError: if a handle is empty, too long, or holds what cannot be shown.
    """
    drafts = []
    if handle is not None:
        drafts.append(setting(HANDLE, checked_handle(handle)))
    if deck is not None:
        drafts.append(setting(DECK, deck))
    if test_date is not None:
        drafts.append(setting(TEST_DATE, test_date.isoformat()))
    if minutes is not None:
        drafts.append(setting(MINUTES, minutes))
    return drafts


def checked_handle(handle: str) -> str:
    """Return a handle that can be shown, without blanks at its ends.

    Raises:
        CandidateError: with a sentence that says why it cannot.
    """
    name = " ".join(handle.split())
    if not name:
        raise CandidateError("Give a handle, the name the program calls you by; a nickname will do.")
    if len(name) > LONGEST_HANDLE:
        raise CandidateError(f"That handle is too long: {LONGEST_HANDLE} characters at most.")
    if not name.isprintable():
        raise CandidateError("That handle holds a character that cannot be shown; use letters and digits.")
    return name


def read_date(text: str) -> date:
    """Read a date written 2026-03-31; month and day may have one digit.

    Raises:
        CandidateError: with a sentence that says how a date is written, or that no calendar has this one.
    """
    given = text.strip()
    found = re.fullmatch("([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})", given)
    if not given:
        raise CandidateError("Give a day, year-month-day, like 2026-03-31.")
    if found is None:
        raise CandidateError(f'A date is written year-month-day, like 2026-03-31, not "{given}".')
    year, month, number = (int(part) for part in found.groups())
    try:
        return date(year, month, number)
    except ValueError:
        raise CandidateError(f"There is no such day as {given}; look at the month and the day again.") from None


def device_id(home: Home) -> str:
    """Return the random id of this laptop, made the first time.

    Raises:
        CandidateError: one sentence, if it cannot be kept.
    """
    path = home.device
    try:
        known = path.read_text("ascii").strip()
    except (OSError, UnicodeDecodeError):
        known = ""
    if is_id(known):
        return known
    made = random_id()
    try:
        write_private(path, made.encode("ascii") + b"\n")
    except OSError as error:
        raise CandidateError(
            f"The id of this laptop cannot be kept in {path} ({error.strerror}); make room or mend the rights there."
        ) from error
    return made


def random_id() -> str:
    """Return a new id for a candidate or a laptop, 32 hex digits by chance."""
    return os.urandom(16).hex()


def create(home: Home, drafts: Iterable[Draft], now: Moment) -> Candidate:
    """Make a record for a new candidate and open it.

    Raises:
        LogError: one sentence, if the record cannot be made.
        CandidateError: if the folder for it cannot be made.
    """
    try:
        private_folder(home.records)
    except OSError as error:
        raise CandidateError(f"The folder {home.root} cannot be used: {error.strerror}.") from error
    device = device_id(home)
    candidate_id = random_id()
    candidate = Candidate(home, Log.create(home.record(candidate_id), candidate_id, device))
    candidate.set(drafts, now)
    remember(home, candidate_id)
    return candidate


def open_candidate(home: Home, candidate_id: str) -> Candidate:
    """Open a candidate's record.

    Raises:
        LogError: one sentence, if the record cannot be used.
    """
    return Candidate(home, Log.open(home.record(candidate_id), device_id(home)))


def keep_backup(candidate: Candidate, now: Moment) -> str:
    """Copy a record beside the others at the end of a sitting; return a sentence where that failed, else nothing.

    Whatever fails, the record itself and the copies that were there stay.
    """
    from trainer.records.backups import backup  # only here: at the start nothing is copied

    try:
        backup(candidate.log, candidate.home.backups, now)
    except LogError as error:
        if error.path == candidate.log.path:
            return str(error)
        return (
            f"Every answer is in the record, but no backup copy could be kept in {candidate.home.backups} "
            f"({error.detail or 'the copy is not whole'}); make room or mend the rights there."
        )
    return ""


def people(home: Home) -> list[Person]:
    """Return the candidates of this laptop, by handle; one whose record cannot be read says why."""
    found = []
    if home.records.is_dir():
        for path in sorted(home.records.glob("*.db")):
            try:
                with Log.open(path) as log:
                    found.append(Person(log.candidate, profile_of(log.events())))
            except (LogError, EventError) as error:
                found.append(Person(path.stem, Profile(handle=path.stem), str(error)))
    return sorted(found, key=lambda person: (person.profile.handle.casefold(), person.id))


def find_person(home: Home, name: str | None) -> Person:
    """Return the candidate of that handle or id; without a name the last one, or the only one.

    Raises:
        CandidateError: if there is none, or more than one it could be.
    """
    known = people(home)
    if not known:
        raise CandidateError("No candidate is on this laptop yet: start the program without a verb, or use --demo.")
    if name is None:
        last = last_person(home)
        chosen = [person for person in known if person.id == last] or (known if len(known) == 1 else [])
        if not chosen:
            handles = ", ".join(person.profile.handle for person in known)
            raise CandidateError(f"Say who: --candidate with one of {handles}.")
        return _usable(chosen[0])
    return _usable(find_known(known, name))


def find_known(known: Sequence[Person], name: str) -> Person:
    """Return the one of these of that handle or id, also one whose record cannot be read.

    Raises:
        CandidateError: if there is none, or more than one it could be.
    """
    chosen = [p for p in known if p.id == name] or [p for p in known if p.profile.handle.casefold() == name.casefold()]
    if len(chosen) != 1:
        handles = ", ".join(person.profile.handle for person in known) or "nobody"
        how = "nobody is called that" if not chosen else "more than one is called that; give the id"
        raise CandidateError(f'"{name}": {how}. On this laptop: {handles}.')
    return chosen[0]


def whose(home: Home, name: str | None) -> str:
    """Return the id of the candidate of that handle or id; without a name of the last one, or the only one.

    Records are read only where an id alone does not tell.

    Raises:
        CandidateError: if there is none, or more than one it could be.
    """
    wanted = name or last_person(home)
    if wanted and is_id(wanted) and home.record(wanted).is_file():
        return wanted
    return find_person(home, name).id


def is_id(text: str) -> bool:
    """Whether a text has the form of a candidate's or laptop's id."""
    return len(text) == 32 and set(text) <= set("0123456789abcdef")


def _usable(person: Person) -> Person:
    if person.trouble:
        raise CandidateError(person.trouble)
    return person
