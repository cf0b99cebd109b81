"""Settings that hold for every test."""

import os
from collections.abc import Iterator

import pytest
from hypothesis import HealthCheck, settings

from trainer.paths import Home

# A deadline would be a timed assertion; a shared machine only adds noise to it.
# With so many laws a few dozen examples of each keep every run short; the long profile looks further.
settings.register_profile(
    "usual", max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.register_profile("long", settings.get_profile("usual"), max_examples=5000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))


def pytest_xdist_auto_num_workers() -> int:
    """Twice as many processes as cores: tests of screens wait more than they compute."""
    return 2 * (os.cpu_count() or 1)


@pytest.fixture(scope="session", autouse=True)
def _checked_decks_are_shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """Check each deck once and not once a home: hundreds of tests open a shipped deck in a home of their own.

    Decks are kept by their content, so that no test can be handed another's. What is kept is tested in
    `authoring/test_compiled.py`, by its own folder.
    """
    folder = tmp_path_factory.mktemp("decks")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Home, "checked_decks", property(lambda _: folder))
        yield
