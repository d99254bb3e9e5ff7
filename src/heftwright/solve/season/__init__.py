"""Solves the season: a greedy start at once, then HiGHS with window re-solves."""

from heftwright.solve.season.search import Progress, solve_season

__all__ = ["Progress", "solve_season"]
