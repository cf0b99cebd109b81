"""The fold of a candidate's evidence: kept, checked, and always the same as folded anew."""

import random
from pathlib import Path

import pytest

from tests.coach.sitting import START, candidate_in, later, sit
from trainer.coach.candidate import Candidate
from trainer.coach.kept_mind import cache_file, fold
from trainer.coach.mind import Mind
from trainer.coach.standing import Standing, cells, in_order, open_standing, save_standing
from trainer.drill.deck import Deck
from trainer.memory.snapshot import pack

Kept = tuple[Candidate, Deck]


@pytest.fixture
def kept(tmp_path: Path) -> Kept:
    """A candidate with two sittings behind him, and his fold kept."""
    candidate, deck = candidate_in(tmp_path)
    sit(candidate, deck, START, 15)
    sit(candidate, deck, later(days=1), 15)
    save_standing(candidate, deck, later(days=2))
    return candidate, deck


def refolded(standing: Standing, path: Path | None = None) -> tuple[Mind, int]:
    return fold(*in_order(standing.history), cells(standing.points), path)


def same(one: Mind, other: Mind) -> bool:
    return pack(one.learner) == pack(other.learner) and one.state() == other.state()


def test_the_kept_fold_equals_one_made_anew(kept: Kept) -> None:
    candidate, deck = kept
    standing = open_standing(candidate, deck, later(days=2))
    path = cache_file(candidate, deck)
    mind, behind = refolded(standing, path)
    assert behind == 0, "nothing was folded anew"
    assert same(mind, refolded(standing)[0])


def test_answers_after_the_kept_ones_are_folded_on_top(kept: Kept) -> None:
    candidate, deck = kept
    session, _, end = sit(candidate, deck, later(days=2), 5)
    standing = open_standing(candidate, deck, end)
    mind, behind = refolded(standing, cache_file(candidate, deck))
    assert behind == sum(len(marked.marks) for _, marked in session.asked)
    assert same(mind, refolded(standing)[0])


def test_answers_given_are_folded_as_they_are_read_back(tmp_path: Path) -> None:
    """The learner kept up while answering and the one read from the record say the same of every point."""
    candidate, deck = candidate_in(tmp_path)
    _, standing, end = sit(candidate, deck, START, 25)
    opened = open_standing(candidate, deck, end)
    ids = [point.id for point in standing.points]
    date = opened.test_at(candidate, end)
    now = opened.now(end)
    live = standing.learner.recall(ids, date, now)
    assert live == pytest.approx(opened.learner.recall(ids, date, now), abs=1e-6)
    assert standing.practice == opened.practice
    assert standing.mind.times.state() == opened.mind.times.state()
    assert standing.mind.times.state()[0], "answers were timed"


def test_manners_go_with_their_answers_into_the_order_of_time(kept: Kept) -> None:
    candidate, deck = kept
    past = open_standing(candidate, deck, later(days=2)).history
    pairs = list(zip(past.evidence, past.manners, strict=True))
    shuffled = random.Random(1).sample(pairs, len(pairs))
    evidence, manners = in_order(
        past._replace(evidence=tuple(one for one, _ in shuffled), manners=tuple(manner for _, manner in shuffled))
    )
    assert [one.at for one in evidence] == sorted(one.at for one in past.evidence)
    assert set(zip(evidence, manners, strict=True)) == set(pairs)


def test_a_kept_fold_of_other_times_or_kinds_is_made_anew(kept: Kept) -> None:
    candidate, deck = kept
    standing = open_standing(candidate, deck, later(days=2))
    evidence, manners = in_order(standing.history)
    groups, path = cells(standing.points), cache_file(candidate, deck)
    for other in (manners[3]._replace(seconds=1.5), manners[3]._replace(kind="another")):
        assert fold(evidence, [*manners[:3], other, *manners[4:]], groups, path)[1] == len(evidence)
    assert fold(evidence, manners, groups, path)[1] == 0


@pytest.mark.parametrize("damage", ["gone", "empty", "garbage", "cut", "bit"])
def test_a_damaged_cache_is_made_anew(kept: Kept, damage: str) -> None:
    candidate, deck = kept
    path = cache_file(candidate, deck)
    whole = path.read_bytes()
    middle = len(whole) // 2
    flipped = whole[:middle] + bytes([whole[middle] ^ 1]) + whole[middle + 1 :]
    hurt = {"gone": None, "empty": b"", "garbage": b"\0" * 5000, "cut": whole[:-7], "bit": flipped}[damage]
    if hurt is None:
        path.unlink()
    else:
        path.write_bytes(hurt)
    standing = open_standing(candidate, deck, later(days=2))
    assert same(standing.mind, refolded(standing)[0])


def test_a_folder_that_takes_no_cache_is_no_harm(kept: Kept) -> None:
    candidate, deck = kept
    path = cache_file(candidate, deck)
    path.unlink()
    path.parent.rmdir()
    path.parent.write_text("a file where the folder should be")
    standing = open_standing(candidate, deck, later(days=2))
    save_standing(candidate, deck, later(days=2))
    assert len(standing.history.evidence) > 20


def test_two_decks_of_one_standard_share_their_points(kept: Kept) -> None:
    candidate, deck = kept
    practised = set(open_standing(candidate, deck, later(days=2)).practice)
    movement = next(iter(practised)).split("/")[1]
    part = deck._replace(
        id="cut-out", movements=tuple(one for one in deck.movements if one.id == movement), grade_sheet=None
    )
    standing = open_standing(candidate, part, later(days=2))
    own = {point.id for point in standing.points}
    assert set(standing.practice) == practised & own != set()
    assert cache_file(candidate, part) != cache_file(candidate, deck)


def test_time_goes_on_with_the_clock_and_never_back(tmp_path: Path) -> None:
    candidate, deck = candidate_in(tmp_path)
    standing = open_standing(candidate, deck, START)
    begun = standing.now(START)
    assert standing.now(later(seconds=3600)) - begun == pytest.approx(1 / 24)
    assert standing.now(later(seconds=60)) - begun == pytest.approx(1 / 24), "set back: stands still"
    assert standing.now(later(days=3000)) - begun == pytest.approx(1 / 24), "a leap of years: stands still"
    assert standing.now(later(days=3000, seconds=3600)) - begun == pytest.approx(2 / 24), "and goes on from there"
    assert standing.now(later(days=2)) - begun == pytest.approx(2 / 24)
    assert standing.now(later(days=3)) - begun == pytest.approx(1 + 2 / 24), "a night in the background counts"


def test_the_test_is_at_nine_on_its_day(tmp_path: Path) -> None:
    """From 24 November, 10 o'clock, to 20 December, 9 o'clock, are 25 days and 23 hours."""
    candidate, deck = candidate_in(tmp_path)
    standing = open_standing(candidate, deck, START)
    assert standing.test_at(candidate, START) - standing.now(START) == pytest.approx(25 + 23 / 24)
    wild = later(days=-4000)
    assert standing.test_at(candidate, wild) - standing.now(wild) == pytest.approx(25 + 23 / 24)
    after = open_standing(candidate, deck, later(days=40))
    assert after.test_at(candidate, later(days=40)) == after.now(later(days=40)), "passed: on the spot"


def test_movements_are_told_by_the_mean_of_their_points(kept: Kept) -> None:
    candidate, deck = kept
    moment = later(days=2)
    standing = open_standing(candidate, deck, moment)
    told = standing.movements(candidate, moment)
    assert [one.id for one in told] == [movement.id for movement in deck.movements]
    one = max(told, key=lambda one: one.asked)
    ids = [point.id for point in standing.points if point.movement == one.id]
    recalls = standing.reader.recall(ids, standing.test_at(candidate, moment), standing.now(moment))
    assert one.recall == pytest.approx(sum(recalls) / len(recalls))
    assert (one.asked, one.points) == (sum(point in standing.practice for point in ids), len(ids))
