"""Shared set-up of the suite: quick property tests everywhere, the same on every machine.

The suite draws the same cases each time, so a change is what turns a green run red. New cases are
looked for on purpose: ``pytest --hypothesis-profile=hunt``.
"""

from hypothesis import HealthCheck, settings

quiet = [HealthCheck.too_slow]
settings.register_profile(
    "house", deadline=None, max_examples=100, derandomize=True, suppress_health_check=quiet
)
settings.register_profile("hunt", deadline=None, max_examples=400, suppress_health_check=quiet)
settings.load_profile("house")
