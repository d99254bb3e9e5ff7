"""Solves the season: a greedy plan at once, then HiGHS on a tight model."""

from heftwright.solve.season.search import Progress, solve_season

__all__ = ["Progress", "solve_season"]
