"""Settings that hold for every test."""

import os

from hypothesis import HealthCheck, settings

# A deadline would be a timed assertion; a shared machine only adds noise to it.
settings.register_profile("usual", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True)
settings.register_profile("long", settings.get_profile("usual"), max_examples=5000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))
