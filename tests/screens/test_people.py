"""Who is there: several candidates on one laptop."""

from pathlib import Path

import pytest

from tests.screens.opened import name_of, opened, sat, shown, someone
from trainer.coach.candidate import find_person
from trainer.coach.here import last_person
from trainer.paths import Home


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


async def test_the_start_asks_who_is_there(home: Home) -> None:
    someone(home, "Ash").close()
    someone(home, "Morgan", test_date=None).close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        text = shown(app)
        assert "Who is there?" in text
        assert "37 days to the test, Thursday 31 December 2026" in text
        assert "no test date" in text
        assert "Someone new" in text
        await pilot.press("home", "enter")
        await pilot.pause()
        assert "Ash" in shown(app)
        assert name_of(app) == "TodayScreen"
    assert last_person(home) == find_person(home, "Ash").id


async def test_one_candidate_is_not_asked_for(home: Home) -> None:
    someone(home, "Ash").close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert name_of(app) == "TodayScreen"


async def test_a_candidate_named_at_the_start_is_opened(home: Home) -> None:
    someone(home, "Ash").close()
    morgan = someone(home, "Morgan")
    morgan.close()
    app = opened(home, morgan.id)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Morgan" in shown(app)


async def test_changing_over_shows_the_others_numbers(home: Home) -> None:
    ash = someone(home, "Ash")
    sat(ash, 6, 0, hour=-1)
    ash.close()
    morgan = someone(home, "Morgan")
    morgan.close()
    app = opened(home, morgan.id)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        assert "Nothing practised yet today" in shown(app)
        await pilot.press("w", "home", "enter")
        await pilot.pause()
        assert "Practised today: 6 questions" in shown(app)
        await pilot.press("w", "escape")
        assert "Ash" in shown(app)
        await pilot.press("w", "q")
        await pilot.pause()
        assert name_of(app) == "TodayScreen", "q goes back from here as from everywhere"


async def test_someone_new_joins_and_may_turn_back(home: Home) -> None:
    someone(home, "Ash").close()
    someone(home, "Morgan").close()
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        await pilot.press("end", "enter")
        assert "Who are you?" in shown(app)
        await pilot.press("escape")
        await pilot.pause()
        assert "Who is there?" in shown(app)


async def test_a_record_that_cannot_be_read_is_told_and_the_others_stay(home: Home) -> None:
    someone(home, "Ash").close()
    broken = someone(home, "Morgan")
    broken.close()
    home.record(broken.id).write_bytes(b"")
    app = opened(home)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        # A path is long and broken where its row ends, so the rows are read as one.
        text = "".join(row.strip() for row in shown(app).splitlines())
        assert "Ash" in text
        assert "Morgan" not in text
        assert broken.id in text
