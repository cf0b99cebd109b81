"""The strip: everything on its beat, left and right unlike without colour, nothing given away that is hidden."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.screens.conftest import read_deck
from trainer.drill.deck import Deck
from trainer.drill.faults import compare
from trainer.drill.gait import full_step
from trainer.drill.movement import PIVOT, STAYS, STRIKING_PLACES
from trainer.drill.unrolling import score, starts
from trainer.paths import shipped_decks
from trainer.plain import columns
from trainer.screens.widgets.axis import LABEL, lay_axis
from trainer.screens.widgets.glyphs import ARROWS, GLYPHS, arrow, glyph
from trainer.screens.widgets.parts import BODY, LEFT_FOOT, RIGHT_FOOT, VOICE
from trainer.screens.widgets.spans import WRONG, row_text
from trainer.screens.widgets.strip import BELOW, Hidden, draw_strip, legend

MOVEMENTS = (
    "right-flank",
    "to-the-rear",
    "change-step",
    "halt",
    "forward",
    "tap-halt",
    "side-halt",
    "right-face",
)


def texts(deck: Deck, movement: str, pointer: float | None = 0.0, width: int = 78, **options: object) -> list[str]:
    shown = score(deck, deck.movement(movement))
    rows = draw_strip(shown, pointer, width, full=full_step(deck), unit=deck.unit, **options)  # type: ignore[arg-type]
    return [row_text(row) for row in rows]


def row_of(rows: list[str], label: str) -> str:
    return next(row for row in rows if row.startswith(label))


def test_every_place_has_its_own_sign_and_so_has_every_foot() -> None:
    assert set(GLYPHS) == {*STRIKING_PLACES, PIVOT, STAYS}
    signs = [sign for pair in GLYPHS.values() for sign in pair]
    assert len(set(signs)) == len(signs)
    assert all(columns(sign) == 1 for sign in (*signs, *ARROWS))


@pytest.mark.parametrize(("heading", "sign"), [(0, "↑"), (90, "→"), (180, "↓"), (270, "←"), (-90, "←"), (45, "↗")])
def test_headings_turn_clockwise(heading: float, sign: str) -> None:
    assert arrow(heading) == sign


@pytest.mark.parametrize("movement", MOVEMENTS)
@pytest.mark.parametrize("width", [20, 40, 60, 78, 118])
def test_every_row_is_exactly_as_wide_as_asked(deck: Deck, movement: str, width: int) -> None:
    for pointer in (None, *(beat.beat for beat in score(deck, deck.movement(movement)).beats)):
        assert {columns(row) for row in texts(deck, movement, pointer, width)} == {width}


@pytest.mark.parametrize("movement", MOVEMENTS)
def test_every_footfall_stands_on_its_beat(deck: Deck, movement: str) -> None:
    shown = score(deck, deck.movement(movement))
    rows, axis = texts(deck, movement, 0.0, 118), lay_axis(shown, 118, 0.0)
    for beat in shown.beats:
        for act in beat.acts:
            for foot in ("left", "right") if act.foot == "both" else (act.foot,):
                assert row_of(rows, f"{foot} foot")[axis.column(beat.beat)] == glyph(act.place, foot)


@pytest.mark.parametrize("movement", MOVEMENTS)
def test_every_word_of_the_call_starts_on_its_beat(deck: Deck, movement: str) -> None:
    shown = score(deck, deck.movement(movement))
    for width in (60, 78, 118):
        axis, rows = lay_axis(shown, width, 0.0), texts(deck, movement, 0.0, width)
        for word in deck.movement(movement).call:
            if axis.shows(word.beat):
                assert any(row[axis.column(word.beat) :].startswith(word.say) for row in rows), (word, width)


def test_the_pointer_moves_and_the_strip_stands_still(deck: Deck) -> None:
    before, after = (texts(deck, "right-flank", pointer) for pointer in (1.0, 2.0))
    axis = lay_axis(score(deck, deck.movement("right-flank")), 78, 1.0)
    here, there = axis.column(1.0), axis.column(2.0)
    assert before[0].index("▼") == here
    assert after[0].index("▼") == there
    for one, other in zip(before, after, strict=True):
        differ = {n for n in range(78) if one[n] != other[n]}
        assert differ <= {here, there}


def test_a_score_that_is_too_wide_is_shown_in_pages_that_hold_the_pointer(deck: Deck) -> None:
    shown = score(deck, deck.movement("to-the-rear"))
    pages = set()
    for beat in shown.beats:
        axis = lay_axis(shown, 60, beat.beat)
        assert axis.shows(beat.beat)
        assert axis.column(axis.last) < 60
        pages.add(axis)
    assert 1 < len(pages) < len(shown.beats) / 2
    assert "›" in texts(deck, "to-the-rear", -7.0, 60)[0]
    assert "‹" in texts(deck, "to-the-rear", 4.0, 60)[0]


def test_what_is_held_is_named_on_every_page(deck: Deck) -> None:
    assert row_of(texts(deck, "to-the-rear", 1.0, 60), "arms")[LABEL:].startswith("swing")


def test_half_beats_stand_between_and_counts_are_numbered(deck: Deck) -> None:
    rows, axis = texts(deck, "change-step"), lay_axis(score(deck, deck.movement("change-step")), 78, 0.0)
    assert axis.column(1.0) < axis.column(1.5) < axis.column(2.0)
    assert row_of(rows, "beat")[axis.column(1.5)] == "½"
    assert [row_of(rows, "count")[axis.column(beat)] for beat in (1.0, 1.5, 2.0)] == ["1", "2", "3"]


def test_counts_that_are_the_beats_take_no_row(deck: Deck) -> None:
    assert not any(row.startswith("count") for row in texts(deck, "right-flank"))


def test_a_hidden_foot_is_hidden_on_every_beat_alike(deck: Deck) -> None:
    rows = texts(deck, "right-flank", hide=[Hidden(LEFT_FOOT), Hidden(RIGHT_FOOT)])
    for label in (LEFT_FOOT, RIGHT_FOOT):
        row = row_of(rows, label)[LABEL:]
        assert set(row) <= set("?─┼╂ ")
        assert row.count("?") == 8


def test_a_hidden_beat_gives_nothing_away(deck: Deck) -> None:
    """Two performances that differ only on one beat look the same when that beat is hidden."""
    movement = deck.movement("right-flank")
    found = compare(deck, movement, movement.faults[2])
    assert {one.beat for one in found.differences} == {1.0}
    right, flawed = (
        [row_text(row) for row in draw_strip(shown, None, 78, hide=[Hidden(None, 1.0)])]
        for shown in (found.right, found.flawed)
    )
    assert right == flawed
    assert right != [row_text(row) for row in draw_strip(found.right, None, 78)]


def test_a_hidden_half_beat_is_not_betrayed_by_its_number(deck: Deck) -> None:
    rows = texts(deck, "change-step", hide=[Hidden(None, 1.5)])
    assert "½" not in row_of(rows, "beat")
    assert not set(GLYPHS["toe to heel"]) & set("".join(rows))


def test_hidden_words_are_hidden_in_every_row_of_the_voice(deck: Deck) -> None:
    rows = texts(deck, "to-the-rear", hide=[Hidden(VOICE)])
    assert not any("rear" in row or "MARCH" in row for row in rows)


def test_a_fault_is_marked_by_a_sign_on_its_beats(deck: Deck) -> None:
    rows = texts(deck, "right-flank", 0.0, differ=[(BODY, 1.0), (BODY, 2.0)])
    axis = lay_axis(score(deck, deck.movement("right-flank")), 78, 0.0)
    assert rows[0].startswith("fault")
    assert [n for n, char in enumerate(rows[0]) if char == "!"] == [axis.column(1.0) + 1, axis.column(2.0) + 1]


def test_the_legend_names_every_sign_that_a_strip_draws() -> None:
    told = legend()
    assert ("┳ ╦", "T") in told
    assert {sign for pair in GLYPHS.values() for sign in pair} <= {sign for signs, _ in told for sign in signs.split()}


@pytest.mark.parametrize("width", [78, 118])
@pytest.mark.parametrize("path", sorted(shipped_decks().glob("*.toml")), ids=lambda path: path.stem)
def test_no_word_of_a_shipped_deck_is_cut(path: Path, width: int) -> None:
    """A word without room stands in the row below, whole, and a sign in its place says so."""
    deck, below = read_deck(path), 0
    for movement in deck.movements:
        for stance, foot in starts(deck, movement):
            shown = score(deck, movement, stance, foot)
            for beat in shown.beats[::4]:
                rows = [row_text(row) for row in draw_strip(shown, beat.beat, width, unit=deck.unit)]
                assert not [row for row in rows if "…" in row], movement.id
                below += sum(row.count(BELOW) for row in rows)
    assert bool(below) == (deck.id == "harbour-guard-marching")


@given(say=st.text(st.sampled_from("ab 礼步[]/"), min_size=1, max_size=20), width=st.integers(20, 120))
def test_wide_words_and_markup_never_shift_a_column(say: str, width: int) -> None:
    from tests.screens.conftest import HERE, read_deck

    deck = read_deck(HERE / "quay_guard.toml")
    movement = deck.movement("right-flank")
    words = tuple(word._replace(say=say) for word in movement.words)
    shown = score(deck, movement._replace(words=words))
    assert {columns(row_text(row)) for row in draw_strip(shown, 0.0, width)} == {width}


def test_what_is_held_wrongly_is_marked_on_its_beat_even_if_nothing_changes_there(deck: Deck) -> None:
    movement = deck.movement("right-flank")
    found = compare(deck, movement, movement.faults[0])
    beats = {one.beat for one in found.differences}
    assert beats == {2.0}, "arms that swing on for one beat: there they begin nothing new"
    differ = [(one.part, one.beat) for one in found.differences]
    rows = draw_strip(found.flawed, 0.0, 100, differ=differ)
    arms = [row for row in rows if row_text(row).startswith(("arms", "left arm", "right arm"))]
    column = lay_axis(found.flawed, 100, 0.0).column(2.0)
    for row in arms:
        assert row_text(row)[column:].startswith("swing")
        assert any(span.role == WRONG and span.text == "swing" for span in row)
