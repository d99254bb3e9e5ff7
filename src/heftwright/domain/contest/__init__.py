"""Contests, their events and entries; ranking, scoring and forecast come with the contest issue."""

from heftwright.domain.contest.calendar import (
    Contest,
    ContestError,
    ContestEvent,
    ContestId,
    Entry,
    EventStyle,
)

__all__ = ["Contest", "ContestError", "ContestEvent", "ContestId", "Entry", "EventStyle"]
