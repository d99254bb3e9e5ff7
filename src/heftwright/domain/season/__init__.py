"""The season: calendar, waves, tapers; the season problem, its checker, its explanations."""

from heftwright.domain.season.work import SlotWork

__all__ = ["SlotWork"]
