"""One evening of a study group: who sits there, whose turn it is, what everybody gave.

An evening is a fold over its steps. Each step is kept before it counts, so an evening that was interrupted by
anything goes on at the turn it stood at.
"""

from collections.abc import Callable, Iterable, Sequence

from trainer.coach.candidate import CandidateError, checked_handle
from trainer.drill.deck import Deck
from trainer.group.agreement import Eye, Kappa, eyes, kappa
from trainer.group.hands import FEWEST, MOST
from trainer.group.journal import Entry, EveningError
from trainer.group.turns import PLAYED, QUESTION, ROUNDS, Graded, Lot, Told, Turn, chance_of
from trainer.quiz.asking import Asker
from trainer.quiz.marking import Marked
from trainer.quiz.points import Point
from trainer.quiz.questions import REVERSE, Question

LEAST_PEOPLE, MOST_PEOPLE = 3, MOST
TURN, GRADED = "turn", "graded"
NEEDS = {"answer": TURN, "grade": TURN, "skip": TURN, "settle": GRADED}
"""What must be there before a step of the evening can be."""


class Evening:
    """The state of an evening; every method that changes it keeps the step first."""

    def __init__(self, deck: Deck, all_points: Sequence[Point], keep: Callable[[Entry], None]) -> None:
        self.deck, self._keep = deck, keep
        self._lot = Lot(deck, all_points)
        self.id, self.seed = "", 0
        self.kinds: tuple[str, ...] = ROUNDS
        self.places: list[str] = []
        self.present: list[str] = []
        self.turn: Turn | None = None
        self.told: Told | None = None
        self.graded: list[Graded] = []
        self.answers: list[tuple[str, Told]] = []
        self.handed: dict[str, str] = {}
        self.over = False
        self._turns = 0
        self._asker: Asker | None = None

    # ------------------------------------------------------------ steps

    def begin(self, evening_id: str, names: Sequence[str], seed: int, kinds: Iterable[str] = ROUNDS) -> None:
        """Begin with these people.

        Args:
            evening_id: a random name for the evening.
            names: who sits there, 3 to 8.
            seed: of the lot that decides turns, movements and faults.
            kinds: the rounds that are held.

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

    def answer(self, marked: Marked, ms: int, at_ms: int, offset: int) -> None:
        """Keep the performer's answer; it is told when the others have graded it."""
        told = Told(marked.marks, marked.choices, marked.kind, ms, at_ms, offset)
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
        known = next((one for one in self.places if one.casefold() == name.strip().casefold()), None)
        if known in self.present and known is not None:
            raise EveningError(f"{known} sits here already.")
        if known is None:
            known = checked_name(name)
            if len(self.places) >= MOST_PEOPLE:
                raise EveningError(f"There are keys for {MOST_PEOPLE} people, and all have an owner.")
        self._do({"step": "sit", "name": known})

    def rename(self, name: str, better: str) -> None:
        """Put a wrong name right, in everything so far.

        Raises:
            EveningError: where the name will not do or is taken.
        """
        new = checked_name(better)
        if any(one.casefold() == new.casefold() and one != name for one in self.places):
            raise EveningError(f"{new} is somebody else here already.")
        self._do({"step": "rename", "name": name, "better": new})

    def hand_over(self, name: str, record: str) -> None:
        """Keep that somebody's answers went to a record."""
        self._do({"step": "handed", "name": name, "record": record})

    def end(self) -> None:
        """End the evening."""
        self._do({"step": "end"})

    # ------------------------------------------------------------ the fold

    def _do(self, entry: Entry) -> None:
        """Keep a step and take it; one that cannot be taken now is not kept, for the file must always open again."""
        needs = NEEDS.get(str(entry["step"]))
        if (needs == TURN and self.turn is None) or (needs == GRADED and not self.graded):
            raise EveningError("That cannot be done at this point of the evening.")
        self._keep(entry)
        self.apply(entry)

    def apply(self, entry: Entry) -> None:
        """Take one step that is kept.

        Raises:
            EveningError: where it is none.
        """
        step = {
            "begin": self._begun,
            "turn": self._turned,
            "answer": self._answered,
            "grade": self._was_graded,
            "settle": self._settled,
            "skip": self._skipped,
            "leave": self._left,
            "sit": self._sat,
            "rename": self._renamed,
            "handed": self._handed_over,
            "end": self._ended,
        }.get(str(entry.get("step")))
        try:
            if step is None:
                raise KeyError(str(entry.get("step")))
            step(entry)
        except (KeyError, TypeError, ValueError, IndexError) as error:
            raise EveningError("This evening holds a step that cannot be read; start a new one.") from error

    def _begun(self, entry: Entry) -> None:
        self.id, self.seed = str(entry["id"]), int(entry["seed"])
        self.kinds = tuple(str(kind) for kind in entry["kinds"])
        self.places = [str(name) for name in entry["names"]]
        self.present = list(self.places)

    def _turned(self, entry: Entry) -> None:
        self.turn = Turn(
            int(entry["number"]),
            str(entry["kind"]),
            str(entry["performer"]),
            str(entry["measure"]),
            str(entry["fault"]),
            str(entry["point"]),
        )
        self.deck.movement(self.turn.measure)
        self._turns, self.told = self.turn.number, None

    def _answered(self, entry: Entry) -> None:
        marks = tuple((str(point), bool(right)) for point, right in entry["marks"])
        numbers = [int(entry[name]) for name in ("choices", "ms", "at_ms", "offset")]
        self.told = Told(marks, numbers[0], str(entry["kind"]), numbers[1], numbers[2], numbers[3])

    def _was_graded(self, entry: Entry) -> None:
        if self.turn is None:
            raise ValueError("no turn")
        gave = {str(name): bool(go) for name, go in dict(entry["gave"]).items()}
        truth: bool | None = None
        if self.turn.kind == PLAYED:
            truth = not self.turn.fault
        elif self.turn.kind == QUESTION and self.told is not None:
            truth = all(right for _, right in self.told.marks)
            self.answers.append((self.turn.performer, self.told))
        known = (self.turn.fault,) if self.turn.fault else ()
        self.graded.append(Graded(self.turn, gave, truth, known))
        self.turn, self.told = None, None

    def _settled(self, entry: Entry) -> None:
        self.graded[-1] = self.graded[-1]._replace(faults=tuple(str(fault) for fault in entry["faults"]))

    def _skipped(self, entry: Entry) -> None:  # noqa: ARG002
        self.turn, self.told = None, None

    def _left(self, entry: Entry) -> None:
        self.present.remove(str(entry["name"]))
        if self.turn is not None and self.turn.performer == entry["name"]:
            self.turn, self.told = None, None

    def _sat(self, entry: Entry) -> None:
        name = str(entry["name"])
        if name not in self.places:
            self.places.append(name)
        self.present = [one for one in self.places if one in self.present or one == name]

    def _renamed(self, entry: Entry) -> None:
        old, new = str(entry["name"]), str(entry["better"])

        def put(name: str) -> str:
            return new if name == old else name

        self.places = [put(name) for name in self.places]
        self.present = [put(name) for name in self.present]
        self.answers = [(put(name), told) for name, told in self.answers]
        self.handed = {put(name): record for name, record in self.handed.items()}
        if self.turn is not None:
            self.turn = self.turn._replace(performer=put(self.turn.performer))
        self.graded = [
            one._replace(
                gave={put(name): go for name, go in one.gave.items()},
                turn=one.turn._replace(performer=put(one.turn.performer)),
            )
            for one in self.graded
        ]

    def _handed_over(self, entry: Entry) -> None:
        self.handed[str(entry["name"])] = str(entry["record"])

    def _ended(self, entry: Entry) -> None:  # noqa: ARG002
        self.over, self.turn, self.told = True, None, None

    # ------------------------------------------------------------ what is shown

    @property
    def graders(self) -> tuple[str, ...]:
        """Who grades the turn that waits: everybody present but its performer."""
        performer = self.turn.performer if self.turn else ""
        return tuple(name for name in self.present if name != performer)

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

    def eyes(self) -> dict[str, Eye]:
        """Return the eye of each grader against the known truth."""
        known = [(one.right, one.gave) for one in self.graded if one.right is not None]
        return eyes(known)

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


def checked_name(name: str) -> str:
    """Return a name that can be shown.

    Raises:
        EveningError: with a sentence that says why it cannot.
    """
    try:
        return checked_handle(name)
    except CandidateError as error:
        raise EveningError(str(error)) from error


def checked_names(names: Sequence[str]) -> list[str]:
    """Return the names of those who sit down.

    Raises:
        EveningError: with a sentence that says what is wrong with them.
    """
    checked = [checked_name(name) for name in names]
    twice = [name for place, name in enumerate(checked) if name.casefold() in {o.casefold() for o in checked[:place]}]
    if twice:
        raise EveningError(f"Two people are called {twice[0]}: tell them apart, for instance by a letter more.")
    if not LEAST_PEOPLE <= len(checked) <= MOST_PEOPLE:
        raise EveningError(f"A group is {LEAST_PEOPLE} to {MOST_PEOPLE} people, not {len(checked)}.")
    return checked
