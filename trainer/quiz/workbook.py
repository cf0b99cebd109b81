"""What questions about a deck are made from, read once: deeds, scores, likeness, names, explanations."""

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from random import Random

from trainer.drill.deck import Deck
from trainer.drill.movement import LEFT, OTHER, RIGHT, SAME, Change, Fault, Movement, Word, other_foot
from trainer.drill.score import Score
from trainer.drill.similar import Likeness
from trainer.quiz.facts import EITHER, HALTED, TOGETHER, count_feet, scores, starts, word_foot
from trainer.quiz.points import Point, points, test_order
from trainer.quiz.questions import CHOICE, Question
from trainer.quiz.truth import Seen, false_of, seen
from trainer.quiz.typed import letters
from trainer.quiz.wording import Deed, beat_name, called_by, count_name, deed_of, describe, listed, quoted, without_word

MOST_CHOICES = 4
NEAREST = 5
"""Wrong choices are drawn from this many likest ones, so that a question differs from time to time."""
MOST_OUTLINED = 6
"""An outline tells at most this many counts."""


def plain(text: str) -> str:
    """Return prose in a form in which the same words are the same text."""
    return letters(text) or " ".join(text.casefold().split())


class Workbook:
    """A deck with everything that its questions share."""

    def __init__(self, deck: Deck) -> None:
        self.deck = deck
        self.points = points(deck)
        self.movements = test_order(deck)
        self.likeness = Likeness(deck)
        self._by_id = {movement.id: movement for movement in deck.movements}
        self._deeds: dict[str, tuple[Deed, ...]] = {}
        self._views: dict[tuple[str, float], tuple[Seen, ...]] = {}
        self.effects: dict[tuple[str, tuple[Change, ...]], frozenset[tuple[float, str, str]] | None] = {}
        self.unrolled: dict[str, Score] = {}
        self.told_alike: dict[str, list[Fault]] = {}
        for movement in deck.movements:
            for fault in movement.faults:
                self.told_alike.setdefault(plain(fault.tell), []).append(fault)
        self._played: dict[str, tuple[Score, ...]] = {}
        self._titles = _titles(deck)
        self._of_movement: dict[tuple[str, str], tuple[Point, ...]] = {}
        for point in self.points:
            key = (point.movement, point.family)
            self._of_movement[key] = (*self._of_movement.get(key, ()), point)

    def movement(self, point: Point) -> Movement:
        """Return the movement that a point belongs to."""
        return self._by_id[point.movement]

    def family(self, movement: str, family: str) -> tuple[Point, ...]:
        """Return the points of one family of a movement."""
        return self._of_movement.get((movement, family), ())

    def others(self, movement: Movement) -> list[Movement]:
        """Return all other movements, the likest first."""
        return [self._by_id[other] for other in self.likeness.order(movement.id)]

    def deeds(self, movement: Movement) -> tuple[Deed, ...]:
        """Return what each count of a movement states."""
        if movement.id not in self._deeds:
            feet = count_feet(self.deck, movement)
            self._deeds[movement.id] = tuple(
                deed_of(count, foot)._replace(called=called_by(movement))
                for count, foot in zip(movement.counts, feet, strict=True)
            )
        return self._deeds[movement.id]

    def views(self, movement: Movement, beat: float) -> tuple[Seen, ...]:
        """Return what is so on a beat of a movement, in every performance of it."""
        key = (movement.id, beat)
        if key not in self._views:
            self._views[key] = seen(self.deck, movement, beat)
        return self._views[key]

    def played(self, movement: Movement) -> tuple[Score, ...]:
        """Return every way of performing a movement rightly."""
        if movement.id not in self._played:
            self._played[movement.id] = tuple(one for _, one in scores(self.deck, movement))
        return self._played[movement.id]

    def title(self, movement: Movement) -> str:
        """Return a movement's name, with what tells it from others of the same name."""
        return self._titles[movement.id]

    def namesakes(self, movement: Movement) -> list[Movement]:
        """Return a movement and all that share its name or its command, and those that share one with these."""
        names = _calls(movement)
        while True:
            found = [other for other in self.movements if _calls(other) & names]
            wider = names.union(*map(_calls, found))
            if wider == names:
                return found
            names = wider

    def gives_away(self, movement: Movement) -> bool:
        """Whether the name of a movement tells its command."""
        name, command = letters(movement.name), letters(movement.command)
        words = [letters(word.say) for word in movement.call if not word.executes]
        return not command or command in name or bool(words and all(word in name for word in words))

    def outline(self, movement: Movement, foot: bool) -> str:
        """Return what a movement does without its name and words, with the foot it is called on if asked."""
        deeds = map(without_word, self.deeds(movement)[:MOST_OUTLINED])
        parts = [f"{number}. {describe(deed)}" for number, deed in enumerate(deeds, 1)]
        if len(movement.counts) > MOST_OUTLINED:
            parts.append("and so on")
        called = f", called on the {movement.called_on} foot" if foot else ""
        return f"From {listed(movement.from_stances)}{called}: {'; '.join(parts)}. It ends in {movement.to}."

    def outline_false(self, movement: Movement, other: Movement, foot: bool) -> bool:
        """Whether the outline of a movement is false of another one."""
        if movement.to != other.to or not set(movement.from_stances) & set(other.from_stances):
            return True
        if foot and {movement.called_on, other.called_on} == {LEFT, RIGHT}:
            return True
        rows = zip(movement.counts[:MOST_OUTLINED], self.deeds(movement), strict=False)
        return any(false_of(deed, self.views(other, count.beat)) for count, deed in rows)

    def translated(self, deed: Deed, of: Movement, to: Movement) -> Deed | None:
        """Return a deed with its foot said as another movement says feet, None where that cannot be."""
        deed = deed._replace(called=called_by(to))
        if deed.foot not in (LEFT, RIGHT, SAME, OTHER):
            return deed
        relative = any(own.foot in (SAME, OTHER) for own in self.deeds(to))
        if relative == (deed.foot in (SAME, OTHER)):
            return deed
        zeros = {start.at_zero for start in starts(self.deck, of if relative else to)}
        zero = zeros.pop() if len(zeros) == 1 else None
        if zero not in (LEFT, RIGHT):
            return None
        if relative:
            return deed._replace(foot=SAME if deed.foot == zero else OTHER)
        return deed._replace(foot=zero if deed.foot == SAME else other_foot(zero))

    def words_why(self, movement: Movement) -> str:
        """Return the command, or the cues, with beats and feet."""
        said = ", ".join(self._said(movement, word) for word in movement.call)
        cued = ", ".join(f"{cue.sound} ({beat_name(cue.beat)})" for cue in movement.cues)
        told = [part for part in (said, f"{movement.cued_by}: {cued}" if movement.cued_by else "") if part]
        where = f"called {_on(movement)}"
        if movement.called_on != HALTED:
            where = f"{'the first cue' if movement.cued_by else 'the word of execution'} {_on(movement)}"
        return self.note(movement, f"{self.title(movement)}: {'; '.join(told)}; {where}.")

    @staticmethod
    def called(movement: Movement) -> str:
        """Return how a movement is called, such as `called on the left foot`."""
        return f"{'cued' if movement.cued_by else 'called'} {_on(movement)}"

    def _said(self, movement: Movement, word: Word) -> str:
        foot = word_foot(self.deck, movement, word.beat, word.executes)
        return f"{quoted(word)} {foot}" if foot in (LEFT, RIGHT) else quoted(word)

    def count_why(self, movement: Movement, number: int) -> str:
        """Return what happens on a count, in the facts and in the author's words."""
        count = movement.counts[number - 1]
        name = count_name(movement, number)
        told = f" {count.tell}" if count.tell else ""
        return self.note(
            movement, f"{self.title(movement)}, {name}: {describe(self.deeds(movement)[number - 1])}.{told}"
        )

    @staticmethod
    def note(movement: Movement, why: str) -> str:
        """Add to an explanation what the author could not confirm."""
        return f"{why} Not confirmed: {movement.unconfirmed}" if movement.unconfirmed else why

    def choice(
        self,
        kind: str,
        point: Point,
        prompt: str,
        right: str,
        wrong: Iterable[str],
        rng: Random,
        why: str,
        source: str = "",
        focus: tuple[float, ...] = (),
        reveals: tuple[str, ...] = (),
        always: tuple[str, ...] = (),
        notes: Mapping[str, str] | None = None,
    ) -> Question | None:
        """Return a question with the right choice among wrong ones, None if there is no wrong one.

        Args:
            kind: the kind of question.
            point: the point it marks.
            prompt: the question.
            right: the right choice.
            wrong: wrong choices, the most easily confused first; those that read like the right one or like
                one before them are left out.
            rng: decides which of the nearest are taken, and the order.
            why: the reason.
            source: where the standard says so.
            focus: the beats that it speaks of.
            reveals: what may be shown beside it.
            always: a wrong choice, if any, that is offered whatever the draw.
            notes: what to say to who takes a wrong choice, by its text; read after `wrong` is.
        """
        nearest: dict[str, str] = {}
        for text in wrong:
            key = same_text(text)
            if key != same_text(right):
                nearest.setdefault(key, text)
            if len(nearest) >= NEAREST:
                break
        if not nearest and not always:
            return None
        kept = {same_text(text): text for text in always if same_text(text) != same_text(right)}
        taken = [text for key, text in nearest.items() if key not in kept]
        taken = rng.sample(taken, min(len(taken), MOST_CHOICES - 1 - len(kept)))
        taken += kept.values()
        choices = [right, *taken]
        rng.shuffle(choices)
        return Question(
            kind,
            prompt,
            CHOICE,
            tuple(choices),
            (point.id,),
            choices.index(right),
            why,
            source,
            point.movement,
            focus,
            reveals,
            notes=tuple("" if text == right else (notes or {}).get(text, "") for text in choices),
        )

    def in_order(self, question: Question | None, natural: Iterable[str]) -> Question | None:
        """Put the choices of a question into their natural order, such as that of counts or numbers."""
        if question is None or not isinstance(question.answer, int):
            return None
        right = question.choices[question.answer]
        choices = tuple(text for text in natural if text in question.choices)
        told = dict(zip(question.choices, question.notes, strict=True))
        notes = tuple(told[text] for text in choices)
        return question._replace(choices=choices, answer=choices.index(right), notes=notes)


def _on(movement: Movement) -> str:
    return {HALTED: "at the halt", EITHER: "on either foot", TOGETHER: "as the heels come together"}.get(
        movement.called_on, f"on the {movement.called_on} foot"
    )


def _calls(movement: Movement) -> frozenset[str]:
    """Return what a movement may be called in speech: its name and its command."""
    return frozenset(plain(text) for text in (movement.name, movement.command) if text)


def _titles(deck: Deck) -> dict[str, str]:
    """Return for each movement its name; with its stances, else its id, where that is not its alone."""
    titles = {movement.id: movement.name for movement in deck.movements}
    fuller: tuple[Callable[[Movement], str], ...] = (
        lambda movement: f"{movement.name} (from {listed(movement.from_stances)})",
        lambda movement: f"{movement.name} ({movement.id})",
    )
    for fuller_title in fuller:
        taken = Counter(same_text(title) for title in titles.values())
        for movement in deck.movements:
            if taken[same_text(titles[movement.id])] > 1:
                titles[movement.id] = fuller_title(movement)
    return titles


def same_text(text: str) -> str:
    """Return a text in which only case and spacing are forgiven."""
    return " ".join(text.casefold().split())


Maker = Callable[[Workbook, Point, Random], Question | None]
"""Makes a question of one kind about a point, None where that kind does not fit the point."""
