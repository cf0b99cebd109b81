"""The bench from the command line: `python -m tests.simulation --quick`."""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from time import perf_counter

from tests.simulation.bench import WORLDS, add_up, jobs, load_world, outcomes
from tests.simulation.course import DAYS, POLICIES
from tests.simulation.sheet import USUAL, Shape, deck
from tests.simulation.table import lines

DEFAULT = ("random", "fixed, essential", "fixed, all", "doubling gap", "weakest now", "ours", "oracle")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the bench; 0 if it ran, 2 if the arguments make no sense."""
    parser = argparse.ArgumentParser(prog="python -m tests.simulation", description=__doc__)
    parser.add_argument("--quick", action="store_true", help="6 pupils and 20 questions a day only")
    parser.add_argument(
        "--world",
        action="append",
        metavar="FILE",
        help=f"a Python file with a class World, or one of {', '.join(WORLDS)}; may be repeated; else all of these",
    )
    parser.add_argument(
        "--policies", default=";".join(DEFAULT), help=f"names parted by semicolons, of: {'; '.join(POLICIES)}"
    )
    parser.add_argument("--pupils", type=int, help="pupils of each world (default 24, quick 6)")
    parser.add_argument("--budgets", help="questions a day, parted by commas (default 15,20,30; quick 20)")
    parser.add_argument("--days", type=int, default=DAYS, help="days of practice before the test")
    parser.add_argument("--points", type=int, default=150, help="points of the deck")
    parser.add_argument("--minors", type=int, default=10, help="minor measures on the sheet")
    parser.add_argument(
        "--essential",
        default=",".join(map(str, USUAL.essential)),
        help="essential points of one measure after another, parted by commas, again and again (default %(default)s)",
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    parser.add_argument("--json", action="store_true", help="everything as JSON instead of the table")
    given = parser.parse_args(arguments)
    try:
        budgets = [int(part) for part in (given.budgets or ("20" if given.quick else "15,20,30")).split(",")]
        policies = [part.strip() for part in given.policies.split(";")]
        pupils = (6 if given.quick else 24) if given.pupils is None else given.pupils
        essential = tuple(int(part) for part in given.essential.split(","))
        shape = Shape(points=given.points, minors=given.minors, essential=essential)
        unknown = [policy for policy in policies if policy not in POLICIES]
        if unknown:
            raise ValueError(f"no policy is called {unknown[0]!r}: give some of {'; '.join(POLICIES)}")
        if min(*budgets, pupils, given.days, *essential) < 1:
            raise ValueError("budgets, pupils, days and essential points must be 1 or more")
        deck(shape)
        worlds = given.world or list(WORLDS)
        for world in worlds:
            load_world(world)
    except ValueError as problem:
        sys.stderr.write(f"{problem}\n")
        return 2
    started = perf_counter()
    work = jobs(worlds, policies, budgets, pupils, given.seed, given.days, shape)
    results = add_up(outcomes(work, given.workers))
    took = perf_counter() - started
    if given.json:
        rows, comparisons, forecasts, promises = results
        sys.stdout.write(
            json.dumps(
                {
                    "seed": given.seed,
                    "pupils": pupils,
                    "seconds": round(took, 1),
                    "rows": [_plain(row) for row in rows],
                    "comparisons": [_plain(one) for one in comparisons],
                    "forecasts": [_plain(one) for one in forecasts],
                    "promises": [_plain(one) for one in promises],
                },
                indent=1,
            )
            + "\n"
        )
        return 0
    table = "\n".join(lines(results))
    cost = f"seed {given.seed}, {took:.0f} s with {given.workers} processes"
    sys.stdout.write(f"{table}\n{len(work)} courses, {pupils} pupils a world, {cost}.\n")
    return 0


def _plain(value: object) -> object:
    """Named tuples as mappings, other tuples as lists, what is no number as null."""
    if isinstance(value, tuple):
        fields = getattr(value, "_fields", None)
        return dict(zip(fields, map(_plain, value), strict=True)) if fields else [_plain(part) for part in value]
    return None if isinstance(value, float) and value != value else value


if __name__ == "__main__":
    sys.exit(main())
