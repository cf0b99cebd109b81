"""Order and guarded time: the laws that the module promises, over generated clocks."""

import time
from datetime import datetime, timedelta
from itertools import pairwise

import pytest
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from trainer.records import clock
from trainer.records.clock import PAUSE, SLIP, guarded, guarded_with_now, next_tick, read_clock

SECOND = 1000
HOUR = 3600 * SECOND
DAY = 24 * HOUR
YEAR = 365 * DAY
START = 1_790_000_000_000


def times(clock_said: list[int]) -> list[int]:
    """Guarded times with the ticks that a record would have given."""
    readings, tick = [], 0
    for at in clock_said:
        tick = next_tick(at, tick)
        readings.append((tick, at))
    return guarded(readings)


def gaps(values: list[int]) -> list[int]:
    return [after - before for before, after in pairwise(values)]


# True times: sittings of a few answers, one to ten days apart.
sittings = st.lists(
    st.tuples(st.integers(DAY, 10 * DAY), st.lists(st.integers(0, 5 * 60 * SECOND), min_size=0, max_size=5)),
    min_size=3,
    max_size=12,
)
years = st.integers(-3, 3).filter(bool).map(lambda n: n * YEAR)
anything = st.lists(st.integers(0, 2**48 - 1), max_size=40)


def true_times(drawn: list[tuple[int, list[int]]]) -> list[int]:
    now, out = START, []
    for rest, inner in drawn:
        now += rest
        out.append(now)
        for gap in inner:
            now += gap
            out.append(now)
    return out


@given(st.lists(st.integers(0, 2**48 - 1)), st.integers(0, 2**48 - 1))
def test_ticks_never_run_backwards_and_follow_a_sane_clock(clock_said: list[int], last: int) -> None:
    ticks = [last]
    for at in clock_said:
        ticks.append(next_tick(at, ticks[-1]))
        assert ticks[-1] == at or ticks[-1] == ticks[-2] + 1
    assert all(gap > 0 for gap in gaps(ticks))


@given(sittings)
def test_a_sane_clock_is_believed_as_it_stands(drawn: list[tuple[int, list[int]]]) -> None:
    true = true_times(drawn)
    assert times(true) == true


@given(anything)
def test_guarded_time_never_runs_backwards_whatever_the_clock_does(clock_said: list[int]) -> None:
    result = times(clock_said)
    assert len(result) == len(clock_said)
    assert all(gap >= 0 for gap in gaps(result))


@given(anything)
def test_a_reading_in_line_changes_nothing_that_is_not_in_doubt(clock_said: list[int]) -> None:
    """Without a jump back nothing is in doubt, so one more reading changes no earlier time."""
    in_line = sorted(clock_said)
    for size in range(len(in_line)):
        assert times(in_line[: size + 1])[:size] == times(in_line[:size])


@given(sittings, st.data())
def test_a_settled_record_is_not_changed_by_a_sane_reading(
    drawn: list[tuple[int, list[int]]], data: st.DataObject
) -> None:
    """After a wild reading and a sane one the doubt is over: what follows changes nothing."""
    true = true_times(drawn)
    at = data.draw(st.integers(1, len(true) - 2))
    said = list(true)
    said[at] += data.draw(years)
    for size in range(at + 2, len(true)):
        assert times(said[: size + 1])[:size] == times(said[:size])


@given(sittings, st.data(), st.one_of(years, st.integers(200 * DAY, 3 * YEAR), st.integers(-3 * YEAR, -200 * DAY)))
def test_one_wild_reading_moves_only_its_own_event(
    drawn: list[tuple[int, list[int]]], data: st.DataObject, wild: int
) -> None:
    true = true_times(drawn)
    at = data.draw(st.integers(0, len(true) - 1))
    said = list(true)
    # All events of one transaction share a reading.
    same = [i for i, t in enumerate(true) if t == true[at]]
    for index in same:
        said[index] += wild
    result = times(said)
    for index, (found, expected) in enumerate(zip(result, true, strict=True)):
        if index not in same:
            assert found == expected
    if same[0] > 0 and same[-1] < len(true) - 1:
        assert all(true[same[0] - 1] <= result[i] <= true[same[-1] + 1] for i in same)


@given(sittings, st.data(), st.integers(-3 * YEAR, 3 * YEAR))
def test_one_wild_reading_however_small_moves_one_event_at_most(
    drawn: list[tuple[int, list[int]]], data: st.DataObject, wild: int
) -> None:
    """Within its neighbours' own gaps either of two readings may be the wild one: one of them moves, not both."""
    true = sorted(set(true_times(drawn)))
    at = data.draw(st.integers(0, len(true) - 1))
    said = list(true)
    said[at] += wild
    moved = [i for i, found in enumerate(times(said)) if found != said[i]]
    assert len(moved) <= 1
    assert all(abs(i - at) <= 1 for i in moved)


@given(sittings, st.data(), years)
def test_a_shift_that_lasts_keeps_every_gap_on_either_side(
    drawn: list[tuple[int, list[int]]], data: st.DataObject, shift: int
) -> None:
    true = true_times(drawn)
    assume(len(true) >= 4)
    at = data.draw(st.integers(2, len(true) - 2))
    # Both sides last: they hold more than one reading.
    assume(true[0] < true[at - 1] < true[at] < true[-1])
    found = gaps(times([t + (shift if i >= at else 0) for i, t in enumerate(true)]))
    expected = gaps(true)
    assert found[: at - 1] == expected[: at - 1]
    assert found[at:] == expected[at:]
    if shift > 0:
        assert found[at - 1] == expected[at - 1] + shift  # cannot be told from a pause
    else:
        assert clock.BREAK <= found[at - 1] <= PAUSE  # a usual break


@settings(max_examples=300)
@given(sittings, st.data())
def test_years_of_jump_never_make_spaced_study_look_massed(
    drawn: list[tuple[int, list[int]]], data: st.DataObject
) -> None:
    """The clock jumps by whole years before any of the sittings: a day apart stays a day apart."""
    now, error = START, 0
    said: list[int] = []
    firsts: list[int] = []
    for rest, inner in drawn:
        now += rest
        error += data.draw(st.integers(-3, 3)) * YEAR
        firsts.append(len(said))
        said.append(now + error)
        for gap in inner:
            now += gap
            said.append(now + error)
    assume(min(said) > 0)
    result = times(said)
    for first in firsts[1:]:
        assert result[first] - result[first - 1] >= DAY
    for (_, inner), first in zip(drawn, firsts, strict=True):
        assert gaps(result[first : first + len(inner) + 1]) == inner


@given(sittings, st.data(), years)
def test_a_sitting_on_a_wild_clock_moves_only_itself(
    drawn: list[tuple[int, list[int]]], data: st.DataObject, wild: int
) -> None:
    """A flat battery: one whole sitting in another year, then the clock is right again."""
    which = data.draw(st.integers(1, len(drawn) - 2))
    true = true_times(drawn)
    start = sum(1 + len(inner) for _, inner in drawn[:which])
    end = start + 1 + len(drawn[which][1])
    said = [t + (wild if start <= i < end else 0) for i, t in enumerate(true)]
    result = times(said)
    assert result[:start] == true[:start]
    assert result[end:] == true[end:]
    assert gaps(result[start:end]) == gaps(true[start:end])
    assert true[start - 1] < result[start] <= result[end - 1] < true[end]


@given(sittings, st.integers(1, SLIP), st.data())
@example([(DAY, [10]), (DAY, [10]), (DAY, [10])], 5000, None)
def test_a_small_correction_costs_its_own_size_at_most(
    drawn: list[tuple[int, list[int]]], slip: int, data: st.DataObject | None
) -> None:
    true = true_times(drawn)
    at = data.draw(st.integers(1, len(true) - 1)) if data else 3
    said = [t - (slip if i >= at else 0) for i, t in enumerate(true)]
    result = times(said)
    assert all(abs(found - at_ms) <= slip for found, at_ms in zip(result, said, strict=True))


@given(sittings, st.data())
def test_the_present_is_read_on_the_same_scale(drawn: list[tuple[int, list[int]]], data: st.DataObject) -> None:
    """With the clock set back by years for good, the time since the last answer is still right."""
    true = true_times(drawn)
    assume(len(true) >= 4)
    at = data.draw(st.integers(2, len(true) - 2))
    assume(true[0] < true[at - 1] < true[at] < true[-1])
    said = [t - (3 * YEAR if i >= at else 0) for i, t in enumerate(true)]
    ticks = list(range(len(said)))
    found, now = guarded_with_now(list(zip(ticks, said, strict=True)), said[-1] + 5 * DAY)
    assert found == guarded(list(zip(ticks, said, strict=True)))
    assert now - found[-1] == 5 * DAY


def day(*days: float) -> list[int]:
    return [round(START + d * DAY) for d in days]


@pytest.mark.parametrize(
    ("clock_said", "expected"),
    [
        ([], []),
        (day(1), day(1)),
        (day(1, 2, 1098, 4, 5), day(1, 2, 3, 4, 5)),  # ahead once
        (day(1, 2, -1092, 4, 5), day(1, 2, 3, 4, 5)),  # behind once
        (day(1, 2, 1098, 1098, 4, 5), day(1, 2, 3, 3, 4, 5)),  # ahead once, two events in the transaction
        (day(1096, 2, 3, 4), day(1, 2, 3, 4)),  # the first
        (day(1, 2, 3, 1099), day(1, 2, 3, 1099)),  # the last, ahead: could be a pause
        (day(1, 2, 3, -1091), day(1, 2, 3, 4)),  # the last, behind: a usual break after the one before
        (day(1, 3, -1090, -1088), day(1, 3, 5, 7)),  # behind for good: the usual break here is two days
        (day(1, 2, 398, 399.5, 5), day(1, 2, 2.75, 4.25, 5)),  # a year ahead for two: their gap is kept
        (day(1, 2, -362, -360.5, 5), day(1, 2, 2.75, 4.25, 5)),  # a year behind for two
        (day(1, 2, -362, -900, -899, 8), day(1, 2, 11 / 3, 16 / 3, 19 / 3, 8)),  # two wild clocks in a row
    ],
)
def test_worked_cases(clock_said: list[int], expected: list[int]) -> None:
    result = guarded(list(enumerate(clock_said)))
    assert result == pytest.approx(expected, abs=2)


def test_the_clock_is_that_of_the_system() -> None:
    before = time.time_ns() // 1_000_000
    at_ms, offset = read_clock()
    assert before - 1 <= at_ms <= time.time_ns() // 1_000_000 + 1
    assert offset == datetime.now().astimezone().utcoffset() / timedelta(minutes=1)  # type: ignore[operator]


def test_ticks_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match="order of their ticks"):
        guarded([(2, 10), (1, 11)])
