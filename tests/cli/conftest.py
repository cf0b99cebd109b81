"""A candidate of this laptop for the verbs."""

from datetime import date, timedelta
from pathlib import Path

import pytest

from trainer.coach.candidate import create, settings
from trainer.paths import Home
from trainer.records.clock import read_clock

ARMY = "us-army-individual-drill"


@pytest.fixture
def heron(tmp_path: Path) -> Path:
    """A home with one candidate, who has answered nothing yet."""
    test = date.today() + timedelta(days=12)
    create(Home(tmp_path), settings("Heron", ARMY, test, 10), read_clock()).close()
    return tmp_path
