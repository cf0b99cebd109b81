"""A played score: every beat on its own deadline, at any speed, paused and resumed."""

from fractions import Fraction

from hypothesis import given
from hypothesis import strategies as st

from tests.screens.conftest import HERE, read_deck
from trainer.drill.unrolling import score
from trainer.rhythm.reel import SPEEDS, beat_times, reel

DECK = read_deck(HERE / "quay_guard.toml")
SCORES = [score(DECK, movement) for movement in DECK.movements]
READINGS = st.floats(min_value=0.0, max_value=10_000.0)


def test_beats_lie_a_sixtieth_of_the_cadence_apart_and_half_beats_half_of_it() -> None:
    change = score(DECK, DECK.movement("change-step"))
    cadence = Fraction(str(change.beats[0].cadence))
    for beat, time in zip(change.beats, beat_times(change), strict=True):
        due = (Fraction(str(beat.beat)) - Fraction(str(change.beats[0].beat))) * 60 / cadence
        assert abs(time - float(due)) < 1e-9


@given(st.sampled_from(SCORES), st.sampled_from(SPEEDS), READINGS, st.floats(0.0, 30.0))
def test_a_running_score_stands_on_the_last_beat_that_is_due(shown, speed, start, passed) -> None:  # type: ignore[no-untyped-def]
    one = reel(shown, speed).play(start)
    now = start + passed
    number = one.number(now)
    assert one.due(one.times[number]) <= now + 1e-6
    due = one.next_beat(now)
    if due is None:
        assert one.ended(now)
    else:
        assert due > now - 1e-9
        assert one.number(due) == min(number + 1, one.last)


@given(st.sampled_from(SCORES), READINGS, st.floats(0.0, 30.0), st.sampled_from(SPEEDS))
def test_another_speed_does_not_move_the_score(shown, start, passed, speed) -> None:  # type: ignore[no-untyped-def]
    one = reel(shown).play(start)
    now = start + passed
    assert abs(one.at_speed(speed, now).second(now) - one.second(now)) < 1e-9
    assert one.at_speed(speed, now).number(now) == one.number(now)


@given(st.sampled_from(SCORES), st.floats(0.0, 8.0), st.floats(0.0, 1e5))
def test_a_paused_score_stands_on_its_beat_however_long_and_goes_on_from_there(shown, passed, away) -> None:  # type: ignore[no-untyped-def]
    one = reel(shown).play(0.0).pause(passed)
    number = one.number(passed)
    assert one.number(passed + away) == number
    assert one.second(passed + away) == one.times[number]
    assert one.next_beat(passed + away) is None
    again = one.play(passed + away)
    assert again.number(passed + away) == (number if not one.ended(passed) else 0)


def test_half_speed_takes_twice_the_time_to_the_end() -> None:
    for shown in SCORES:
        ends = [reel(shown, speed).due(reel(shown).times[-1]) for speed in SPEEDS]
        assert ends[1] == 2 * ends[0]
        assert ends[2] == 4 * ends[0]


def test_columns_divide_the_way_to_the_next_beat() -> None:
    one = reel(SCORES[0]).play(0.0)
    period = one.times[1]
    assert [one.column(period * part / 10 + 1e-4, 5) for part in range(10)] == [0, 0, 1, 1, 2, 2, 3, 3, 4, 4]
    due = one.next_column(0.0, 5)
    assert due is not None
    assert abs(due - period / 5) < 1e-9
