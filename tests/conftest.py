"""Shared set-up of the suite: quick property tests everywhere, the same on every machine."""

from hypothesis import HealthCheck, settings

settings.register_profile(
    "house", deadline=None, max_examples=100, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("house")
