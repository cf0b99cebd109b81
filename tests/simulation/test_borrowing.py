"""The measurements of borrowing and of guessing: that they measure, and what they found."""

from tests.simulation.borrowing import SHARED, follow, rows
from tests.simulation.guesses import row


def test_families_learnt_in_full_are_borrowed_from() -> None:
    scores = {kind: errors for kind, _, errors in rows("traces", range(2), 5, "families")}
    assert scores["never asked"][1] < 0.8 * scores["never asked"][0]


def test_every_way_of_sharing_can_be_followed_and_repeats() -> None:
    for shared in SHARED:
        said = follow("exponential", 0, 3, shared)
        assert {one.kind for one in said} >= {"never asked", "asked once", "first answers"}
    assert follow("exponential", 0, 3, "usual") == follow("exponential", 0, 3, "usual")


def test_guesses_better_than_the_choices_say_are_learnt() -> None:
    plain, learnt, told = row("traces", 2, 1, 2)
    assert told < plain
    assert learnt < 0.9 * plain
