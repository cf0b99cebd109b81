"""A run being graded: a gate before it, one key a trial, the verdict by the sheet's rule, nothing ever lost.

Every mark is an event on the disk before the next one is taken; a mark that was wrong is taken back by another event.
"""

from collections.abc import Iterable, Sequence

from trainer.coach.candidate import Candidate
from trainer.drill.deck import Deck
from trainer.drill.grade_sheet import GRADER
from trainer.records.clock import Moment
from trainer.records.drafts import broken_off, note, replacement, void
from trainer.records.drafts import trial as trial_event
from trainer.records.drafts import verdict as verdict_event
from trainer.records.events import Draft, EventError
from trainer.sponsor.graders import Grader, GradingError
from trainer.sponsor.opening import opening, sheet_of
from trainer.sponsor.sheet import BROKEN_OFF, TRAINING, Sheet, sheets


class Run:
    """One run; each step is on the disk before the method returns.

    Attributes:
        candidate: whose record it enters.
        deck: whose grade sheet it is.
        sheet: how it stands.
    """

    def __init__(self, candidate: Candidate, deck: Deck, run: str) -> None:
        """Go on with a run, wherever it was interrupted.

        Raises:
            GradingError: where the record has no such run.
        """
        self.candidate, self.deck, self.id = candidate, deck, run
        self._rule = sheet_of(deck)
        self.sheet = self._folded()

    def _folded(self) -> Sheet:
        for sheet in sheets(self.candidate.events(), self.deck):
            if sheet.run == self.id:
                return sheet
        raise GradingError("There is no such run in this record; begin a new one.")

    # ------------------------------------------------------------ the surface

    @property
    def next_measure(self) -> str:
        """The minor whose turn it is: by the plan of commands, else in the order of the sheet; "" if none is left."""
        plan = self.sheet.begun.get("plan")
        if isinstance(plan, list | tuple) and not self._rule.sequence_graded:
            done = {row.id: len(row.trials) for row in self.sheet.rows}
            for measure in plan:
                if done.get(str(measure), 0) > 0:
                    done[str(measure)] -= 1
                elif any(row.id == measure and row.left for row in self.sheet.rows):
                    return str(measure)
        return next((row.id for row in self.sheet.rows if row.left), "")

    @property
    def closed(self) -> str:
        """Why nothing more can be decided in the run, as a sentence; empty while it goes on."""
        if self.sheet.recorded is not None:
            return "This run has its verdict; undo that first, or begin a new run."
        if self.sheet.broken_off:
            return "This run was broken off; undo that first if it goes on, or begin a new run."
        return ""

    def trial(self, measure: str, go: bool, faults: Iterable[str], now: Moment) -> None:
        """Mark one trial of a minor. After a major failure it is kept for training and decides nothing.

        Raises:
            GradingError: a sentence, where this trial cannot be; nothing is recorded.
            LogError: one sentence, if it could not be recorded.
        """
        row = next((row for row in self.sheet.rows if row.id == measure), None)
        if row is None:
            raise GradingError(f"'{measure}' is no minor measure of this sheet.")
        seen = self._known_faults(measure, faults)
        more = {"held": TRAINING} if self.sheet.ended else {}
        if not self.sheet.ended:
            self._refuse_if_over()
            if not row.left:
                raise GradingError(f"{row.name} has no trial left; undo the last mark if it was wrong.")
            if self._rule.sequence_graded and measure != self.next_measure:
                due = self.sheet.row(self.next_measure).name
                raise GradingError(f"The sequence is graded: {due} comes before {row.name}.")
        number = len(row.trials) + row.spoilt + 1
        self._record([self._trial(measure, number, go, seen, **more)], now)

    def bad_prompt(self, measure: str, now: Moment, ruled_by: str = "") -> None:
        """Rule that the prompt of a trial was bad: the trial does not count and is made again.

        Args:
            measure: the minor that was prompted.
            now: the present.
            ruled_by: who ruled so; the grader himself may only where the deck leaves it to him.

        Raises:
            GradingError, LogError: as `trial`.
        """
        self._refuse_if_over()
        row = next((row for row in self.sheet.rows if row.id == measure and row.left), None)
        if row is None:
            raise GradingError(f"'{measure}' has no trial left that could have been prompted.")
        who = self._rule.bad_prompt
        if who != GRADER and not ruled_by.strip():
            raise GradingError(f"On a bad prompt the {who} rules by this deck; say who that was.")
        more = {"prompt": "bad", "ruled_by": ruled_by.strip() or self.sheet.grader}
        self._record([self._trial(measure, len(row.trials) + row.spoilt + 1, False, (), **more)], now)

    def major(self, major: str, now: Moment) -> None:
        """Mark a major as failed: the run is NO-GO at once, and its verdict is recorded with it.

        Raises:
            GradingError, LogError: as `trial`.
        """
        if major not in {one.id for one in self._rule.majors}:
            raise GradingError(f"'{major}' is no major measure of this sheet.")
        if major in self.sheet.failed:
            raise GradingError("That major is marked as failed already.")
        if self.sheet.broken_off:
            self._refuse_if_over()
        drafts = [self._trial(major, 1, False, ())]
        if self.sheet.recorded is None:
            drafts.append(self._verdict(False))
        elif self.sheet.recorded:
            raise GradingError("This run has its verdict already; undo that first if a major was failed.")
        self._record(drafts, now)

    def finish(self, now: Moment) -> bool:
        """Record the verdict and return it.

        Raises:
            GradingError: where it is not decided yet, or recorded already.
            LogError: one sentence, if it could not be recorded.
        """
        self._refuse_if_over()
        decided = self.sheet.verdict
        if decided is None:
            left = sum(row.left for row in self.sheet.rows)
            raise GradingError(
                f"The run is not decided: up to {left} trials are left, and a major may fail until then."
            )
        self._record([self._verdict(decided)], now)
        return decided

    def break_off(self, why: str, now: Moment) -> None:
        """Record that the evaluator stopped the run before it was decided: no verdict, and the trials made stand.

        Args:
            why: a key of `BROKEN_OFF`.
            now: the present.

        Raises:
            GradingError: where it is over, or decided already.
            LogError: one sentence, if it could not be recorded.
        """
        self._refuse_if_over()
        if why not in BROKEN_OFF:
            raise GradingError(f"A run is broken off for one of these: {', '.join(BROKEN_OFF)}; not '{why}'.")
        if self.sheet.verdict is not None:
            word = "GO" if self.sheet.verdict else "NO-GO"
            raise GradingError(f"The run is decided already: {word}. Record that verdict.")
        self._record([broken_off(run=self.id, why=why, **self._common())], now)

    def undo(self, now: Moment) -> None:
        """Take back the last mark or the breaking off, and a verdict that was recorded with or after a mark.

        Raises:
            GradingError: where there is nothing to take back.
            LogError: one sentence, if it could not be recorded.
        """
        if not self.sheet.last:
            raise GradingError("There is no mark to take back.")
        kinds = {event.header.id: event.kind for event in self.candidate.events()}
        taken = [self.sheet.last[-1]]
        if kinds[taken[0]] == "verdict" and len(self.sheet.last) > 1 and self.sheet.ended:
            taken.append(self.sheet.last[-2])  # the major failure that brought the verdict
        self._record([void(name) for name in taken], now)

    def change(self, trial: str, go: bool, faults: Iterable[str], now: Moment) -> None:
        """Mark an earlier trial of a minor otherwise; the first mark stays in the record beside the second.

        Args:
            trial: id of the trial, as the rows of the sheet have it.
            go: the mark that holds.
            faults: the faults that hold.
            now: the present.

        Raises:
            GradingError, LogError: as `trial`.
        """
        self._refuse_if_over()
        places = [(n, one) for row in self.sheet.rows for n, one in enumerate(row.trials, 1 + row.spoilt)]
        found = next(((number, one) for number, one in places if one.id == trial), None)
        if found is None:
            raise GradingError("There is no such trial on this sheet.")
        number, one = found
        mark = self._trial(one.measure, number, go, self._known_faults(one.measure, faults))
        self._record([replacement(trial, mark)], now)

    def note(self, text: str, now: Moment) -> None:
        """Write something down about this run; it leaves this laptop only when asked to.

        Raises:
            GradingError: where there is no text, or a character that cannot be shown.
            LogError: one sentence, if it could not be recorded.
        """
        if not text.strip():
            raise GradingError("A note needs some text.")
        self._record([note(text.strip(), self.id)], now)

    # ------------------------------------------------------------ beneath

    def _refuse_if_over(self) -> None:
        if self.closed:
            raise GradingError(self.closed)

    def _known_faults(self, measure: str, faults: Iterable[str]) -> list[str]:
        known = {fault.id for fault in self.deck.movement(measure).faults}
        seen = list(dict.fromkeys(faults))
        for fault in seen:
            if fault not in known:
                raise GradingError(f"'{fault}' is no fault of {self.deck.movement(measure).name}.")
        return seen

    def _trial(self, measure: str, number: int, go: bool, faults: Iterable[str], **more: str) -> Draft:
        return trial_event(run=self.id, measure=measure, number=number, go=go, faults=faults, **self._common(), **more)

    def _verdict(self, go: bool) -> Draft:
        said = self.sheet.begun.get("said")
        more = {"said": said} if isinstance(said, int) else {}
        return verdict_event(run=self.id, go=go, **self._common(), **more)

    def _common(self) -> dict[str, str]:
        on = self.sheet.begun.get("on")
        common = {"deck": self.deck.id, "grader": self.sheet.grader}
        return common | ({"on": str(on)} if on else {})

    def _record(self, drafts: list[Draft], now: Moment) -> None:
        _append(self.candidate, drafts, now)
        self.sheet = self._folded()


def begin(
    candidate: Candidate,
    deck: Deck,
    known: Iterable[Grader],
    now: Moment,
    *,
    grader: str,
    checked: Iterable[str],
    told_by: str = "",
    early: bool = False,
    plan: Sequence[str] = (),
    said: float | None = None,
) -> Run:
    """Begin a run: grader admitted, gate passed, retest not too soon.

    Args:
        candidate: who is graded.
        deck: whose grade sheet it is.
        known: the graders of this laptop.
        now: the present.
        grader: who grades.
        checked: what was checked of `gate`.
        told_by: who told a sponsor to grade his own candidate.
        early: whether the wait for a retest is passed over.
        plan: measures in the order of the lane's commands, each as often as it is tested; free where empty.
        said: the chance of a GO that is forecast now, to be set beside the verdict later.

    Raises:
        GradingError: a sentence; nothing is recorded.
        LogError: one sentence, if it could not be recorded.
    """
    draft = opening(
        candidate,
        deck,
        known,
        now,
        grader=grader,
        checked=checked,
        told_by=told_by,
        early=early,
        plan=plan,
        said=said,
    )
    _append(candidate, [draft], now)
    return Run(candidate, deck, str(draft.body["run"]))


def _append(candidate: Candidate, drafts: list[Draft], now: Moment) -> None:
    try:
        candidate.log.append_many(drafts, now)
    except EventError as error:
        raise GradingError(f"This cannot be recorded: {error}") from error


def open_run(candidate: Candidate, deck: Deck) -> Run | None:
    """Return the candidate's last run that is not over, to go on with; None if there is none."""
    waiting = [sheet for sheet in sheets(candidate.events(), deck) if not sheet.over and "checked" in sheet.begun]
    return Run(candidate, deck, waiting[-1].run) if waiting else None
