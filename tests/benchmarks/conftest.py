"""How large a benchmark is: in full where it is timed, small where it only has to run."""

from collections.abc import Callable

import pytest

Sized = Callable[[int, int], int]


@pytest.fixture(scope="session")
def sized(request: pytest.FixtureRequest) -> Sized:
    """Choose between a full and a small number; `--benchmark-enable` asks for the full one."""
    timed = bool(request.config.getoption("benchmark_enable"))
    return lambda full, small: full if timed else small
