"""Benchmarks: each figure prints a ratio against a baseline and a bound where it has them."""

import heftwright  # noqa: F401 - keeps linear algebra on one thread, before NumPy is first loaded
