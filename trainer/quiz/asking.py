"""A question made from a point, in one of the ways in which it can be asked."""

from collections.abc import Iterable, Mapping
from random import Random

from trainer.drill.deck import Deck
from trainer.quiz import about_counts, about_faults, about_feet, about_sheet, about_words
from trainer.quiz.points import COUNTS, CUES, FEET, FROM, SHEET, WORDS, Point
from trainer.quiz.questions import Question
from trainer.quiz.workbook import Maker, Workbook


class Asker:
    """Makes questions about one deck."""

    def __init__(self, deck: Deck) -> None:
        self.book = Workbook(deck)
        self._points = {point.id: point for point in self.book.points}
        self._kinds: dict[str, tuple[str, ...]] = {}

    def kinds(self, point_id: str) -> tuple[str, ...]:
        """Return the kinds in which a point can be asked.

        Raises:
            KeyError: if the deck has no such point.
        """
        if point_id not in self._kinds:
            point = self._points[point_id]
            makers = _makers(point).items()
            self._kinds[point_id] = tuple(kind for kind, make in makers if make(self.book, point, Random(0)))
        return self._kinds[point_id]

    def ask(self, point_id: str, rng: Random, kind: str | None = None, avoid: Iterable[str] = ()) -> Question:
        """Return a question that marks a point.

        Args:
            point_id: the point.
            rng: decides the kind, the wrong choices and their order.
            kind: the kind of question; any that the point can be asked in if None.
            avoid: kinds that are not wanted, such as those asked last, unless there is no other.

        Raises:
            KeyError: if the deck has no such point.
            ValueError: if the point cannot be asked in that kind.
        """
        kinds = self.kinds(point_id)
        if kind is None:
            unwanted = set(avoid)
            kind = rng.choice([one for one in kinds if one not in unwanted] or list(kinds))
        if kind not in kinds:
            raise ValueError(f"'{point_id}' cannot be asked as '{kind}'")
        point = self._points[point_id]
        question = _makers(point)[kind](self.book, point, rng)
        if question is None:
            raise ValueError(f"'{point_id}' cannot be asked as '{kind}'")
        return question


def _makers(point: Point) -> Mapping[str, Maker]:
    if point.movement == SHEET:
        return about_sheet.COUNT_MAKERS[point.place] if point.family == COUNTS else about_sheet.MAJOR_MAKERS
    if point.family == WORDS:
        return {CUES: about_words.CUE_MAKERS, FROM: about_words.FROM_MAKERS}.get(
            point.place, about_words.COMMAND_MAKERS
        )
    return {FEET: about_feet.MAKERS, COUNTS: about_counts.MAKERS}.get(point.family, about_faults.MAKERS)
