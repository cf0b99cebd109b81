"""The deck to begin with is sound and shows one of everything."""

import tomllib
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from trainer.authoring.reading import read_deck, read_deck_bytes
from trainer.authoring.template import id_from, template


def test_template_is_sound_as_it_is() -> None:
    reading = read_deck_bytes(template().encode(), "new.toml")
    assert reading.problems == ()
    deck = reading.deck
    assert deck is not None
    assert {movement.called_on for movement in deck.movements} == {"halted", "right"}
    assert deck.grade_sheet is not None
    assert deck.grade_sheet.minors == tuple(movement.id for movement in deck.movements)
    assert deck.cautions
    assert deck.sources


def test_template_shows_a_fault_of_each_kind() -> None:
    deck = read_deck_bytes(template().encode(), "new.toml").deck
    assert deck is not None
    faults = [fault for movement in deck.movements for fault in movement.faults]
    changes = [change for fault in faults for change in fault.shows]
    assert {change.target for change in changes} == {"count", "word", "stance", "tempo"}
    assert any(change.drop for change in changes)
    assert any(change.later for change in changes)
    assert any(change.target == "count" and change.number is None for change in changes)
    assert {"beat", "say", "foot", "length"} <= {name for change in changes for name, _ in change.fields}
    assert any(fault.seen_by and not fault.shows for fault in faults)


def test_first_line_names_a_schema_that_is_there() -> None:
    first = template().partition("\n")[0]
    assert first.startswith("#:schema file:///")
    assert Path.from_uri(first.partition(" ")[2]).is_file() if hasattr(Path, "from_uri") else first.endswith(".json")


@given(st.text(st.characters(codec="utf-8"), min_size=1, max_size=40).filter(lambda title: title.strip()))
def test_any_title_can_be_written(title: str) -> None:
    reading = read_deck_bytes(template(title).encode(), "new.toml")
    too_many_marks = any("marks" in problem.message for problem in reading.problems)
    assert reading.deck is not None or too_many_marks
    assert id_from(title) == tomllib.loads(template(title))["deck"]["id"]


def test_a_template_is_a_deck(tmp_path: Path) -> None:
    path = tmp_path / "unit.toml"
    path.write_text(template('The "Pier" Watch'), "utf-8")
    deck = read_deck(path).deck
    assert deck is not None
    assert (deck.id, deck.title) == ("the-pier-watch", 'The "Pier" Watch')
