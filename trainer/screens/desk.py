"""What is open at the moment: the candidate, his deck, his standing. The only place where they are opened."""

from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING

from trainer.coach.dates import day_of
from trainer.paths import Home
from trainer.records.clock import Moment

if TYPE_CHECKING:
    from trainer.coach.candidate import Candidate
    from trainer.coach.standing import Standing
    from trainer.coach.today import Today
    from trainer.drill.deck import Deck

# What the first frame does not need is imported where it is used.


class Desk:
    """The open candidate with his deck and standing; `trouble` says why the deck cannot be used.

    A method that reads a record may raise LogError, one sentence.
    """

    def __init__(self, home: Home, clock: Callable[[], Moment]) -> None:
        self.home, self.clock = home, clock
        self.candidate: Candidate | None = None
        self.standing: Standing | None = None
        self.trouble = ""

    @property
    def deck(self) -> "Deck | None":
        """The open deck."""
        return self.standing.deck if self.standing else None

    def sit(self, candidate_id: str) -> None:
        """Open a candidate in place of the one before."""
        from trainer.coach.candidate import open_candidate
        from trainer.coach.here import remember

        candidate = open_candidate(self.home, candidate_id)
        self.take(candidate)
        remember(self.home, candidate_id)

    def take(self, candidate: "Candidate") -> None:
        """Take over a candidate whose record is open, and open his deck."""
        self.close()
        self.candidate = candidate
        self.reopen()

    def reopen(self) -> None:
        """Read deck and record anew."""
        from trainer.authoring.shelf import DeckError, open_deck
        from trainer.coach.standing import open_standing

        self.standing, self.trouble = None, ""
        if self.candidate is None:
            return
        if not self.candidate.profile.deck:
            self.trouble = "No deck was chosen yet."
            return
        try:
            deck = open_deck(self.candidate.profile.deck, self.home)
        except DeckError as error:
            self.trouble = str(error)
            return
        self.standing = open_standing(self.candidate, deck, self.clock())

    def keep(self) -> None:
        """Bring the kept fold up to the record, then read anew; for the end of a sitting."""
        from trainer.coach.candidate import keep_backup
        from trainer.coach.standing import save_standing

        if self.candidate is not None and self.standing is not None:
            save_standing(self.candidate, self.standing.deck, self.clock())
            keep_backup(self.candidate, self.clock())
        self.reopen()

    @property
    def day(self) -> date:
        """The calendar day by the clock."""
        return day_of(self.clock())

    def today(self) -> "Today | None":
        """Return what Today says; on another day than before the record is read anew."""
        from trainer.coach.today import today

        moment = self.clock()
        if self.standing is not None and self.standing.history.today != day_of(moment):
            self.reopen()
        if self.candidate is None or self.standing is None:
            return None
        return today(self.candidate, self.standing, moment)

    def wished(self) -> frozenset[str]:
        """Return the points that taskings and the faults of the last runs bring into a sitting."""
        from trainer.coach.taskings import wished

        if self.candidate is None or self.standing is None:
            return frozenset()
        return wished(self.candidate.events(), self.standing.points, self.day, self.standing.deck.id)

    def cautions_read(self) -> bool:
        """Tell whether the candidate has read his deck's cautions as they are now."""
        from trainer.coach.cautions import cautions_read

        if self.candidate is None or self.standing is None:
            return True
        return cautions_read(self.candidate.events(), self.standing.deck)

    def close(self) -> None:
        """Close the record; nothing is waiting to be written."""
        if self.candidate is not None:
            self.candidate.close()
        self.candidate, self.standing, self.trouble = None, None, ""
