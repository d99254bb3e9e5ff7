"""Contests, their events and entries; ranking, scoring and forecast come with the contest issue."""

from heftwright.domain.contest.calendar import (
    Contest,
    ContestError,
    ContestEvent,
    ContestId,
    Entry,
    EventStyle,
)
from heftwright.domain.contest.travel import Travel, away_on, why_away

__all__ = [
    "Contest",
    "ContestError",
    "ContestEvent",
    "ContestId",
    "Entry",
    "EventStyle",
    "Travel",
    "away_on",
    "why_away",
]
