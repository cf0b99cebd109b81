"""What an evening is after its steps: a fold, so that the file of an evening always makes the same state."""

from trainer.drill.deck import Deck
from trainer.group.hands import KEYBOARDS, USUAL
from trainer.group.journal import Entry, EveningError
from trainer.group.turns import PLAYED, QUESTION, ROUNDS, Graded, Told, Turn


class Fold:
    """The state of an evening, changed by its steps alone.

    Attributes:
        deck: the deck that it is held on.
        places: everybody who ever sat down, in that order; `present` are those who sit here now.
        turn: the turn that waits, None where none was drawn; `told` its performer's answer, once given.
        graded: the turns that were graded.
        answers: who gave which answer in graded turns.
        handed: where somebody's answers went, a record or a packet; empty for nowhere.
    """

    def __init__(self, deck: Deck) -> None:
        self.deck = deck
        self.id, self.seed = "", 0
        self.kinds: tuple[str, ...] = ROUNDS
        self.keyboard = USUAL
        self.places: list[str] = []
        self.present: list[str] = []
        self.turn: Turn | None = None
        self.told: Told | None = None
        self.graded: list[Graded] = []
        self.answers: list[tuple[str, Told]] = []
        self.handed: dict[str, str] = {}
        self.over = False
        self._turns = 0

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
            "keyboard": self._laid_out,
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
        self._laid_out({"keyboard": USUAL, **entry})
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
        words = [str(entry.get(name, "")) for name in ("said", "asked", "correct")]
        self.told = Told(marks, numbers[0], str(entry["kind"]), numbers[1], numbers[2], numbers[3], *words)

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
        self.graded.append(Graded(self.turn, gave, truth, known, self.told))
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

    def _laid_out(self, entry: Entry) -> None:
        if entry["keyboard"] not in KEYBOARDS:
            raise ValueError("no such keyboard")
        self.keyboard = str(entry["keyboard"])

    def _handed_over(self, entry: Entry) -> None:
        self.handed[str(entry["name"])] = str(entry["record"])

    def _ended(self, entry: Entry) -> None:  # noqa: ARG002
        self.over, self.turn, self.told = True, None, None
