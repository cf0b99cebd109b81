"""The tables and rows of a deck file by their place: what each is called and which names it knows."""

from typing import NamedTuple

from pydantic import BaseModel

from trainer.authoring.places import Path
from trainer.authoring.written import (
    WrittenChange,
    WrittenCount,
    WrittenCue,
    WrittenCycleRow,
    WrittenDeck,
    WrittenFault,
    WrittenGradeSheet,
    WrittenHead,
    WrittenMajor,
    WrittenMovement,
    WrittenSole,
    WrittenStance,
    WrittenWord,
)

TOP = "top"


class Table(NamedTuple):
    """One kind of table: its model, what an author calls it, and how to move a name into it."""

    model: type[BaseModel]
    called: str
    move: str

    @property
    def names(self) -> dict[str, bool]:
        """The names it knows, as the file spells them, and whether each must be given."""
        return {field.alias or name: field.is_required() for name, field in self.model.model_fields.items()}


TABLES = {
    TOP: Table(WrittenDeck, "the file itself", "open it as a block of its own"),
    "counts": Table(WrittenCount, "a row of counts", "move it into that row"),
    "words": Table(WrittenWord, "a row of words", "move it into that row"),
    "cues": Table(WrittenCue, "a row of cues", "move it into that row"),
    "faults": Table(WrittenFault, "a row of faults", "move it into that row, outside its shows = [ … ]"),
    "shows": Table(WrittenChange, "a row of shows = [ … ] in a fault", "move it into that row"),
    "movement": Table(WrittenMovement, "the [[movement]]", "write it on a line of its own, above its counts"),
    "deck": Table(WrittenHead, "[deck]", "move it below the line [deck]"),
    "grade_sheet": Table(WrittenGradeSheet, "[grade_sheet]", "move it below the line [grade_sheet]"),
    "majors": Table(WrittenMajor, "a row of majors under [grade_sheet]", "move it into that row"),
    "stance": Table(WrittenStance, "a [stance.…]", "move it below the line that opens the stance"),
    "cycle": Table(WrittenCycleRow, "a row of a stance's cycle", "move it into that row"),
    "sole": Table(WrittenSole, "the sole = { … } of [deck]", "move it into that row"),
}


def kind_at(path: Path) -> str:
    """Return the kind of the table at a path of the data."""
    if len(path) == 2 and path[0] == "stance":
        return "stance"
    return next((step for step in reversed(path) if isinstance(step, str)), TOP)


def kinds_above(path: Path) -> list[str]:
    """Return the kinds of the tables around the one at a path, the nearest first; the file itself is left out."""
    found: list[str] = []
    for end in range(len(path) - 1, 0, -1):
        kind = kind_at(path[:end])
        if kind in TABLES and kind != kind_at(path) and kind not in found:
            found.append(kind)
    return found
