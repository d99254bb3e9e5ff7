"""Benchmarks: each figure prints a ratio against a baseline and a bound where it has them."""
