"""Cautions are asked for again when their text changes, and only then."""

from pathlib import Path

import pytest

from tests.screens.opened import ARMY, GUARD, NOW, someone
from trainer.authoring.shelf import open_deck
from trainer.coach.cautions import acknowledged, cautions_read
from trainer.paths import Home


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


def test_they_hold_for_their_wording_and_their_standard(home: Home) -> None:
    candidate = someone(home, deck=GUARD, cautions=False)
    guard, army = open_deck(GUARD, home), open_deck(ARMY, home)
    assert not cautions_read(candidate.log.events(), guard)
    candidate.set([acknowledged(guard)], NOW)
    candidate.set([acknowledged(army)], NOW)
    events = candidate.log.events()
    assert cautions_read(events, guard)
    assert cautions_read(events, army)
    assert cautions_read(events, guard._replace(title="Another title"))
    assert not cautions_read(events, guard._replace(cautions=(*guard.cautions, "Mind the step.")))
    assert not cautions_read(events, guard._replace(standard="another"))
