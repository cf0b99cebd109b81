"""Settings that hold for every test."""

import os

from hypothesis import HealthCheck, settings

# A deadline would be a timed assertion; a shared machine only adds noise to it.
# With so many laws a few dozen examples of each keep every run short; the long profile looks further.
settings.register_profile(
    "usual", max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.register_profile("long", settings.get_profile("usual"), max_examples=5000)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "usual"))
