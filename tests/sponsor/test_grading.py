"""Graded runs: the gate, the marks, the verdict against brute force, interruptions, who may grade."""

from itertools import product
from pathlib import Path

import pytest

from tests.coach.sitting import START, Faulty, faulty, later
from tests.sponsor.surface import KNOWN, OWL, InMemory, begun, on_surface, with_sheet
from trainer.coach.candidate import Candidate, device_id
from trainer.coach.history import history
from trainer.coach.past import held_tests
from trainer.drill.deck import Deck
from trainer.drill.faults import find_fault
from trainer.paths import Home
from trainer.quiz.points import points
from trainer.records.drafts import broken_off
from trainer.records.errors import LogFullError
from trainer.records.log import Log
from trainer.sponsor.graders import GradingError, admitted, graders, keep_grader, sponsored_by
from trainer.sponsor.grading import Run, begin, open_run
from trainer.sponsor.opening import gate, opening, retest_from
from trainer.sponsor.sheet import latest, sheets


@pytest.fixture
def surface(tmp_path: Path) -> tuple[Candidate, Deck]:
    return on_surface(tmp_path)


def all_go(run: Run) -> None:
    step = 0
    while run.next_measure:
        step += 1
        run.trial(run.next_measure, True, (), later(seconds=step))


# ---------------------------------------------------------------- before the run


def test_nothing_begins_before_the_gate_is_passed(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    assert gate(deck) == ("uniform", "equipment", "sword", "cautions")
    assert gate(deck._replace(sword=())) == ("uniform", "equipment", "cautions")
    before = list(candidate.events())
    with pytest.raises(GradingError, match="equipment, sword not checked"):
        begin(candidate, deck, KNOWN, START, grader="Owl", checked=["uniform", "cautions"])
    assert candidate.events() == before


def test_a_grader_is_qualified_until_his_day_and_not_after(surface: tuple[Candidate, Deck]) -> None:
    assert admitted(KNOWN, "OWL", "", OWL.until) == OWL
    candidate, deck = surface
    for name, word in (("Old Owl", "ended on"), ("Wren", "no grader on this laptop")):
        with pytest.raises(GradingError, match=word):
            begin(candidate, deck, KNOWN, START, grader=name, checked=gate(deck))


def test_nobody_grades_his_own_candidate_unless_told_to(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    candidate.set([sponsored_by("Owl")], START)
    with pytest.raises(GradingError, match="unless told to"):
        begun(candidate, deck)
    run = begun(candidate, deck, told_by="Commander Rook")
    assert run.sheet.begun["said_by"] == "Commander Rook"
    assert run.sheet.begun["until"] == "2027-01-31"


def test_graders_are_kept(tmp_path: Path) -> None:
    home = Home(tmp_path)
    assert graders(home) == ()
    keep_grader(home, "Owl", "2026-12-31")
    keep_grader(home, "owl", "2027-12-31")
    assert [(one.name, one.until.isoformat()) for one in graders(home)] == [("owl", "2027-12-31")]
    home.graders.write_text("[]")
    with pytest.raises(GradingError, match="name them anew"):
        graders(home)


def test_a_retest_waits_as_long_as_the_deck_says(surface: tuple[Candidate, Deck]) -> None:
    """US Army evaluation rules (subcourses IS1133A and MM5039): a failed test is not retaken for at least 24 hours."""
    candidate, deck = surface
    deck = with_sheet(deck, 2, 1, 1, 2, retest_after_hours=24)
    begun(candidate, deck).major("sword-lost", START)
    with pytest.raises(GradingError, match="A retest is possible from 2026-11-25 10:00"):
        begun(candidate, deck, later(days=1, seconds=-1))
    early = begun(candidate, deck, later(days=0.5), early=True)
    assert early.sheet.begun["early"] is True
    assert "early" not in begun(candidate, deck, later(days=1)).sheet.begun
    free = with_sheet(deck, 2, 1, 1, 2)
    assert retest_from(free, sheets(candidate.events(), free), 60) is None


# ---------------------------------------------------------------- the verdict


@pytest.mark.parametrize("stops", [True, False])
@pytest.mark.parametrize(("minors", "needed", "trials", "to_pass"), [(2, 2, 3, 1), (2, 1, 2, 2), (3, 1, 2, 2)])
def test_every_outcome_of_a_small_sheet(
    tmp_path: Path, minors: int, needed: int, trials: int, to_pass: int, stops: bool
) -> None:
    """Brute force over all marks: the verdict is the rule's, in whatever order; GO only when nothing is left."""
    deck = with_sheet(on_surface(tmp_path)[1], minors, needed, trials, to_pass, stop_when_decided=stops)
    for marks in product((True, False), repeat=minors * trials):
        lots = [marks[trials * n : trials * (n + 1)] for n in range(minors)]
        run = begun(InMemory(), deck)
        passed = sum(sum(lot) >= needed for lot in lots) >= to_pass
        given = 0
        while (measure := run.next_measure) and run.sheet.verdict is not False:
            row = run.sheet.row(measure)
            run.trial(measure, lots[deck.grade_sheet.minors.index(measure)][len(row.trials)], (), START)  # type: ignore[union-attr]
            given += 1
            assert run.sheet.verdict in (None, passed)
            assert run.sheet.verdict is not True or run.sheet.complete
        assert run.finish(START) is passed
        assert given <= minors * trials
        if not stops and passed:
            assert given == minors * trials


def test_the_sheet_says_what_is_decided_and_what_can_still_fail(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    assert (run.sheet.ahead.to_go, run.sheet.ahead.may_fail) == (9, 3)
    for _ in range(2):
        run.trial("halt", False, (), START)
    row = run.sheet.row("halt")
    assert (row.go, row.left) == (False, 0)
    assert (run.sheet.ahead.to_go, run.sheet.ahead.may_fail, run.sheet.now.go) == (9, 2, None)
    with pytest.raises(GradingError, match="no trial left"):
        run.trial("halt", True, (), START)
    with pytest.raises(GradingError, match="not decided"):
        run.finish(START)


def test_a_major_failure_ends_the_run_at_once_and_training_goes_on(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    run.trial("halt", True, (), START)
    run.major("sword-lost", START)
    assert (run.sheet.recorded, run.sheet.ended) == (False, True)
    run.trial("halt", False, [deck.movement("halt").faults[0].id], START)
    assert len(run.sheet.row("halt").trials) == 1
    assert [trial.go for trial in run.sheet.training] == [False]
    past = history(candidate.events(), points(deck), START, deck.id)
    assert (past.trials["halt"], past.trials["sword-lost"], past.runs) == ((1, 0), (0, 1), 1)
    run.undo(START)
    run.undo(START)
    assert (run.sheet.recorded, run.sheet.ended) == (None, False)
    run.trial("halt", True, (), START)
    assert len(run.sheet.row("halt").trials) == 2


def test_a_graded_sequence_holds_its_order(surface: tuple[Candidate, Deck]) -> None:
    """US Army evaluation rules: one sheet has the sequence graded, the other has not, so it is a switch."""
    candidate, deck = surface
    graded = with_sheet(deck, 2, 1, 2, 2, sequence_graded=True)
    first, second = graded.grade_sheet.minors  # type: ignore[union-attr]
    run = begun(candidate, graded, plan=[second, first])
    assert run.next_measure == first
    with pytest.raises(GradingError, match="sequence is graded"):
        run.trial(second, True, (), START)
    free = with_sheet(deck, 2, 1, 2, 2)
    run = begun(candidate, free, plan=[second, first, second])
    assert run.next_measure == second
    run.trial(second, False, (), START)
    assert run.next_measure == first
    run.trial(first, True, (), START)
    assert run.next_measure == second


def test_a_bad_prompt_does_not_count_and_the_deck_says_who_rules(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    run.bad_prompt("halt", START)
    row = run.sheet.row("halt")
    assert (row.trials, row.left, row.spoilt) == ((), 4, 1)
    strict = with_sheet(deck, 2, 1, 2, 2, bad_prompt="chief grader")
    run = begun(candidate, strict)
    with pytest.raises(GradingError, match="the chief grader rules"):
        run.bad_prompt("halt", START)
    run.bad_prompt("halt", START, "Rook")
    past = history(candidate.events(), points(deck), START, deck.id)
    assert "halt" not in past.trials


def test_marks_can_be_taken_back_and_changed_without_losing_the_first(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    with pytest.raises(GradingError, match="no mark"):
        run.undo(START)
    run.trial("halt", False, (), START)
    run.note("wet surface", START)
    assert run.sheet.notes == ("wet surface",)
    trial = run.sheet.row("halt").trials[0]
    run.change(trial.id, True, (), START)
    assert [one.go for one in run.sheet.row("halt").trials] == [True]
    run.undo(START)
    run.undo(START)
    assert not run.sheet.notes
    assert not run.sheet.row("halt").trials
    kinds = [event.kind for event in candidate.events()]
    assert kinds.count("trial") == 1
    assert kinds.count("correction") == 3


def test_a_run_goes_on_where_it_was_interrupted(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    for number in range(5):
        run.trial(run.next_measure, number % 2 == 0, (), START)
    again = open_run(Candidate(candidate.home, Log.open(candidate.log.path, device_id(candidate.home))), deck)
    assert again is not None
    assert again.sheet == run.sheet
    all_go(again)
    again.finish(START)
    assert open_run(candidate, deck) is None


def test_a_full_disk_loses_no_mark_that_was_taken(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    run.trial("halt", True, (), START)
    broken = Candidate(candidate.home, Log.open(candidate.log.path, device_id(candidate.home), connect=faulty))
    run = Run(broken, deck, run.id)
    Faulty.full = True
    try:
        with pytest.raises(LogFullError):
            run.trial("halt", True, (), START)
    finally:
        Faulty.full = False
    assert len(run.sheet.row("halt").trials) == 1
    run.trial("halt", True, (), START)
    assert len(run.sheet.row("halt").trials) == 2


def test_faults_by_number_id_or_part_of_their_words(surface: tuple[Candidate, Deck]) -> None:
    faults = surface[1].movement("halt").faults
    assert find_fault(faults, "1") == [faults[0]]
    assert find_fault(faults, "99") == []
    assert find_fault(faults, faults[-1].id) == [faults[-1]]
    assert faults[0] in find_fault(faults, faults[0].tell[:12].upper())
    assert find_fault(faults, " ") == []


def test_an_unknown_measure_fault_or_major_is_refused(surface: tuple[Candidate, Deck]) -> None:
    run = begun(*surface)
    for refused in (
        lambda: run.trial("loop", True, (), START),
        lambda: run.trial("halt", True, ["nonsense"], START),
        lambda: run.major("nonsense", START),
        lambda: run.note(" ", START),
        lambda: run.note("\x1b[31m", START),
        lambda: Run(run.candidate, run.deck, "nonsense"),
        lambda: begun(run.candidate, run.deck, plan=["loop"]),
    ):
        with pytest.raises(GradingError):
            refused()
    assert run.sheet.last == ()


def test_what_was_forecast_stands_beside_the_verdict(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck, said=0.7254)
    run.major("sword-lost", START)
    run.undo(START)
    run.major("unsafe", START)
    (test,) = held_tests(candidate.events(), deck)
    assert (test.said, test.go) == (0.725, False)


# ---------------------------------------------------------------- broken off


def test_a_run_broken_off_is_no_no_go_and_its_trials_count(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    run.trial("halt", True, (), later(seconds=1))
    run.trial("halt", False, (), later(seconds=2))
    before = history(candidate.events(), points(deck), later(seconds=3), deck.id)
    run.break_off("weather", later(seconds=3))
    assert (run.sheet.outcome, run.sheet.recorded, run.sheet.over) == ("broken off (the weather)", None, True)
    assert held_tests(candidate.events(), deck) == ()
    after = history(candidate.events(), points(deck), later(seconds=3), deck.id)
    assert (after.trials, after.runs) == (before.trials, 0)
    assert after.trials["halt"] == (1, 1)
    assert open_run(candidate, deck) is None, "a new run is begun, this one does not go on by itself"
    assert retest_from(deck, sheets(candidate.events(), deck), 0) is None


def test_nothing_is_marked_in_a_run_that_was_broken_off_until_that_is_undone(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    major = deck.grade_sheet.majors[0].id if deck.grade_sheet else ""
    run.trial("halt", True, (), later(seconds=1))
    run.break_off("injury", later(seconds=2))
    number = len(list(candidate.events()))
    for mark in (
        lambda: run.trial("halt", True, (), later(seconds=3)),
        lambda: run.bad_prompt("halt", later(seconds=3), "Owl"),
        lambda: run.major(major, later(seconds=3)),
        lambda: run.finish(later(seconds=3)),
        lambda: run.break_off("time", later(seconds=3)),
        lambda: run.change(run.sheet.row("halt").trials[0].id, False, (), later(seconds=3)),
    ):
        with pytest.raises(GradingError, match="broken off"):
            mark()
    assert len(list(candidate.events())) == number
    run.undo(later(seconds=4))
    assert (run.sheet.broken_off, run.sheet.outcome) == ("", "open")
    run.trial("halt", True, (), later(seconds=5))
    again = open_run(candidate, deck)
    assert again is not None
    assert len(again.sheet.row("halt").trials) == 2


def test_a_run_that_is_decided_is_not_broken_off(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    small = with_sheet(deck, 1, 2, 2, 1)
    run = begun(candidate, small)
    with pytest.raises(GradingError, match="one of these: injury, weather"):
        run.break_off("tired", later(seconds=1))
    run.trial(run.next_measure, False, (), later(seconds=1))
    assert run.sheet.verdict is False
    with pytest.raises(GradingError, match="decided already: NO-GO"):
        run.break_off("time", later(seconds=2))


def test_a_run_broken_off_after_a_no_go_leaves_the_wait_as_it_was(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    run = begun(candidate, deck)
    run.major(deck.grade_sheet.majors[0].id if deck.grade_sheet else "", later(seconds=1))
    wait = retest_from(deck, sheets(candidate.events(), deck), 0)
    assert wait is not None
    begun(candidate, deck, later(seconds=3600), early=True).break_off("weather", later(seconds=7200))
    assert retest_from(deck, sheets(candidate.events(), deck), 0) == wait


def test_a_verdict_holds_against_a_breaking_off_of_the_same_run(surface: tuple[Candidate, Deck]) -> None:
    """As where two laptops ended it, and their packets meet."""
    candidate, deck = surface
    run = begun(candidate, deck)
    run.major(deck.grade_sheet.majors[0].id if deck.grade_sheet else "", later(seconds=1))
    candidate.log.append_many([broken_off(run=run.id, why="weather", deck=deck.id)], later(seconds=2))
    (sheet,) = sheets(candidate.events(), deck)
    assert (sheet.outcome, sheet.recorded, sheet.broken_off) == ("NO-GO", False, "")
    assert retest_from(deck, [sheet], 0) is not None, "a NO-GO has its wait"


def test_a_sheet_entered_late_is_not_the_latest_run(surface: tuple[Candidate, Deck]) -> None:
    candidate, deck = surface
    begun(candidate, deck)
    began = opening(candidate, deck, KNOWN, START, grader="Owl", checked=gate(deck), on="2026-11-20", run="paper-1")
    candidate.log.append_many([began], later(seconds=1))
    first, paper = sheets(candidate.events(), deck)
    assert latest([first, paper]) == first
    assert latest([paper]) == paper
    assert latest([]) is None
