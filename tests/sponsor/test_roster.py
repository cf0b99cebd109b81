"""The roster: every candidate's row, kept and read anew; who needs what, who should go, what the group fails."""

import json
import stat
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.coach.sitting import GUARD, START, later
from tests.sponsor.unit import DAY, NOW, answers, member, run
from trainer.authoring.shelf import open_deck
from trainer.coach.candidate import CandidateError, open_candidate
from trainer.coach.forgetting import forget
from trainer.coach.standing import open_standing
from trainer.drill.deck import Deck
from trainer.memory.readiness import Chance
from trainer.paths import Home
from trainer.records.clock import Moment
from trainer.records.drafts import broken_off, tasking
from trainer.sponsor.advice import (
    COULD,
    GO,
    LATER,
    UNKNOWN,
    WAIT,
    advice,
    by_need,
    checked_chance,
    decided_now,
    retest_day,
    retest_words,
    week_lines,
)
from trainer.sponsor.cohort import cohort, cohort_lines, period_words
from trainer.sponsor.kept_rows import FILE, read_fully, rows
from trainer.sponsor.roster import Row
from trainer.sponsor.told import past_words, plain_row

OFFSET = START.offset


@pytest.fixture
def home(tmp_path: Path) -> Home:
    return Home(tmp_path / "home")


@pytest.fixture
def deck(home: Home) -> Deck:
    return open_deck(GUARD, home)


@pytest.fixture
def unit(home: Home) -> dict[str, str]:
    halt = open_deck(GUARD, home).movement("halt")
    fault = halt.faults[0].id
    return {
        "Ash": member(home, "Ash", DAY + timedelta(days=3), answers(1, 60), run("a", go=False, faults=(fault,))),
        "Birch": member(home, "Birch", DAY + timedelta(days=20), answers(2, 40)),
        "Cedar": member(home, "Cedar", None),
    }


def by_handle(home: Home, moment: Moment = NOW) -> dict[str, Row]:
    return {row.handle: row for row in rows(home, moment, processes=1)}


def test_a_row_says_what_the_record_says(home: Home, unit: dict[str, str]) -> None:
    row = by_handle(home)["Ash"]
    assert (row.id, row.deck, row.days, row.test_date) == (unit["Ash"], GUARD, 3, date(2026, 12, 7))
    assert row.asked > 20
    assert row.last_session == date(2026, 12, 2)
    assert row.last_run == date(2026, 12, 3)
    assert [one.go for one in row.graded] == [False]
    assert not row.assumed
    assert row.retest_hours == 48
    assert row.no_test_before == later(days=9 + 2).at_ms, "48 hours after the run"
    halt = next(one for one in row.movements if one.id == "halt")
    assert (halt.go, halt.nogo) == (3, 1)
    assert sum(one.seen for one in row.faults) == 1
    assert row.weakest[0].go == min(one.go for one in row.measures)


def test_the_forecast_is_the_one_that_the_candidate_sees(home: Home, unit: dict[str, str]) -> None:
    """Read by all models, at the hour that the row is read for."""
    row = read_fully(home, unit["Ash"], NOW)
    candidate = open_candidate(home, unit["Ash"])
    nine = Moment(NOW.at_ms - 3_600_000, OFFSET)
    outlook = open_standing(candidate, open_deck(GUARD, home), nine).outlook(candidate, nine)
    candidate.close()
    assert not row.quick
    assert row.chance == outlook.chance
    assert row.measures == outlook.measures


def test_what_is_kept_equals_what_is_read_anew(home: Home, unit: dict[str, str]) -> None:
    first = rows(home, NOW, processes=1)
    told: list[tuple[int, int]] = []
    assert rows(home, NOW, lambda *one: told.append(one)) == first
    assert not told, "nothing was read anew"
    for one in unit.values():
        (home.standings(one) / FILE).unlink()
    assert rows(home, later(NOW, seconds=7_200), lambda *one: told.append(one), processes=1) == first, "of one day"
    assert told[-1] == (3, 3)
    assert stat.S_IMODE((home.standings(unit["Ash"]) / FILE).stat().st_mode) == 0o600


@pytest.mark.parametrize("broken", [b"", b"{", b'{"deck": 1}', b"[]"])
def test_a_broken_file_is_read_anew(home: Home, unit: dict[str, str], broken: bytes) -> None:
    first = rows(home, NOW, processes=1)
    (home.standings(unit["Ash"]) / FILE).write_bytes(broken)
    assert rows(home, NOW, processes=1) == first


def test_what_a_row_hangs_on_makes_it_stale(home: Home, unit: dict[str, str]) -> None:
    before = by_handle(home)["Birch"]
    assert by_handle(home, later(NOW, days=1))["Birch"].days == 19
    candidate = open_candidate(home, unit["Birch"])
    candidate.log.append_many([tasking(work=["halt"], until="2026-12-09", deck=GUARD)], NOW)
    candidate.close()
    after = by_handle(home)["Birch"]
    assert not before.taskings
    assert [one.until for one in after.taskings] == [date(2026, 12, 9)]
    assert by_handle(home)["Birch"] == after, "a tasking survives being kept"


def test_opening_one_by_all_models_is_kept(home: Home, unit: dict[str, str]) -> None:
    quick = by_handle(home)["Ash"]
    assert quick.quick
    full = read_fully(home, unit["Ash"], NOW)
    assert not full.quick
    assert by_handle(home)["Ash"] == full


def test_many_stale_rows_are_read_by_processes_alike(home: Home) -> None:
    for number in range(14):
        member(home, f"One {number}", DAY + timedelta(days=number), answers(number, 6))
    told: list[tuple[int, int]] = []
    found = rows(home, NOW, lambda *one: told.append(one), processes=2)
    for path in home.cache.rglob(FILE):
        path.unlink()
    assert rows(home, NOW, processes=1) == found
    assert [done for done, _ in told] == [4, 8, 12, 14]


def test_a_record_that_cannot_be_read_says_so_and_the_others_stay(home: Home, unit: dict[str, str]) -> None:
    home.record(unit["Birch"]).write_bytes(b"no record")
    found = {row.id: row for row in rows(home, NOW, processes=1)}
    assert found[unit["Birch"]].trouble
    assert not found[unit["Ash"]].trouble
    assert by_need(found.values())[-1].id == unit["Birch"]
    assert advice(found[unit["Birch"]], 80, DAY, OFFSET).what == UNKNOWN


def test_a_deck_that_is_gone_says_so(home: Home) -> None:
    member(home, "Ash", DAY, deck="/nowhere/deck.toml")
    (row,) = rows(home, NOW, processes=1)
    assert row.handle == "Ash"
    assert "/nowhere/deck.toml" in row.trouble


def test_forgetting_somebody_takes_his_row_away(home: Home, unit: dict[str, str]) -> None:
    rows(home, NOW, processes=1)
    forget(home, unit["Ash"])
    assert not home.standings(unit["Ash"]).exists()
    assert len(rows(home, NOW, processes=1)) == 2


def test_a_run_broken_off_is_told_as_no_no_go(home: Home) -> None:
    told = [(broken_off(run="r2", why="weather", deck=GUARD), later(days=9.5))]
    name = member(home, "Plover", None, run("r1", True), told)
    row = next(one for one in rows(home, NOW, processes=1) if one.id == name)
    assert (row.broken_off, [one.go for one in row.graded]) == ("the weather", [True])
    assert "broken off (the weather), which is no NO-GO; before it: GO." in past_words(row, DAY)
    assert plain_row(advice(row, 70, DAY, OFFSET), DAY)["last_run_broken_off"] == "the weather"
    again = next(one for one in rows(home, NOW, processes=1) if one.id == name)
    assert again == row, "it is kept with the row"


# ---------------------------------------------------------------- advice


def made(handle: str, days: int | None, chance: float, now: float = 0.5, **more: Any) -> Row:
    test = DAY + timedelta(days=days) if days is not None else None
    whole = Row(handle, handle, GUARD, "Guard", GUARD, test, days, Chance(chance, 0.0, 1.0), now)
    whole = whole._replace(asked=5, assumed=False, retest_hours=24)
    return whole._replace(**more)


def test_who_needs_most_comes_first() -> None:
    told = [
        made("broken", 1, 0.1, trouble="gone"),
        made("none", None, 0.1),
        made("passed", -2, 0.05),
        made("late", 9, 0.1),
        made("soon and weak", 2, 0.2),
        made("soon and strong", 2, 0.9),
    ]
    names = [row.handle for row in by_need(told)]
    assert names == ["soon and weak", "soon and strong", "late", "passed", "none", "broken"]


@pytest.mark.parametrize(
    ("row", "what"),
    [
        (made("a", 0, 0.80), GO),
        (made("a", 6, 0.79), WAIT),
        (made("a", 7, 0.1, now=0.8), COULD),
        (made("a", 7, 0.9, now=0.79), LATER),
        (made("a", -1, 0.9, now=0.9), COULD),
        (made("a", None, 0.9, now=0.1), LATER),
        (made("a", 3, 0.99, asked=0), WAIT),
        (made("a", 3, 0.99)._replace(chance=None), UNKNOWN),
    ],
)
def test_at_eighty_percent(row: Row, what: str) -> None:
    assert advice(row, 80, DAY, OFFSET).what == what


def test_the_sponsor_sets_the_chance() -> None:
    assert advice(made("a", 2, 0.6), 60, DAY, OFFSET).what == GO
    assert advice(made("a", 2, 0.6), 61, DAY, OFFSET).what == WAIT
    assert checked_chance(" 85 % ") == 85
    for text in ("0", "100", "-3", "8.5", "", "٣"):
        with pytest.raises(CandidateError):
            checked_chance(text)


def test_nobody_is_sent_before_his_wait_is_over() -> None:
    nine = START.at_ms + 10 * 86_400_000 - 3_600_000 + 2 * 86_400_000  # 9 in the morning, two days after DAY
    over, still = made("a", 2, 0.9, no_test_before=nine), made("a", 2, 0.9, no_test_before=nine + 1)
    assert advice(over, 80, DAY, OFFSET).what == GO
    assert advice(still, 80, DAY, OFFSET).what == WAIT


def test_what_a_no_go_costs() -> None:
    """A wait of 24 hours from nine in the morning ends on the day after it."""
    assert retest_day(DAY, 24) == DAY + timedelta(days=1)
    assert retest_day(DAY, 14) == DAY
    assert retest_day(DAY, 15) == DAY + timedelta(days=1)
    assert retest_words(made("a", 3, 0.5), DAY).endswith("no retest before Tuesday 8 December 2026.")
    assert "no wait" in retest_words(made("a", 3, 0.5, retest_hours=None), DAY)


def test_a_test_this_week_does_not_hang_on_a_rough_reading() -> None:
    told = [made(f"{days}", days, 0.5, quick=True) for days in (8, 7, 6, 0, -1)]
    told += [made("read", 2, 0.5), made("new", 2, 0.5, quick=True, asked=0), made("none", None, 0.5, quick=True)]
    assert [row.handle for row in decided_now(told)] == ["0", "6"]


def test_the_week_in_words() -> None:
    advised = [advice(row, 80, DAY, OFFSET) for row in (made("Ash", 1, 0.9), made("Birch", 2, 0.4))]
    told = " ".join(week_lines(advised, 80))
    assert "should go to the test: Ash (90 % on Saturday 5 December 2026)" in told
    assert "Should wait: Birch (40 %" in told
    assert "Expected to pass of those who should go: 0.9 of 1." in told
    assert "Nobody has his test" in week_lines([], 80)[0]


# ---------------------------------------------------------------- the group


def test_the_group_is_the_mean_of_its_candidates(home: Home, unit: dict[str, str], deck: Deck) -> None:
    found = by_handle(home)
    group = cohort(deck, list(found.values()))
    assert (group.candidates, group.waiting, group.graded) == (2, 1, 1)
    halt = next(one for one in group.movements if one.id == "halt")
    own = [one for name in ("Ash", "Birch") for one in found[name].measures if one.id == "halt"]
    assert halt.go == pytest.approx(sum(one.go for one in own) / 2)
    assert (halt.nogo, halt.trials) == (1, 4)
    assert group.faults[0].seen == group.faults[0].candidates == 1
    assert group.faults[0].tell == deck.movement("halt").faults[0].tell
    chances = [one.go for one in group.movements if one.go is not None]
    assert chances == sorted(chances)
    assert group.movements[: len(chances)] == tuple(one for one in group.movements if one.go is not None)
    assert period_words(group) in cohort_lines(group)
    assert period_words(group).endswith(f"{group.faults[0].tell} (once).")


def test_candidates_of_another_deck_stay_out(home: Home, unit: dict[str, str], deck: Deck) -> None:
    group = cohort(deck._replace(id="another"), rows(home, NOW, processes=1))
    assert (group.candidates, group.movements) == (0, ())


def test_the_kept_file_is_plain(home: Home, unit: dict[str, str]) -> None:
    rows(home, NOW, processes=1)
    assert set(json.loads((home.standings(unit["Ash"]) / FILE).read_text("ascii"))) == {"deck", "key", "row"}
