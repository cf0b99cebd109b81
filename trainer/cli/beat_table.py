"""A deck and a movement in plain lines of 80 columns: what is said, which foot does what, where it ends."""

import textwrap
from collections.abc import Iterable, Iterator

from trainer.drill.deck import Deck
from trainer.drill.describe import describe_differences
from trainer.drill.faults import compare, flawed_score
from trainer.drill.footprints import footprints, totals
from trainer.drill.movement import Fault, Movement, Word, turn_words
from trainer.drill.score import Beat, Score
from trainer.drill.shown import tidy
from trainer.drill.unrolling import score
from trainer.plain import clip, columns, visible

WIDTH = 80


def deck_lines(deck: Deck) -> Iterator[str]:
    """Yield a deck: sources, cautions, grade sheet, movements."""
    yield from _wrapped(f"{deck.title} ({deck.id})")
    for source in deck.sources:
        yield from _wrapped(f"Source: {source}")
    for caution in deck.cautions:
        yield from _wrapped(f"Caution: {caution}")
    sheet = deck.grade_sheet
    if sheet is not None:
        rule = sheet.rule
        yield ""
        yield from _wrapped(
            f"Grade sheet: {rule.minors_to_pass} of {len(sheet.minors)} minors GO ({sheet.share}), each with "
            f"{rule.needed} of {rule.trials} trials right, and no major failed."
        )
        for major in sheet.majors:
            yield from _wrapped(f"Major {major.id}: {major.text}", "  ")
    for movement in deck.movements:
        yield ""
        yield from _wrapped(f"{movement.id}: {movement.name}")
        yield from _wrapped(_command(movement), "  ")
        yield from _source_lines(movement, "  ")


def movement_lines(
    deck: Deck, movement: Movement, from_stance: str | None = None, foot: str = "left", fault: Fault | None = None
) -> Iterator[str]:
    """Yield one performance of a movement; arguments as for `trainer.drill.shown.shown`.

    Raises:
        KeyError: if the movement does not start from that stance.
    """
    if fault is None:
        done = score(deck, movement, from_stance, foot)
    else:
        done = flawed_score(deck, movement, fault, from_stance, foot)
    yield from _wrapped(f"{movement.name} ({movement.id}), {deck.title}")
    yield from _wrapped(_command(movement))
    stances = [f"{name} (shown)" if name == done.from_stance else name for name in movement.from_stances]
    shown_from = ", ".join(stances) if len(stances) > 1 else done.from_stance
    yield from _wrapped(f"From: {shown_from}. To: {done.to}. Called on: {movement.called_on}.")
    yield from _source_lines(movement)
    for caution in deck.cautions:
        yield from _wrapped(f"Caution: {caution}")
    if fault is not None:
        yield from _fault_lines(deck, movement, fault, done.from_stance, foot)
    yield ""
    yield from _table(done, sword=bool(deck.sword))
    yield ""
    yield from _wrapped(_totals(deck, done))
    yield ""
    for number, count in enumerate(movement.counts, 1):
        yield from _wrapped(f"Count {number}, beat {count.beat:g}: {count.tell or '-'}")
    for one in movement.faults:
        seen = f" (seen by: {one.seen_by})" if one.seen_by else ""
        yield from _wrapped(f"Fault {one.id}: {one.tell}{seen}")


def _fault_lines(deck: Deck, movement: Movement, fault: Fault, stance: str, foot: str) -> Iterator[str]:
    yield from _wrapped(f"FAULT shown: {fault.tell} ({fault.id})")
    if not fault.shows:
        yield from _wrapped(f"It cannot be shown here; it is seen by the {fault.seen_by}.", "  ")
    for line in describe_differences(compare(deck, movement, fault, stance, foot).differences, deck.unit):
        yield from _wrapped(line, "  ")


def _wrapped(text: str, indent: str = "") -> list[str]:
    """Break a line at 80 columns; every text is made visible first, so that what counts is what shows."""
    return textwrap.wrap(
        visible(text), WIDTH, initial_indent=indent, subsequent_indent=f"{indent}  ", break_on_hyphens=False
    ) or [""]


def _command(movement: Movement) -> str:
    cued = f"Cued by: {movement.cued_by}" if movement.cued_by else ""
    called = "Command: " + ", ".join(_word(word) for word in movement.words) if movement.words else ""
    return ". ".join(part for part in (cued, called) if part)


def _word(word: Word) -> str:
    speaker = f" by the {word.speaker}" if word.speaker else ""
    return f"{word.say} (beat {word.beat:g}{speaker})"


def _source_lines(movement: Movement, indent: str = "") -> Iterator[str]:
    yield from _wrapped(f"Source: {movement.source or 'none given'}", indent)
    if movement.unconfirmed:
        yield from _wrapped(f"Unconfirmed: {movement.unconfirmed}", indent)


def _table(done: Score, *, sword: bool) -> Iterator[str]:
    widths = [5, 17, 6, 24, 13, 8] if sword else [5, 25, 6, 26, 14]
    names = ["beat", "said", "foot", "does", "arms l/r", "sword"]
    yield _cells(names[: len(widths)], widths)
    for beat in done.beats:
        said = [word.say for word in beat.said] + list(beat.cues)
        row = [
            f"{tidy(beat.beat)}",
            " / ".join(said),
            beat.strikes or "-",
            _does(beat),
            f"{beat.left_arm}/{beat.right_arm}",
            beat.sword or "-",
        ]
        yield _cells(row[: len(widths)], widths)


def _cells(row: Iterable[str], widths: list[int]) -> str:
    shown = [clip(visible(cell), width) for cell, width in zip(row, widths, strict=True)]
    padded = [text + " " * (width - columns(text)) for text, width in zip(shown, widths, strict=True)]
    padded[0] = shown[0].rjust(widths[0])
    return " ".join(padded).rstrip()


def _does(beat: Beat) -> str:
    """Say what the feet and the body do: place, length where there is one, manner, lift, turn."""
    place = beat.place or "-"
    act = next((act for act in beat.acts if act.place == beat.place), None)
    parts = [f"{place} {tidy(act.length):g}" if act and act.length else place]
    if act and act.contact:
        parts.append(act.contact)
    if act and act.lift:
        parts.append(f"lift {act.lift}")
    if beat.turn:
        parts.append(f"turn {turn_words(beat.turn)}")
    return ", ".join(parts)


def _totals(deck: Deck, done: Score) -> str:
    total = totals(done, footprints(deck, done))
    ground = [
        _way(round(total.y, 1), deck.unit, "forward", "back"),
        _way(round(total.x, 1), deck.unit, "to the right", "to the left"),
    ]
    covered = " and ".join(way for way in ground if way) or "none"
    turn = f"{turn_words(tidy(total.turn))}"
    # At the halt the next movement says its own foot.
    goes_on = deck.stance(done.to).moves and total.leads_next
    leads = f"; the {total.leads_next} foot leads next" if goes_on else ""
    cadences = list(dict.fromkeys(f"{tidy(beat.cadence):g}" for beat in done.beats))
    cadence = f"Cadence: {', then '.join(cadences)} a minute."
    return (
        f"{tidy(total.beats):g} beats. Turn: {turn}. Ground covered: {covered}. Ends in {total.ends}{leads}. {cadence}"
    )


def _way(length: float, unit: str, one: str, other: str) -> str:
    return f"{abs(length):g} {unit} {one if length > 0 else other}" if length else ""
