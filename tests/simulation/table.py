"""The results as plain lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from math import isnan

from tests.simulation.bench import Comparison, Judged, Results, Row
from tests.simulation.scores import Interval

SHOWN_DAYS = (None, 21, 7, 1)


def lines(results: Results) -> Iterator[str]:
    """Every line of the table."""
    yield "What practice led to on the test day (GO in percent; 95 percent intervals over pupils)"
    yield (
        f"{'world':<12}{'a day':>6}  {'policy':<18}{'recall':>7}{'true GO':>9} {'interval':<14}"
        f"{'drawn':>6} {'interval':<14}{'asked':>6}{'s/pupil':>8}"
    )
    last: tuple[str, int] | None = None
    for row in sorted(results.rows, key=lambda row: (row.world, row.budget)):
        if last not in (None, (row.world, row.budget)):
            yield ""
        last = (row.world, row.budget)
        yield _row(row)
    if results.comparisons:
        yield ""
        yield "Ours against the fairer fixed rotation, same pupils (points of true GO)"
        yield (
            f"{'world':<12}{'a day':>6}  {'rotation':<18}{'fixed':>6}{'ours':>6}{'diff':>7} {'interval':<16}"
            f"{'oracle over fixed':>18}  {'10 more':<8}{'no worse':<8}"
        )
        yield from (_comparison(one) for one in sorted(results.comparisons, key=lambda one: (one.world, one.budget)))
    if results.forecasts:
        yield ""
        yield "Forecasts of GO on the test day, if nothing more is practised, against the world's own truth of the same"
        yield "(at 21 days nothing has been asked; 'all' leaves it out; 'open': forecast or truth from 2 to 98 percent)"
        yield from _all_judged(results.forecasts)
    if results.promises:
        yield ""
        yield "Forecasts of GO on the test day with the planned sessions, made before one, against the truth at the end"
        yield from _all_judged(results.promises)
    yield ""
    yield "Synthetic pupils only: no person has been measured."


def _all_judged(forecasts: Sequence[Judged]) -> Iterator[str]:
    yield (
        f"{'world':<12}{'along':<13}{'days':>5}{'n':>6}{'MAE':>7}{'RMSE':>7}{'cover':>7}{'open':>6}"
        f"{'RMSE':>7}{'cover':>7}{'Brier':>8}{'perfect':>8}{'log':>7}{'perfect':>8}  MAE RMSE cover"
    )
    shown = [one for one in forecasts if one.days_before in SHOWN_DAYS]
    yield from (_judged(one) for one in shown)
    yield ""
    yield "Reliability: forecasts by tenths as count: mean forecast > mean truth / share passed, percent"
    for one in shown:
        if one.days_before is None:
            yield f"{one.world:<12}{one.policy:<13}" + "  ".join(
                f"{b.size}: {100 * b.forecast:.0f} > {100 * b.truth:.0f} / {100 * b.passed:.0f}"
                for b in one.scores.bins
            )


def _row(row: Row) -> str:
    return (
        f"{row.world:<12}{row.budget:>6}  {row.policy:<18}{row.recall.mean:>7.3f}{100 * row.go.mean:>9.1f} "
        f"{_span(row.go):<14}{100 * row.passed.mean:>6.0f} {_span(row.passed):<14}"
        f"{row.questions:>6.0f}{row.seconds:>8.2f}"
    )


def _comparison(one: Comparison) -> str:
    room = "-" if one.room is None else f"{100 * one.room:+.1f}"
    return (
        f"{one.world:<12}{one.budget:>6}  {one.rotation:<18}{100 * one.fixed:>6.1f}{100 * one.ours:>6.1f}"
        f"{100 * one.difference.mean:>+7.1f} {_span(one.difference):<16}{room:>18}  "
        f"{_yes(one.gain):<8}{_yes(one.no_worse):<8}".rstrip()
    )


def _judged(one: Judged) -> str:
    s = one.scores
    days = "all" if one.days_before is None else str(one.days_before)
    return (
        f"{one.world:<12}{one.policy:<13}{days:>5}{s.number:>6}{s.binned_mae:>7.3f}{s.rmse:>7.3f}{_share(s.coverage):>7}"
        f"{s.open:>6}{_number(s.open_rmse):>7}{_share(s.open_coverage):>7}{s.brier:>8.4f}{s.perfect_brier:>8.4f}"
        f"{s.log_loss:>7.3f}{s.perfect_log_loss:>8.3f}"
        f"  {_yes(one.mae_ok):<4}{_yes(one.rmse_ok):<5}{_yes(one.coverage_ok)}"
    )


def _span(interval: Interval) -> str:
    if isnan(interval.low):
        return "-"
    return f"{100 * interval.low:.1f} to {100 * interval.high:.1f}"


def _share(share: float) -> str:
    return "-" if isnan(share) else f"{100 * share:.0f}%"


def _number(number: float) -> str:
    return "-" if isnan(number) else f"{number:.3f}"


def _yes(fact: bool | None) -> str:
    return "-" if fact is None else "yes" if fact else "NO"
