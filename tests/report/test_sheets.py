"""What stands on the sheets."""

import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

from tests.coach.sitting import START, candidate_in, later, sit
from tests.group.sitting import begun, guard_deck, play
from trainer.coach.dates import date_words
from trainer.coach.standing import open_standing
from trainer.drill.lane.asked import Asked
from trainer.drill.lane.plan import plan
from trainer.drill.lane.surface import Surface, parse_surface
from trainer.group.turns import PLAYED
from trainer.report.evening import evening_page
from trainer.report.lane import lane_page, lane_svg
from trainer.report.page import BOX, Page, Pairs, Picture, Table, html_page, text_page
from trainer.report.progress import progress_page
from trainer.report.run import run_page
from trainer.report.sheets import blank_grade_sheet, movement_blocks
from trainer.sponsor.graders import GradingError, graders, keep_grader
from trainer.sponsor.grading import begin
from trainer.sponsor.opening import gate


def table(page: Page, head: str) -> Table:
    return next(block for block in page.blocks if isinstance(block, Table) and block.head[0] == head)


def test_the_blank_sheet_has_a_box_for_every_trial_and_the_rule(tmp_path: Path) -> None:
    deck = guard_deck(str(tmp_path))
    sheet = deck.grade_sheet
    assert sheet is not None
    page = blank_grade_sheet(deck)
    minors = table(page, "Minor measure")
    assert len(minors.rows) == len(sheet.minors)
    assert all(sum(BOX in cell for cell in row) == sheet.trials + 1 for row in minors.rows)
    assert len(table(page, "Major measure").rows) == len(sheet.majors)
    text = text_page(page)
    assert "GO: 3 of 4 trials a measure, 9 of 12 measures, and no major failed" in text
    each = sheet.trials + 1
    assert sum(row.count("[ ] NO-GO") == each for row in text.splitlines()) == len(sheet.minors), "no box is torn apart"
    assert sum(row.count("[ ] GO") == each for row in text.splitlines()) == len(sheet.minors)
    flat = " ".join(text.split())
    for caution in deck.cautions:
        assert " ".join(caution.split()) in flat
    for movement in deck.movements:
        if movement.id in sheet.minors:
            assert all(" ".join(fault.tell.split()) in flat for fault in movement.faults)


def test_what_is_cued_is_told_by_its_cues(tmp_path: Path) -> None:
    deck = guard_deck(str(tmp_path))
    blocks = movement_blocks(deck, deck.movement("drum-stop"))
    (pairs,) = [block for block in blocks if isinstance(block, Pairs)]
    assert pairs.rows[0] == ("By the drum (beat)", "single (0) single (1) double (2)")
    (spoken,) = [block for block in movement_blocks(deck, deck.movement("halt")) if isinstance(block, Pairs)]
    assert [name for name, _ in spoken.rows] == ["Words (beat)", "Source"]


def test_a_deck_without_a_sheet_has_none_to_print(tmp_path: Path) -> None:
    with pytest.raises(GradingError, match="no grade sheet"):
        blank_grade_sheet(guard_deck(str(tmp_path))._replace(grade_sheet=None))


def test_progress_tells_what_the_forecast_says(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    for day in range(2):
        sit(candidate, deck, later(days=day), 20, seed=day)
    moment = later(days=2)
    standing = open_standing(candidate, deck, moment)
    page = progress_page(candidate, standing, moment)
    outlook = standing.outlook(candidate, moment)
    measures = table(page, "Measure")
    assert len(measures.rows) == len(outlook.measures)
    assert measures.rows[0][0] == min(outlook.measures, key=lambda one: one.go).name
    assert sum(isinstance(block, Picture) for block in page.blocks) == 4, "the curve and three movements"
    assert "no person has been measured" in " ".join(text_page(page).split())
    assert html_page(page).count("<svg") == 4


def test_progress_tells_of_the_last_run_also_where_it_was_broken_off(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)

    def printed() -> str:
        return " ".join(text_page(progress_page(candidate, open_standing(candidate, deck, START), START)).split())

    assert "Last run" not in printed()
    owl = keep_grader(candidate.home, "Owl", "2027-03-31")
    run = begin(candidate, deck, [owl], START, grader="Owl", checked=gate(deck))
    assert f"Last run {date_words(run.sheet.on)}: open" in printed()
    run.break_off("weather", later(seconds=5))
    assert f"{date_words(run.sheet.on)}: broken off (the weather). This is no NO-GO" in printed()


def test_progress_without_a_date_or_a_sheet_draws_no_curve(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path, test_on=None)
    page = progress_page(candidate, open_standing(candidate, deck, START), START)
    assert "no date yet" in text_page(page)
    bare = deck._replace(grade_sheet=None)
    page = progress_page(candidate, open_standing(candidate, bare, START), START)
    assert "Mean recall on the date" in text_page(page)


def test_the_evening_on_paper(tmp_path: Path) -> None:
    evening, _ = begun(guard_deck(str(tmp_path)), kinds=(PLAYED,))
    for _ in range(8):
        play(evening, lambda now: {name: place > 1 for place, name in enumerate(now.graders)})
    text = text_page(evening_page(evening))
    assert "Fleiss' kappa" in text
    assert "After action" in text
    assert text.count("To happen") == 8, "the hands were never of one mind"


def test_a_graded_run_on_paper(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    keep_grader(candidate.home, "Sgt Reed", "2027-03-31")
    run = begin(candidate, deck, graders(candidate.home), START, grader="Sgt Reed", checked=gate(deck))
    fault = deck.movement("change-step").faults[0]
    run.trial("change-step", False, [fault.id], START)
    run.trial("change-step", True, [], START)
    run.note("gusts from the left", START)
    so_far = {row[1] for row in table(run_page("Morgan", deck, run.sheet), "Major measure").rows}
    assert so_far == {"not failed so far"}, "until the last command nothing was kept"
    run.major(deck.grade_sheet.majors[0].id if deck.grade_sheet else "", START)
    page = run_page("Morgan", deck, run.sheet)
    minors = table(page, "Minor measure")
    row = next(row for row in minors.rows if row[0].endswith("Change step"))
    assert row[1:] == ("NO-GO", "GO", "-", "-", "open")
    text = " ".join(text_page(page).split())
    assert "Verdict NO-GO" in text
    assert "Grader Sgt Reed" in text
    assert "gusts from the left" in text
    assert f"Change step: {' '.join(fault.tell.split())}" in text
    majors = [row[1] for row in table(page, "Major measure").rows]
    assert sorted(majors) == ["failed", *["not failed"] * (len(majors) - 1)]


def test_the_callers_script_has_every_command_and_stays_on_the_surface(tmp_path: Path) -> None:
    deck = guard_deck(str(tmp_path))
    surface = Surface(*parse_surface("90 ft x 60 ft", deck.unit), 6.0)
    found = plan(deck, Asked({"turn-starboard": 1, "turn-port": 1}, surface), effort=200)
    assert found is not None
    page = lane_page(deck, found)
    assert len(table(page, "").rows) == len(found.commands)
    text = " ".join(text_page(page).split())
    assert "candidate: TURN" in text
    svg = ET.fromstring(lane_svg(deck, found))
    rect = svg.find("{http://www.w3.org/2000/svg}rect")
    line = svg.find("{http://www.w3.org/2000/svg}polyline")
    assert rect is not None
    assert line is not None
    left, top = float(rect.get("x") or 0), float(rect.get("y") or 0)
    right, bottom = left + float(rect.get("width") or 0), top + float(rect.get("height") or 0)
    for dot in (line.get("points") or "").split():
        x, y = map(float, dot.split(","))
        assert left <= x <= right
        assert top <= y <= bottom
