"""One evening of a study group: who sits there, whose turn it is, what everybody gave.

An evening is a fold over its steps. Each step is kept before it counts, so an evening that was interrupted by
anything goes on at the turn it stood at.
"""

from collections.abc import Callable, Iterable, Sequence

from trainer.drill.deck import Deck
from trainer.group.agreement import AgainstTruth, Kappa, against_truth, kappa
from trainer.group.fold import Fold
from trainer.group.hands import FEWEST, USUAL, Keys, keys_of
from trainer.group.journal import Entry, EveningError
from trainer.group.names import MOST_PEOPLE, checked_name, checked_names
from trainer.group.turns import PLAYED, ROUNDS, Graded, Lot, Told, Turn, chance_of
from trainer.quiz.asking import Asker
from trainer.quiz.marking import Marked
from trainer.quiz.points import Point
from trainer.quiz.questions import REVERSE, Question

TURN, GRADED = "turn", "graded"
NEEDS = {"answer": TURN, "grade": TURN, "skip": TURN, "settle": GRADED}
"""What must be there before a step of the evening can be."""


class Evening(Fold):
    """An evening that goes on; every method that changes it keeps the step first."""

    def __init__(self, deck: Deck, all_points: Sequence[Point], keep: Callable[[Entry], None]) -> None:
        super().__init__(deck)
        self._keep = keep
        self._lot = Lot(deck, all_points)
        self._asker: Asker | None = None

    # ------------------------------------------------------------ steps

    def begin(
        self, evening_id: str, names: Sequence[str], seed: int, kinds: Iterable[str] = ROUNDS, keyboard: str = USUAL
    ) -> None:
        """Begin with these people.

        Args:
            evening_id: a random name for the evening.
            names: who sits there, 3 to 8.
            seed: of the lot that decides turns, movements and faults.
            kinds: the rounds that are held.
            keyboard: how the keys of the laptop lie, one of `KEYBOARDS`.

        Raises:
            EveningError: where the people or the rounds do not make an evening.
        """
        checked = checked_names(names)
        chosen = [kind for kind in self.possible_rounds() if kind in set(kinds)]
        if not chosen:
            raise EveningError("Choose at least one kind of round that this deck allows.")
        self._do(
            {
                "step": "begin",
                "id": evening_id,
                "deck": self.deck.id,
                "names": checked,
                "seed": seed,
                "kinds": chosen,
                "keyboard": keyboard,
            }
        )

    def possible_rounds(self) -> tuple[str, ...]:
        """Return the rounds that the deck has matter for."""
        return self._lot.rounds

    def draw(self) -> Turn:
        """Draw the next turn by lot and keep it; the turn that waits, if there is one.

        Raises:
            EveningError: where too few people are left.
        """
        if self.turn is not None:
            return self.turn
        # Of those who sit here one performs, unless the program plays.
        if len(self.present) - any(kind != PLAYED for kind in self.kinds) < FEWEST:
            raise EveningError("One alone cannot grade: let somebody sit down, or end the evening.")
        turn = self._lot.draw(self._turns + 1, self.kinds, self.present, self.graded, self.seed)
        self._do({"step": "turn", **turn._asdict()})
        return turn

    def answer(
        self, marked: Marked, ms: int, at_ms: int, offset: int, said: str = "", asked: str = "", correct: str = ""
    ) -> None:
        """Keep the performer's answer and its words; what it is worth is told when the others have graded it."""
        told = Told(marked.marks, marked.choices, marked.kind, ms, at_ms, offset, said, asked, correct)
        self._do({"step": "answer", **told._asdict(), "marks": [list(pair) for pair in marked.marks]})

    def grade(self, gave: dict[str, bool]) -> Graded:
        """Keep what everybody gave of the turn that waits."""
        self._do({"step": "grade", "gave": gave})
        return self.graded[-1]

    def settle(self, faults: Sequence[str]) -> None:
        """Keep the faults that the group settled on for the last turn."""
        self._do({"step": "settle", "faults": list(faults)})

    def skip(self) -> None:
        """Let a turn fall, as when its performer had to go."""
        self._do({"step": "skip"})

    def leave(self, name: str) -> None:
        """Let somebody go; a turn in which he was to perform falls."""
        if name in self.present:
            self._do({"step": "leave", "name": name})

    def sit_down(self, name: str) -> None:
        """Let somebody sit down, who came late or came back.

        Raises:
            EveningError: where there is no place or the name will not do.
        """
        new = checked_name(name)
        known = next((one for one in self.places if one.casefold() == new.casefold()), None)
        if known in self.present and known is not None:
            raise EveningError(f"{known} sits here already.")
        if known is None and len(self.places) >= MOST_PEOPLE:
            raise EveningError(f"There are keys for {MOST_PEOPLE} people, and all have an owner.")
        self._do({"step": "sit", "name": known or new})

    def rename(self, name: str, better: str) -> None:
        """Put a wrong name right, in everything so far.

        Raises:
            EveningError: where the name will not do or is taken.
        """
        new = checked_name(better)
        if any(one.casefold() == new.casefold() and one != name for one in self.places):
            raise EveningError(f"{new} is somebody else here already.")
        self._do({"step": "rename", "name": name, "better": new})

    def set_keyboard(self, keyboard: str) -> None:
        """Keep how the keys of the laptop lie, one of `KEYBOARDS`."""
        self._do({"step": "keyboard", "keyboard": keyboard})

    def hand_over(self, name: str, record: str) -> None:
        """Keep where somebody's answers went, a record or a packet; empty for nowhere."""
        self._do({"step": "handed", "name": name, "record": record})

    def end(self) -> None:
        """End the evening."""
        self._do({"step": "end"})

    def _do(self, entry: Entry) -> None:
        """Keep a step and take it; one that cannot be taken now is not kept, for the file must always open again."""
        needs = NEEDS.get(str(entry["step"]))
        if (needs == TURN and self.turn is None) or (needs == GRADED and not self.graded):
            raise EveningError("That cannot be done at this point of the evening.")
        self._keep(entry)
        self.apply(entry)

    # ------------------------------------------------------------ what is shown

    @property
    def graders(self) -> tuple[str, ...]:
        """Who grades the turn that waits: everybody present but its performer."""
        performer = self.turn.performer if self.turn else ""
        return tuple(name for name in self.present if name != performer)

    def keys(self) -> dict[str, Keys]:
        """Return the keys of everybody who grades the turn that waits."""
        return keys_of(self.graders, self.places, self.keyboard)

    def question(self) -> Question:
        """Return the question of the turn that waits; the same however often it is asked for.

        Raises:
            EveningError: where the turn has none.
        """
        if self.turn is None or not self.turn.point:
            raise EveningError("This turn asks no question.")
        self._asker = self._asker or Asker(self.deck)
        try:
            # Asked straight where that can be: the others then know what it is about and can grade it.
            return self._asker.ask(self.turn.point, chance_of(self.seed, self.turn.number, "question"), avoid=REVERSE)
        except KeyError as error:
            raise EveningError("The deck has changed since this turn was drawn: skip the turn.") from error

    def agreement(self) -> Kappa:
        """Return how far the group agrees over all turns."""
        return kappa([one.gave for one in self.graded])

    def against_truth(self) -> dict[str, AgainstTruth]:
        """Return how each grader did against the known truth."""
        return against_truth([(one.right, one.gave) for one in self.graded if one.right is not None])

    def team(self) -> tuple[int, int, int]:
        """Return the team's score: turns on which all agreed with the truth, turns with a known truth, all turns."""
        known = [one for one in self.graded if one.right is not None]
        together = sum(all(go == one.right for go in one.gave.values()) for one in known)
        return together, len(known), len(self.graded)


def resumed(
    deck: Deck, all_points: Sequence[Point], entries: Sequence[Entry], keep: Callable[[Entry], None]
) -> Evening:
    """Return the evening that kept steps make.

    Raises:
        EveningError: where they make none, or it was held on another deck.
    """
    if not entries or entries[0].get("step") != "begin":
        raise EveningError("This evening does not begin; start a new one.")
    if entries[0].get("deck") != deck.id:
        raise EveningError(f'This evening was held on the deck "{entries[0].get("deck")}"; open it with that deck.')
    evening = Evening(deck, all_points, keep)
    for entry in entries:
        evening.apply(entry)
    return evening
