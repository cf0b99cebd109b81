"""A sheet filled on paper, entered later with its own date: plain lines or JSON, all or nothing.

    date: 2026-11-20
    grader: Owl
    checked: uniform, equipment, sword, cautions
    halt: GO, GO, NO-GO (flat; late-arm), GO
    major: sword-lost
    note: wet surface
    broken off: weather

A measure is given by its id or its name, a fault by its id, its number or a part of what it tells.
"""

import json
from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha256
from typing import Any, NamedTuple

from trainer.coach.candidate import Candidate, CandidateError, read_date
from trainer.coach.history import local_day
from trainer.drill.deck import Deck
from trainer.drill.faults import find_fault
from trainer.plain import visible
from trainer.records.clock import Moment
from trainer.records.drafts import broken_off, note
from trainer.records.drafts import trial as trial_event
from trainer.records.drafts import verdict as verdict_event
from trainer.records.events import Draft, Event, EventError, Header
from trainer.sponsor.graders import Grader, GradingError
from trainer.sponsor.opening import opening, sheet_of
from trainer.sponsor.sheet import BROKEN_OFF, Sheet, sheets

MOST_BYTES = 256 * 1024
_HEADS = ("date", "grader", "checked", "major", "note", "told by", "broken off")
_MARKS = {"go": True, "no-go": False, "nogo": False, "no go": False}


class PaperError(GradingError):
    """A sheet that cannot be entered; the message has a line for every mistake."""


class PaperTrial(NamedTuple):
    """One trial on paper: a minor's id, its mark, ids of the faults seen."""

    measure: str
    go: bool
    faults: tuple[str, ...]


class Paper(NamedTuple):
    """A sheet as it was filled; `failed` are ids of majors."""

    date: str
    grader: str
    checked: tuple[str, ...]
    trials: tuple[PaperTrial, ...]
    failed: tuple[str, ...] = ()
    note: str = ""
    told_by: str = ""
    broken_off: str = ""

    @property
    def run(self) -> str:
        """An id that follows from what is on it, so that one sheet is not entered twice."""
        # A sheet without a reason has the id that it always had.
        told = tuple(self) if self.broken_off else tuple(self)[:-1]
        return "paper-" + sha256(repr(told).encode()).hexdigest()[:16]


def read_paper(raw: bytes, deck: Deck) -> Paper:
    """Read a sheet.

    Raises:
        PaperError: every mistake on a line of its own, with the number of the line (or the place in JSON).
    """
    if len(raw) > MOST_BYTES:
        raise PaperError("This file is too large to be a grade sheet.")
    try:
        text = raw.removeprefix(b"\xef\xbb\xbf").decode("utf-8")
    except UnicodeDecodeError:
        raise PaperError("This file is not plain text in UTF-8; save it as such and try again.") from None
    lines = _from_json(text) if text.lstrip().startswith("{") else _from_lines(text)
    return _Reading(deck).read(lines)


Line = tuple[str, str, str]
"""Where it stands, its name, its content."""


def _from_lines(text: str) -> Iterator[Line]:
    for number, line in enumerate(text.splitlines(), 1):
        if line.strip() and not line.lstrip().startswith("#"):
            name, colon, content = line.partition(":")
            yield f"Line {number}", name.strip() if colon else "", content.strip() if colon else line.strip()


def _from_json(text: str) -> Iterator[Line]:
    try:
        told = json.loads(text)
    except (ValueError, RecursionError) as error:
        raise PaperError(f"This is no JSON: {error}.") from None
    for name, value in told.items():
        if value is None:
            continue
        if name == "trials" and isinstance(value, dict):
            for measure, marks in value.items():
                yield f"trials, {measure}", str(measure), ", ".join(map(_mark_text, _list(marks)))
        elif name == "failed":
            for major in _list(value):
                yield "failed", "major", str(major)
        elif isinstance(value, list):
            yield str(name), str(name), ", ".join(map(str, value))
        else:
            yield str(name), str(name).replace("_", " "), str(value)


def _list(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _mark_text(mark: Any) -> str:
    if isinstance(mark, dict):
        faults = "; ".join(map(str, _list(mark.get("faults", []))))
        return _mark_text(mark.get("go")) + (f" ({faults})" if faults else "")
    return {True: "GO", False: "NO-GO"}.get(mark, str(mark)) if isinstance(mark, bool) else str(mark)


class _Reading:
    """Collects what the lines say and all that is wrong with them."""

    def __init__(self, deck: Deck) -> None:
        self._deck, self._sheet = deck, sheet_of(deck)
        self._wrong: list[str] = []
        self._heads: dict[str, str] = {}
        self._trials: list[PaperTrial] = []
        self._failed: list[str] = []
        names = {minor: minor for minor in self._sheet.minors}
        self._minors = names | {deck.movement(minor).name.casefold(): minor for minor in self._sheet.minors}

    def read(self, lines: Iterable[Line]) -> Paper:
        for where, name, content in lines:
            self._line(where, name, content)
        for head in ("date", "grader", "checked"):
            if head not in self._heads and not self._wrong:
                self._wrong.append(f"The line '{head}: …' is missing.")
        if self._wrong:
            raise PaperError("\n".join(visible(line) for line in self._wrong))
        heads = self._heads
        checked = tuple(one.strip().casefold() for one in heads["checked"].split(",") if one.strip())
        more = (heads.get("note", ""), heads.get("told by", ""), heads.get("broken off", ""))
        return Paper(heads["date"], heads["grader"], checked, tuple(self._trials), tuple(self._failed), *more)

    def _line(self, where: str, name: str, content: str) -> None:
        head = name.casefold()
        if not name:
            self._wrong.append(f"{where}: a line is a name, a colon and what belongs to it, not '{content}'.")
        elif head == "major":
            self._major(where, content)
        elif head in _HEADS:
            if head in self._heads:
                self._wrong.append(f"{where}: '{head}' is there already.")
            if head == "broken off":
                content = self._reason(where, content)
            self._heads[head] = self._date(where, content) if head == "date" else content
        elif head in self._minors:
            self._marks(where, self._minors[head], content)
        else:
            self._wrong.append(f"{where}: there is no measure '{name}' on this sheet.{self._nearest(head)}")

    def _nearest(self, name: str) -> str:
        from difflib import get_close_matches

        close = get_close_matches(name, [*self._minors, *_HEADS], 1)
        return f" Did you mean '{close[0]}'?" if close else f" There are {', '.join(self._sheet.minors)}."

    def _date(self, where: str, content: str) -> str:
        try:
            return read_date(content).isoformat()
        except CandidateError as error:
            self._wrong.append(f"{where}: {error}")
            return content

    def _reason(self, where: str, content: str) -> str:
        reason = content.casefold()
        if reason not in BROKEN_OFF:
            known = ", ".join(BROKEN_OFF)
            self._wrong.append(f"{where}: a run is broken off for one of these: {known}; not '{content}'.")
        return reason

    def _major(self, where: str, content: str) -> None:
        majors = {major.id: major.id for major in self._sheet.majors}
        majors |= {major.text.casefold(): major.id for major in self._sheet.majors}
        found = majors.get(content.casefold())
        if found is None:
            known = ", ".join(major.id for major in self._sheet.majors) or "none"
            self._wrong.append(f"{where}: there is no major '{content}' on this sheet; there are {known}.")
        elif found not in self._failed:
            self._failed.append(found)

    def _marks(self, where: str, measure: str, content: str) -> None:
        marks = _split(content)
        before = sum(trial.measure == measure for trial in self._trials)
        if before + len(marks) > self._sheet.trials:
            self._wrong.append(f"{where}: {before + len(marks)} trials, but a measure has {self._sheet.trials}.")
        for mark in marks:
            word, _, faults = mark.partition("(")
            go = _MARKS.get(" ".join(word.casefold().split()))
            if go is None:
                self._wrong.append(f"{where}: a trial is GO or NO-GO, not '{word.strip()}'.")
                continue
            seen = [self._fault(where, measure, one) for one in faults.strip(") ").split(";") if one.strip()]
            self._trials.append(PaperTrial(measure, go, tuple(fault for fault in seen if fault)))

    def _fault(self, where: str, measure: str, typed: str) -> str:
        movement = self._deck.movement(measure)
        found = find_fault(movement.faults, typed)
        if len(found) != 1:
            how = "is no fault" if not found else f"may be {len(found)} faults"
            known = ", ".join(fault.id for fault in movement.faults) or "none"
            self._wrong.append(f"{where}: '{typed.strip()}' {how} of {movement.name}; there are {known}.")
            return ""
        return found[0].id


def _split(content: str) -> list[str]:
    """Marks parted by commas, but not by those within brackets."""
    marks, begun, depth = [], "", 0
    for char in content:
        depth += (char == "(") - (char == ")")
        if char == "," and depth <= 0:
            marks.append(begun)
            begun = ""
        else:
            begun += char
    return [mark for mark in (*marks, begun) if mark.strip()]


def enter(candidate: Candidate, deck: Deck, known: Iterable[Grader], paper: Paper, now: Moment) -> Sheet:
    """Put a sheet into a candidate's record, all or nothing; return it as it stands.

    Its verdict is recorded with it where its trials decide it.

    Raises:
        GradingError: a sentence; nothing is recorded.
        LogError: one sentence, if it could not be recorded.
    """
    today = local_day(now.at_ms, now.offset)
    if read_date(paper.date) > today:
        raise GradingError(f"The sheet is dated {paper.date}, which is still to come; look at the date again.")
    if any(sheet.run == paper.run for sheet in sheets(candidate.events(), deck)):
        raise GradingError("This very sheet is in the record already; nothing was entered.")
    began = opening(
        candidate,
        deck,
        known,
        now,
        grader=paper.grader,
        checked=paper.checked,
        told_by=paper.told_by,
        on=paper.date,
        run=paper.run,
    )
    common = {"deck": deck.id, "grader": str(began.body["grader"]), "on": paper.date}
    drafts = [began, *_trial_drafts(paper, common)]
    if paper.note:
        drafts.append(note(paper.note, paper.run))
    decided = _decided(candidate, deck, drafts, paper.run, now)
    if decided is not None and paper.broken_off:
        word = "GO" if decided else "NO-GO"
        raise GradingError(f"The sheet is decided by its marks: {word}. Take the line 'broken off' out.")
    if paper.broken_off:
        drafts.append(broken_off(run=paper.run, why=paper.broken_off, **common))
    if decided is not None:
        drafts.append(verdict_event(run=paper.run, go=decided, **common))
    try:
        candidate.log.append_many(drafts, now)
    except EventError as error:
        raise GradingError(f"The sheet cannot be entered: {error}") from error
    return next(sheet for sheet in sheets(candidate.events(), deck) if sheet.run == paper.run)


def _trial_drafts(paper: Paper, common: dict[str, str]) -> Iterator[Draft]:
    numbers: dict[str, int] = {}
    for one in paper.trials:
        numbers[one.measure] = number = numbers.get(one.measure, 0) + 1
        yield trial_event(run=paper.run, measure=one.measure, number=number, go=one.go, faults=one.faults, **common)
    for major in paper.failed:
        yield trial_event(run=paper.run, measure=major, number=1, go=False, **common)


def _decided(candidate: Candidate, deck: Deck, drafts: Sequence[Draft], run: str, now: Moment) -> bool | None:
    """Return what the sheet would come to, folded exactly as it will be once it is recorded."""
    events = [
        Event(Header(f"{number}", candidate.id, "", 1, "", now.at_ms, now.offset, 0), draft.kind, draft.body)
        for number, draft in enumerate(drafts)
    ]
    return next(sheet.verdict for sheet in sheets(events, deck) if sheet.run == run)
